"""Searches the wirings of one switch, those with the fewest contacts first.

A wiring is a graph of the parts, joined for good, and contacts between its nodes. Closing some of
the contacts merges nodes, and the merged graph draws some power. So a graph with its contacts does
what is wanted where each wanted power is drawn with some of them closed. Any table of contacts and
positions can be bought or made up, so which are closed in which position is free.

Left out is a terminal of the switch that leads to no part. It can save a contact only where four or
more contacts meet in it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, cached_property, partial
from itertools import combinations
from math import comb

from lessonlib.rewiring.network import LINE, NEUTRAL, Drawn, Graph, Pair, graphs

_SHORT = -1
Labels = tuple[int, ...]
"""By node, the lowest node that it is joined to, numbered without gaps."""


@dataclass(frozen=True)
class Found:
    """A graph with contacts, and for each wanted power the numbers of the contacts closed."""

    graph: Graph
    contacts: tuple[Pair, ...]
    closed: tuple[tuple[int, ...], ...]


@dataclass(frozen=True)
class Sought:
    """What is searched for. `watts` are least and most for each wanted power, without "off";
    `apart` are the conductors that "off" has to cut; `alike` are parts of the same kind and size.
    """

    drawn: Drawn
    watts: tuple[tuple[float, float], ...]
    apart: tuple[int, ...]
    alike: tuple[tuple[int, ...], ...]

    @cached_property
    def parts(self) -> int:
        return len(self.drawn.siemens) + self.drawn.diode

    @cached_property
    def graphs(self) -> list[Graph]:
        """Every graph to put contacts into."""
        return graphs(self.parts, self.alike, self.apart)

    def count(self, contacts: int) -> int:
        """How many ways there are to put so many contacts into all graphs."""
        return sum(self.count_in(graph, contacts) for graph in self.graphs)

    def count_in(self, graph: Graph, contacts: int) -> int:
        """How many ways there are to put so many contacts into one graph."""
        return _ways(_size(graph), len(_loose(graph)), contacts)

    def wirings(self, graph: Graph, contacts: int, partly: set[int]) -> Iterator[Found | None]:
        """Every way to put so many contacts into one graph that does what is wanted; None now and
        then, as a sign of life. `partly` gets what each way does of what is wanted, as bits."""
        return _Fitting(self, graph, partly).all(contacts)


def _size(graph: Graph) -> int:
    return max(max(pair) for pair in graph) + 1


def _loose(graph: Graph) -> list[int]:
    """Nodes that need a contact, as fewer than two parts, or no part and the mains, meet there."""
    ends = [node for pair in graph for node in pair]
    mains = [node for node in (LINE, NEUTRAL) if node not in ends]
    return mains + [node for node in range(2, _size(graph)) if ends.count(node) == 1]


def _ways(nodes: int, loose: int, contacts: int) -> int:
    """Sets of contacts that leave no loose node without one, by inclusion and exclusion."""
    return sum(
        (-1) ** missed * comb(loose, missed) * comb(comb(nodes - missed, 2), contacts)
        for missed in range(loose + 1)
    )


class _Merged:
    """Partitions of `size` nodes by number, and where each further join leads, found when asked."""

    def __init__(self, size: int) -> None:
        pairs = [pair for pair in combinations(range(size), 2) if pair != (LINE, NEUTRAL)]
        self.labels: list[Labels] = [tuple(range(size))]
        self._numbers = {self.labels[0]: 0}
        self.then = {pair: cache(partial(self._join, pair)) for pair in pairs}

    def _join(self, pair: Pair, number: int) -> int:
        old = self.labels[number]
        one, other = sorted(old[node] for node in pair)
        names: dict[int, int] = {}
        merged = [one if label == other else label for label in old]
        labels = tuple(names.setdefault(label, len(names)) for label in merged)
        if labels not in self._numbers:
            self._numbers[labels] = len(self.labels)
            self.labels.append(labels)
        return self._numbers[labels]


_partitions = cache(_Merged)


class _Fitting:
    """Puts contacts into one graph."""

    def __init__(self, sought: Sought, graph: Graph, partly: set[int]) -> None:
        self.sought, self.graph, self.partly = sought, graph, partly
        self.merged = _partitions(_size(graph))
        self.full = (1 << len(sought.watts)) - 1
        self.does = cache(self._does)

    def _does(self, number: int) -> int:
        """Which of the wanted powers the graph draws with its nodes merged so, as bits; -1 for a
        short circuit, which no further contact ends."""
        labels = self.merged.labels[number]
        merged = ((labels[a], labels[b]) for a, b in self.graph)
        short = labels[LINE] == labels[NEUTRAL]
        graph = tuple((a, b) if a < b else (b, a) for a, b in merged)
        power = None if short else self.sought.drawn.power_W(graph)
        if power is None:
            return _SHORT
        ranges = enumerate(self.sought.watts)
        return sum(1 << wanted for wanted, (least, most) in ranges if least <= power <= most)

    def all(self, contacts: int) -> Iterator[Found | None]:
        """Each set of so many contacts that does what is wanted."""
        loose = frozenset(_loose(self.graph))
        yield from self._extend((), {0}, self.does(0), loose, list(self.merged.then), contacts)

    def _extend(
        self,
        chosen: tuple[Pair, ...],
        reached: set[int],
        done: int,
        loose: frozenset[int],
        allowed: list[Pair],
        left: int,
    ) -> Iterator[Found | None]:
        """Puts in `left` more contacts; each set of them comes up once. `reached` are the merges
        by all choices of closed contacts so far, and `done` the wanted powers that they draw."""
        does, rest = self.does, list(allowed)
        first = min(loose, default=None)
        for pair in allowed if first is None else [pair for pair in allowed if first in pair]:
            rest.remove(pair)
            still = loose.difference(pair)
            if len(still) > 2 * (left - 1):
                continue
            then, more, new = self.merged.then[pair], done, set()
            for number in reached:
                after = then(number)
                bits = does(after)
                if bits >= 0:
                    new.add(after)
                    more |= bits
            if left > 1:
                yield from self._extend((*chosen, pair), reached | new, more, still, rest, left - 1)
                continue
            self.partly.add(more)
            if more == self.full:
                yield from self._found((*chosen, pair))
        if left > 3:
            yield None

    def _found(self, contacts: tuple[Pair, ...]) -> Iterator[Found]:
        """For each wanted power the fewest contacts closed, if every contact then has work."""
        best: dict[int, tuple[int, ...]] = {}
        numbers = range(len(contacts))
        for count in range(len(contacts) + 1):
            for closed in combinations(numbers, count):
                number = 0
                for contact in closed:
                    number = self.merged.then[contacts[contact]](number)
                for wanted in range(len(self.sought.watts)):
                    if self.does(number) > 0 and self.does(number) >> wanted & 1:
                        best.setdefault(wanted, closed)
        closed_in = [best[wanted] for wanted in range(len(self.sought.watts))]
        works = [sum(contact in closed for closed in closed_in) for contact in numbers]
        always = 0 if self.sought.apart else len(closed_in)
        if all(works) and not (always and always in works):
            yield Found(self.graph, contacts, tuple(closed_in))
