"""What a few elements and a diode draw, once some of their ends are joined.

This is all the physics that a search needs. The library's own solver has the last word on every
wiring that is proposed. Nodes are numbers: `LINE`, `NEUTRAL`, then the others. A part is the pair
of nodes that it stands between.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from itertools import combinations, permutations, product

LINE, NEUTRAL = 0, 1
Pair = tuple[int, int]
Graph = tuple[Pair, ...]
"""One pair of nodes for each part: elements first, then the diode, if there is one."""


class Drawn:
    """The mean power of graphs of the same parts, remembered.

    The diode counts as ideal, so over one half of the cycle it is a join and over the other a gap,
    whichever way round it is: the mean is half of each.
    """

    def __init__(self, ohms: Sequence[float], volts: float, diode: bool) -> None:
        self.siemens = [1 / ohm for ohm in ohms]
        self.square = volts * volts
        self.diode = diode
        self._known: dict[Graph, float | None] = {}

    def power_W(self, graph: Graph) -> float | None:
        """Mean power from the mains, W; None for a short circuit."""
        if graph not in self._known:
            self._known[graph] = self._power(graph)
        return self._known[graph]

    def _power(self, graph: Graph) -> float | None:
        count = len(self.siemens)
        elements = graph[:count]
        if not self.diode:
            return self.square * self._conductance(elements)
        first, second = sorted(graph[count])
        if (first, second) == (LINE, NEUTRAL):
            return None
        joined = tuple(
            (first if a == second else a, first if b == second else b) for a, b in elements
        )
        both = self._conductance(elements) + self._conductance(joined)
        return self.square * both / 2

    def _conductance(self, pairs: Sequence[Pair]) -> float:
        """Between line and neutral, S: every other node is replaced by joins of its neighbours."""
        joins: dict[int, dict[int, float]] = defaultdict(lambda: defaultdict(float))
        for (a, b), siemens in zip(pairs, self.siemens, strict=True):
            if a != b:
                joins[a][b] += siemens
                joins[b][a] += siemens
        for node in [each for each in joins if each not in (LINE, NEUTRAL)]:
            rays = joins.pop(node)
            whole = sum(rays.values())
            for a, b in combinations(rays, 2):
                joins[a][b] += rays[a] * rays[b] / whole
                joins[b][a] = joins[a][b]
            for a in rays:
                del joins[a][node]
        return joins[LINE][NEUTRAL]


def graphs(count: int, alike: Sequence[Sequence[int]], apart: Sequence[int] = ()) -> list[Graph]:
    """Every way to join the ends of `count` parts for good, to each other and to the mains, that is
    no mere renaming of another: parts that are `alike` can change places, and each can be turned.

    `apart` are those of line and neutral to which no part may be joined for good. No part has both
    its ends on one node.
    """
    found: dict[Graph, None] = {}
    mains = [node for node in (LINE, NEUTRAL) if node not in apart]

    def grow(graph: Graph, free: int) -> None:
        if len(graph) == count:
            found[canonical(graph, alike)] = None
            return
        nodes = [*mains, *range(2, free)]
        for a, b in (*combinations(nodes, 2), *((node, free) for node in nodes), (free, free + 1)):
            grow((*graph, (a, b)), max(free, b + 1))

    grow((), 2)
    return list(found)


def canonical(graph: Graph, alike: Sequence[Sequence[int]]) -> Graph:
    """The first of all names that the same wiring can have."""
    return min(_renamed([graph[part] for part in order]) for order in orders(alike, graph))


def orders(alike: Sequence[Sequence[int]], of: Sequence[object]) -> list[list[int]]:
    """Every order of the parts in which those that are alike have changed places."""
    own = list(range(len(of)))
    found = []
    for places in product(*(permutations(group) for group in alike)):
        order = list(own)
        for group, places_of in zip(alike, places, strict=True):
            for place, part in zip(group, places_of, strict=True):
                order[place] = part
        found.append(order)
    return found


def _renamed(graph: Sequence[Pair]) -> Graph:
    """The graph with its nodes numbered as they are met, each part turned for the first result."""
    best: Graph | None = None
    for turned in product((False, True), repeat=len(graph)):
        names = {LINE: LINE, NEUTRAL: NEUTRAL}
        named = []
        for (a, b), turn in zip(graph, turned, strict=True):
            ends = (b, a) if turn else (a, b)
            for node in ends:
                names.setdefault(node, len(names))
            named.append((names[ends[0]], names[ends[1]]))
        if best is None or tuple(named) < best:
            best = tuple(named)
    assert best is not None
    return best
