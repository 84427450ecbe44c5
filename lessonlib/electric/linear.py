"""Node potentials and branch currents as straight lines in the instantaneous supply voltage.

With the diode states given, the network is linear, so every potential and current is
slope * v + offset, where v is the line's potential to earth at that instant. The last axis of
the arrays here holds (slope, offset), or the slope alone where no diode has a forward drop: every
offset is then zero.

Closed contacts and conducting diodes are ideal: their nodes are tied and the current through each
follows from the current balance. Where they form a loop the balance alone does not fix the shares;
they are those of equal, vanishingly small contact resistances.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lessonlib.electric.islands import joined, tied
from lessonlib.electric.network import Cases, Flags, Floats, Indexes, Labels, Network

# Currents this small, against the largest conductance of the case, are rounding.
_NO_CURRENT = 1e-13


@dataclass(frozen=True, eq=False)
class Lines:
    """Straight lines for each case: slope (no unit, or S) and offset (V, or A)."""

    potential: Floats  # (cases, nodes, 1 or 2)
    voltage: Floats  # (cases, branches, 1 or 2), first node above second
    current: Floats  # (cases, branches, 1 or 2), from first node to second
    island: Labels  # (cases, nodes): group of fixed voltages; 0 where the supply fixes them
    conducting: Flags  # (cases, branches)
    contradicts: Flags  # (cases, branches): diodes that cannot conduct as the others are

    def put(self, rows: Indexes, new: Lines) -> None:
        """Replace the given rows by those of `new`."""
        for name in self.__dataclass_fields__:
            getattr(self, name)[rows] = getattr(new, name)


def at(line: Floats, v: Floats) -> Floats:
    """Values of lines (cases, ..., 1 or 2) at supply voltages v that broadcast to (cases, ...)."""
    return line[..., 0] * v + line[..., 1] if line.shape[-1] == 2 else line[..., 0] * v


def leaving(network: Network, current: Floats) -> Floats:
    """Net current (cases, nodes, 1 or 2) leaving each node through branches with these currents."""
    sums = [current[..., part] @ network.incidence for part in range(current.shape[-1])]
    return np.stack(sums, axis=-1)


def lines(network: Network, cases: Cases, conducting: Flags, hot: int) -> Lines:
    """Solve every case with its diode states. No case may be one that `islands.shorts` flags."""
    count, size, terminals = len(cases), len(network.nodes), network.terminals
    node = np.arange(size)
    if network.diodes:
        labels, offset, contradicts = tied(network, cases, conducting)
        conducting = conducting & ~contradicts
        offset = offset.T
        joins = cases.join | conducting
    else:
        labels, joins = joined(network, cases.join), cases.join
        offset, contradicts = np.zeros((count, size)), conducting
    with_terminals = np.where(labels < terminals, np.int16(0), labels)
    island = joined(network, cases.conductance_S > 0, with_terminals).T
    group: Indexes = labels.T.astype(np.intp)

    own = group == node
    # A group the supply does not reach has no potential of its own: pin it, and report it so.
    pinned = ~own | (node < terminals) | (island == node)
    resistive = np.flatnonzero(cases.conductance_S.any(axis=0))
    a, b = group[:, network.first[resistive]], group[:, network.second[resistive]]
    conductance = cases.conductance_S[:, resistive]
    matrix = _scattered(size, a, b, conductance)
    matrix[pinned] = 0.0
    matrix[:, node, node] += pinned

    with_drops = bool(network.drop_V.any())
    right = np.zeros((count, size, 1 + with_drops))
    right[:, hot, 0] = 1.0
    if with_drops:
        step = offset[:, network.first] - offset[:, network.second]
        place = np.arange(count)[:, None] * size
        driven = (cases.conductance_S * step)[:, resistive].ravel()
        right[:, :, 1] = (
            np.bincount((place + b).ravel(), driven, count * size)
            - np.bincount((place + a).ravel(), driven, count * size)
        ).reshape(count, size)
        right[pinned, 1] = 0.0

    solved: Floats = np.asarray(np.linalg.solve(matrix, right), dtype=np.float64)
    potential: Floats = np.take_along_axis(solved, group[:, :, None], axis=1)
    if with_drops:
        potential[:, :, 1] += offset
    voltage = potential[:, network.first] - potential[:, network.second]
    current = cases.conductance_S[:, :, None] * voltage
    if joins.any():
        current += _join_currents(network, joins, own, current)
    if conducting.any():
        largest = cases.conductance_S.max(axis=1, keepdims=True)
        # A diode without current fixes no potential: its node may be anywhere on the blocked side.
        carries = conducting & (np.abs(current).max(axis=2) > _NO_CURRENT * largest)
        fixing = cases.join | carries | (cases.conductance_S > 0)
        terminals_as_one = np.where(np.arange(size) < terminals, 0, np.arange(size))
        start = np.repeat(terminals_as_one.astype(np.int16)[:, None], count, axis=1)
        island = joined(network, fixing, start).T
    return Lines(potential, voltage, current, island, conducting, contradicts)


def _scattered(size: int, a: Indexes, b: Indexes, conductance: Floats) -> Floats:
    """Conductance matrices (cases, size, size) of resistors between groups a and b."""
    count = len(a)
    place = np.arange(count)[:, None] * (size * size)
    at = np.concatenate([a * size + a, b * size + b, a * size + b, b * size + a], axis=1)
    weights = np.concatenate([conductance, conductance, -conductance, -conductance], axis=1)
    flat = np.bincount((place + at).ravel(), weights.ravel(), count * size * size)
    return np.asarray(flat, dtype=np.float64).reshape(count, size, size)


def _join_currents(network: Network, joins: Flags, own: Flags, current: Floats) -> Floats:
    """Currents (cases, branches, 1 or 2) through the joins that balance those through resistors."""
    count, size = own.shape
    node = np.arange(size)
    matrix = (joins.astype(float) @ network.stamps).reshape(count, size, size)
    matrix[own] = 0.0
    matrix[:, node, node] += own
    inflow = -leaving(network, current)
    inflow[own] = 0.0
    level = np.linalg.solve(matrix, inflow)
    return (level[:, network.first] - level[:, network.second]) * joins[:, :, None]
