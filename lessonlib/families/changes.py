"""What changed in parts and wiring from one member to the next, each change with a sentence."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields
from typing import Literal

from lessonlib.appliance.parts import Appliance, Diode, Element, Lamp, Part, Switch
from lessonlib.families.matching import Match, Pairs, match, switch_pairs
from lessonlib.families.place import named, opens_both, place, sentence
from lessonlib.families.wiring import NAMES, Path, pattern
from lessonlib.schematics.captions import rating
from lessonlib.words import counted, listed

Kind = Literal[
    "added", "removed", "replaced", "moved", "switch", "settings", "off", "stuck", "safety"
]


@dataclass(frozen=True)
class Change:
    """One thing that is different in a member from the one before. `parts` are the parts of the
    later member that have changed, `gone` those of the earlier one."""

    kind: Kind
    words: str
    parts: tuple[str, ...] = ()
    gone: tuple[str, ...] = ()

    def __str__(self) -> str:
        return self.words


def wiring_changes(first: Appliance, second: Appliance, found: Match | None = None) -> list[Change]:
    """Every change of a part or of its wiring, switches first; empty for the same wiring."""
    return list(_Changes(first, second, found or match(first, second)).all())


class _Changes:
    def __init__(self, first: Appliance, second: Appliance, found: Match) -> None:
        self.first, self.second, self.match = first, second, found

    def all(self) -> Iterator[Change]:
        yield from self._switches()
        for a in self.match.removed:
            if not _of_switch(a):
                yield self._removed(self.first.part(a.part))
        for a, b in self.match.replaced:
            if not (_of_switch(a) and _of_switch(b)):
                words = self._replaced(self.first.part(a.part), self.second.part(b.part))
                yield Change("replaced", sentence(words), (b.part,), (a.part,))
        for a, b in self.match.moved:
            if not _of_switch(a):
                words = self._moved(self.first.part(a.part), self.second.part(b.part))
                yield Change("moved", sentence(words), (b.part,), (a.part,))
        for b in self.match.added:
            if not _of_switch(b):
                yield self._added(self.second.part(b.part))

    def _added(self, part: Part) -> Change:
        where = place(self.second, part)
        if isinstance(part, Diode) and where.startswith("across"):
            does = f"now bridges {where.removeprefix('across ')}"
        elif isinstance(part, Element | Lamp):
            does = f"is new, {where}"
        else:
            does = f"now sits {where}"
        return Change("added", sentence(f"{named(part, 'a')} {does}"), parts=(part.name,))

    def _removed(self, part: Part) -> Change:
        where = place(self.first, part)
        plain = isinstance(part, Element) and where.startswith("between")
        words = f"{named(part)} is gone" if plain else f"{named(part)}, {where}, is gone"
        return Change("removed", sentence(words), gone=(part.name,))

    def _replaced(self, old: Part, new: Part) -> str:
        if type(old) is not type(new):
            return f"{named(new, 'a')} takes the place of {named(old)}"
        name = f"the {new.words} {new.name}{_was(old, new)}"
        if rating(old) != rating(new):
            return f"{name} is now {rating(new)}; it was {rating(old)}"
        marks = {f.name: (getattr(old, f.name), getattr(new, f.name)) for f in fields(new)}
        told = [
            f"{key} was {_shown(before)} and is now {_shown(now)}"
            for key, (before, now) in marks.items()
            if before != now and key not in NAMES
        ]
        return f"{name} is another one: {listed(told)}"

    def _moved(self, old: Part, new: Part) -> str:
        before, now = place(self.first, old), place(self.second, new)
        ends = [self.match.points.get(node) for node in old.rungs[0]]
        if isinstance(new, Diode) and ends == list(new.rungs[0])[::-1]:
            return f"{named(new)} is the other way round"
        if before == now:
            return f"{named(new)} is joined to another point, and still {now}"
        return f"{named(new, before=old.name)} was {before} and is now {now}"

    def _switches(self) -> Iterator[Change]:
        partners = self._partners()
        for name, other in partners.items():
            yield from self._switch(self.first.part(name), self.second.part(other))
        gone = [part for part in self.first.switches if part.name not in partners]
        new = [part for part in self.second.switches if part.name not in partners.values()]
        where = {
            part.name: self._poles(None, part) or f", {place(self.second, part)}" for part in new
        }
        if len(gone) == len(new) == 1:
            (old,), (part,) = gone, new
            words = f"{named(old)} gives way to {named(part, 'a')}{where[part.name]}"
            yield Change("switch", sentence(words), (part.name,), (old.name,))
            return
        for part in gone:
            yield Change("removed", sentence(f"{named(part)} is gone"), gone=(part.name,))
        for part in new:
            words = f"{named(part, 'a')} is new{where[part.name]}"
            yield Change("added", sentence(words), parts=(part.name,))

    def _partners(self) -> dict[str, str]:
        """Which switch became which: those with most contacts in common, each once."""
        found: dict[str, str] = {}
        for name, other, _, _ in sorted(switch_pairs(self.match.pairs), key=lambda p: -len(p[2])):
            if name not in found and other not in found.values():
                found[name] = other
        return found

    def _switch(self, old: Part, new: Part) -> Iterator[Change]:
        """What is different in a switch that is still there, in one sentence."""
        assert isinstance(old, Switch)
        assert isinstance(new, Switch)

        def contacts(pairs: Pairs) -> list[tuple[int, int]]:
            names = old.name, new.name
            return [(a.contact, b.contact) for a, b in pairs if (a.part, b.part) == names]

        same, moved = contacts(self.match.same), contacts(self.match.moved)
        more = len(new.contacts) - len(old.contacts)
        poles = self._poles(old, new) if more or moved else ""
        told = [poles.removeprefix(", and ")] if poles else []
        if len(old.positions) != len(new.positions):
            told.append(
                f"has {counted(len(new.positions), 'position')} ({listed(new.positions)}) "
                f"instead of {len(old.positions)} ({listed(old.positions)})"
            )
        elif len(same) == len(new.contacts) == len(old.contacts):
            if pattern(old, [a for a, _ in same]) != pattern(new, [b for _, b in same]):
                told.append("closes its contacts together in other positions than before")
        elif not told and not more and contacts(self.match.replaced):
            told.append("closes its contacts in other positions than before")
        if more and not told:
            told.append(f"has {counted(abs(more), 'contact')} {'more' if more > 0 else 'fewer'}")
        for a, b in moved:
            before, now = place(self.first, old, a), place(self.second, new, b)
            told.append(
                f"was {before} and is now {now}"
                if before != now
                else f"has a contact joined to another point, still {now}"
            )
        if not told and len(same) < len(new.contacts):
            told.append("has a contact wired to other points")
        if told:
            words = f"the switch {new.name}{_was(old, new)} {listed(told)}"
            yield Change("switch", sentence(words), (new.name,), (old.name,))

    def _poles(self, old: Switch | None, new: Switch) -> str:
        """Whether it now opens both conductors, or no longer does."""
        before = old is not None and opens_both(self.first, old)
        if opens_both(self.second, new):
            return "" if before else ", and opens both conductors"
        return ", and opens only one conductor now" if before else ""


def _was(old: Part, new: Part) -> str:
    """The name it had before, where that was another."""
    return "" if old.name == new.name else f" (before, {old.name})"


def _of_switch(path: Path) -> bool:
    return path.sign[0] == "switch"


def _shown(mark: object) -> str:
    if mark is None:
        return "not given"
    return f"{mark:g}" if isinstance(mark, float) else str(mark)
