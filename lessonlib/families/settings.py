"""The settings of all members in one table, matched by what they do.

Two settings do the same when the same heat comes from as many elements, each within a hundredth,
whatever the switches and their positions are called.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.settings import settings
from lessonlib.circuit.solution import Solution, solve_all
from lessonlib.quantities import format_quantity
from lessonlib.tables import Table
from lessonlib.words import listed

SAME_POWER = 0.01
_NO_HEAT = 0.01
"""Share of its full power below which an element counts as off: a lamp in series lets that through.
"""
Powers = tuple[float, ...] | None
"""Of the elements that heat, in W, rising; None in a short circuit."""


@dataclass(frozen=True, eq=False)
class Member:
    """One appliance of a family, with its label and every setting solved."""

    label: str
    appliance: Appliance

    @cached_property
    def ways(self) -> tuple[tuple[Solution, ...], ...]:
        """Every setting of the switches, for each way that the plug goes in."""
        turns = (False, True)[: 1 + self.appliance.supply.reversible_plug]
        every = settings(self.appliance)
        return tuple(tuple(solve_all(self.appliance, every, reversed_plug=turn)) for turn in turns)

    @property
    def solutions(self) -> tuple[Solution, ...]:
        """The same with the plug as marked."""
        return self.ways[0]

    @cached_property
    def powers(self) -> tuple[Powers, ...]:
        """What each setting does."""
        return tuple(map(heating, self.solutions))

    @cached_property
    def off(self) -> tuple[int, ...]:
        """The numbers of the settings in which nothing heats."""
        return tuple(i for i, powers in enumerate(self.powers) if powers == ())


def heating(solution: Solution) -> Powers:
    """The powers of the elements that heat."""
    if solution.short is not None:
        return None
    volts = solution.supply_voltage_V
    found = (
        (solution.part[part.name].power_W or 0.0, volts * volts / part.resistance_ohm)
        for part in solution.appliance.elements
    )
    return tuple(sorted(power for power, full in found if power > _NO_HEAT * full))


def alike(one: Powers, other: Powers) -> bool:
    """Whether two settings do the same."""
    if one is None or other is None:
        return one is other
    pairs = zip(one, other, strict=False)
    return len(one) == len(other) and all(math.isclose(a, b, rel_tol=SAME_POWER) for a, b in pairs)


def powers_words(powers: Powers) -> str:
    """What a setting does: "1500 W (500 W + 1000 W)", "no heat"."""
    if powers is None:
        return "short circuit"
    if not powers:
        return "no heat"
    total = format_quantity(sum(powers), "W")
    each = " + ".join(format_quantity(power, "W") for power in powers)
    return f"{total} ({each})" if len(powers) > 1 else total


@dataclass(frozen=True)
class Row:
    """One thing that settings do, and by member the numbers of those that do it."""

    powers: Powers
    by: tuple[tuple[int, ...], ...]

    @property
    def total_W(self) -> float:
        """Heat of all elements; infinite in a short circuit."""
        return math.inf if self.powers is None else sum(self.powers)

    @property
    def words(self) -> str:
        """What begins a sentence on it: "1500 W (500 W + 1000 W)", "Off"."""
        words = powers_words(self.powers)
        return "Off" if self.powers == () else f"{words[0].upper()}{words[1:]}"

    def as_much(self, other: Row) -> bool:
        """Whether the other gives the same total heat, maybe from other elements."""
        heat = bool(self.powers and other.powers)
        return heat and math.isclose(self.total_W, other.total_W, rel_tol=SAME_POWER)


@dataclass(frozen=True, repr=False)
class FamilyTable(Table):
    """What each member can do, and by which settings; what several settings do is said once."""

    members: tuple[Member, ...]

    @cached_property
    def does(self) -> tuple[Row, ...]:
        """A row for each thing that a setting of any member does, least heat first."""
        found: list[tuple[Powers, list[list[int]]]] = []
        for place, member in enumerate(self.members):
            for number, powers in enumerate(member.powers):
                by = next((by for known, by in found if alike(known, powers)), None)
                if by is None:
                    by = [[] for _ in self.members]
                    found.append((powers, by))
                by[place].append(number)
        rows = [Row(powers, tuple(map(tuple, by))) for powers, by in found]
        return tuple(sorted(rows, key=lambda row: (row.total_W, len(row.powers or ()))))

    @property
    def caption(self) -> str:
        volts = self.members[0].appliance.supply.voltage_V
        return f"What each can do at {volts:g} V, and by which setting"

    @property
    def header(self) -> tuple[str, ...]:
        return ("heat", *(member.label for member in self.members))

    @property
    def shown_rows(self) -> list[tuple[str, ...]]:
        return [
            (
                powers_words(row.powers),
                *(
                    " or ".join(settings_words(member, by)) or "not possible"
                    for member, by in zip(self.members, row.by, strict=True)
                ),
            )
            for row in self.does
        ]


def settings_words(member: Member, numbers: Sequence[int]) -> list[str]:
    """Several settings of a member: "S1 off" where the position of S2 makes no difference."""
    switches = member.appliance.switches
    rows = [
        tuple((part.name, member.solutions[number].setting[part.name]) for part in switches)
        for number in numbers
    ]
    for part in switches:
        others = dict.fromkeys(tuple(at for at in row if at[0] != part.name) for row in rows)
        if len(switches) > 1 and len(others) * len(part.positions) == len(rows):
            rows = list(others)
    told = [", ".join(f"{name} {position}" for name, position in row) for row in rows]
    return [words or ("any setting" if switches else "as it is") for words in told]


def won_and_lost(table: FamilyTable, place: int) -> list[str]:
    """Sentences on what the member at `place` has won and lost against the one before."""
    told: list[str] = []
    member = table.members[place]
    gone = [row for row in table.does if row.by[place - 1] and not row.by[place]]
    new = [row for row in table.does if row.by[place] and not row.by[place - 1]]
    for row in list(new):
        old = next((old for old in gone if old.as_much(row)), None)
        if old is not None:
            gone.remove(old)
            new.remove(row)
            total, (now, before) = format_quantity(row.total_W, "W"), map(_sources, (row, old))
            told.append(f"{total} stays, but from {now} instead of {before}.")
    full = max((row.total_W for row in table.does if row.by[place] and row.powers), default=0.0)
    for row in new:
        where = listed(settings_words(member, row.by[place]), "or")
        at = f", at {where}" if member.appliance.switches else ""
        half = math.isclose(2 * row.total_W, full, rel_tol=0.02) and row.powers
        if half and member.appliance.diodes:
            at += f", half of {format_quantity(full, 'W')}"
        had = [other.label for other, by in zip(table.members[:place], row.by, strict=False) if by]
        last = f"back{at}: “{had[-1]}” had it last" if had else f"new{at}"
        told.append(f"{row.words} is {last}.")
    return told + [f"{row.words} is gone: no setting gives it any more." for row in gone]


def _sources(row: Row) -> str:
    watts = [format_quantity(power, "W") for power in row.powers or ()]
    return " + ".join(watts) if watts[1:] else "one element"
