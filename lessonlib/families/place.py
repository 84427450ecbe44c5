"""Where a part sits in a wiring, in the words of the trade."""

from __future__ import annotations

from collections.abc import Iterable

import networkx as nx

from lessonlib.appliance.parts import Appliance, Element, Lamp, Part, Switch
from lessonlib.schematics.captions import rating
from lessonlib.words import listed


def place(appliance: Appliance, part: Part, contact: int = 1) -> str:
    """Where one path of a part sits: "in the common return", "in series with E1", "across S1"."""
    ends = set(part.rungs[contact - 1])
    if ends == {"L", "N"}:
        return "straight across the supply"
    beside = [
        other.path_name(number)
        for other in appliance.parts
        if isinstance(other, Element | Switch) and other is not part
        for number, rung in enumerate(other.rungs, 1)
        if set(rung) == ends
    ]
    without = (part.name, contact)
    elements = [each.name for each in appliance.elements if each is not part]
    stopping = _fed(appliance) - _fed(appliance, without)
    stopped = [name for name in elements if name in stopping]
    if beside and (not stopped or isinstance(part, Element | Lamp)):
        return f"across {listed(beside)}"
    if stopped and stopped == elements:
        before = _parts(nx.node_connected_component(_graph(appliance, without), "L"))
        return "in the common return" if stopped[0] in before else "in the common line"
    if stopped:
        return f"in series with {listed(stopped)}"
    words = {"L": "the line", "N": "the neutral", "PE": "earth"}
    first, second = (words.get(node, f"point {node}") for node in part.rungs[contact - 1])
    return f"between {first} and {second}"


def _graph(appliance: Appliance, without: tuple[str, int] | None = None) -> nx.Graph:
    """Points and paths, without lamps, whose current heats nothing."""
    graph = nx.Graph()
    graph.add_nodes_from(("L", "N"))
    for part in appliance.parts:
        for number, (first, second) in enumerate(part.rungs, 1):
            if (part.name, number) != without and not isinstance(part, Lamp):
                way = (part.name, number)  # a point of its own, so that paths beside it stay apart
                graph.add_edges_from(((first, way), (way, second)))
    return graph


def _parts(nodes: Iterable[object]) -> set[str]:
    return {node[0] for node in nodes if isinstance(node, tuple)}


def _fed(appliance: Appliance, without: tuple[str, int] | None = None) -> set[str]:
    """Elements on some way from L to N, with one path of a part taken out."""
    graph = _graph(appliance, without)
    graph.add_edge("L", "N")
    blocks = nx.biconnected_components(graph)
    inside = next(block for block in blocks if {"L", "N"} <= block)
    return _parts(inside) & {part.name for part in appliance.elements}


def opens_both(appliance: Appliance, switch: Switch) -> bool:
    """Whether a switch, all else closed, parts every element that has a way from L to N from both
    conductors, in one of its positions."""
    elements = _fed(appliance)
    for position in switch.positions:
        graph = _graph(appliance)
        for number, contact in enumerate(switch.contacts, 1):
            if position not in contact.closed_in:
                graph.remove_node((switch.name, number))
        joined = (nx.node_connected_component(graph, end) for end in ("L", "N"))
        if elements and not elements & _parts(set().union(*joined)):
            return True
    return False


def named(part: Part, article: str = "the", before: str = "") -> str:
    """A part as a sentence names it: "the thermal fuse F1 (150 °C)", "a switch S1 (off, on)", and
    where its name was another, "the heating element E1 (700 W; before, E2)"."""
    marks = ", ".join(part.positions) if isinstance(part, Switch) else rating(part)
    if before not in ("", part.name):
        marks = "; ".join(filter(None, (marks, f"before, {before}")))
    name = f"{article} {part.words} {part.name}"
    return f"{name} ({marks})" if marks else name


def sentence(words: str) -> str:
    """`words` with a capital and a full stop."""
    return f"{words[0].upper()}{words[1:]}."
