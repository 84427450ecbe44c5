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
from dataclasses import dataclass
from itertools import combinations, islice, permutations

import networkx as nx

from lessonlib.schematics.order import BarOrder, Block
from lessonlib.schematics.rungs import Rung

_SEARCH_STEPS = 3000
"""Bars placed by the search before the embedding is asked: some ten milliseconds."""

_REPAIR_STEPS = 20_000
"""Bars placed while looking for fewer crossings in a circuit that must have some."""

Starts = Mapping[str, Sequence[int]]


@dataclass(frozen=True)
class Sweep:
    """Rungs that start at each bar, top to bottom, and those that end there, in any order.

    Rungs numbered from `drawn` up are not drawn: they lead from L to bars that have nothing else to
    their left. `crossings` counts rungs that cross a foreign bar.
    """

    starts: dict[str, tuple[int, ...]]
    ends: dict[str, list[int]]
    drawn: int
    crossings: int

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


@dataclass(frozen=True)
class _Bars:
    """What the sweep needs of an order; rungs as in `Sweep`."""

    bars: tuple[str, ...]
    starts: dict[str, list[int]]
    ends: dict[str, list[int]]
    drawn: int


def sweep(order: BarOrder, rungs: Sequence[Rung]) -> Sweep:
    """Order the rungs of every bar so that as few as possible cross a bar, none where possible."""
    bars = _bars(order, rungs)
    found = _search(bars)
    if found is not None:
        starts = {bar: tuple(found.get(bar, ())) for bar in bars.bars}
        return Sweep(starts, bars.ends, bars.drawn, 0)
    embedded = _embedded(order, rungs, bars)
    return _repaired(bars, embedded if embedded is not None else bars.starts)


def _bars(order: BarOrder, rungs: Sequence[Rung]) -> _Bars:
    starts: dict[str, list[int]] = {bar: [] for bar in order.bars}
    ends: dict[str, list[int]] = {bar: [] for bar in order.bars}
    for rung in sorted(rungs, key=lambda rung: rung.rank):
        starts[order.left[rung.index]].append(rung.index)
        ends[order.right[rung.index]].append(rung.index)
    for number, bar in enumerate(order.sources, len(rungs)):
        starts["L"].append(number)
        ends[bar].append(number)
    return _Bars(order.bars, starts, ends, len(rungs))


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


def _search(bars: _Bars) -> dict[str, Sequence[int]] | None:
    """Depth first over the orders in which rungs start, preferred ones first; None if given up."""
    todo = [bar for bar in bars.bars if bars.starts[bar] or bars.ends[bar]]
    chosen: list[Sequence[int]] = []
    lines: list[list[int]] = [[]]
    options: list[Iterator[tuple[int, ...]]] = []
    steps = 0
    while len(chosen) < len(todo):
        depth = len(chosen)
        if len(options) == depth:
            options.append(permutations(bars.starts[todo[depth]]))
            if not are_neighbours(lines[-1], bars.ends[todo[depth]]):
                options[depth] = iter(())
        starts = next(options[depth], None)
        steps += 1
        if steps > _SEARCH_STEPS:
            return None
        if starts is None:
            options.pop()
            if not chosen:
                return None
            chosen.pop()
            lines.pop()
            continue
        chosen.append(starts)
        lines.append(step(lines[-1], bars.ends[todo[depth]], starts, bars.drawn)[0])
    return dict(zip(todo, chosen, strict=True))


def are_neighbours(line: list[int], ends: Sequence[int]) -> bool:
    """Whether no other rung of the line is between those that end."""
    places = [line.index(rung) for rung in ends]
    return not places or max(places) - min(places) + 1 == len(places)


def _count_crossings(bars: _Bars, starts: Starts) -> int:
    line: list[int] = []
    total = 0
    for bar in bars.bars:
        line, crossed = step(line, bars.ends[bar], starts[bar], bars.drawn)
        total += crossed
    return total


def _repaired(bars: _Bars, starts: Starts) -> Sweep:
    """Exchange rungs that start at the same bar, until that saves no more crossings."""
    best = {bar: list(starts.get(bar, ())) for bar in bars.bars}
    least = _count_crossings(bars, best)
    steps = len(bars.bars)
    forks = [bar for bar in bars.bars if len(best[bar]) > 1]
    rng = random.Random(1986)  # any fixed seed: the same circuit must give the same drawing
    now, current = best, least
    while least and forks and steps < _REPAIR_STEPS:
        improved = False
        for bar in forks:
            for turned in islice(_exchanges(now[bar]), 60):
                trial = {**now, bar: turned}
                crossings = _count_crossings(bars, trial)
                steps += len(bars.bars)
                if crossings < current:
                    now, current, improved = trial, crossings, True
                if steps >= _REPAIR_STEPS:
                    break
        if current < least:
            best, least = now, current
        if not improved:
            now = {**best}
            for bar in rng.sample(forks, min(len(forks), 3)):
                now[bar] = rng.sample(now[bar], len(now[bar]))
            current = _count_crossings(bars, now)
    found = {bar: tuple(rows) for bar, rows in best.items()}
    return Sweep(found, bars.ends, bars.drawn, least)


def _exchanges(rows: list[int]) -> Iterator[list[int]]:
    for i, j in combinations(range(len(rows)), 2):
        turned = list(rows)
        turned[i], turned[j] = turned[j], turned[i]
        yield turned


def _embedded(order: BarOrder, rungs: Sequence[Rung], bars: _Bars) -> dict[str, list[int]] | None:
    """Starting orders from planar embeddings, one a block; None when a block is not planar."""
    starts: dict[str, list[int]] = {bar: [] for bar in order.bars}
    for block in order.blocks:
        found = _block_starts(block, order, rungs)
        if found is None:
            return None
        for bar, rows in found.items():
            starts[bar] += rows
    starts["L"] += [number for number in bars.starts["L"] if number >= bars.drawn]
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
