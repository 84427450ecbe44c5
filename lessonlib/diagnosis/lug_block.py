"""The lugs of a block in circuits, each with the fewest elements that agree with its readings."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import combinations

import networkx as nx
import numpy as np

from lessonlib.diagnosis.leak import Leak, leak_of
from lessonlib.diagnosis.lug_network import (
    Readings,
    Resistors,
    fewest_resistors,
    star,
    too_long,
)
from lessonlib.diagnosis.lug_readings import LugReadings
from lessonlib.meter.ohmmeter import ohms
from lessonlib.words import listed

STRAP_OHM = 0.5
"""What reads no more than this is a strap, or the same terminal twice: common practice, no source.
An element of so little would draw 100 kW from the mains."""

LEAST_W = 1.0
"""What would draw less than this between two lugs is no element but a leak."""

INSIDE = "a joint inside"
"""Stands for the end of an element that has no lug."""


@dataclass(frozen=True)
class LugElement:
    """An element, or several that read as one, between two lugs. The power is that of the
    resistance read, which is cold: hot wire has a little more, and draws a little less."""

    between: tuple[str, str]
    resistance_ohm: float
    power_W: float


class Block:
    """The lugs in circuits, each with the fewest elements that agree with the readings."""

    def __init__(self, read: LugReadings, volts: float) -> None:
        self.read = read
        self.volts = volts
        finite = {pair: ohm for pair, ohm in read.among_lugs.items() if ohm is not None}
        straps = nx.Graph([pair for pair, ohm in finite.items() if ohm <= STRAP_OHM])
        straps.add_nodes_from(read.lugs)
        self.straps = [tuple(read.in_order(lugs)) for lugs in nx.connected_components(straps)]
        self.straps.sort(key=lambda strap: read.lugs.index(strap[0]))
        self.point = {lug: strap[0] for strap in self.straps for lug in strap}
        paths = nx.Graph([(self.point[one], self.point[other]) for one, other in finite])
        paths.add_nodes_from(strap[0] for strap in self.straps)
        self.circuits = [read.in_order(points) for points in nx.connected_components(paths)]
        self.circuits.sort(key=lambda circuit: read.lugs.index(circuit[0]))
        self.contradiction = self._open_inside()
        self.resistors: list[Resistors] = []
        self.elements: list[LugElement] = []
        self.doubts: list[str] = []
        self.leaks: list[Leak] = []
        for circuit in self.circuits:
            if not self.contradiction:
                self._solve(circuit)

    def _circuit_of(self, lug: str) -> int:
        return next(n for n, points in enumerate(self.circuits) if self.point[lug] in points)

    def _open_inside(self) -> str:
        for (one, other), ohm in self.read.among_lugs.items():
            if ohm is None and self._circuit_of(one) == self._circuit_of(other):
                return (
                    f"{one}–{other} reads open, yet the other readings lead from {one} to {other}."
                )
        return ""

    def _solve(self, circuit: list[str]) -> None:
        pairs, ohm, slack = [], [], []
        for (one, other), value in self.read.among_lugs.items():
            if value is None or self.point[one] not in circuit:
                continue
            ends = sorted(circuit.index(self.point[lug]) for lug in (one, other))
            if ends[0] != ends[1]:
                pairs.append((ends[0], ends[1]))
                ohm.append(value)
                slack.append(self.read.slack_of(value))
        if not pairs:
            self.resistors.append(Resistors(len(circuit), (), np.zeros(0)))
        else:
            readings = Readings(len(circuit), tuple(pairs), np.array(ohm), np.array(slack))
            self.contradiction = _too_long(circuit, readings)
            if self.contradiction:
                return
            found = fewest_resistors(readings)
            self.resistors.append(found)
            if not found.agrees:
                self.contradiction = (
                    f"No elements between {listed(circuit)} give all of these readings."
                )
                return
            self._name(circuit, readings, found)
        self._find_leak(circuit)

    def _name(self, circuit: list[str], readings: Readings, found: Resistors) -> None:
        """The elements of one circuit, with what else the readings could mean."""
        count = len(circuit)
        in_ring = count >= 3 and len(found.pairs) == count * (count - 1) // 2
        arms = star(readings) if in_ring else None
        if arms is not None and count > 3:
            self._add([(lug, INSIDE) for lug in circuit], arms)
            return
        names = [(circuit[one], circuit[other]) for one, other in found.pairs]
        self._add(names, found.ohm)
        if arms is not None:
            said = listed(
                [f"{ohms(float(arm))} to {lug}" for lug, arm in zip(circuit, arms, strict=True)]
            )
            self.doubts.append(
                f"{listed(circuit)} are a ring of three, or three elements from {INSIDE}: {said}. "
                "No reading at the lugs tells which."
            )

    def _add(self, between: list[tuple[str, str]], values: Iterable[float]) -> None:
        for pair, ohm in zip(between, values, strict=True):
            power_W = self.volts**2 / float(ohm)
            if power_W >= LEAST_W:
                self.elements.append(LugElement(pair, float(ohm), power_W))
            else:
                self.doubts.append(
                    f"{pair[0]}–{pair[1]}: {ohms(float(ohm))} is too much for an element. Damp, "
                    "carbon or the case lets a little current through there."
                )

    def _find_leak(self, circuit: list[str]) -> None:
        at = {
            circuit.index(self.point[lug]): ohm
            for lug, ohm in self.read.to_case.items()
            if self.point[lug] in circuit
        }
        if not any(ohm is not None for ohm in at.values()):
            return
        known = {point: ohm for point, ohm in at.items() if ohm is not None}
        if len(known) < len(at):
            open_lug = next(circuit[point] for point, ohm in at.items() if ohm is None)
            leaking = next(circuit[point] for point in known)
            self.contradiction = (
                f"{open_lug} reads open to the case, yet {leaking}, which it leads to, does not."
            )
            return
        slack = {point: self.read.slack_of(ohm) for point, ohm in known.items()}
        leak = leak_of(circuit, self.resistors[-1], known, slack)
        if leak is None:
            self.contradiction = (
                f"The readings from {listed(circuit)} to the case do not fit one leak."
            )
        else:
            self.leaks.append(leak)

    def expected(self, pair: tuple[str, str]) -> float | None:
        """What a pair should read: None for open, or for the case where nothing leaks."""
        one, other = pair
        if self.read.case in pair:
            lug = other if one == self.read.case else one
            leaks = [leak for leak in self.leaks if self.point.get(lug, lug) in leak.lugs]
            return leaks[0].ohm if leaks else None
        if not {one, other} <= set(self.point):
            return None
        circuit = self._circuit_of(one)
        if circuit != self._circuit_of(other):
            return None
        ends = [self.circuits[circuit].index(self.point[lug]) for lug in pair]
        return self.resistors[circuit].between(*ends) if ends[0] != ends[1] else 0.0

    def to_measure(self) -> Iterable[tuple[tuple[str, str], float | None]]:
        points = [strap[0] for strap in self.straps]
        read = {frozenset(self.point[lug] for lug in pair) for pair in self.read.among_lugs}
        asked: set[frozenset[int]] = set()
        for pair in combinations(points, 2):
            if frozenset(pair) in read:
                continue
            parted = frozenset(self._circuit_of(lug) for lug in pair)
            if len(parted) == 2 and (parted in asked or self._parted(parted)):
                continue
            asked.add(parted)
            yield pair, self.expected(pair)

    def _parted(self, circuits: frozenset[int]) -> bool:
        """Whether some reading between the two circuits is open."""
        return any(
            frozenset(self._circuit_of(lug) for lug in pair) == circuits
            for pair in self.read.among_lugs
        )


def _too_long(circuit: list[str], readings: Readings) -> str:
    """What three readings say that cannot be true together, in words; empty if they can."""
    found = too_long(readings)
    if found is None:
        return ""
    longest, one, other = ("–".join(circuit[point] for point in side) for side in found)
    ohm = [float(readings.ohm[readings.pairs.index(side)]) for side in found]
    return (
        f"{longest} reads {ohms(ohm[0])}, more than {one} and {other} together "
        f"({ohms(ohm[1] + ohm[2])}). By way of the third lug it can never be more."
    )
