"""Every wiring of a few parts, with no symmetry left out: each way to join the ends of the parts
and the mains for good, with each set of contacts. What a joined network draws comes from the
library's solver, which knows nothing of the search."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations, permutations, product

from lessonlib.appliance.parts import Appliance, Diode, Element, Supply
from lessonlib.circuit.solution import solve

Partition = tuple[int, ...]
"""The group of each terminal, numbered as met: L, N, then both ends of each part."""
Pairs = Sequence[tuple[int, int]]
Key = tuple[tuple[tuple[int, int], ...], ...]


def _partitions(count: int, head: Partition = (0,)) -> Iterator[Partition]:
    if len(head) == count:
        yield head
        return
    for group in range(max(head) + 2):
        yield from _partitions(count, (*head, group))


def _joined(of: Partition, one: int, other: int) -> Partition:
    names: dict[int, int] = {}
    merged = (of[one] if group == of[other] else group for group in of)
    return tuple(names.setdefault(group, len(names)) for group in merged)


class Brute:
    """`wanted` in W, each within 5 %, and 0 for a real off."""

    def __init__(
        self, watts: Sequence[float], diode: bool, wanted: Sequence[float], reversible: bool
    ) -> None:
        self.watts, self.parts = watts, len(watts) + diode
        self.wanted = set(wanted)
        self.turns = reversible
        self._known: dict[tuple[tuple[str, str] | None, ...], frozenset[float]] = {}
        self.bases = [base for base in _partitions(2 + 2 * self.parts) if base[:2] != (0, 0)]
        every = [None, *range(self.parts)]
        self.does = {
            (base, missing): self._does(base, missing)
            for base in _partitions(2 + 2 * self.parts)
            for missing in every
        }

    def _does(self, of: Partition, missing: int | None) -> frozenset[float]:
        """Which of the wanted powers it draws, with one part taken out."""
        if of[0] == of[1]:
            return frozenset()
        names = {of[0]: "L", of[1]: "N"}
        pairs: list[tuple[str, str] | None] = []
        for part, (a, b) in enumerate(ends_of(of)):
            inner = (names.setdefault(a, f"n{len(names)}"), names.setdefault(b, f"n{len(names)}"))
            pairs.append(None if part == missing or a == b else inner)
            if a == b and part != missing and inner[0] in ("L", "N")[: 1 + self.turns]:
                pairs[part] = inner  # bridged, and live
        if tuple(pairs) not in self._known:
            self._known[tuple(pairs)] = self._drawn(pairs)
        return self._known[tuple(pairs)]

    def _drawn(self, pairs: Sequence[tuple[str, str] | None]) -> frozenset[float]:
        parts: list[Element | Diode] = []
        bridged = False
        for part, pair in enumerate(pairs):
            if pair is None or pair[0] == pair[1]:
                bridged |= pair is not None
            elif part < len(self.watts):
                ohm = 230.0**2 / self.watts[part]
                parts.append(Element(f"E{part}", pair, resistance_ohm=ohm))
            else:
                parts.append(Diode("D1", pair))
        power, live = 0.0, bridged
        if parts:
            appliance = Appliance("t", "", Supply(230.0, reversible_plug=self.turns), tuple(parts))
            ways = [
                solve(appliance, reversed_plug=turn) for turn in (False, True)[: 1 + self.turns]
            ]
            if ways[0].power_W is None:
                return frozenset()
            power, live = ways[0].power_W, bridged or any(way.live for way in ways)
        if power < 1e-6:
            return frozenset() if live else frozenset({0.0})
        return frozenset(each for each in self.wanted if abs(power - each) <= 0.05 * each)

    def fits(self, contacts: int) -> set[Key]:
        """All wirings with so many contacts in which no part can be spared."""
        found = set()
        for base in self.bases:
            for pairs in combinations(combinations(range(max(base) + 1), 2), contacts):
                spared = (self._fits(base, pairs, part) for part in range(self.parts))
                if self._fits(base, pairs, None) and not any(spared):
                    found.add(key(ends_of(base), pairs, self.watts))
        return found

    def _fits(self, base: Partition, pairs: Pairs, missing: int | None) -> bool:
        reached = {base}
        for one, other in pairs:
            at = base.index(one), base.index(other)
            reached |= {_joined(now, *at) for now in reached}
        return self.wanted <= frozenset().union(*(self.does[now, missing] for now in reached))


def ends_of(base: Partition) -> tuple[tuple[int, int], ...]:
    """The groups of both ends of each part."""
    return tuple((base[n], base[n + 1]) for n in range(2, len(base), 2))


def key(graph: Pairs, contacts: Pairs, watts: Sequence[float]) -> Key:
    """One name for all wirings that are alike but for names, turned parts and equal elements."""
    found = []
    for order in permutations(range(len(watts))):
        if [watts[n] for n in order] != list(watts):
            continue
        parts = [*(graph[n] for n in order), *graph[len(watts) :]]
        for turned in product((False, True), repeat=len(parts)):
            names = {0: 0, 1: 1}
            ends = [pair[::-1] if turn else pair for pair, turn in zip(parts, turned, strict=True)]
            named = [tuple(names.setdefault(n, len(names)) for n in pair) for pair in ends]
            joins = sorted(tuple(sorted(names[n] for n in pair)) for pair in contacts)
            found.append((tuple(named), tuple(joins)))
    return min(found)  # type: ignore[return-value]
