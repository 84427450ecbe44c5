"""Orders the rungs from top to bottom, column by column, without crossings where possible.

A vertical line swept from left to right cuts the rungs that are open there, in order from top to
bottom. At a bar the rungs that end must be neighbours, or the rungs between them cross the bar;
they are replaced by the rungs that start there. Only the order in which a bar's rungs start is
free: it begins as the one preferred, and two of them change places where that saves crossings.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations, islice

from lessonlib.schematics.order import BarOrder
from lessonlib.schematics.rungs import Rung

_MOST_STEPS = 20_000
"""Bars placed while looking for fewer crossings."""


@dataclass(frozen=True)
class Sweep:
    """Rungs that start at each bar, top to bottom, and those that end there, in any order; the bars
    from left to right.

    Rungs numbered from `drawn` up are not drawn: they lead from L to bars that have nothing else to
    their left.
    """

    starts: Mapping[str, Sequence[int]]
    ends: Mapping[str, Sequence[int]]
    drawn: int

    def lines(self) -> Iterator[tuple[str, list[int], list[int], int]]:
        """Every bar with the line just left and just right of it, and how many rungs cross it."""
        line: list[int] = []
        for bar, starts in self.starts.items():
            before = line
            line, crossed = self._step(before, set(self.ends[bar]), starts)
            yield bar, before, line, crossed

    def _step(
        self, line: list[int], ends: set[int], starts: Sequence[int]
    ) -> tuple[list[int], int]:
        """The line just right of a bar, and how many rungs cross that bar."""
        if not ends:
            return [*starts, *line], 0
        places = [place for place, rung in enumerate(line) if rung in ends]
        first, middle, last = places[0], places[len(places) // 2], places[-1]
        # rungs that cross go above or below what starts, whichever leaves them where most of them
        # are
        above = [rung for rung in line[first:middle] if rung not in ends]
        below = [rung for rung in line[middle : last + 1] if rung not in ends]
        after = [*line[:first], *above, *starts, *below, *line[last + 1 :]]
        return after, len(self.visible((*above, *below)))

    def visible(self, rungs: Iterable[int]) -> list[int]:
        """Those of `rungs` that are drawn."""
        return [rung for rung in rungs if rung < self.drawn]

    @cached_property
    def crossings(self) -> int:
        """How many times a rung crosses a foreign bar."""
        return sum(crossed for *_, crossed in self.lines())


def sweep(order: BarOrder, rungs: Sequence[Rung]) -> Sweep:
    """Order the rungs of every bar so that as few as possible cross a bar."""
    starts: dict[str, list[int]] = {bar: [] for bar in order.bars}
    ends: dict[str, list[int]] = {bar: [] for bar in order.bars}
    for rung in sorted(rungs, key=lambda rung: rung.rank):
        starts[order.left[rung.index]].append(rung.index)
        ends[order.right[rung.index]].append(rung.index)
    for number, bar in enumerate(order.sources, len(rungs)):
        starts["L"].append(number)
        ends[bar].append(number)
    return _repaired(Sweep(starts, ends, len(rungs)))


def _repaired(given: Sweep) -> Sweep:
    """The fewest crossings found from there and from some orders drawn at random."""
    rng = random.Random(1986)  # any fixed seed: the same circuit must give the same drawing
    best = now = given
    left = _MOST_STEPS // len(given.starts)
    while left > 0 and best.crossings:
        before = now.crossings
        for bar, rows in now.starts.items():
            # the last first: what comes first stays where it is if it can
            for i, j in islice(reversed(list(combinations(range(len(rows)), 2))), left):
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
