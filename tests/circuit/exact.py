"""Any case of a small appliance in exact fractions, as a reference for the solver's digits.

Only the inputs of a solution are used, none of its results. Every set of diode states is tried:
with the states given, ideal branches tie their nodes together, the rest is one system of node
equations solved by elimination in `fractions`, and the range of supply voltages over which the
states hold follows from the signs of the diodes' currents and voltages. Only the integrals over
the cycle leave the fractions, in 60 digits.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from typing import Any

import mpmath
import networkx as nx
import numpy as np

from lessonlib.appliance.parts import Diode, Resistive
from lessonlib.circuit.solution import Solution

Line = Any  # slope against the supply voltage, and offset: an array of two fractions


def line(slope: Fraction | int, offset: Fraction | int) -> Line:
    return np.array([Fraction(slope), Fraction(offset)])


@dataclass(frozen=True)
class Branch:
    name: tuple[str, int]
    first: str
    second: str
    conductance_S: Fraction | None = None  # a resistor
    drop_V: Fraction | None = None  # a diode; a join where it is neither


@dataclass(frozen=True)
class Exact:
    """Mean power, r.m.s. current and voltage of each resistor, and r.m.s. potential of each node
    that resistors and joins connect to the supply; r.m.s. current of each join where there are no
    diodes (beside a diode, more than one set of states may hold, each with other shares)."""

    power_W: dict[tuple[str, int], float]
    current_A: dict[tuple[str, int], float]
    voltage_V: dict[tuple[str, int], float]
    potential_V: dict[str, float]


def exact(solution: Solution) -> Exact:
    branches = list(_branches(solution))
    hot, cold = ("N", "L") if solution.reversed_plug else ("L", "N")
    fixed = {hot: line(1, 0), cold: line(0, 0), "PE": line(0, 0)}
    nodes = list(solution.appliance.nodes)
    peak_V = Fraction(math.sqrt(2) * solution.supply_voltage_V)
    diodes = [branch for branch in branches if branch.drop_V is not None]
    found = []
    for states in product((False, True), repeat=len(diodes)):
        on = {branch.name for branch, state in zip(diodes, states, strict=True) if state}
        solved = _solved(nodes, fixed, branches, on)
        if solved is not None:
            low, high = _holds(branches, on, *solved, peak_V)
            if low < high:
                found.append((low, high, *solved))
    found.sort(key=lambda each: each[:2])
    pieces, end = [], -peak_V
    for low, high, potential, current in found:
        if high > end:
            assert low <= end, "a gap between the ranges of the diode states"
            pieces.append((end, high, potential, current))
            end = high
    assert end == peak_V, "the diode states do not reach the peak"

    def mean(one: list[Line], other: list[Line]) -> mpmath.mpf:
        return sum(
            _mean(low, high, peak_V, a, b)
            for (low, high, _, _), a, b in zip(pieces, one, other, strict=True)
        )

    def rms(lines: list[Line]) -> float:
        return float(mpmath.sqrt(mean(lines, lines)))

    power, amps, volts = {}, {}, {}
    for branch in branches:
        if branch.drop_V is not None or (diodes and branch.conductance_S is None):
            continue
        flow = [current[branch.name] for *_, current in pieces]
        amps[branch.name] = rms(flow)
        if branch.conductance_S is not None:
            across = [each / branch.conductance_S for each in flow]
            power[branch.name] = float(mean(flow, across))
            volts[branch.name] = rms(across)
    joins = nx.Graph([(b.first, b.second) for b in branches if b.drop_V is None])
    joins.add_edges_from([(hot, cold), (hot, "PE")])
    reached = nx.node_connected_component(joins, hot)
    levels = {
        node: rms([potential[node] for _, _, potential, _ in pieces])
        for node in nodes
        if node in reached
    }
    return Exact(power, amps, volts, levels)


def _branches(solution: Solution) -> Iterable[Branch]:
    for part in solution.appliance.parts:
        for number, (first, second) in enumerate(part.rungs, 1):
            name, fault = (part.name, number), solution.fault
            if fault is not None and (fault.part, fault.contact) == name:
                if fault.kind in ("shorted", "welded"):
                    yield Branch(name, first, second)
            elif part.contacts:
                if solution.setting[part.name] in part.contacts[number - 1].closed_in:
                    yield Branch(name, first, second)
            elif isinstance(part, Resistive):
                yield Branch(name, first, second, conductance_S=1 / Fraction(part.resistance_ohm))
            elif isinstance(part, Diode):
                yield Branch(name, first, second, drop_V=Fraction(part.forward_drop_V))


def _solved(
    nodes: list[str], fixed: dict[str, Line], branches: list[Branch], on: set[tuple[str, int]]
) -> tuple[dict[str, Line], dict[tuple[str, int], Line]] | None:
    """Potentials of the nodes and currents of the branches, or None if the states cannot be."""
    resistors = [b for b in branches if b.conductance_S is not None]
    ideal = [b for b in branches if b.conductance_S is None and (b.drop_V is None or b.name in on)]
    # Every node as (its group, how far it is above the group's level).
    group = {node: (node, Fraction(0)) for node in nodes}
    for branch in ideal:
        drop = branch.drop_V or Fraction(0)
        (one, above_one), (other, above_other) = group[branch.first], group[branch.second]
        if one == other:
            if above_one - above_other != drop:
                return None
            continue
        if one in fixed:
            if other in fixed:
                return None
            keep, gone, shift = one, other, above_one - drop - above_other
        else:
            keep, gone, shift = other, one, above_other + drop - above_one
        for node, (label, above) in group.items():
            if label == gone:
                group[node] = (keep, above + shift)
    wires, into = [], []
    for branch in resistors:
        (one, above_one), (other, above_other) = group[branch.first], group[branch.second]
        pushed = line(0, (above_other - above_one) * branch.conductance_S)
        wires.append((one, other, branch.conductance_S))
        into += [(one, pushed), (other, -pushed)]
    level = _levels({label for label, _ in group.values()}, wires, into, fixed)
    potential = {node: level[label] + line(0, above) for node, (label, above) in group.items()}
    current = {
        b.name: (potential[b.first] - potential[b.second]) * b.conductance_S for b in resistors
    }
    # Those of ideal branches, as if each had the same resistance: they balance the rest.
    left = []
    for b in resistors:
        left += [(b.first, -current[b.name]), (b.second, current[b.name])]
    level = _levels(nodes, [(b.first, b.second, Fraction(1)) for b in ideal], left, fixed)
    current |= {b.name: level[b.first] - level[b.second] for b in ideal}
    return potential, current


def _levels(
    nodes: Iterable[str],
    wires: list[tuple[str, str, Fraction]],
    into: list[tuple[str, Line]],
    fixed: dict[str, Line],
) -> dict[str, Line]:
    """Levels of nodes that are joined by conductances, with these currents flowing into them; what
    nothing joins to a fixed one is put at 0 V."""
    level = dict(fixed)
    graph = nx.Graph([(one, other) for one, other, _ in wires])
    graph.add_nodes_from(nodes)
    for island in nx.connected_components(graph):
        if island.isdisjoint(level):
            level[min(island)] = line(0, 0)
    unknown = sorted(set(graph) - level.keys())
    row = {node: number for number, node in enumerate(unknown)}
    matrix = np.full((len(unknown), len(unknown) + 2), Fraction(0))  # and what flows in
    for node, flow in into:
        if node in row:
            matrix[row[node], -2:] += flow
    for one, other, conductance in wires:
        for here, there in ((one, other), (other, one)) if one != other else ():
            if here not in row:
                continue
            matrix[row[here], row[here]] += conductance
            if there in row:
                matrix[row[here], row[there]] -= conductance
            else:
                matrix[row[here], -2:] += level[there] * conductance
    for k in range(len(unknown)):  # Gauss and Jordan
        pivot = next(r for r in range(k, len(unknown)) if matrix[r, k])
        matrix[[k, pivot]] = matrix[[pivot, k]]
        matrix[k] /= matrix[k, k]
        for r in range(len(unknown)):
            if r != k and matrix[r, k]:
                matrix[r] -= matrix[r, k] * matrix[k]
    return level | dict(zip(unknown, matrix[:, -2:], strict=True))


def _holds(
    branches: list[Branch],
    on: set[tuple[str, int]],
    potential: dict[str, Line],
    current: dict[tuple[str, int], Line],
    peak_V: Fraction,
) -> tuple[Fraction, Fraction]:
    """The range of supply voltages over which no diode carries current backwards and none that
    blocks has more than its drop; empty (high below low) if there is none."""
    low, high = -peak_V, peak_V
    for branch in branches:
        if branch.drop_V is None:
            continue
        if branch.name in on:
            slope, offset = current[branch.name]
        else:
            across = potential[branch.first] - potential[branch.second]
            slope, offset = line(0, branch.drop_V) - across
        if slope > 0:
            low = max(low, -offset / slope)
        elif slope < 0:
            high = min(high, -offset / slope)
        elif offset < 0:
            return Fraction(1), Fraction(0)
    return low, high


def _mean(low: Fraction, high: Fraction, peak_V: Fraction, one: Line, other: Line) -> mpmath.mpf:
    """Mean over a cycle of the product of two lines while the supply is between low and high."""
    with mpmath.workdps(60):
        peak = _mpf(peak_V)
        a, b = mpmath.asin(_mpf(low / peak_V)), mpmath.asin(_mpf(high / peak_V))
        of_one = b - a
        of_v = peak * (mpmath.cos(a) - mpmath.cos(b))
        of_v2 = peak**2 * ((b - a) / 2 - (mpmath.sin(2 * b) - mpmath.sin(2 * a)) / 4)
        terms = (
            _mpf(one[0] * other[0]) * of_v2,
            _mpf(one[0] * other[1] + one[1] * other[0]) * of_v,
            _mpf(one[1] * other[1]) * of_one,
        )
        return +mpmath.fsum(terms) / mpmath.pi


def _mpf(value: Fraction) -> mpmath.mpf:
    return mpmath.mpf(value.numerator) / value.denominator
