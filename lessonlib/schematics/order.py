"""Orders the bars from left to right, and gives each a column.

Within a block (a part of the circuit that no single node cuts off) potentials decide: with the
block's two poles held at one and zero, every other node has a neighbour above and one below, so
that directing rungs from high to low gives each bar something on either side. Blocks that hang on
a single node are directed away from it. A planar circuit directed like this can be drawn without
crossings (Tamassia and Tollis, "A unified approach to visibility representations of planar
graphs", 1986).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import chain

import networkx as nx

from lessonlib.errors import DrawingError
from lessonlib.schematics.rungs import Rung, potentials

# Potentials closer to each other than this, of one from L to N, may be rounding.
_APART = 1e-12


@dataclass(frozen=True)
class BarOrder:
    """`left` and `right` by rung index; `column` by node; `sources` are bars with nothing to
    their left other than L. `bars` is in drawing order, by column."""

    left: dict[int, str]
    right: dict[int, str]
    column: dict[str, int]
    sources: tuple[str, ...]
    bars: tuple[str, ...]


Ends = dict[int, tuple[str, str]]
"""What each rung lies between, by its index."""


def order(nodes: Sequence[str], rungs: Sequence[Rung]) -> BarOrder:
    """Order the bars from L to N."""
    left: dict[int, str] = {}
    right: dict[int, str] = {}
    rank: dict[str, float] = {}
    for source, sink, ends in _blocks(nodes, {rung.index: rung.between for rung in rungs}):
        potential = _potentials(source, sink, ends)
        for node, value in potential.items():
            rank.setdefault(node, rank.get(source, 1.0) - (1.0 - value))
        for index, (a, b) in ends.items():
            left[index], right[index] = (a, b) if potential[a] > potential[b] else (b, a)
    column, sources = _columns(nodes, left, right)
    place = {node: number for number, node in enumerate(nodes)}
    bars = sorted(nodes, key=lambda node: (column[node], -rank.get(node, 0.0), place[node]))
    return BarOrder(left, right, column, sources, tuple(bars))


def _potentials(source: str, sink: str, ends: Ends) -> dict[str, float]:
    pairs = list(ends.values())
    nodes = tuple(dict.fromkeys((source, sink, *chain(*pairs))))
    # small differences keep equal potentials apart, the same on every run
    conductances = [1.0 + 1e-3 * ((index * 7919) % 101) / 101 for index in ends]
    found = potentials(nodes, pairs, conductances, {source: 1.0, sink: 0.0}, leak=0.0)
    # each step of a ladder has a fraction of the voltage before it; in dozens of them too little is
    # left to tell which bar stands left of which
    if any(abs(found[a] - found[b]) < _APART for a, b in pairs):
        raise DrawingError(
            "found wiring of too many steps to put its points in order; accepted: a ladder of some "
            "twenty steps. Describe one part of the appliance in a file of its own."
        )
    return found


def _blocks(nodes: Sequence[str], ends: Ends) -> list[tuple[str, str, Ends]]:
    """Blocks with their two poles and their rungs, in an order in which each one's hanging point
    comes before it; the first holds the supply."""
    graph = nx.Graph([("L", "N"), *ends.values()])
    graph.add_nodes_from(nodes)
    # how far each node is from the one that its island is drawn from
    far: dict[str, int] = {}
    for root in ("L", *nodes):
        if root not in far:
            start = len(far)
            reached = nx.single_source_shortest_path_length(graph, root)
            far |= {node: start + steps for node, steps in reached.items()}
    supply, hung = [], []
    for edges in nx.biconnected_component_edges(graph):
        pairs = {frozenset(pair) for pair in edges}
        rungs = {index: pair for index, pair in ends.items() if frozenset(pair) in pairs}
        if frozenset("LN") in pairs:
            supply = [("L", "N", rungs)]
            continue
        top = min(chain(*edges), key=far.__getitem__)
        first = next(pair for pair in rungs.values() if top in pair)
        other = first[1] if first[0] == top else first[0]
        # what hangs on the last bar of all lies to its left
        hung.append((other, top, rungs) if top == "N" else (top, other, rungs))
    return [*supply, *sorted(hung, key=lambda block: (far[block[0]], *block[2]))]


def _columns(
    nodes: Sequence[str], left: dict[int, str], right: dict[int, str]
) -> tuple[dict[str, int], tuple[str, ...]]:
    """Columns by longest path; a bar with nothing to its left is just left of what it feeds."""
    ways = nx.DiGraph([(left[index], right[index]) for index in left])
    ways.add_nodes_from(nodes)
    first = [node for node in nodes if node != "L" and not ways.in_degree(node)]
    sources = tuple(node for node in first if ways[node])
    from_line = nx.DiGraph(ways)
    from_line.add_edges_from(("L", node) for node in first)
    layers = enumerate(nx.topological_generations(from_line))
    column = {node: number for number, layer in layers for node in layer}
    for node in sources:
        column[node] = max(1, min(column[other] for other in ways[node]) - 1)
    # N stands right of everything that it does not feed
    fed = {"N", *nx.descendants(ways, "N")}
    shift = max((column[node] + 1 for node in nodes if node not in fed), default=1) - column["N"]
    for node in fed if shift > 0 else ():
        column[node] += shift
    return column, sources
