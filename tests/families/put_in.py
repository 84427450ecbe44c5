"""Changes put into appliances at random, and the same appliance under other names and in another
order: what the matching must see, and what it must not."""

import random
from collections.abc import Sequence
from dataclasses import replace
from typing import TypeVar

from lessonlib.appliance.parts import (
    TERMINALS,
    Appliance,
    Contact,
    Diode,
    Element,
    Lamp,
    Part,
    Supply,
    Switch,
    ThermalFuse,
    TwoTerminal,
)
from lessonlib.families.matching import match, switch_pairs
from lessonlib.families.wiring import pattern

P = TypeVar("P", bound=Part)
OHMS = (20, 33, 47, 68, 91, 120, 150, 220)


def drawn(rng: random.Random) -> Appliance:
    """A random appliance: up to four points, elements, switches and what else there may be."""
    points = ["L", "N", *(f"n{number}" for number in range(rng.randint(2, 4)))]
    parts: list[Part] = []
    for number in range(rng.randint(1, 3)):
        parts.append(Element(f"E{number}", ends(points, rng), resistance_ohm=rng.choice(OHMS)))
    for number in range(rng.randint(1, 2)):
        closed = [rng.sample(("off", "low", "high"), rng.randint(1, 2)) for _ in range(2)]
        contacts = tuple(
            Contact(ends(points, rng), tuple(some)) for some in closed[: rng.randint(1, 2)]
        )
        parts.append(Switch(f"S{number}", ("off", "low", "high"), contacts, "off"))
    if rng.random() < 0.5:
        parts.append(Lamp("H1", ends(points, rng), resistance_ohm=60_000))
    if rng.random() < 0.5:
        parts.append(ThermalFuse("F1", ends(points, rng), opens_at_C=rng.choice((110, 150))))
    if rng.random() < 0.5:
        parts.append(Diode("D1", ends(points, rng)))
    return Appliance("drawn", "", Supply(230.0), tuple(parts))


def ends(points: list[str], rng: random.Random) -> tuple[str, str]:
    first, second = rng.sample(points, 2)
    return first, second


def changed(appliance: Appliance, rng: random.Random, count: int) -> Appliance:
    """The appliance with so many parts added, taken out, moved, or given another rating."""
    for number in range(count):
        step, name = rng.choice(_STEPS), f"X{number}"
        appliance = step(appliance, rng, name) or _beside(appliance, rng, name)
    return appliance


def _put(appliance: Appliance, old: Part, *new: Part) -> Appliance:
    """The appliance with another part, or none, for one of its own."""
    parts = ((part,) if part is not old else new for part in appliance.parts)
    return replace(appliance, parts=tuple(part for some in parts for part in some))


def _own(rng: random.Random, parts: Sequence[P]) -> P | None:
    """One of the parts, if there is one that was not put in or moved: taking that out again would
    leave only another wire."""
    kept = [part for part in parts if not part.name.startswith("X")]
    return rng.choice(kept) if kept else None


def _new(rng: random.Random, name: str, between: tuple[str, str]) -> Part:
    return rng.choice(
        (
            Element(name, between, resistance_ohm=rng.choice(OHMS)),
            ThermalFuse(name, between, opens_at_C=190),
            Diode(name, between),
            Switch(name, ("off", "on"), (Contact(between, ("on",)),), "off"),
        )
    )


def _beside(appliance: Appliance, rng: random.Random, name: str) -> Appliance:
    new = _new(rng, name, ends(list(appliance.nodes), rng))
    return replace(appliance, parts=(*appliance.parts, new))


def _in_series(appliance: Appliance, rng: random.Random, name: str) -> Appliance:
    """A point parts in two, with the new part between: some of its paths go over to the other."""
    node = rng.choice(appliance.nodes)
    other = f"{node} {name}"
    parts = [_renamed(p, {node: other}) if rng.random() < 0.6 else p for p in appliance.parts]
    return replace(appliance, parts=(*parts, _new(rng, name, (node, other))))


def _renamed(part: Part, names: dict[str, str]) -> Part:
    def there(between: tuple[str, str]) -> tuple[str, str]:
        return names.get(between[0], between[0]), names.get(between[1], between[1])

    if isinstance(part, Switch):
        contacts = tuple(replace(each, between=there(each.between)) for each in part.contacts)
        return replace(part, contacts=contacts)
    assert isinstance(part, TwoTerminal)
    return replace(part, between=there(part.between))


def _out(appliance: Appliance, rng: random.Random, name: str) -> Appliance | None:
    gone = _own(rng, appliance.of_type(TwoTerminal))
    return gone and _put(appliance, gone)


def _bridged(appliance: Appliance, rng: random.Random, name: str) -> Appliance | None:
    gone = _own(rng, appliance.of_type(TwoTerminal))
    if gone is None:
        return None
    first, second = sorted(gone.between, key=lambda node: node not in TERMINALS)
    if second in TERMINALS:
        return _put(appliance, gone)
    left = [_renamed(part, {second: first}) for part in appliance.parts if part is not gone]
    looped = any(a == b for part in left for a, b in part.rungs)
    return None if looped else replace(appliance, parts=tuple(left))


def _rated(appliance: Appliance, rng: random.Random, name: str) -> Appliance | None:
    part = _own(rng, appliance.elements)
    return part and _put(appliance, part, replace(part, resistance_ohm=rng.choice(OHMS) * 1.37))


def _moved(appliance: Appliance, rng: random.Random, name: str) -> Appliance | None:
    part = _own(rng, appliance.of_type(TwoTerminal))
    between = ends(list(appliance.nodes), rng)
    return part and _put(appliance, part, replace(part, name=name, between=between))


def _repositioned(appliance: Appliance, rng: random.Random, name: str) -> Appliance | None:
    """A switch closes in one position more or less."""
    part = _own(rng, [part for part in appliance.switches if len(part.contacts) == 1])
    if part is None:
        return None
    (contact,) = part.contacts
    count = 2 if len(contact.closed_in) == 1 else 1
    closed = tuple(rng.sample(part.positions, min(count, len(part.positions) - 1)))
    return _put(appliance, part, replace(part, contacts=(replace(contact, closed_in=closed),)))


def _turned(appliance: Appliance, rng: random.Random, name: str) -> Appliance | None:
    """A diode the other way round."""
    part = _own(rng, appliance.diodes)
    return part and _put(appliance, part, replace(part, name=name, between=part.between[::-1]))


_STEPS = (_beside, _in_series, _out, _bridged, _rated, _moved, _repositioned, _turned)


def disguised(appliance: Appliance, rng: random.Random) -> Appliance:
    """The same wiring: other names of parts, points and positions, other order, ends turned."""
    points = [node for node in appliance.nodes if node not in TERMINALS]
    to = dict(zip(points, rng.sample([f"p{i}" for i in range(99)], len(points)), strict=True))
    parts: list[Part] = []
    for number, part in enumerate(rng.sample(appliance.parts, len(appliance.parts))):
        part = _renamed(replace(part, name=f"{part.letter}{number}"), to)
        if isinstance(part, Switch):
            part = _switch(part, rng)
        elif isinstance(part, TwoTerminal) and not isinstance(part, Diode) and rng.random() < 0.5:
            part = replace(part, between=part.between[::-1])
        parts.append(part)
    return replace(appliance, title="disguised", parts=tuple(parts))


def _switch(part: Switch, rng: random.Random) -> Switch:
    names = dict(zip(part.positions, rng.sample("abcdefgh", len(part.positions)), strict=True))
    contacts = [
        Contact(c.between[:: rng.choice((1, -1))], tuple(names[p] for p in c.closed_in))
        for c in part.contacts
    ]
    positions = rng.sample(list(names.values()), len(names))
    return replace(
        part,
        positions=tuple(positions),
        contacts=tuple(rng.sample(contacts, len(contacts))),
        start=names[part.start],
    )


def same_wiring(first: Appliance, second: Appliance) -> bool:
    """Whether two files describe the same parts wired the same way, whatever their names."""
    found = match(first, second)
    if found.cost:
        return False
    ours = {part.name: part for part in first.of_type(Switch)}
    theirs = {part.name: part for part in second.of_type(Switch)}
    return all(
        pattern(ours[name], mine) == pattern(theirs[other], yours)
        for name, other, mine, yours in switch_pairs(found.pairs)
    )
