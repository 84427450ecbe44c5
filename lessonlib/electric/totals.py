"""Means, squares and peaks of every voltage and current over a mains cycle, checked for balance."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lessonlib.electric.cycle import Piece, moments, pieces
from lessonlib.electric.linear import at, leaving
from lessonlib.electric.network import Cases, Flags, Floats, Indexes, Network
from lessonlib.errors import SolverError

# A solution must balance to this part of what flows: far above the rounding of double precision,
# far below anything a meter could show.
_BALANCE = 1e-9
# Cases are worked through in blocks that stay in the processor's cache.
_BLOCK = 512


@dataclass(frozen=True, eq=False)
class Totals:
    """Sums over the pieces of a cycle, of arrays (cases, branches) and (cases, nodes).

    `..2` are means of squares. `fixed` tells nodes whose potential the supply fixes all the time,
    `always_live` and `always_zero` those at the line's potential or at earth's all the time, and
    `voltage_known` branches whose voltage is fixed all the time. `drawn` is the line's current.
    """

    voltage2: Floats
    voltage_mean: Floats
    voltage_peak: Floats
    current2: Floats
    current_mean: Floats
    current_peak: Floats
    power: Floats
    potential2: Floats
    potential_peak: Floats
    fixed: Flags
    always_live: Flags
    always_zero: Flags
    voltage_known: Flags
    drawn2: Floats
    supplied: Floats


def totals_of(network: Network, cases: Cases, rows: Indexes, hot: int, peak_V: float) -> Totals:
    """Totals of the cases `rows`, which must not be shorted; zero for the others.

    Raises `SolverError` where currents or powers do not balance.
    """
    count, branches, nodes = len(cases), len(network.branches), len(network.nodes)
    zeros, ones = np.zeros, np.ones
    of_branches, of_nodes = (count, branches), (count, nodes)
    totals = Totals(
        voltage2=zeros(of_branches),
        voltage_mean=zeros(of_branches),
        voltage_peak=zeros(of_branches),
        current2=zeros(of_branches),
        current_mean=zeros(of_branches),
        current_peak=zeros(of_branches),
        power=zeros(of_branches),
        potential2=zeros(of_nodes),
        potential_peak=zeros(of_nodes),
        fixed=ones(of_nodes, dtype=bool),
        always_live=ones(of_nodes, dtype=bool),
        always_zero=ones(of_nodes, dtype=bool),
        voltage_known=ones(of_branches, dtype=bool),
        drawn2=zeros(count),
        supplied=zeros(count),
    )
    for start in range(0, len(rows), _BLOCK):
        block = rows[start : start + _BLOCK]
        some = cases.take(block)
        for piece in pieces(network, some, hot, peak_V):
            net = leaving(network, piece.lines.current)
            _check_currents(network, some.take(piece.rows), piece, net)
            _add(network, totals, piece, net[:, hot], block[piece.rows], peak_V)
        _check_powers(network, some, totals, block, peak_V)
    return totals


def _add(
    network: Network, totals: Totals, piece: Piece, drawn: Floats, rows: Indexes, peak_V: float
) -> None:
    """Add one piece to the totals of the cases `rows`, which are in rising order."""
    whole = len(rows) == rows[-1] - rows[0] + 1
    here = slice(rows[0], rows[-1] + 1) if whole else rows
    share = moments(piece, peak_V)
    found = piece.lines
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


def _check_currents(network: Network, cases: Cases, piece: Piece, net: Floats) -> None:
    """At every node but the supply's terminals the currents must add up to nothing."""
    largest = np.abs(piece.lines.current).max(axis=1)
    left_over = np.abs(net[:, network.terminals :])
    # Where next to nothing flows, what is left is the rounding of potentials.
    rounding = 1e-14 * cases.conductance_S.max(axis=1) * max(1.0, float(network.drop_V.max()))
    allowed = _BALANCE * largest + rounding[:, None]
    if not (left_over <= allowed[:, None, :]).all():
        raise SolverError(
            f"the currents at a node of {network.appliance.title} do not balance: off by "
            f"{left_over.max():.3g} A. Next: look for resistances of very different size."
        )


def _check_powers(
    network: Network, cases: Cases, totals: Totals, rows: Indexes, peak_V: float
) -> None:
    """The supply must give exactly the power that the parts turn into heat."""
    supplied = totals.supplied[rows]
    off = np.abs(supplied - totals.power[rows].sum(axis=1))
    # Where next to nothing flows, what is left is the rounding of potentials near the peak.
    rounding = 1e-14 * peak_V**2 * cases.conductance_S.sum(axis=1)
    if not (off <= _BALANCE * np.abs(supplied) + rounding).all():
        raise SolverError(
            f"the powers of {network.appliance.title} do not balance: off by {off.max():.3g} W. "
            "Next: look for resistances of very different size."
        )
