"""Potentials, and the voltages that drive currents, of every case of a network at once.

A join is a resistor too, so small that it changes no digit of anything else. In a loop of joins
that gives them equal shares.

One order in which nodes are eliminated serves every case, and it is quick. A current is in doubt
where the terms it was added up from are far larger than itself: then its case is solved once more
in its own order, in which a node goes before those that hold it more firmly.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lessonlib.circuit.drops import from_sources, from_the_firmest, sources
from lessonlib.circuit.network import JOIN_S, Flags, Floats, Indexes, Labels, Network
from lessonlib.circuit.order import Plan, firmness, plan_of, suits
from lessonlib.circuit.star_mesh import Merge, eliminated, from_line

# For 1 V at the line, what a join's own resistance makes is far below this, in V or A, and what any
# resistor of an appliance file makes is above it.
_NOTHING = 1e-60
# Rounding is some 1e-16 of the terms: a current this small against them may have lost digits.
_DOUBT = 1e-3
# Terms this small against the largest of their case come from a join's own resistance.
_OF_JOINS = 1e-30
# One order suits many cases; no appliance yet has needed more than eight.
_MOST_ORDERS = 32


@dataclass(frozen=True, eq=False)
class Spread:
    """Potentials (nodes, 1 or 2, cases), and for each branch (branches, 1 or 2, cases) the voltage
    that drives its current, with the sum of the sizes of the terms it was added up from: rounding
    has moved it by a small multiple of 1e-16 of that. The middle axis is what 1 V at the line
    does, and what the sources in branches do."""

    potential: Floats
    voltage: Floats
    size: Floats


def spread(
    network: Network, conductance_S: Floats, hot: int, ties: tuple[Labels, Floats] | None
) -> Spread:
    """Every case of `conductance_S` (branches, cases).

    `ties`, where there are drops, are labels of groups of tied nodes, and the offsets: how far the
    drops of conducting diodes put each node above the others of its group, V (both nodes, cases).
    Among nodes that nothing joins to a terminal, the last one eliminated is put at 0 V.
    """
    offset_V = None if ties is None else ties[1]
    found = _spread(plan_of(network), network, conductance_S, hot, offset_V)
    doubtful = np.flatnonzero(_doubtful(found, conductance_S))
    if len(doubtful):
        _without_dead_ends(network, found, conductance_S, doubtful)
        doubtful = doubtful[_doubtful(_rows(found, doubtful), conductance_S[:, doubtful])]
    for _ in range(_MOST_ORDERS):
        if not len(doubtful):
            break
        some = conductance_S[:, doubtful]
        order = firmness(network, some[:, 0])
        if ties is not None:
            last = (*order, *range(network.terminals))
            offset_V = from_the_firmest(ties[0][:, doubtful], ties[1][:, doubtful], last)
        better = _spread(plan_of(network, order), network, some, hot, offset_V)
        settled = ~_doubtful(better, some) | suits(network, order, some)
        settled[0] = True
        for name in found.__dataclass_fields__:
            getattr(found, name)[..., doubtful[settled]] = getattr(better, name)[..., settled]
        doubtful = doubtful[~settled]
    joins = (conductance_S >= JOIN_S)[:, None]
    nothing = found.size * np.where(joins, JOIN_S, 1.0) < _NOTHING
    found.voltage[nothing] = found.size[nothing] = 0.0
    found.potential[np.abs(found.potential) < _NOTHING] = 0.0
    return found


def _rows(found: Spread, cases: Indexes) -> Spread:
    return Spread(*(getattr(found, name)[..., cases] for name in found.__dataclass_fields__))


def _doubtful(found: Spread, conductance_S: Floats) -> Flags:
    """Cases with a current that is small against the terms it was added up from."""
    size = conductance_S[:, None] * found.size
    small = np.abs(found.voltage) < _DOUBT * found.size
    return np.asarray((small & (size > _OF_JOINS * size.max(axis=0))).any(axis=(0, 1)))


def _without_dead_ends(
    network: Network, found: Spread, conductance_S: Floats, cases: Indexes
) -> None:
    """Set the voltage across branches that lead nowhere to exactly zero, in these cases."""
    live = conductance_S[:, cases] > 0
    dead = np.zeros_like(live)
    for _ in network.nodes:
        tips = network.touches.T @ live == 1
        tips[: network.terminals] = False
        found_dead = live & (tips[network.first] | tips[network.second])
        if not found_dead.any():
            break
        live &= ~found_dead
        dead |= found_dead
    for values in (found.voltage, found.size):
        values[..., cases] *= ~dead[:, None]


def _spread(
    plan: Plan, network: Network, conductance_S: Floats, hot: int, offset_V: Floats | None
) -> Spread:
    merges: list[Merge] | None = None if offset_V is None else []
    shares = eliminated(plan, conductance_S, merges)
    level = np.zeros((len(network.nodes), conductance_S.shape[1]))
    at_line = level.copy()
    at_line[hot] = 1.0
    found = [from_line(plan, shares, at_line)]
    if offset_V is not None and merges is not None:
        drops = sources(plan, merges, conductance_S, offset_V)
        found.append(from_sources(plan, shares, level, drops, conductance_S >= JOIN_S))
    potential, voltage, size = (np.stack(each, axis=1) for each in zip(*found, strict=True))
    return Spread(potential, voltage, size)
