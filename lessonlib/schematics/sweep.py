"""Orders the rungs from top to bottom, column by column, without crossings where possible.

A vertical line swept from left to right cuts the rungs that are open there, in order from top to
bottom. At a bar the rungs that end must be neighbours, or the rungs between them cross the bar;
they are replaced by the rungs that start there. Only the order in which a bar's rungs start is
free: first a search tries the preferred orders; then a planar embedding gives them; where there is
none, the fewest crossings are looked for.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations, islice, permutations

import networkx as nx

from lessonlib.schematics.order import BarOrder, Block
from lessonlib.schematics.rungs import Rung

_SEARCH_STEPS = 3000
"""Orders tried by the search before the embedding is asked: some ten milliseconds."""

_REPAIR_STEPS = 20_000
"""Bars placed while looking for fewer crossings in a circuit that must have some."""

Starts = Mapping[str, Sequence[int]]


@dataclass(frozen=True)
class Sweep:
    """Rungs that start at each bar, top to bottom, and those that end there, in any order; the bars
    from left to right.

    Rungs numbered from `drawn` up are not drawn: they lead from L to bars that have nothing else to
    their left.
    """

    starts: Starts
    ends: Mapping[str, Sequence[int]]
    drawn: int

    def lines(self) -> Iterator[tuple[str, list[int], list[int]]]:
        """Every bar that has rungs, with the line just left and just right of it."""
        line: list[int] = []
        for bar, starts in self.starts.items():
            before = line
            line, _ = step(before, self.ends[bar], starts, self.drawn)
            yield bar, before, line

    def visible(self, rungs: Iterable[int]) -> list[int]:
        """Those of `rungs` that are drawn."""
        return [rung for rung in rungs if rung < self.drawn]

    @cached_property
    def crossings(self) -> int:
        """How many times a rung crosses a foreign bar."""
        line: list[int] = []
        total = 0
        for bar, starts in self.starts.items():
            line, crossed = step(line, self.ends[bar], starts, self.drawn)
            total += crossed
        return total


def sweep(order: BarOrder, rungs: Sequence[Rung]) -> Sweep:
    """Order the rungs of every bar so that as few as possible cross a bar, none where possible."""
    starts: dict[str, list[int]] = {bar: [] for bar in order.bars}
    ends: dict[str, list[int]] = {bar: [] for bar in order.bars}
    for rung in sorted(rungs, key=lambda rung: rung.rank):
        starts[order.left[rung.index]].append(rung.index)
        ends[order.right[rung.index]].append(rung.index)
    for number, bar in enumerate(order.sources, len(rungs)):
        starts["L"].append(number)
        ends[bar].append(number)
    preferred = Sweep(starts, ends, len(rungs))
    found = _search(preferred)
    if found is not None:
        return replace(preferred, starts=found)
    embedded = _embedded(order, rungs, preferred)
    return _repaired(preferred if embedded is None else replace(preferred, starts=embedded))


def step(
    line: list[int], ends: Sequence[int], starts: Sequence[int], drawn: int
) -> tuple[list[int], int]:
    """The line just right of a bar, and how many rungs cross that bar."""
    if not ends:
        return [*starts, *line], 0
    ending = set(ends)
    places = [place for place, rung in enumerate(line) if rung in ending]
    first, last = places[0], places[-1]
    if last - first + 1 == len(places):
        return [*line[:first], *starts, *line[last + 1 :]], 0
    between = [rung for rung in line[first : last + 1] if rung not in ending]
    # rungs that cross go above or below what starts, whichever leaves them where most of them are
    middle = places[len(places) // 2]
    above = [rung for rung in line[first:middle] if rung not in ending]
    below = [rung for rung in line[middle : last + 1] if rung not in ending]
    crossed = sum(rung < drawn for rung in between)
    return [*line[:first], *above, *starts, *below, *line[last + 1 :]], crossed


def _search(preferred: Sweep) -> Starts | None:
    """Depth first over the orders in which rungs start, preferred ones first; None if given up."""
    bars, steps = list(preferred.starts), 0

    def place(depth: int, line: list[int]) -> list[Sequence[int]] | None:
        nonlocal steps
        if depth == len(bars):
            return []
        starts, ends = preferred.starts[bars[depth]], preferred.ends[bars[depth]]
        if are_neighbours(line, ends):
            for chosen in permutations(starts):
                steps += 1
                if steps > _SEARCH_STEPS:
                    return None
                after, _ = step(line, ends, chosen, preferred.drawn)
                others = place(depth + 1, after)
                if others is not None:
                    return [chosen, *others]
        return None

    found = place(0, [])
    return None if found is None else dict(zip(bars, found, strict=True))


def are_neighbours(line: list[int], ends: Sequence[int]) -> bool:
    """Whether no other rung of the line is between those that end."""
    places = [line.index(rung) for rung in ends]
    return not places or max(places) - min(places) + 1 == len(places)


def _repaired(given: Sweep) -> Sweep:
    """The fewest crossings found from there and from some orders drawn at random."""
    rng = random.Random(1986)  # any fixed seed: the same circuit must give the same drawing
    best, left = given, _REPAIR_STEPS // len(given.starts)
    now = given
    while left > 0 and best.crossings:
        before = now.crossings
        for bar, rows in now.starts.items():
            for i, j in islice(combinations(range(len(rows)), 2), left):
                turned = list(now.starts[bar])
                turned[i], turned[j] = turned[j], turned[i]
                trial = replace(now, starts={**now.starts, bar: turned})
                left -= 1
                now = min(now, trial, key=lambda each: each.crossings)
        best = min(best, now, key=lambda each: each.crossings)
        if now.crossings == before:  # nothing helps any more
            starts = {bar: rng.sample(rows, len(rows)) for bar, rows in best.starts.items()}
            now, left = replace(best, starts=starts), left - 1
    return best


def _embedded(order: BarOrder, rungs: Sequence[Rung], preferred: Sweep) -> Starts | None:
    """Starting orders from planar embeddings, one a block; None when a block is not planar."""
    starts: dict[str, list[int]] = {bar: [] for bar in order.bars}
    for block in order.blocks:
        found = _block_starts(block, order, rungs)
        if found is None:
            return None
        for bar, rows in found.items():
            starts[bar] += rows
    starts["L"] += [number for number in preferred.starts["L"] if number >= preferred.drawn]
    return starts


def _block_starts(
    block: Block, order: BarOrder, rungs: Sequence[Rung]
) -> dict[str, list[int]] | None:
    if not block.rungs:
        return {}
    graph = nx.Graph([(block.source, block.sink)])
    if block.core and block.sink == "PE":
        graph.add_edges_from([("L", "N"), ("N", "PE")])
    between: dict[tuple[str, str], list[int]] = {}
    for index in sorted(block.rungs, key=lambda index: rungs[index].rank):
        pair = (order.left[index], order.right[index])
        between.setdefault(pair, []).append(index)
        graph.add_edge(*pair)
    planar, embedding = nx.check_planarity(graph)
    if not planar:
        return None

    def rows(around: Callable[[str], list[str]]) -> dict[str, list[int]]:
        return {
            node: [
                index
                for other in _from_first_start(around(node), node, block, order)
                for index in between.get((node, other), ())
            ]
            for node in graph
            if node != block.sink
        }

    one = rows(lambda node: list(embedding.neighbors_cw_order(node)))
    two = rows(lambda node: list(embedding.neighbors_cw_order(node))[::-1])
    return min(one, two, key=lambda found: [rungs[index].rank for index in found[block.source]])


def _from_first_start(around: list[str], node: str, block: Block, order: BarOrder) -> list[str]:
    """The neighbours to the right of `node`, clockwise from the first after those to its left."""
    right = [order.column[other] > order.column[node] for other in around]
    if node == block.source:
        # the supply closes the outer face: the turn starts after it
        first = around.index(block.sink) + 1
    else:
        first = next(i for i in range(len(around)) if right[i] and not right[i - 1])
    turned = zip((*around[first:], *around[:first]), (*right[first:], *right[:first]), strict=True)
    return [other for other, is_right in turned if is_right]
