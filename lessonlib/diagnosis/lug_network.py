"""Which resistors between some points give the resistances that were read between them.

With every pair read, the readings are the resistance distances of the network, and its conductances
are the Laplacian that has them: D. J. Klein and M. Randić, "Resistance distance", Journal of
Mathematical Chemistry 12 (1993). Readings are never exact, so what the Laplacian gives is only the
start: from there the fewest resistors are looked for that agree with every reading, within the
accuracy of the meter.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations
from operator import attrgetter

import networkx as nx
import numpy as np

from lessonlib.circuit.network import Floats

Pair = tuple[int, int]

_AGREES = 1 + 1e-6
"""The largest residual, in slacks, of a network that agrees: 1, and rounding."""

_STEPS = 20
"""Steps of a fit, at most: the first bring the squares down, the others the worst reading."""

_LAWSON = 100
"""Weights tried for the least worst fit of a step."""

_FELT = (0.5, 0.2, 0.1, 0.05, 0.01, 0.0)
"""A resistor that takes a smaller share of the current between its own ends is left out at first:
the fewer there are to fit, the surer the fit."""

_GAIN = 0.98
"""A resistor more must bring the readings closer by this factor, or none is added."""

_UNFELT = 1e-3
"""A resistor that takes less than this share of the current between its ends is hardly felt."""

_FIRST_SHARE = 0.2
"""The share of the current between its ends that a resistor more is thought to take at first."""

_UNSEEN = 1e-9
"""A conductance of less than this part of the largest is rounding."""


@dataclass(frozen=True)
class Readings:
    """Between points 0 to `count` - 1: `ohm` of each pair, and by how much it may be off."""

    count: int
    pairs: tuple[Pair, ...]
    ohm: Floats
    slack: Floats


@dataclass(frozen=True)
class Resistors:
    """Resistors between pairs of points. `worst` is the largest difference from a reading, in
    slacks."""

    count: int
    pairs: tuple[Pair, ...]
    ohm: Floats
    worst: float = 0.0

    @property
    def agrees(self) -> bool:
        """With every reading, within its slack."""
        return self.worst <= _AGREES

    def between(self, one: int, other: int) -> float:
        """The resistance between two points, in ohms."""
        inverse = self.inverse
        return float(inverse[one, one] + inverse[other, other] - 2 * inverse[one, other])

    @cached_property
    def inverse(self) -> Floats:
        """The pseudo-inverse of the Laplacian, in ohms: the potentials of 1 A."""
        return _inverse(self.count, self.pairs, 1 / self.ohm)

    def share(self, index: int) -> float:
        """Of the current between its own ends, how much a resistor takes: 0 to 1."""
        return self.between(*self.pairs[index]) / float(self.ohm[index])


def too_long(readings: Readings) -> tuple[Pair, Pair, Pair] | None:
    """A pair that reads more than two others that lead from one of its points to the other: no
    resistors do that. That pair first, then the two others."""
    ohm = dict(zip(readings.pairs, readings.ohm, strict=True))
    slack = dict(zip(readings.pairs, readings.slack, strict=True))
    for three in combinations(range(readings.count), 3):
        sides = [pair for pair in combinations(three, 2) if pair in ohm]
        if len(sides) == 3:
            longest = max(sides, key=lambda side: ohm[side])
            one, other = (side for side in sides if side != longest)
            over = ohm[longest] - ohm[one] - ohm[other]
            if over > slack[longest] + slack[one] + slack[other]:
                return longest, one, other
    return None


def fewest_resistors(readings: Readings) -> Resistors:
    """As few resistors as agree with all readings, of points that are all connected.

    Not `agrees` where no network does; it is then the nearest one.
    """
    found = _first(readings)
    while found.agrees:
        fewer = next((less for less in _one_less(readings, found) if less.agrees), None)
        if fewer is None:
            break
        found = fewer
    order = sorted(range(len(found.pairs)), key=lambda index: found.pairs[index])
    pairs = tuple(found.pairs[index] for index in order)
    return replace(found, pairs=pairs, ohm=found.ohm[order])


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


def _first(readings: Readings) -> Resistors:
    """A network that agrees, if there is one; it may have resistors that are not needed."""
    pairs, conductance, felt = _start(readings)
    tried = [_tree(readings)]
    for least in _FELT:
        if tried[-1].agrees:
            return tried[-1]
        kept = [index for index, share in enumerate(felt) if share >= least]
        chosen = tuple(pairs[index] for index in kept)
        if _joins_all(readings.count, chosen):
            tried.append(_fitted(readings, chosen, conductance[kept]))
    found = _pruned(readings, min(tried, key=_worst))
    for _ in range(readings.count):
        if found.agrees:
            break
        better = min(_one_more(readings, found), key=_worst, default=found)
        if better.worst > _GAIN * found.worst:
            break
        found = _pruned(readings, better)
    return found


def _pruned(readings: Readings, found: Resistors) -> Resistors:
    """Without the resistors that are hardly felt: they keep a fit from settling."""
    kept = [at for at, pair in enumerate(found.pairs) if found.share(at) > _UNFELT]
    pairs = tuple(found.pairs[at] for at in kept)
    if len(kept) == len(found.pairs) or not _joins_all(readings.count, pairs):
        return found
    return _fitted(readings, pairs, 1 / found.ohm[kept])


_worst = attrgetter("worst")


def _read_ways(readings: Readings) -> nx.Graph:
    graph = nx.Graph()
    for (one, other), ohm in zip(readings.pairs, readings.ohm, strict=True):
        graph.add_edge(one, other, weight=ohm)
    return graph


def _tree(readings: Readings) -> Resistors:
    """A tree: in one of resistors, the shortest ways are the resistors themselves."""
    tree = list(nx.minimum_spanning_edges(_read_ways(readings)))
    pairs = tuple((min(a, b), max(a, b)) for a, b, _ in tree)
    return _fitted(readings, pairs, np.array([1 / way["weight"] for *_, way in tree]))


def _one_more(readings: Readings, found: Resistors) -> list[Resistors]:
    """The networks with one resistor more, between any two points."""
    more = []
    for pair in combinations(range(readings.count), 2):
        if pair not in found.pairs:
            guess = _FIRST_SHARE / found.between(*pair)
            more.append(_fitted(readings, (*found.pairs, pair), np.append(1 / found.ohm, guess)))
    return more


def _joins_all(count: int, pairs: Sequence[Pair]) -> bool:
    graph = nx.Graph(pairs)
    return len(graph) == count and nx.is_connected(graph)


def _start(readings: Readings) -> tuple[tuple[Pair, ...], Floats, Floats]:
    """The network whose resistance distances are the readings, and the share of the current
    between its ends that each resistor takes. For readings that were not taken stands the shortest
    way round."""
    ways = _read_ways(readings)
    ohm = np.asarray(nx.floyd_warshall_numpy(ways, nodelist=range(readings.count)))
    for (one, other), read in zip(readings.pairs, readings.ohm, strict=True):
        ohm[one, other] = ohm[other, one] = read
    centred = np.eye(readings.count) - 1 / readings.count
    laplacian = np.linalg.pinv(-centred @ ohm @ centred / 2)
    rows, columns = np.triu_indices(readings.count, 1)
    conductance = -laplacian[rows, columns]
    kept = conductance > _UNSEEN * conductance.max()
    pairs = tuple((int(a), int(b)) for a, b in zip(rows[kept], columns[kept], strict=True))
    if not _joins_all(readings.count, pairs):  # of readings that cannot be true together
        return readings.pairs, 1 / readings.ohm, np.ones(len(readings.pairs))
    return pairs, conductance[kept], conductance[kept] * ohm[rows[kept], columns[kept]]


def _inverse(count: int, pairs: Sequence[Pair], conductance: Floats) -> Floats:
    laplacian = np.zeros((count, count))
    one, other = np.transpose(pairs)
    np.add.at(laplacian, (one, other), -conductance)
    np.add.at(laplacian, (other, one), -conductance)
    laplacian -= np.diag(laplacian.sum(axis=1))
    return np.asarray(np.linalg.pinv(laplacian, hermitian=True))


def _fitted(readings: Readings, pairs: tuple[Pair, ...], conductance: Floats) -> Resistors:
    """The resistors of these pairs that come nearest to the readings, from a first guess."""
    fit = _Fit(readings, pairs, np.log(conductance))
    for _ in range(_STEPS):
        step = np.asarray(np.linalg.lstsq(fit.slope, -fit.missed, rcond=1e-9)[0], float)
        if _largest(fit.missed) < 1e-9 or not fit.improve(step, _squares):
            break
    if _squares(fit.missed) <= len(fit.missed):  # else no fit can bring all of them down to 1
        for _ in range(_STEPS):
            if _largest(fit.missed) <= 1 or not fit.improve(_least_worst(fit), _largest):
                break
    return Resistors(readings.count, pairs, np.exp(-fit.size), _largest(fit.missed))


class _Fit:
    """Resistors while they are fitted. `size` are the logarithms of their conductances, `missed` by
    how much each reading is missed, in slacks, and `slope` how that changes with each size."""

    def __init__(self, readings: Readings, pairs: tuple[Pair, ...], size: Floats) -> None:
        self.readings = readings
        self.pairs = pairs
        self.size = size
        self.missed, self.slope = self.at(size)

    def at(self, size: Floats) -> tuple[Floats, Floats]:
        """`missed` and `slope` for these sizes."""
        red, black = np.transpose(self.readings.pairs)
        one, other = np.transpose(self.pairs)
        inverse = _inverse(self.readings.count, self.pairs, np.exp(size))
        potential = inverse[red] - inverse[black]  # (readings, points), for 1 A from red to black
        row = np.arange(len(red))
        missed = potential[row, red] - potential[row, black] - self.readings.ohm
        # dR / d ln g = - g v^2, v across the resistor (Tellegen's theorem)
        slope = -np.exp(size) * (potential[:, one] - potential[:, other]) ** 2
        return missed / self.readings.slack, slope / self.readings.slack[:, None]

    def improve(self, step: Floats, measure: Callable[[Floats], float]) -> bool:
        """Go the step, or a part of it, if that makes the measure smaller."""
        for part in (1, 0.3, 0.1, 0.03):
            size = self.size + part * np.clip(step, -2, 2)
            missed, slope = self.at(size)
            if measure(missed) < measure(self.missed) * (1 - 1e-4):
                self.size, self.missed, self.slope = size, missed, slope
                return True
        return False


def _largest(missed: Floats) -> float:
    return float(np.abs(missed).max())


def _squares(missed: Floats) -> float:
    return float(missed @ missed)


def _least_worst(fit: _Fit) -> Floats:
    """The step after which the largest of what is missed is least, by C. L. Lawson's weights."""
    missed, slope = fit.missed, fit.slope
    weight = np.full(len(missed), 1 / len(missed))
    best, least = np.zeros(slope.shape[1]), np.inf
    for _ in range(_LAWSON):
        root = np.sqrt(weight)
        step = np.linalg.lstsq(root[:, None] * slope, -root * missed, rcond=1e-9)[0]
        left = np.abs(missed + slope @ step)
        if left.max() < least:
            best, least = step, float(left.max())
        weight = weight * left
        if not weight.sum() > 0:  # what is left is where nothing can be done about it
            break
        weight /= weight.sum()
    return best


def _one_less(readings: Readings, found: Resistors) -> Iterator[Resistors]:
    """The networks without one of the resistors, the one that is felt least first."""
    for index in sorted(range(len(found.pairs)), key=found.share):
        pairs = (*found.pairs[:index], *found.pairs[index + 1 :])
        if pairs and _joins_all(readings.count, pairs):
            yield _fitted(readings, pairs, np.delete(1 / found.ohm, index))
