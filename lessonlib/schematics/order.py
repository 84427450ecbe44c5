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

import networkx as nx

from lessonlib.errors import DrawingError
from lessonlib.schematics.rungs import Rung, potentials

# Potentials closer to each other than this, of one from L to N, may be rounding.
_APART = 1e-12


@dataclass(frozen=True)
class Block:
    """Rungs (by index) with their poles; only the first block holds the supply."""

    rungs: tuple[int, ...]
    source: str
    sink: str
    core: bool


@dataclass(frozen=True)
class BarOrder:
    """`left` and `right` by rung index; `column` by node; `sources` are bars with nothing to
    their left other than L. `bars` is in drawing order, by column."""

    left: dict[int, str]
    right: dict[int, str]
    column: dict[str, int]
    sources: tuple[str, ...]
    bars: tuple[str, ...]


def order(nodes: Sequence[str], rungs: Sequence[Rung], sink: str) -> BarOrder:
    """Order the bars from L to `sink`, which is N, or PE to have that beyond N."""
    supply = [("L", "N")] if sink == "N" else [("L", sink), ("N", sink), ("L", "N")]
    ends = {rung.index: rung.between for rung in rungs}
    blocks = _blocks(nodes, ends, supply, sink)
    left: dict[int, str] = {}
    right: dict[int, str] = {}
    rank: dict[str, float] = {}
    for block in blocks:
        potential = _potentials(block, ends, supply if block.core else [])
        for node, value in potential.items():
            rank.setdefault(node, rank.get(block.source, 1.0) - (1.0 - value))
        for index in block.rungs:
            a, b = ends[index]
            left[index], right[index] = (a, b) if potential[a] > potential[b] else (b, a)
    column, sources = _columns(nodes, left, right, sink)
    place = {node: number for number, node in enumerate(nodes)}
    bars = sorted(nodes, key=lambda node: (column[node], -rank.get(node, 0.0), place[node]))
    return BarOrder(left, right, column, sources, tuple(bars))


def _potentials(
    block: Block, ends: dict[int, tuple[str, str]], supply: list[tuple[str, str]]
) -> dict[str, float]:
    pairs = [ends[index] for index in block.rungs]
    nodes = tuple(dict.fromkeys(node for pair in (*supply, *pairs) for node in pair))
    held = {block.source: 1.0, block.sink: 0.0}
    if block.core and block.sink == "PE":
        held = {"L": 1.0, "N": 0.0, "PE": -1.0}
    # small differences keep equal potentials apart, the same on every run
    conductances = [1.0 + 1e-3 * ((index * 7919) % 101) / 101 for index in block.rungs]
    found = potentials(nodes, pairs, conductances, held, leak=0.0)
    # each step of a ladder has a fraction of the voltage before it; in dozens of them too little is
    # left to tell which bar stands left of which
    if any(abs(found[a] - found[b]) < _APART for a, b in pairs):
        raise DrawingError(
            "found wiring of too many steps to put its points in order; accepted: a ladder of some "
            "twenty steps. Describe one part of the appliance in a file of its own."
        )
    return found


def _blocks(
    nodes: Sequence[str],
    ends: dict[int, tuple[str, str]],
    supply: list[tuple[str, str]],
    sink: str,
) -> list[Block]:
    """Blocks in an order in which each one's hanging point comes before it."""
    graph = nx.Graph([*supply, *ends.values()])
    graph.add_nodes_from(nodes)
    # how far each node is from the one that its island is drawn from
    far: dict[str, int] = {}
    for root in ("L", *nodes):
        if root not in far:
            start = len(far)
            reached = nx.single_source_shortest_path_length(graph, root)
            far |= {node: start + steps for node, steps in reached.items()}
    found = []
    for edges in nx.biconnected_component_edges(graph):
        pairs = {frozenset(pair) for pair in edges}
        rungs = tuple(index for index, pair in ends.items() if frozenset(pair) in pairs)
        if frozenset(supply[0]) in pairs:
            found.append(Block(rungs, "L", sink, core=True))
            continue
        top = min((node for pair in edges for node in pair), key=far.__getitem__)
        first = next(ends[index] for index in rungs if top in ends[index])
        other = first[1] if first[0] == top else first[0]
        # what hangs on the last bar of all lies to its left
        left, right = (other, top) if top == sink else (top, other)
        found.append(Block(rungs, left, right, core=False))
    return sorted(found, key=lambda block: (not block.core, far[block.source], block.rungs))


def _columns(
    nodes: Sequence[str],
    left: dict[int, str],
    right: dict[int, str],
    sink: str,
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
    # N, and PE where it is the last, stand right of everything that they do not feed
    for last in dict.fromkeys(("N", sink)):
        fed = {last, *nx.descendants(ways, last)}
        others = [column[node] for node in nodes if node not in fed and node != sink]
        shift = max(others, default=0) + 1 - column[last]
        for node in fed if shift > 0 else ():
            column[node] += shift
    return column, sources
