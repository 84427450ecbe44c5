"""What changed in parts and wiring from one member to the next, each change with a sentence."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields
from typing import Literal

from lessonlib.appliance.parts import Appliance, Diode, Element, Lamp, Part, Switch
from lessonlib.families.matching import Match, match, switch_pairs
from lessonlib.families.place import named, opens_both, place, sentence
from lessonlib.families.wiring import Path, pattern
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
        removed = [self.first.part(p.part) for p in self.match.removed if not _of_switch(p)]
        added = [self.second.part(p.part) for p in self.match.added if not _of_switch(p)]
        for part in removed:
            yield self._removed(part)
        for a, b in self.match.replaced:
            if not (_of_switch(a) and _of_switch(b)):
                yield self._replaced(a, b)
        for a, b in self.match.moved:
            if not _of_switch(a):
                yield self._moved(self.first.part(a.part), self.second.part(b.part))
        for part in added:
            yield self._added(part)

    def _added(self, part: Part) -> Change:
        where = place(self.second, part)
        if isinstance(part, Diode) and where.startswith("across"):
            beside = where.removeprefix("across ")
            words = f"{named(part, 'a')} now bridges {beside}"
        elif isinstance(part, Element | Lamp):
            words = f"{named(part, 'a')} is new, {where}"
        else:
            words = f"{named(part, 'a')} now sits {where}"
        return Change("added", sentence(words), parts=(part.name,))

    def _removed(self, part: Part) -> Change:
        where = place(self.first, part)
        plain = isinstance(part, Element) and where.startswith("between")
        words = f"{named(part)} is gone" if plain else f"{named(part)}, {where}, is gone"
        return Change("removed", sentence(words), gone=(part.name,))

    def _replaced(self, a: Path, b: Path) -> Change:
        old, new = self.first.part(a.part), self.second.part(b.part)
        if type(old) is not type(new):
            words = f"{named(new, 'a')} takes the place of {named(old)}"
        elif rating(old) != rating(new):
            name = f"{new.words} {new.name}{_was(old, new)}"
            words = f"the {name} is now {rating(new)}; it was {rating(old)}"
        else:
            name = f"{new.words} {new.name}{_was(old, new)}"
            words = f"the {name} is another one: {listed(_other_marks(old, new))}"
        return Change("replaced", sentence(words), (b.part,), (a.part,))

    def _moved(self, old: Part, new: Part) -> Change:
        before, now = place(self.first, old), place(self.second, new)
        if isinstance(new, Diode) and self._turned(old, new):
            words = f"{named(new)} is the other way round"
        elif before == now:
            words = f"{named(new)} is joined to another point, and still {now}"
        else:
            words = f"{named(new, before=old.name)} was {before} and is now {now}"
        return Change("moved", sentence(words), (new.name,), (old.name,))

    def _turned(self, old: Part, new: Part) -> bool:
        ends = [self.match.points.get(node) for node in old.rungs[0]]
        return ends == list(new.rungs[0])[::-1]

    def _switches(self) -> Iterator[Change]:
        firsts = {part.name: part for part in self.first.switches}
        seconds = {part.name: part for part in self.second.switches}
        partners = self._partners()
        for name, other in partners.items():
            yield from self._switch(firsts[name], seconds[other])
        gone = [part for name, part in firsts.items() if name not in partners]
        new = [part for name, part in seconds.items() if name not in partners.values()]
        if len(gone) == len(new) == 1:
            words = f"{named(gone[0])} gives way to {named(new[0], 'a')}"
            tail = self._poles(None, new[0]) or f", {place(self.second, new[0])}"
            yield Change("switch", sentence(words + tail), (new[0].name,), (gone[0].name,))
            return
        for part in gone:
            yield Change("removed", sentence(f"{named(part)} is gone"), gone=(part.name,))
        for part in new:
            tail = self._poles(None, part) or f", {place(self.second, part)}"
            words = f"{named(part, 'a')} is new{tail}"
            yield Change("added", sentence(words), parts=(part.name,))

    def _partners(self) -> dict[str, str]:
        """Which switch became which: those with most contacts in common, each once."""
        kept = sorted(switch_pairs(self.match.pairs), key=lambda found: -len(found[2]))
        found: dict[str, str] = {}
        for name, other, _, _ in kept:
            if name not in found and other not in found.values():
                found[name] = other
        return found

    def _switch(self, old: Switch, new: Switch) -> Iterator[Change]:
        """What is different in a switch that is still there, in one sentence."""
        match, told = self.match, []
        same = [(a.contact, b.contact) for a, b in match.same if _joins(a, b, old, new)]
        moved = [(a, b) for a, b in match.moved if _joins(a, b, old, new)]
        more = len(new.contacts) - len(old.contacts)
        both = self._poles(old, new) if more or moved else ""
        if both:
            told.append(both.removeprefix(", and "))
        if len(old.positions) != len(new.positions):
            told.append(
                f"has {counted(len(new.positions), 'position')} ({listed(new.positions)}) "
                f"instead of {len(old.positions)} ({listed(old.positions)})"
            )
        elif not both and not more and not moved and len(same) == len(new.contacts):
            mine, yours = [a for a, _ in same], [b for _, b in same]
            if pattern(old, mine) != pattern(new, yours):
                told.append("closes its contacts together in other positions than before")
        if not told and not more and any(_joins(a, b, old, new) for a, b in match.replaced):
            told.append("closes its contacts in other positions than before")
        if more and not told:
            told.append(f"has {counted(abs(more), 'contact')} {'more' if more > 0 else 'fewer'}")
        for a, b in moved:
            before = place(self.first, old, a.contact)
            now = place(self.second, new, b.contact)
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
        now = opens_both(self.second, new)
        if now:
            return "" if before else ", and opens both conductors"
        return ", and opens only one conductor now" if before else ""


def _was(old: Part, new: Part) -> str:
    """The name it had before, where that was another."""
    return "" if old.name == new.name else f" (before, {old.name})"


def _joins(a: Path, b: Path, old: Switch, new: Switch) -> bool:
    return (a.part, b.part) == (old.name, new.name)


def _of_switch(path: Path) -> bool:
    return path.sign[0] == "switch"


_MARKS = {
    "rated_A": "rated {} A",
    "rated_V": "rated {} V",
    "closes_at_C": "closes again at {} °C",
    "closes_at_bar": "closes again at {} bar",
    "holds_C": "holds to {} °C",
    "forward_drop_V": "drops {} V",
    "rise_K_per_W": "warmer by {} K/W",
    "resettable": "resettable: {}",
}


def _other_marks(old: Part, new: Part) -> list[str]:
    """The marks in which two parts of a kind differ."""
    found = []
    for field in fields(new):
        value = getattr(new, field.name)
        if field.name in _MARKS and value != getattr(old, field.name):
            shown = "yes" if value is True else "no" if value is False else value
            shown = "no given number of" if shown is None else shown
            found.append(_MARKS[field.name].format(shown))
    return found or [rating(new) or "other marks"]
