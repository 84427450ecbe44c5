"""What a few elements and a diode draw, once some of their ends are joined.

This is all the physics that a search needs. The library's own solver has the last word on every
wiring that is proposed. Nodes are numbers: `LINE`, `NEUTRAL`, then the others. A part is the pair
of nodes that it stands between.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import chain, combinations, permutations, product

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
            (name,) = first_name(graph, [range(free)], alike)
            found[tuple(zip(name[2::2], name[3::2], strict=True))] = None
            return
        nodes = [*mains, *range(2, free)]
        for a, b in (*combinations(nodes, 2), *((node, free) for node in nodes), (free, free + 1)):
            grow((*graph, (a, b)), max(free, b + 1))

    grow((), 2)
    return list(found)


def first_name(
    graph: Graph,
    merges: Sequence[Sequence[int]],
    alike: Sequence[Sequence[int]],
    mains: Sequence[Pair] = ((LINE, NEUTRAL),),
) -> tuple[tuple[int, ...], ...]:
    """The first of all names that a graph can have with its nodes merged, in several ways at once.

    Each merge has a label for each node; a name numbers the labels of `mains` and of the ends of
    all parts as they are met. Parts that are `alike` change places, and each is turned.
    """
    names = []
    for ends in mains:
        for order in _orders(alike, len(graph)):
            for turned in product((1, -1), repeat=len(graph)):
                parts = (graph[part][::turn] for part, turn in zip(order, turned, strict=True))
                nodes = [*ends, *chain.from_iterable(parts)]
                names.append(tuple(_numbered([labels[n] for n in nodes]) for labels in merges))
    return min(names)


def _orders(alike: Sequence[Sequence[int]], count: int) -> Iterator[list[int]]:
    """Every order of the parts in which those that are alike have changed places."""
    for places in product(*map(permutations, alike)):
        there = dict(zip(chain(*alike), chain(*places), strict=True))
        yield [there.get(part, part) for part in range(count)]


def _numbered(labels: Sequence[int]) -> tuple[int, ...]:
    names: dict[int, int] = {}
    return tuple(names.setdefault(label, len(names)) for label in labels)
