"""What a meter may show between every two points at once: the least and the most.

Two-point resistance never falls when a resistor of the network rises (Rayleigh's monotonicity law).
So with every part at its least resistance, and again at its most, all pairs of points have theirs:
what is allowed for is marked powers, cold against hot, lamps, and diodes that may not conduct.

All pairs follow from one matrix: with G the inverse of Kirchhoff's matrix, the resistance from i to
j is G_ii + G_jj - 2 G_ij (Klein and Randić 1993, "resistance distance"). `ohmmeter` finds one pair
by another way, with the diodes' drops; the tests compare the two.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import product

import numpy as np

from lessonlib.appliance.parts import Appliance, Element, Lamp, Link, Part
from lessonlib.appliance.settings import Setting
from lessonlib.circuit.islands import joined
from lessonlib.circuit.network import Cases, Flags, Floats, Indexes, Network
from lessonlib.circuit.opened import Faults, cases_with, opened
from lessonlib.meter.alloys import hot_factor, most_hot_factor
from lessonlib.meter.expected import marked_shares
from lessonlib.meter.ohmmeter import FILAMENT_FACTOR

# A diode that conducts: far below the last digit of a meter.
_CONDUCTS_S = 100.0
# Sets of conducting diodes double with each; beyond so many, all count as conducting either way.
_MOST_DIODES = 5
# Rounding of a voltage, for 1 A, against the largest resistance that it is a part of.
_ROUNDING = 1e-9
_LINK = 1.2  # a cord's length and its joints are not known better: our own choice


@dataclass(frozen=True, eq=False)
class Pairs:
    """Ohms, arrays (cases, points, points) with the red lead's point first, infinite where open.

    `least_ohm`, `usual_ohm` and `forward_ohm` (the most of these) have the diodes conduct that the
    meter drives forward; `blocked_ohm` (the least of these) and `most_ohm` have all diodes block.
    `forward` counts the diodes on the way that conduct.
    """

    points: tuple[str, ...]
    least_ohm: Floats
    usual_ohm: Floats
    forward_ohm: Floats
    blocked_ohm: Floats
    most_ohm: Floats
    forward: Indexes


def pairs(
    appliance: Appliance,
    settings: Sequence[Setting],
    ranges: Sequence[Sequence[Faults]],
    points: Sequence[str],
) -> Pairs:
    """Every given setting (all movable parts named) with everything in `ranges`, settings
    outermost, between every two of `points`. Each of `ranges` lists the same faults in all the
    sizes between which they lie."""
    network = opened(appliance)
    at = np.array([network.nodes.index(point) for point in points], dtype=np.intp)
    spans = np.array([_span(part, appliance.supply.voltage_V) for part in network.parts])
    least, usual, most = (
        _between(
            replace(network, conductance_S=network.conductance_S * share), settings, ranges, side
        )
        for share, side in zip(spans.T, (max, None, min), strict=True)
    )
    least_ohm, forward = _with_diodes(network, least, at)
    usual_ohm, _ = _with_diodes(network, usual, at)
    most_ohm, _ = two_point(network, most, at)
    blocked_ohm, forward_ohm = least_ohm, most_ohm
    if least.diode.any():
        blocked_ohm, _ = two_point(network, least, at)
        forward_ohm, _ = _with_diodes(network, most, at)
    every = (least_ohm, usual_ohm, forward_ohm, blocked_ohm, most_ohm)
    return Pairs(tuple(points), *every, forward)


def _span(part: Part | None, supply_V: float) -> tuple[float, float, float]:
    """Conductances, as shares of the file's, at the least, usual and most resistance."""
    if isinstance(part, Lamp):
        return FILAMENT_FACTOR, 1.0, 0.0
    if isinstance(part, Link):
        return _LINK, 1.0, 1 / _LINK
    if not isinstance(part, Element):
        return 1.0, 1.0, 1.0
    # the limits are for whole appliances, and used here for each element
    low, high = marked_shares(supply_V**2 / part.resistance_ohm)
    factor = hot_factor(part.alloy)
    return high * most_hot_factor(part.alloy), factor, low * factor


def _between(
    network: Network,
    settings: Sequence[Setting],
    ranges: Sequence[Sequence[Faults]],
    side: object,
) -> Cases:
    """Every branch at the least or most of the sizes in `ranges`, or at the first of them."""
    count = max(map(len, ranges), default=1) if side is not None else 1
    corners = [
        cases_with(network, settings, [each[min(number, len(each) - 1)] for each in ranges])
        for number in range(count)
    ]
    found = corners[0]
    for other in corners[1:]:
        pick = np.maximum if side is max else np.minimum
        unite = np.logical_or if side is max else np.logical_and
        # a join at one end and a resistor at the other: the resistor counts on the most side
        some_join = found.join ^ other.join
        conductance = pick(found.conductance_S, other.conductance_S)
        largest = np.maximum(found.conductance_S, other.conductance_S)
        found = Cases(
            np.where(some_join, largest, conductance),
            unite(found.join, other.join),
            found.diode,
        )
    return found


def _with_diodes(network: Network, cases: Cases, at: Indexes) -> tuple[Floats, Indexes]:
    """Ohms with every diode conducting that current from red to black drives forward, and how many
    of them do.

    Of all sets of conducting diodes in which none carries current backwards, the true one has the
    least resistance (Maxwell's theorem of minimum heat).
    """
    parts = list(dict.fromkeys(network.branches[index].part for index in network.diodes))
    ohm, _ = two_point(network, cases, at)
    forward = np.zeros(ohm.shape, dtype=np.intp)
    if not cases.diode.any():
        return ohm, forward
    of_part = np.array([branch.part for branch in network.branches])
    sets = list(product((False, True), repeat=len(parts)))[1:]
    if len(parts) > _MOST_DIODES:
        sets = [(True,) * len(parts)]
    for chosen in sets:
        conducting = [part for part, on in zip(parts, chosen, strict=True) if on]
        on = cases.diode & np.isin(of_part, conducting)
        some = Cases(cases.conductance_S + on * _CONDUCTS_S, cases.join, cases.diode)
        found, level = two_point(network, some, at)
        allowed = np.ones(found.shape, dtype=bool)
        carrying = np.zeros(found.shape, dtype=np.intp)
        for branch in network.diodes:
            drop = level[:, network.first[branch]] - level[:, network.second[branch]]
            across = drop[:, :, None] - drop[:, None, :]
            tiny = _ROUNDING * np.where(np.isfinite(found), found, 0.0)
            here = on[:, branch, None, None]
            if len(parts) <= _MOST_DIODES:
                allowed &= ~here | (across >= -tiny)
            carrying += here & (across > tiny)
        better = allowed & (found < ohm)
        ohm = np.where(better, found, ohm)
        forward = np.where(better, carrying, forward)
    return ohm, forward


def two_point(network: Network, cases: Cases, at: Indexes) -> tuple[Floats, Floats]:
    """Ohms between every two of the nodes `at` (cases, at, at), diodes left out; and the levels
    (cases, nodes, at) of all nodes for 1 A into each of these, each island with a node at 0 V."""
    conducts = (cases.conductance_S > 0) & ~cases.join
    labels = joined(network, cases.join)
    island = joined(network, cases.join | conducts)
    count, nodes = len(cases), len(network.nodes)
    own = np.arange(nodes)[:, None]
    lead = labels == own  # one node stands for all that are joined
    rank = (np.cumsum(lead, axis=0) - 1)[labels, np.arange(count)]
    size = int(lead.sum(axis=0).max())
    matrix = np.zeros((count, size, size))
    case, branch = np.nonzero(conducts)
    a, b = rank[network.first[branch], case], rank[network.second[branch], case]
    siemens = np.where(a == b, 0.0, cases.conductance_S[case, branch])
    for row, column, sign in ((a, a, 1), (b, b, 1), (a, b, -1), (b, a, -1)):
        np.add.at(matrix, (case, row, column), sign * siemens)
    root, where = np.nonzero(lead & (island == own))
    np.add.at(matrix, (where, rank[root, where], rank[root, where]), 1.0)
    unused = np.arange(size) >= lead.sum(axis=0)[:, None]
    matrix[:, np.arange(size), np.arange(size)] += unused
    inverse = np.linalg.inv(matrix)
    cases_at = np.arange(count)[:, None]
    row = rank.T
    level = inverse[cases_at[:, :, None], row[:, :, None], row[:, None, at]]
    here = level[:, at]
    own_level = np.diagonal(here, axis1=1, axis2=2)
    ohm = own_level[:, :, None] + own_level[:, None, :] - here - here.transpose(0, 2, 1)
    together: Flags = island.T[:, at, None] == island.T[:, None, at]
    return np.where(together, np.maximum(ohm, 0.0), np.inf), level
