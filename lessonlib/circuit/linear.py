"""Node potentials and branch currents as straight lines in the instantaneous supply voltage.

With the diode states given, the network is linear, so every potential and current is
slope * v + offset, where v is the line's potential to earth at that instant. The last axis of
the arrays here holds (slope, offset), or the slope alone where no diode has a forward drop: every
offset is then zero.

Closed contacts and conducting diodes are ideal: their nodes are tied, and the current through each
follows from the current balance. Where they form a loop the balance alone does not fix the shares;
they are those of equal, vanishingly small contact resistances.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lessonlib.circuit.islands import joined, tied
from lessonlib.circuit.network import JOIN_S, Batch, Cases, Flags, Floats, Labels, Network
from lessonlib.circuit.spread import spread

# Currents this small, against the sizes of the terms they are added up from, are rounding.
_NO_CURRENT = 1e-12


@dataclass(frozen=True, eq=False)
class Lines(Batch):
    """Straight lines for each case: slope (no unit, or S) and offset (V, or A)."""

    potential: Floats  # (cases, nodes, 1 or 2)
    voltage: Floats  # (cases, branches, 1 or 2), first node above second
    current: Floats  # (cases, branches, 1 or 2), from first node to second
    voltage_size: Floats  # (cases, branches, 1 or 2): sum of the sizes of the terms of the voltage
    current_size: Floats  # that drives the current, and of the terms of the current
    island: Labels  # (cases, nodes): group of fixed voltages; 0 where the supply fixes them
    conducting: Flags  # (cases, branches)
    contradicts: Flags  # (cases, branches): diodes that cannot conduct as the others are


def at(line: Floats, v: Floats | float) -> Floats:
    """Values of lines (cases, ..., 1 or 2) at supply voltages v that broadcast to (cases, ...)."""
    return line[..., 0] * v + line[..., 1] if line.shape[-1] == 2 else line[..., 0] * v


def leaving(network: Network, current: Floats) -> Floats:
    """Net current (cases, nodes, 1 or 2) leaving each node through branches with these currents."""
    return summed(current, network.incidence)


def summed(values: Floats, weights: Floats) -> Floats:
    """Values of branches (cases, branches, 1 or 2), summed with these weights at each node."""
    return np.stack([values[..., part] @ weights for part in range(values.shape[-1])], axis=-1)


def lines(network: Network, cases: Cases, conducting: Flags, hot: int) -> Lines:
    """Solve every case with its diode states. No case may be one that `islands.shorts` flags."""
    count, size, terminals = len(cases), len(network.nodes), network.terminals
    joins, ties, contradicts = cases.join, None, conducting
    if network.diodes:
        labels, offset, contradicts = tied(network, cases, conducting)
        conducting = conducting & ~contradicts
        joins = cases.join | conducting
        ties = (labels, offset) if network.drop_V.any() else None
    conductance = np.where(joins, JOIN_S, cases.conductance_S)
    found = spread(network, np.ascontiguousarray(conductance.T), hot, ties)
    potential, voltage, voltage_size = (
        np.ascontiguousarray(np.moveaxis(values, -1, 0))
        for values in (found.potential, found.voltage, found.size)
    )
    current = conductance[:, :, None] * voltage
    current_size = conductance[:, :, None] * voltage_size
    voltage[joins] = 0.0
    if ties is not None:
        voltage[..., 1] += conducting * network.drop_V
    fixing = conductance > 0
    if conducting.any():
        # A diode without current fixes no potential: its node may be anywhere on the blocked side.
        carries = (np.abs(current) > _NO_CURRENT * current_size).any(axis=2)
        fixing &= carries | ~conducting
    start = np.where(np.arange(size) < terminals, 0, np.arange(size)).astype(np.int16)
    island = joined(network, fixing, np.repeat(start[:, None], count, axis=1)).T
    return Lines(
        potential, voltage, current, voltage_size, current_size, island, conducting, contradicts
    )
