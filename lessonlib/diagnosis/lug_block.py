"""The lugs of a block in circuits, each with the fewest elements that agree with its readings."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, product

import networkx as nx
import numpy as np

from lessonlib.diagnosis.leak import Leak, leak_of
from lessonlib.diagnosis.lug_network import Readings, Resistors, fewest_resistors, star
from lessonlib.diagnosis.lug_readings import CASE, LugReadings, Pair, slack_of
from lessonlib.meter.ohmmeter import ohms
from lessonlib.words import listed

STRAP_OHM = 0.5
"""What reads no more than this is a strap, or the same terminal twice: common practice, no source.
An element of so little would draw 100 kW from the mains."""

LEAST_W = 1.0
"""What would draw less than this between two lugs is no element but a leak."""

INSIDE = "a joint inside"
"""Stands for the end of an element that has no lug."""


class Contradiction(Exception):
    """Why not all readings can be true."""


@dataclass(frozen=True)
class LugElement:
    """An element, or several that read as one, between two lugs. The power is that of the
    resistance read, which is cold: hot wire has a little more, and draws a little less."""

    between: tuple[str, str]
    resistance_ohm: float
    power_W: float


class Block:
    """The lugs in circuits, each with the fewest elements that agree with the readings. Raises
    `Contradiction` where they cannot all be true."""

    def __init__(self, read: LugReadings, volts: float) -> None:
        self.read = read
        self.volts = volts
        if read.differing:
            pairs = listed(["–".join(pair) for pair in read.differing])
            raise Contradiction(
                f"The two readings of {pairs} differ: turned round, the leads must read the same. "
                "Measure again, and press the tips on bare metal."
            )
        finite = {pair: ohm for pair, ohm in read.among_lugs.items() if ohm is not None}
        self.straps = _joined(read.lugs, (pair for pair, ohm in finite.items() if ohm <= STRAP_OHM))
        self.point = {lug: strap[0] for strap in self.straps for lug in strap}
        points = [strap[0] for strap in self.straps]
        self.circuits = _joined(points, ((self.point[a], self.point[b]) for a, b in finite))
        for (one, other), ohm in read.among_lugs.items():
            if ohm is None and self._circuit_of(one) == self._circuit_of(other):
                raise Contradiction(
                    f"{one}–{other} reads open, yet the other readings lead from {one} to {other}."
                )
        self.resistors: dict[tuple[str, ...], Resistors] = {}
        self.elements: list[LugElement] = []
        self.doubts: list[str] = []
        self.leaks: list[Leak] = []
        for circuit in self.circuits:
            self._find_elements(circuit)
            self._find_leak(circuit)

    def _circuit_of(self, lug: str) -> tuple[str, ...]:
        return next(points for points in self.circuits if self.point[lug] in points)

    def _find_elements(self, circuit: tuple[str, ...]) -> None:
        """The elements of one circuit, with what else the readings could mean."""
        if len(circuit) == 1:
            self.resistors[circuit] = Resistors((), np.zeros(0), np.zeros((1, 1)))
            return
        pairs, ohm = [], []
        for pair, value in self.read.among_lugs.items():
            ends = self._in_order(circuit, pair)
            if value is not None and len(ends) == 2:
                pairs.append((circuit.index(ends[0]), circuit.index(ends[1])))
                ohm.append(value)
        _check_ways_round(circuit, dict(zip(pairs, ohm, strict=True)))
        slack = np.array([slack_of(value) for value in ohm])
        readings = Readings(len(circuit), tuple(pairs), np.array(ohm), slack)
        found = self.resistors[circuit] = fewest_resistors(readings)
        if not found.agrees:
            said = listed(circuit)
            raise Contradiction(f"No elements between {said} give all of these readings.")
        count = len(circuit)
        arms = star(readings) if len(found.pairs) == count * (count - 1) // 2 >= count else None
        if arms is not None and count > 3:
            self._add([(lug, INSIDE) for lug in circuit], arms)
            return
        self._add([(circuit[one], circuit[other]) for one, other in found.pairs], found.ohm)
        if arms is not None:
            each = zip(circuit, arms.tolist(), strict=True)
            said = listed([f"{ohms(arm)} to {lug}" for lug, arm in each])
            self.doubts.append(
                f"{listed(circuit)} are a ring of three, or three elements from {INSIDE}: {said}. "
                "No reading at the lugs tells which."
            )

    def _in_order(self, circuit: tuple[str, ...], pair: Pair) -> list[str]:
        """The points of a circuit that a pair was read between, in its order."""
        ends = {self.point[lug] for lug in pair}
        return [point for point in circuit if point in ends]

    def _add(self, between: Sequence[Pair], values: Iterable[float]) -> None:
        for pair, ohm in zip(between, values, strict=True):
            power_W = self.volts**2 / float(ohm)
            if power_W >= LEAST_W:
                self.elements.append(LugElement(pair, float(ohm), power_W))
            else:
                self.doubts.append(
                    f"{pair[0]}–{pair[1]}: {ohms(float(ohm))} is too much for an element. Damp, "
                    "carbon or the case lets a little current through there."
                )

    def _find_leak(self, circuit: tuple[str, ...]) -> None:
        read = {self.point[lug]: ohm for lug, ohm in self.read.to_case.items()}
        here = {point: read[point] for point in circuit if point in read}
        leaking = {circuit.index(point): ohm for point, ohm in here.items() if ohm is not None}
        if not leaking:
            return
        for point, ohm in here.items():
            if ohm is None:
                raise Contradiction(
                    f"{point} reads open to the case, yet {circuit[min(leaking)]}, which it leads "
                    "to, does not."
                )
        leak = leak_of(circuit, self.resistors[circuit], leaking)
        if leak is None:
            raise Contradiction(
                f"The readings from {listed(circuit)} to the case do not fit one leak."
            )
        self.leaks.append(leak)

    def expected(self, pair: Pair) -> float | None:
        """What a pair should read: None for open, or for the case where nothing leaks."""
        if CASE in pair:
            [lug] = set(pair) - {CASE}
            return next((leak.ohm for leak in self.leaks if self.point[lug] in leak.lugs), None)
        circuit = self._circuit_of(pair[0])
        ends = self._in_order(circuit, pair)
        if len(ends) == 2:
            return self.resistors[circuit].between(*map(circuit.index, ends))
        return 0.0 if self.point[pair[0]] == self.point[pair[1]] else None

    def to_measure(self) -> Iterator[tuple[Pair, float | None]]:
        """The pairs not read that would tell more, with what they read if nothing else is there."""
        read = {frozenset(self.point[lug] for lug in pair) for pair in self.read.among_lugs}
        for circuit in self.circuits:
            for pair in combinations(circuit, 2):
                if frozenset(pair) not in read:
                    yield pair, self.expected(pair)
        for one, other in combinations(self.circuits, 2):
            if read.isdisjoint(map(frozenset, product(one, other))):
                yield (one[0], other[0]), None


def _joined(names: Sequence[str], pairs: Iterable[Pair]) -> list[tuple[str, ...]]:
    """The names that lead to each other, in their order."""
    graph = nx.Graph()
    graph.add_nodes_from(names)
    graph.add_edges_from(pairs)
    return [tuple(sorted(some, key=names.index)) for some in nx.connected_components(graph)]


def _check_ways_round(circuit: Sequence[str], ohm: dict[tuple[int, int], float]) -> None:
    """Raises `Contradiction` where a pair reads more than two others that lead from one of its
    points to the other: no resistors do that."""
    for three in combinations(range(len(circuit)), 3):
        sides = [side for side in combinations(three, 2) if side in ohm]
        if len(sides) < 3:
            continue
        long = max(sides, key=lambda side: ohm[side])
        short = [side for side in sides if side != long]
        together = sum(ohm[side] for side in short)
        if ohm[long] - together > sum(slack_of(ohm[side]) for side in sides):
            longest, one, other = ("–".join(circuit[at] for at in side) for side in (long, *short))
            raise Contradiction(
                f"{longest} reads {ohms(ohm[long])}, more than {one} and {other} together "
                f"({ohms(together)}). By way of the third lug it can never be more."
            )
