"""Which resistors between some points give the resistances that were read between them.

With every pair read, the readings are the resistance distances of the network, and its conductances
are the Laplacian that has them: D. J. Klein and M. Randić, "Resistance distance", Journal of
Mathematical Chemistry 12 (1993). Readings are never exact, so the Laplacian only says which
resistors are felt most. As few of these are taken as agree with every reading, within the accuracy
of the meter.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from operator import attrgetter

import networkx as nx
import numpy as np

from lessonlib.circuit.network import Floats

Pair = tuple[int, int]

_AGREES = 1 + 1e-6
"""The largest difference from a reading, in slacks, of a network that agrees: 1, and rounding."""

_STEPS = 40
"""Steps of a fit, at most."""

_LEAST_FELT = 0.05
"""The least share of the current between its ends that a resistor is thought to take at first."""


@dataclass(frozen=True)
class Readings:
    """Between points 0 to `count` - 1: `ohm` of each pair, and by how much it may be off."""

    count: int
    pairs: tuple[Pair, ...]
    ohm: Floats
    slack: Floats


@dataclass(frozen=True, eq=False)
class Resistors:
    """Resistors between pairs of points. `potential` is that of every point for 1 A into each of
    them, in volts; `worst` is the largest difference from a reading, in slacks."""

    pairs: tuple[Pair, ...]
    ohm: Floats
    potential: Floats
    worst: float = 0.0

    @property
    def agrees(self) -> bool:
        """With every reading, within its slack."""
        return self.worst <= _AGREES

    def between(self, one: int, other: int) -> float:
        """The resistance between two points, in ohms."""
        at = self.potential
        return float(at[one, one] + at[other, other] - 2 * at[one, other])


def fewest_resistors(readings: Readings) -> Resistors:
    """As few resistors as agree with all readings, of points that are all connected.

    Not `agrees` where no network does; it is then the nearest one that was tried.
    """
    read = dict(zip(readings.pairs, readings.ohm.tolist(), strict=True))
    most, least = _bounds(readings.count, read)
    found = _nearest(readings, most | read)
    if not found.agrees:
        found = min(found, _nearest(readings, least | read), key=_worst)
    if not found.agrees:  # then what it should have read says more than what was read
        ohm = {pair: found.between(*pair) for pair in most}
        found = min(found, _nearest(readings, ohm), key=_worst)
    return _without_needless(readings, found) if found.agrees else found


_worst = attrgetter("worst")


def _bounds(count: int, read: Mapping[Pair, float]) -> tuple[dict[Pair, float], dict[Pair, float]]:
    """The most that every pair may read, and about the least, by way of a third point."""
    ways = np.asarray(nx.floyd_warshall_numpy(_weighted(read), nodelist=range(count)))
    gap = np.abs(ways[:, None] - ways)
    own = np.arange(count)
    gap[own, :, own] = gap[:, own, own] = 0.0
    every = list(combinations(range(count), 2))
    apart = gap.max(axis=2).clip(min(read.values()) / 2)  # two points are never one
    most, least = ({pair: float(ohm[pair]) for pair in every} for ohm in (ways, apart))
    return most, least


def _nearest(readings: Readings, ohm: Mapping[Pair, float]) -> Resistors:
    """The fewest resistors, of those that these resistances between all pairs make likely, that
    agree with the readings; else those that come nearest."""
    pairs, conductance = _most_felt_first(readings.count, ohm)
    found = []
    for many in range(readings.count - 1, len(pairs) + 1):
        if _joins_all(readings.count, pairs[:many]):
            found.append(_fitted(readings, pairs[:many], conductance[:many]))
            if found[-1].agrees:
                return found[-1]
    return min(found, key=_worst)


def star(readings: Readings) -> Floats | None:
    """The resistances from each point to one joint that is not among them, in ohms; None where
    that does not agree with the readings."""
    rows = np.zeros((len(readings.pairs), readings.count))
    for row, pair in enumerate(readings.pairs):
        rows[row, list(pair)] = 1
    if np.linalg.matrix_rank(rows) < readings.count:
        return None
    scaled = rows / readings.slack[:, None]
    arms = np.asarray(np.linalg.lstsq(scaled, readings.ohm / readings.slack)[0], float)
    off = np.abs(scaled @ arms - readings.ohm / readings.slack)
    return arms if off.max() <= _AGREES and arms.min() > 0 else None


def _without_needless(readings: Readings, found: Resistors) -> Resistors:
    """`found` in order, without what is not needed: what is felt least goes first."""
    felt = [found.between(*pair) / ohm for pair, ohm in zip(found.pairs, found.ohm, strict=True)]
    for index in np.argsort(felt):
        pairs = (*found.pairs[:index], *found.pairs[index + 1 :])
        if _joins_all(readings.count, pairs):
            less = _fitted(readings, pairs, 1 / np.delete(found.ohm, index))
            if less.agrees:
                return _without_needless(readings, less)
    order = sorted(range(len(found.pairs)), key=lambda index: found.pairs[index])
    pairs = tuple(found.pairs[index] for index in order)
    return replace(found, pairs=pairs, ohm=found.ohm[order])


def _joins_all(count: int, pairs: Sequence[Pair]) -> bool:
    graph = nx.Graph(pairs)
    return len(graph) == count and nx.is_connected(graph)


def _weighted(ohm: Mapping[Pair, float]) -> nx.Graph:
    graph = nx.Graph()
    graph.add_weighted_edges_from((*pair, value) for pair, value in ohm.items())
    return graph


def _most_felt_first(count: int, ohm: Mapping[Pair, float]) -> tuple[tuple[Pair, ...], Floats]:
    """Every pair with the conductance that gives these resistance distances: the shortest ways
    first, then where most of the current between the two ends would flow."""
    distance = np.zeros((count, count))
    for (one, other), value in ohm.items():
        distance[one, other] = distance[other, one] = value
    centred = np.eye(count) - 1 / count
    laplacian = np.linalg.pinv(-centred @ distance @ centred / 2)
    felt = {pair: -float(laplacian[pair]) * value for pair, value in ohm.items()}
    # in a tree of resistors, the shortest ways are the resistors themselves
    tree = {(min(ends), max(ends)) for ends in nx.minimum_spanning_tree(_weighted(ohm)).edges}
    pairs = sorted(ohm, key=lambda pair: (pair not in tree, -felt[pair]))
    return tuple(pairs), np.array([max(felt[pair], _LEAST_FELT) / ohm[pair] for pair in pairs])


def _fitted(readings: Readings, pairs: tuple[Pair, ...], conductance: Floats) -> Resistors:
    """The resistors of these pairs that come nearest to the readings, from a first guess.

    Gauss's steps bring down the squares of what is missed, in slacks; then C. L. Lawson's weights
    bring down the worst of it, where that can be brought down to 1 at all.
    """
    size = np.log(conductance)
    potential, missed, slope = _at(readings, pairs, size)
    for _ in range(_STEPS):
        step = np.clip(np.linalg.lstsq(slope, -missed, rcond=1e-9)[0], -2, 2)
        for part in (1, 0.3, 0.1, 0.03):
            nearer = _at(readings, pairs, size + part * step)
            if nearer[1] @ nearer[1] < (1 - 1e-4) * (missed @ missed):
                break
        else:
            break
        size = size + part * step
        potential, missed, slope = nearer
        if np.abs(missed).max() < 1e-9:
            break
    found = Resistors(pairs, np.exp(-size), potential, float(np.abs(missed).max()))
    weight = np.ones(len(missed))
    for _ in range(_STEPS if missed @ missed <= len(missed) else 0):
        if found.agrees:
            break
        weight *= np.abs(missed)
        weight /= weight.sum()
        root = np.sqrt(weight)
        step = np.linalg.lstsq(root[:, None] * slope, -root * missed, rcond=1e-9)[0]
        size = size + np.clip(step, -2, 2)
        potential, missed, slope = _at(readings, pairs, size)
        if np.abs(missed).max() < found.worst:
            found = Resistors(pairs, np.exp(-size), potential, float(np.abs(missed).max()))
    return found


def _at(readings: Readings, pairs: Sequence[Pair], size: Floats) -> tuple[Floats, Floats, Floats]:
    """With these logarithms of the conductances: the potentials for 1 A into each point, by how
    much each reading is missed, in slacks, and how that changes with each of them."""
    red, black = np.transpose(readings.pairs)
    one, other = np.transpose(pairs)
    conductance = np.exp(size)
    laplacian = np.ones((readings.count, readings.count))  # these fix the mean of the potentials
    for first, second, sign in (
        (one, one, 1),
        (other, other, 1),
        (one, other, -1),
        (other, one, -1),
    ):
        np.add.at(laplacian, (first, second), sign * conductance)
    potential = np.asarray(np.linalg.inv(laplacian), float)
    drop = potential[red] - potential[black]  # (readings, points), for 1 A from red to black
    row = np.arange(len(red))
    missed = (drop[row, red] - drop[row, black] - readings.ohm) / readings.slack
    # dR / d ln g = - g v^2, v across the resistor (Tellegen's theorem)
    slope = -conductance * (drop[:, one] - drop[:, other]) ** 2 / readings.slack[:, None]
    return potential, np.asarray(missed), np.asarray(slope)
