"""Means, squares and peaks of every voltage and current over a mains cycle, checked for balance."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from lessonlib.circuit.cycle import CyclePiece, moments, pieces
from lessonlib.circuit.linear import at, leaving, summed
from lessonlib.circuit.network import Cases, Flags, Floats, Indexes, Network
from lessonlib.errors import SolverError

# A solution must balance to this part of what flows at a node: far above the rounding of double
# precision, far below anything a meter could show.
_BALANCE = 1e-11
# Rounding where terms nearly cancel, with room for some tens of them.
_ROUNDING = 1e-14
# Smaller currents, for 1 V at the line, may come from the joins' own resistance and are ignored.
_LEFT_OUT = 1e-50
_NEXT = "simplify the appliance, and do not believe a result that differs from what you expect."
# Cases are worked through in blocks that stay in the processor's cache.
_BLOCK = 512


@dataclass(frozen=True, eq=False)
class Totals:
    """Sums over the pieces of a cycle. `..2` are means of squares, `..peak` the largest values."""

    # (cases, branches)
    voltage2: Floats
    voltage_mean: Floats
    voltage_peak: Floats
    current2: Floats
    current_mean: Floats
    current_peak: Floats
    power: Floats
    # (cases, nodes)
    potential2: Floats
    potential_peak: Floats
    # (cases): the line's current, the supply's power, and the sum of the sizes of all terms of the
    # currents, times the peak, W
    drawn2: Floats
    supplied: Floats
    terms: Floats
    # (cases, branches): whose voltage is fixed all the time
    voltage_known: Flags
    # (cases, nodes): whose potential the supply fixes all the time, and which are at the line's
    # potential, or at earth's, all the time
    fixed: Flags
    always_live: Flags
    always_zero: Flags


def totals_of(network: Network, cases: Cases, rows: Indexes, hot: int, peak_V: float) -> Totals:
    """Totals of the cases `rows`, which must not be shorted; zero for the others.

    Raises `SolverError` where currents or powers do not balance.
    """
    count = len(cases)
    of_branches, of_nodes = cases.join.shape, (count, len(network.nodes))
    sums: Any = map(np.zeros, [of_branches] * 7 + [of_nodes] * 2 + [(count,)] * 3)
    flags: Any = (np.ones(shape, dtype=bool) for shape in [of_branches] + [of_nodes] * 3)
    totals = Totals(*sums, *flags)
    for start in range(0, len(rows), _BLOCK):
        block = rows[start : start + _BLOCK]
        some = cases.take(block)
        for piece in pieces(network, some, hot, peak_V):
            net = leaving(network, piece.lines.current)
            sizes = summed(piece.lines.current_size, network.touches)
            _check(network, piece, net, sizes)
            _add(network, totals, piece, net[:, hot], block[piece.rows], peak_V)
            totals.terms[block[piece.rows]] += at(sizes, peak_V).sum(axis=1) * peak_V
        _check_powers(network, totals, block)
    return totals


def _add(
    network: Network, totals: Totals, piece: CyclePiece, drawn: Floats, rows: Indexes, peak_V: float
) -> None:
    """Add one piece to the totals of the cases `rows`, which are in rising order."""
    whole = len(rows) == rows[-1] - rows[0] + 1
    here = slice(rows[0], rows[-1] + 1) if whole else rows
    found = piece.lines
    share = moments(piece.low_V, piece.high_V, peak_V, found.voltage.shape[-1] == 2)
    voltage, current, potential = found.voltage, found.current, found.potential
    supply = np.zeros_like(drawn)
    supply[:, 0] = 1.0
    totals.voltage2[here] += share.mean_product(voltage, voltage)
    totals.voltage_mean[here] += share.mean(voltage)
    totals.current2[here] += share.mean_product(current, current)
    totals.current_mean[here] += share.mean(current)
    totals.power[here] += share.mean_product(voltage, current)
    totals.potential2[here] += share.mean_product(potential, potential)
    totals.drawn2[here] += share.mean_product(drawn, drawn)
    totals.supplied[here] += share.mean_product(supply, drawn)
    for peak, line in (
        (totals.voltage_peak, voltage),
        (totals.current_peak, current),
        (totals.potential_peak, potential),
    ):
        for v in (piece.low_V, piece.high_V):
            peak[here] = np.maximum(peak[here], np.abs(at(line, v[:, None])))
    fixed = found.island == 0
    totals.fixed[here] &= fixed
    totals.voltage_known[here] &= found.island[:, network.first] == found.island[:, network.second]
    for all_the_time, level in ((totals.always_live, 1.0), (totals.always_zero, 0.0)):
        is_there = fixed & (np.abs(potential[..., 0] - level) <= 1e-9)
        if potential.shape[-1] == 2:
            is_there &= np.abs(potential[..., 1]) <= 1e-9 * peak_V
        all_the_time[here] &= is_there


def _check(network: Network, piece: CyclePiece, net: Floats, sizes: Floats) -> None:
    """At every node but the supply's terminals the currents must add up to zero, on the scale of
    what flows there, and every branch's voltage must be that between its nodes."""
    found = piece.lines
    allowed = _BALANCE * sizes[:, network.terminals :] + _LEFT_OUT
    left_over = np.abs(net[:, network.terminals :])
    if not (left_over <= allowed).all():
        raise SolverError(
            f"the currents at a point of {network.appliance.title} do not balance: off by "
            f"{left_over.max():.3g} A. Next: {_NEXT}"
        )
    between = found.potential[:, network.first] - found.potential[:, network.second]
    apart = np.abs(between - found.voltage)
    if not (apart <= _BALANCE * (1 + network.drop_V.sum())).all():
        raise SolverError(
            f"the voltages of {network.appliance.title} do not fit its potentials: off by "
            f"{apart.max():.3g}. Next: {_NEXT}"
        )


def _check_powers(network: Network, totals: Totals, rows: Indexes) -> None:
    """The supply must give exactly the power that the parts turn into heat."""
    supplied = totals.supplied[rows]
    off = np.abs(supplied - totals.power[rows].sum(axis=1))
    # These terms may nearly cancel, where drops oppose each other or the peak.
    if not (off <= _BALANCE * np.abs(supplied) + _ROUNDING * totals.terms[rows]).all():
        raise SolverError(
            f"the powers of {network.appliance.title} do not balance: off by {off.max():.3g} W. "
            f"Next: {_NEXT}"
        )
