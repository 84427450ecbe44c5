"""`solve` and `solve_all`: what every part and node does in a setting.

All cases of one call are solved together as arrays; readings by part and node are made from them
when asked for. Voltages and currents are r.m.s. and powers are means over a mains cycle, unless
the name says otherwise. The supply's neutral is taken to be at earth potential.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from functools import cached_property
from numbers import Real
from typing import overload

import numpy as np

from lessonlib.appliance.fault import Fault, find_fault
from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.settings import Setting, complete
from lessonlib.appliance.settings import settings as every_setting
from lessonlib.circuit.condition import CONDITIONS, Condition, conditions
from lessonlib.circuit.islands import Short, short_path, shorts
from lessonlib.circuit.live import LiveTerminal, live_terminals
from lessonlib.circuit.network import Cases, Flags, Floats, Indexes, Network, cases_of, network_of
from lessonlib.circuit.totals import Totals, totals_of
from lessonlib.errors import FaultError, SettingError, SupplyError, shown
from lessonlib.quantities import format_quantity


@dataclass(frozen=True)
class Reading:
    """One path through a part. None where a value is not defined: beside a floating node, or in a
    short circuit. `mean` and the sign of it count from the first node to the second."""

    between: tuple[str, str]
    power_W: float | None
    voltage_V: float | None
    voltage_mean_V: float | None
    voltage_peak_V: float | None
    current_A: float | None
    current_mean_A: float | None
    current_peak_A: float | None


@dataclass(frozen=True, repr=False)
class PartReading:
    """A part's values. Of a switch, `contacts` has one reading a contact, and the part's own
    values are those of the contact that carries the most current."""

    name: str
    kind: str
    contacts: tuple[Reading, ...]

    def __str__(self) -> str:
        """The three values of a part in one line: "E1: 115 V, 1.09 A, 125 W"."""
        values = ((self.voltage_V, "V"), (self.current_A, "A"), (self.power_W, "W"))
        return f"{self.name}: {', '.join(format_quantity(value, unit) for value, unit in values)}"

    __repr__ = __str__

    @property
    def _main(self) -> Reading:
        return max(self.contacts, key=lambda reading: reading.current_A or 0.0)

    @property
    def power_W(self) -> float | None:
        """Mean power turned into heat, W."""
        return self._main.power_W

    @property
    def voltage_V(self) -> float | None:
        """r.m.s. voltage across it, V."""
        return self._main.voltage_V

    @property
    def voltage_mean_V(self) -> float | None:
        """Mean voltage over a cycle (its d.c. part), V."""
        return self._main.voltage_mean_V

    @property
    def voltage_peak_V(self) -> float | None:
        """Largest instantaneous voltage either way, V."""
        return self._main.voltage_peak_V

    @property
    def current_A(self) -> float | None:
        """r.m.s. current through it, A."""
        return self._main.current_A

    @property
    def current_mean_A(self) -> float | None:
        """Mean current over a cycle (its d.c. part), A."""
        return self._main.current_mean_A

    @property
    def current_peak_A(self) -> float | None:
        """Largest instantaneous current either way, A."""
        return self._main.current_peak_A


@dataclass(frozen=True, repr=False)
class NodeReading:
    """`potential_V` is r.m.s. to earth; None where nothing fixes it (floating, or behind a diode
    that carries no current) and in a short circuit. `can_shock` tells what is live or above 30 V,
    whatever its condition."""

    name: str
    potential_V: float | None
    condition: Condition
    can_shock: bool

    def __str__(self) -> str:
        """Its condition and voltage in one line: "middle: between, 115 V to earth"."""
        if self.potential_V is None:
            return f"{self.name}: {self.condition}, no fixed voltage to earth"
        volts = format_quantity(self.potential_V, "V")
        return f"{self.name}: {self.condition}, {volts} to earth"

    __repr__ = __str__


@dataclass(frozen=True)
class Solution:
    """One case. `power_W` and `current_A` (from the supply's line) are None in a short circuit.

    `batch` is what it was solved in, as case number `case`.
    """

    appliance: Appliance
    setting: Mapping[str, str]
    fault: Fault | None
    reversed_plug: bool
    supply_voltage_V: float
    power_W: float | None
    current_A: float | None
    short: Short | None
    batch: Solutions
    case: int

    @cached_property
    def part(self) -> dict[str, PartReading]:
        """Readings by part name."""
        return self.batch.part_readings(self.case)

    @cached_property
    def node(self) -> dict[str, NodeReading]:
        """Readings by node name."""
        return self.batch.node_readings(self.case)

    @cached_property
    def live(self) -> tuple[LiveTerminal, ...]:
        """Every end of a part that can give a shock, those at the plug included, in file order."""
        shocking = {name for name, node in self.node.items() if node.can_shock}
        return live_terminals(self.appliance, shocking)

    def __repr__(self) -> str:
        where = ", ".join(f"{name} {position}" for name, position in self.setting.items())
        if self.fault is not None:
            where = ", ".join(part for part in (where, f"fault: {self.fault}") if part)
        if self.short is not None:
            return f"{self.appliance.title} ({where}): short circuit {self.short}"
        return f"{self.appliance.title} ({where}): {self.power_W:.6g} W, {self.current_A:.4g} A"


@dataclass(frozen=True, eq=False)
class Solutions(Sequence[Solution]):
    """Every case of one `solve_all` call; index = setting number * len(faults) + fault number."""

    network: Network
    cases: Cases
    settings: tuple[Mapping[str, str], ...]
    faults: tuple[Fault | None, ...]
    reversed_plug: bool
    supply_voltage_V: float
    short: Flags
    power_W: Floats
    current_A: Floats
    _totals: Totals

    @cached_property
    def _conditions(self) -> tuple[Indexes, Flags]:
        """Index into CONDITIONS for every case and node, and whether it can give a shock; found
        when first asked for."""
        hot, supply_V = int(self.reversed_plug), self.supply_voltage_V
        return conditions(self.network, self.cases, self._totals, self.short, hot, supply_V)

    def __len__(self) -> int:
        return len(self.short)

    @overload
    def __getitem__(self, index: int) -> Solution: ...
    @overload
    def __getitem__(self, index: slice) -> list[Solution]: ...
    def __getitem__(self, index: int | slice) -> Solution | list[Solution]:
        if isinstance(index, slice):
            return [self[case] for case in range(*index.indices(len(self)))]
        case = range(len(self))[index]
        setting, fault = divmod(case, len(self.faults))
        short = bool(self.short[case])
        return Solution(
            appliance=self.network.appliance,
            setting=self.settings[setting],
            fault=self.faults[fault],
            reversed_plug=self.reversed_plug,
            supply_voltage_V=self.supply_voltage_V,
            power_W=None if short else float(self.power_W[case]),
            current_A=None if short else float(self.current_A[case]),
            short=short_path(
                self.network,
                self.cases,
                case,
                math.sqrt(2) * self.supply_voltage_V,
                int(self.reversed_plug),
            )
            if short
            else None,
            batch=self,
            case=case,
        )

    def __iter__(self) -> Iterator[Solution]:
        return (self[case] for case in range(len(self)))

    def part_readings(self, case: int) -> dict[str, PartReading]:
        """Readings of one case by part name."""
        contacts: dict[int, list[Reading]] = {}
        for index, branch in enumerate(self.network.branches):
            contacts.setdefault(branch.part, []).append(self._reading(case, index))
        parts = self.network.appliance.parts
        return {
            parts[number].name: PartReading(parts[number].name, parts[number].kind, tuple(found))
            for number, found in contacts.items()
        }

    def _reading(self, case: int, index: int) -> Reading:
        branch, nodes, totals = self.network.branches[index], self.network.nodes, self._totals
        between = (nodes[branch.first], nodes[branch.second])
        if self.short[case]:
            return Reading(between, *[None] * 7)
        at = (case, index)
        known = bool(totals.voltage_known[at])
        return Reading(
            between=between,
            power_W=float(totals.power[at]),
            voltage_V=_root(totals.voltage2[at]) if known else None,
            voltage_mean_V=float(totals.voltage_mean[at]) if known else None,
            voltage_peak_V=float(totals.voltage_peak[at]) if known else None,
            current_A=_root(totals.current2[at]),
            current_mean_A=float(totals.current_mean[at]),
            current_peak_A=float(totals.current_peak[at]),
        )

    def node_readings(self, case: int) -> dict[str, NodeReading]:
        """Readings of one case by node name."""
        found = {}
        words, shocks = self._conditions
        for index, name in enumerate(self.network.nodes):
            condition = CONDITIONS[words[case, index]]
            known = self._totals.fixed[case, index] and not self.short[case]
            known = known and condition != "floating"
            potential = _root(self._totals.potential2[case, index]) if known else None
            found[name] = NodeReading(name, potential, condition, bool(shocks[case, index]))
        return found


def _root(mean_square: float) -> float:
    return math.sqrt(max(mean_square, 0.0))  # rounding can leave a mean square just below zero


def solve(
    appliance: Appliance,
    setting: Setting | None = None,
    *,
    fault: Fault | str | None = None,
    reversed_plug: bool = False,
    supply_voltage_V: float | None = None,
) -> Solution:
    """What happens in one setting.

    `setting` maps part names to positions; parts not named are at their start. `fault` is a
    `Fault` or words such as "E1 open". `supply_voltage_V` (r.m.s.) replaces the file's voltage.
    With `reversed_plug` the terminal N carries the line voltage and L is at neutral potential.
    Raises `SettingError`, `FaultError`, `SupplyError` (all `ValueError`) for input that does not
    fit, and `SolverError` if the solution does not pass its own check.
    """
    faults = (find_fault(appliance, fault),)
    chosen = [complete(appliance, setting)]
    return _solve(appliance, chosen, faults, reversed_plug, supply_voltage_V)[0]


def solve_all(
    appliance: Appliance,
    settings: Sequence[Setting] | None = None,
    *,
    faults: Sequence[Fault | str | None] = (None,),
    reversed_plug: bool = False,
    supply_voltage_V: float | None = None,
) -> Solutions:
    """Every given setting with every given fault, in one batch; see `solve`.

    `settings` left out means every setting of the hand-operated switches.
    """
    if settings is None:
        chosen = every_setting(appliance)
    else:
        _check_list(settings, "settings", SettingError)
        chosen = [complete(appliance, setting) for setting in settings]
    _check_list(faults, "faults", FaultError)
    found = tuple(find_fault(appliance, fault) for fault in faults)
    return _solve(appliance, chosen, found, reversed_plug, supply_voltage_V)


def _solve(
    appliance: Appliance,
    chosen: Sequence[Mapping[str, str]],
    faults: tuple[Fault | None, ...],
    reversed_plug: bool,
    supply_voltage_V: float | None,
) -> Solutions:
    supply_V = _checked_supply(appliance, supply_voltage_V)
    if not isinstance(reversed_plug, bool | np.bool_):
        raise SupplyError(
            f"found reversed_plug = {shown(reversed_plug)}; accepted: True or False, without "
            "quotation marks. Use True for the plug the other way round."
        )
    peak_V = math.sqrt(2) * supply_V
    hot = int(reversed_plug)
    network = network_of(appliance)
    tables = [{p: i for i, p in enumerate(part.positions)} for part in appliance.movable]
    positions = np.array(
        [[t[p] for t, p in zip(tables, row.values(), strict=True)] for row in chosen],
        dtype=np.intp,
    ).reshape(len(chosen), len(tables))
    cases = cases_of(network, positions, faults)
    short = shorts(network, cases, peak_V, hot)
    rows = np.flatnonzero(~short)
    totals = totals_of(network, cases, rows, hot, peak_V)
    return Solutions(
        network=network,
        cases=cases,
        settings=tuple(chosen),
        faults=faults,
        reversed_plug=bool(reversed_plug),
        supply_voltage_V=supply_V,
        short=short,
        power_W=np.where(short, np.nan, totals.power.sum(axis=1)),
        current_A=np.where(short, np.nan, np.sqrt(np.maximum(totals.drawn2, 0))),
        _totals=totals,
    )


def _check_list(value: object, name: str, error: type[SettingError] | type[FaultError]) -> None:
    if isinstance(value, str | bytes | Mapping) or not isinstance(value, Iterable):
        raise error(
            f"found {name} = {shown(value)}; accepted: a list of {name}. "
            "Put square brackets around a single one, or leave it out."
        )


def _checked_supply(appliance: Appliance, voltage_V: float | None) -> float:
    if voltage_V is None:
        return appliance.supply.voltage_V
    volts = math.nan
    if isinstance(voltage_V, Real) and not isinstance(voltage_V, bool):
        with suppress(OverflowError):
            volts = float(voltage_V)
    if not 0.001 <= volts <= 1000:
        raise SupplyError(
            f"found supply_voltage_V = {shown(voltage_V)}; accepted: a number from 0.001 to 1000 V "
            f"r.m.s. Leave it out to use the appliance's own {appliance.supply.voltage_V:g} V."
        )
    return volts
