"""Gives each rung a row: paths straight, rungs in the order of the sweep, few rows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

import networkx as nx

from lessonlib.schematics.order import BarOrder
from lessonlib.schematics.rungs import Rung
from lessonlib.schematics.sweep import Sweep, are_neighbours


@dataclass(frozen=True)
class Rows:
    """Row by rung index, from 0 at the top; column by bar (wider than in the order only where bars
    of one column would overlap)."""

    row: dict[int, int]
    column: dict[str, int]


def rows_of(order: BarOrder, swept: Sweep, rungs: Sequence[Rung]) -> Rows:
    """Rows for the rungs in the order of the sweep."""
    column, above = _constraints(order, swept)
    joined = _Joined(len(rungs), above)
    for one, two in _straight(swept, rungs):
        joined.try_join(one, two)
    return Rows(joined.rows(), column)


def _constraints(order: BarOrder, swept: Sweep) -> tuple[dict[str, int], set[tuple[int, int]]]:
    """Final columns, and pairs (upper, lower) of rungs that must not share a row."""
    above: set[tuple[int, int]] = set()
    column: dict[str, int] = {}
    shift = 0
    steps = groupby(swept.lines(), key=lambda bar_and_lines: order.column[bar_and_lines[0]])
    for number, group in steps:
        at_column = list(group)
        line = at_column[0][1]
        bars = [bar for bar, _, _ in at_column]
        apart = all(are_neighbours(line, swept.ends[bar]) for bar in bars)
        if apart:
            above |= _items(line, bars, swept)
        for place, (bar, _, after) in enumerate(at_column):
            if place and not apart:
                shift += 1  # bars that other rungs cross get a column of their own
            column[bar] = number + shift
            above |= set(pairwise(swept.visible(after)))
    return column, above


def _items(line: list[int], bars: list[str], swept: Sweep) -> set[tuple[int, int]]:
    """In one column, all rungs of a bar are above all rungs of whatever comes below the bar."""
    owner = {rung: bar for bar in bars for rung in swept.ends[bar]}
    items: dict[int | str, tuple[list[int], list[int]]] = {}
    for rung in line:
        bar = owner.get(rung)
        if bar is not None:
            items.setdefault(bar, ([], list(swept.visible(swept.starts[bar]))))[0].append(rung)
        else:
            items[rung] = ([rung], [rung])
    sides = [(swept.visible(ends), swept.visible(starts)) for ends, starts in items.values()]
    return {
        (upper[-1], lower[0])
        for one, two in pairwise([pair for pair in sides if any(pair)])
        for upper in one
        for lower in two
        if upper and lower
    }


def _straight(swept: Sweep, rungs: Sequence[Rung]) -> list[tuple[int, int]]:
    """Pairs of rungs that should share a row: at each bar the main way in and the main way out."""

    def main(some: list[int]) -> int:
        return next((rung for rung in some if not rungs[rung].minor), some[0])

    pairs = []
    for bar, line, _ in swept.lines():
        ending = set(swept.ends[bar])
        coming = swept.visible(rung for rung in line if rung in ending)
        going = swept.visible(swept.starts[bar])
        if coming and going:
            pairs.append((len(coming) + len(going), main(coming), main(going)))
    # chains first: a bend in a chain looks worse than one at a fork
    return [(one, two) for _, one, two in sorted(pairs, key=lambda pair: pair[0])]


class _Joined:
    """Rungs in groups that share a row, with the order between the groups."""

    def __init__(self, count: int, above: set[tuple[int, int]]) -> None:
        self.group = list(range(count))
        self.order = nx.DiGraph()
        self.order.add_nodes_from(self.group)
        self.order.add_edges_from(sorted(above))

    def try_join(self, one: int, two: int) -> None:
        """Put both in one row, unless one must be above the other."""
        order, a, b = self.order, self.group[one], self.group[two]
        if a == b or nx.has_path(order, a, b) or nx.has_path(order, b, a):
            return
        self.group = [a if group == b else group for group in self.group]
        order.add_edges_from([(a, lower) for lower in order.successors(b)])
        order.add_edges_from([(upper, a) for upper in order.predecessors(b)])
        order.remove_node(b)

    def rows(self) -> dict[int, int]:
        """Row by rung: longest path from the top."""
        rows = enumerate(nx.topological_generations(self.order))
        row = {group: number for number, groups in rows for group in groups}
        return {rung: row[group] for rung, group in enumerate(self.group)}
