"""`solve` and `solve_all`: what every part and node does in a setting.

All cases of one call are solved together as arrays; readings by part and node are made from them
when asked for. Voltages and currents are r.m.s. and powers are means over a mains cycle, unless
the name says otherwise. The supply's neutral is taken to be at earth potential.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import overload

import numpy as np

from lessonlib.appliance.fault import Fault, find_fault
from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.settings import Setting, complete
from lessonlib.appliance.settings import settings as every_setting
from lessonlib.appliance.terminals import Terminal, terminals
from lessonlib.circuit.condition import CONDITIONS, Condition, conditions
from lessonlib.circuit.islands import Short, short_path, shorts
from lessonlib.circuit.live import live_terminals
from lessonlib.circuit.network import Cases, Flags, Floats, Indexes, Network
from lessonlib.circuit.opened import cases_with, network_for, probed
from lessonlib.circuit.situation import Situation, situation
from lessonlib.circuit.totals import Totals, totals_of
from lessonlib.errors import FaultError, SettingError, shown
from lessonlib.quantities import format_quantity


@dataclass(frozen=True, repr=False)
class PathReading:
    """A part, or one of several paths through it: mean power turned into heat, W; voltage across
    it and current through it as r.m.s., mean (the d.c. part), and largest instantaneous value
    either way.

    None where a value is not defined: beside a floating node, or in a short circuit. Means count
    from the first node of `between` to the second. A part with several `paths`, the contacts of a
    switch or the pieces of an element that leaks between them, has the values of the one that
    carries the most current.
    """

    name: str
    between: tuple[str, str]
    power_W: float | None = None
    voltage_V: float | None = None
    voltage_mean_V: float | None = None
    voltage_peak_V: float | None = None
    current_A: float | None = None
    current_mean_A: float | None = None
    current_peak_A: float | None = None
    paths: tuple[PathReading, ...] = ()

    def __str__(self) -> str:
        """Three values in one line: "E1: 115 V, 1.09 A, 125 W"."""
        values = ((self.voltage_V, "V"), (self.current_A, "A"), (self.power_W, "W"))
        return f"{self.name}: {', '.join(format_quantity(value, unit) for value, unit in values)}"

    __repr__ = __str__

    @property
    def contacts(self) -> tuple[PathReading, ...]:
        """One reading for each contact, or the one of a part with a single path."""
        return self.paths or (self,)


@dataclass(frozen=True, repr=False)
class NodeReading:
    """`potential_V` is r.m.s. to earth; None where nothing fixes it (floating, or behind a diode
    that carries no current) and in a short circuit. `can_shock` is True for a node that is live or
    above 30 V, whatever its condition."""

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
    """What happens in one situation, solved as case number `case` of `batch`."""

    situation: Situation
    batch: Solutions
    case: int

    @cached_property
    def short(self) -> Short | None:
        """The path of a short circuit, if there is one; it leaves no values."""
        cases, hot = self.batch.cases, self.situation.hot
        if not self.batch.short[self.case]:
            return None
        return short_path(self.batch.network, cases, self.case, hot)

    @property
    def power_W(self) -> float | None:
        return None if self.short else float(self.batch.power_W[self.case])

    @property
    def current_A(self) -> float | None:
        """From the supply's line."""
        return None if self.short else float(self.batch.current_A[self.case])

    @property
    def appliance(self) -> Appliance:
        return self.situation.appliance

    @property
    def setting(self) -> Mapping[str, str]:
        return self.situation.setting

    @property
    def fault(self) -> Fault | None:
        return self.situation.fault

    @property
    def reversed_plug(self) -> bool:
        """Whether N carries the line."""
        return self.situation.reversed_plug

    @property
    def supply_voltage_V(self) -> float:
        """r.m.s. voltage of the supply, V."""
        return self.situation.supply_voltage_V

    @cached_property
    def part(self) -> dict[str, PathReading]:
        return self.batch.part_readings(self.case)

    @cached_property
    def node(self) -> dict[str, NodeReading]:
        return self.batch.node_readings(self.case)

    @cached_property
    def live(self) -> tuple[Terminal, ...]:
        """Every end of a part that can give a shock, those at the plug included, in file order."""
        shocking = {name for name, node in self.node.items() if node.can_shock}
        if not self.batch.network.slots:
            return live_terminals(self.appliance, shocking)
        return tuple(end for end in terminals(self.appliance) if str(end) in shocking)

    def __repr__(self) -> str:
        state = [f"{name} {position}" for name, position in self.setting.items()]
        if self.fault is not None:
            state.append(f"fault: {self.fault}")
        where = f" ({', '.join(state)})" if state else ""
        told = f"short circuit {self.short}"
        if self.short is None:
            power, current = (self.power_W, "W"), (self.current_A, "A")
            told = ", ".join(format_quantity(value, unit) for value, unit in (power, current))
        return f"{self.appliance.title}{where}: {told}"


@dataclass(frozen=True, eq=False)
class Solutions(Sequence[Solution]):
    """Every case of one `solve_all` call; index = setting number * len(faults) + fault number."""

    base: Situation  # plug and supply of every case
    network: Network
    cases: Cases
    settings: tuple[Mapping[str, str], ...]
    faults: tuple[Fault | None, ...]
    short: Flags
    totals: Totals

    @cached_property
    def _conditions(self) -> tuple[Indexes, Flags]:
        """Index into CONDITIONS for every case and node, and whether it can give a shock."""
        return conditions(self.network, self.cases, self.totals, self.short, self.base)

    @property
    def shocks(self) -> Flags:
        """Whether each node of `network` can give a shock, for every case."""
        return self._conditions[1]

    @cached_property
    def power_W(self) -> Floats:
        return np.where(self.short, np.nan, self.totals.power.sum(axis=1))

    @cached_property
    def current_A(self) -> Floats:
        return np.where(self.short, np.nan, np.sqrt(np.maximum(self.totals.drawn2, 0)))

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
        at = replace(self.base, setting=self.settings[setting], fault=self.faults[fault])
        return Solution(at, self, case)

    def part_readings(self, case: int) -> dict[str, PathReading]:
        network, found = self.network, dict[str, PathReading]()
        paths: dict[str, list[PathReading]] = {}
        added = set(network.slots.values())
        for index, part in enumerate(network.parts):
            if part is not None and (index not in added or self._flows(case, index)):
                reading = self._reading(part.name, case, index)
                paths.setdefault(part.name, []).append(reading)
        for part in network.appliance.parts:
            every = paths[part.name]
            main = max(every, key=lambda path: path.current_A or 0.0)
            found[part.name] = replace(main, paths=tuple(every)) if len(every) > 1 else main
        return found

    def _flows(self, case: int, index: int) -> bool:
        """Whether an added branch is more than a join: a piece of a leaking element, or a diode
        the wrong way round."""
        resists = self.cases.conductance_S[case, index] > 0 and not self.cases.join[case, index]
        return bool(resists or self.cases.diode[case, index])

    def _reading(self, name: str, case: int, index: int) -> PathReading:
        branch, nodes, totals = self.network.branches[index], self.network.nodes, self.totals
        between, at = (nodes[branch.first], nodes[branch.second]), (case, index)
        if self.short[case]:
            return PathReading(name, between)
        known = bool(totals.voltage_known[at])
        return PathReading(
            name,
            between,
            power_W=float(totals.power[at]),
            voltage_V=_root(totals.voltage2[at]) if known else None,
            voltage_mean_V=float(totals.voltage_mean[at]) if known else None,
            voltage_peak_V=float(totals.voltage_peak[at]) if known else None,
            current_A=_root(totals.current2[at]),
            current_mean_A=float(totals.current_mean[at]),
            current_peak_A=float(totals.current_peak[at]),
        )

    def node_readings(self, case: int) -> dict[str, NodeReading]:
        found = {}
        words, shocks = self._conditions
        for index, name in enumerate(self.network.nodes):
            if not probed(name):
                continue
            condition = CONDITIONS[words[case, index]]
            known = self.totals.fixed[case, index] and not self.short[case]
            known = known and condition != "floating"
            potential = _root(self.totals.potential2[case, index]) if known else None
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
    return solution_of(situation(appliance, setting, fault, reversed_plug, supply_voltage_V))


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
    found = [find_fault(appliance, fault) for fault in faults]
    base = situation(appliance, None, None, reversed_plug, supply_voltage_V)
    return solutions_of(base, chosen, found)


def solution_of(at: Situation) -> Solution:
    """What happens in that situation. Raises `SolverError` as `solve` does."""
    return solutions_of(at, [at.setting], [at.fault])[0]


def solutions_of(
    base: Situation,
    settings: Sequence[Mapping[str, str]],
    faults: Sequence[Fault | None],
    network: Network | None = None,
) -> Solutions:
    """Every given setting with every given fault, at the plug and supply of `base`, in one batch.

    Settings name every movable part, in file order; they and the faults have been checked.
    `network` left out is the one that the faults need.
    """
    appliance, hot, peak_V = base.appliance, base.hot, base.peak_V
    network = network or network_for(appliance, faults)
    cases = cases_with(network, settings, faults)
    short = shorts(network, cases, hot, peak_V)
    rows = np.flatnonzero(~short)
    totals = totals_of(network, cases, rows, hot, peak_V)
    return Solutions(base, network, cases, tuple(settings), tuple(faults), short, totals)


def _check_list(value: object, name: str, error: type[SettingError] | type[FaultError]) -> None:
    if isinstance(value, str | bytes | Mapping) or not isinstance(value, Iterable):
        raise error(
            f"found {name} = {shown(value)}; accepted: a list of {name}. "
            "Put square brackets around a single one, or leave it out."
        )
