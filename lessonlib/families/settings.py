"""The settings of all members in one table, matched by what they do.

Two settings do the same when the same heat comes from as many elements, each within a hundredth,
whatever the switches and their positions are called.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.settings import settings, switch_words
from lessonlib.circuit.live import live_words
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
    """One appliance of a family, with its label and every setting solved, as marked and with the
    plug reversed where it can be."""

    label: str
    appliance: Appliance

    @cached_property
    def solutions(self) -> tuple[Solution, ...]:
        """Every setting of the switches, with the plug as marked."""
        return tuple(solve_all(self.appliance, self._settings))

    @cached_property
    def ways(self) -> tuple[tuple[Solution, ...], ...]:
        """The same for each way that the plug goes in."""
        if not self.appliance.supply.reversible_plug:
            return (self.solutions,)
        turned = solve_all(self.appliance, self._settings, reversed_plug=True)
        return (self.solutions, tuple(turned))

    @cached_property
    def _settings(self) -> list[dict[str, str]]:
        return settings(self.appliance)

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
            (powers_words(row.powers), *(self._cell(m, by) for m, by in zip_by(self.members, row)))
            for row in self.does
        ]

    def _cell(self, member: Member, by: Sequence[int]) -> str:
        return " or ".join(settings_words(member, by)) or "not possible"

    @property
    def rows(self) -> list[dict[str, object]]:
        """Plain rows: "powers_W" of the elements that heat (None in a short circuit), and "by"
        label the settings that do it: positions, power_W, current_A and the live ends."""
        return [
            {
                "powers_W": row.powers,
                "by": {
                    member.label: [_plain(member.solutions[number]) for number in by]
                    for member, by in zip_by(self.members, row)
                },
            }
            for row in self.does
        ]


def zip_by(members: Sequence[Member], row: Row) -> list[tuple[Member, tuple[int, ...]]]:
    """Each member with its settings of a row."""
    return list(zip(members, row.by, strict=True))


def setting_words(member: Member, number: int) -> str:
    """One setting of a member: "S1 low"."""
    return switch_words(member.appliance, member.solutions[number].setting) or "as it is"


def settings_words(member: Member, numbers: Sequence[int]) -> list[str]:
    """Several settings of a member: "S1 off" where the position of S2 makes no difference."""
    switches = member.appliance.switches
    rows = [
        {part.name: member.solutions[number].setting[part.name] for part in switches}
        for number in numbers
    ]
    for part in switches:
        others = {
            frozenset(row.items() - {(part.name, row[part.name])})
            for row in rows
            if part.name in row
        }
        if len(switches) > 1 and len(others) * len(part.positions) == len(rows):
            rows = [dict(some) for some in others]
    told = [
        ", ".join(f"{part.name} {row[part.name]}" for part in switches if part.name in row)
        for row in rows
    ]
    return [words or "as it is" if not switches else words or "any setting" for words in told]


def _plain(solution: Solution) -> Mapping[str, object]:
    return {
        "setting": {p.name: solution.setting[p.name] for p in solution.appliance.switches},
        "power_W": solution.power_W,
        "current_A": solution.current_A,
        "live": live_words(solution.appliance, solution.live),
    }


def won_and_lost(table: FamilyTable, place: int) -> list[str]:
    """Sentences on what the member at `place` has won and lost against the one before."""
    told: list[str] = []
    member = table.members[place]
    gone = [row for row in table.does if row.by[place - 1] and not row.by[place]]
    new = [row for row in table.does if row.by[place] and not row.by[place - 1]]
    full = max((row.total_W for row in table.does if row.by[place] and row.powers), default=0.0)
    for row in list(new):
        told_of = next((old for old in gone if _as_much(old, row)), None)
        if told_of is not None:
            gone.remove(told_of)
            new.remove(row)
            told.append(
                f"{format_quantity(row.total_W, 'W')} stays, but from {_sources(row)} "
                f"instead of {_sources(told_of)}."
            )
    for row in new:
        by = f", at {listed(settings_words(member, row.by[place]), 'or')}"
        by = by if member.appliance.switches else ""
        last = max((i for i in range(place) if row.by[i]), default=-1)
        what = "Off" if row.powers == () else _capital(powers_words(row.powers))
        half = ""
        if (
            row.powers
            and member.appliance.diodes
            and math.isclose(2 * row.total_W, full, rel_tol=0.02)
        ):
            half = f", half of {format_quantity(full, 'W')}"
        if last >= 0:
            told.append(f"{what} is back{by}{half}: “{table.members[last].label}” had it last.")
        else:
            told.append(f"{what} is new{by}{half}.")
    for row in gone:
        what = "Off" if row.powers == () else _capital(powers_words(row.powers))
        told.append(f"{what} is gone: no setting gives it any more.")
    return told


def _as_much(one: Row, other: Row) -> bool:
    alike = one.powers and other.powers
    return bool(alike) and math.isclose(one.total_W, other.total_W, rel_tol=SAME_POWER)


def _sources(row: Row) -> str:
    assert row.powers is not None
    if len(row.powers) == 1:
        return "one element"
    return " + ".join(format_quantity(power, "W") for power in row.powers)


def _capital(words: str) -> str:
    return words[0].upper() + words[1:]
