"""An appliance as paths between points, told apart by kind and rating and never by name."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields

from lessonlib.appliance.parts import Appliance, Diode, Part, Resistive, Switch

SAME_RESISTANCE = 0.01
"""Resistances that differ by less are the same part: 176 for 176.33 ohm is rounding."""

Sign = tuple[object, ...]
NAMES = ("name", "between", "placed_on")
"""Fields that say where a part is, and what it and its points are called."""


@dataclass(frozen=True)
class Path:
    """One path through a part, a contact of a switch among them. `sign` is what tells it from
    others: equal signs can take each other's place. Only a `directed` path has a first end."""

    part: str
    contact: int
    sign: Sign
    ends: tuple[str, str]
    directed: bool


def paths(appliance: Appliance, like: Appliance | None = None) -> tuple[Path, ...]:
    """Every path of `appliance`, in file order; resistances close to one of `like` count as it."""
    known = [] if like is None else [part for part in like.parts if isinstance(part, Resistive)]
    return tuple(
        Path(part.name, number, sign, ends, isinstance(part, Diode))
        for part in appliance.parts
        for number, (sign, ends) in enumerate(zip(_signs(part, known), part.rungs, strict=True), 1)
    )


def _signs(part: Part, known: Sequence[Resistive]) -> Iterable[Sign]:
    if isinstance(part, Switch):
        table = [[position in c.closed_in for c in part.contacts] for position in part.positions]
        closed = sorted(sum(row) for row in table)
        for number in range(len(part.contacts)):
            own = sorted(sum(row) for row in table if row[number])
            yield ("switch", *closed, "closed with", *own)
    elif isinstance(part, Resistive):
        yield (part.kind, f"{_near(part, known):.5g}")
    else:
        values = [getattr(part, f.name) for f in fields(part) if f.name not in NAMES]
        yield (part.kind, *values)


def _near(part: Resistive, known: Sequence[Resistive]) -> float:
    ohms = part.resistance_ohm
    near = [
        other.resistance_ohm
        for other in known
        if other.kind == part.kind
        and max(ohms / other.resistance_ohm, other.resistance_ohm / ohms) <= 1 + SAME_RESISTANCE
    ]
    return min(near, key=lambda other: abs(other - ohms), default=ohms)


def pattern(switch: Switch, contacts: Sequence[int]) -> Counter[tuple[bool, ...]]:
    """Which of `contacts` (numbers from 1, in that order) are closed together, and in how many
    positions: what a switch does, whatever its positions are called."""
    made = [switch.contacts[number - 1] for number in contacts]
    return Counter(tuple(p in each.closed_in for each in made) for p in switch.positions)
