"""Gives each rung a row: paths straight, rungs in the order of the sweep, few rows."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby, pairwise

import networkx as nx

from lessonlib.schematics.order import BarOrder
from lessonlib.schematics.rungs import Rung
from lessonlib.schematics.sweep import Sweep


def rows_of(
    order: BarOrder, swept: Sweep, rungs: Sequence[Rung]
) -> tuple[dict[int, int], dict[str, int]]:
    """Row by rung index, from 0 at the top; column by bar (wider than in the order only where bars
    of one column would overlap)."""
    column, above = _constraints(order, swept)
    group = list(range(len(rungs)))  # of rungs that share a row, by rung
    ways = nx.DiGraph()
    ways.add_nodes_from(group)
    ways.add_edges_from(sorted(above))
    for one, two in _straight(swept, rungs):
        a, b = group[one], group[two]
        # both in one row, unless one must be above the other
        if a != b and not nx.has_path(ways, a, b) and not nx.has_path(ways, b, a):
            nx.contracted_nodes(ways, a, b, copy=False)
            group = [a if each == b else each for each in group]
    layers = enumerate(nx.topological_generations(ways))
    row = {each: number for number, layer in layers for each in layer}
    return {rung: row[each] for rung, each in enumerate(group)}, column


def _constraints(order: BarOrder, swept: Sweep) -> tuple[dict[str, int], set[tuple[int, int]]]:
    """Final columns, and pairs (upper, lower) of rungs that must not share a row."""
    above: set[tuple[int, int]] = set()
    column: dict[str, int] = {}
    shift = 0
    steps = groupby(swept.lines(), key=lambda bar_and_lines: order.column[bar_and_lines[0]])
    for number, group in steps:
        at_column = list(group)
        bars, line = [bar for bar, *_ in at_column], at_column[0][1]
        apart = all(_are_neighbours(line, swept.ends[bar]) for bar in bars)
        if apart:
            above |= _items(line, bars, swept)
        for place, (bar, _, after, _) in enumerate(at_column):
            if place and not apart:
                shift += 1  # bars that other rungs cross get a column of their own
            column[bar] = number + shift
            above |= set(pairwise(swept.visible(after)))
    return column, above


def _are_neighbours(line: list[int], ends: Sequence[int]) -> bool:
    """Whether no other rung of the line, drawn or not, is between those that end."""
    places = [line.index(rung) for rung in ends]
    return not places or max(places) - min(places) + 1 == len(places)


def _items(line: list[int], bars: list[str], swept: Sweep) -> set[tuple[int, int]]:
    """In one column, all rungs of a bar are above all rungs of whatever comes below the bar."""
    owner = {rung: bar for bar in bars for rung in swept.ends[bar]}
    sides: dict[int | str, tuple[list[int], list[int]]] = {}
    for rung in line:
        bar, drawn = owner.get(rung), swept.visible([rung])
        if bar is None:
            sides[rung] = (drawn, drawn)
        else:
            sides.setdefault(bar, ([], swept.visible(swept.starts[bar])))[0].extend(drawn)
    return {
        (upper[-1], lower[0])
        for one, two in pairwise(filter(any, sides.values()))
        for upper in one
        for lower in two
        if upper and lower
    }


def _straight(swept: Sweep, rungs: Sequence[Rung]) -> list[tuple[int, int]]:
    """Pairs of rungs that should share a row: at each bar the main way in and the main way out."""

    def main(some: list[int]) -> int:
        return next((rung for rung in some if not rungs[rung].minor), some[0])

    pairs = []
    for bar, line, _, _ in swept.lines():
        coming = swept.visible(rung for rung in line if rung in swept.ends[bar])
        going = swept.visible(swept.starts[bar])
        if coming and going:
            pairs.append((len(coming) + len(going), main(coming), main(going)))
    # chains first: a bend in a chain looks worse than one at a fork
    return [(one, two) for _, one, two in sorted(pairs, key=lambda pair: pair[0])]
