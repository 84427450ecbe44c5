"""Where a part sits in a wiring, in the words of the trade."""

from __future__ import annotations

from collections.abc import Sequence

import networkx as nx

from lessonlib.appliance.parts import Appliance, Element, Lamp, Part, Switch
from lessonlib.schematics.captions import rating
from lessonlib.words import listed

_VOWELS = "aeiou"


def place(appliance: Appliance, part: Part, contact: int = 1) -> str:
    """Where one path of a part sits: "in the common return", "in series with E1", "across S1"."""
    ends = set(part.rungs[contact - 1])
    if ends == {"L", "N"}:
        return "straight across the supply"
    elements = [each.name for each in appliance.elements if each is not part]
    stopped = [name for name in elements if name not in _fed(appliance, (part.name, contact))]
    stopped = [name for name in stopped if name in _fed(appliance)]
    beside = _beside(appliance, part, ends)
    if beside and (not stopped or isinstance(part, Element | Lamp)):
        return f"across {listed(beside)}"
    if stopped and (len(stopped) > 1 or len(elements) == 1) and len(stopped) == len(elements):
        returns = _from_line(appliance, (part.name, contact))
        return "in the common return" if stopped[0] in returns else "in the common line"
    if stopped:
        return f"in series with {listed(stopped)}"
    first, second = part.rungs[contact - 1]
    return f"between {_point(first)} and {_point(second)}"


def _point(node: str) -> str:
    return {"L": "the line", "N": "the neutral", "PE": "earth"}.get(node, f"point {node}")


def _beside(appliance: Appliance, part: Part, ends: set[str]) -> list[str]:
    """Other parts between the same two points: the contacts and elements among them."""
    return [
        other.path_name(number)
        for other in appliance.parts
        if isinstance(other, Element | Switch) and other is not part
        for number, rung in enumerate(other.rungs, 1)
        if set(rung) == ends
    ]


def _graph(appliance: Appliance, without: tuple[str, int] | None) -> nx.Graph:
    """Points and paths, without lamps, whose current heats nothing."""
    graph = nx.Graph()
    graph.add_nodes_from(("L", "N"))
    for part in appliance.parts:
        for number, (first, second) in enumerate(part.rungs, 1):
            if (part.name, number) != without and not isinstance(part, Lamp):
                way = (part.name, number)  # a point of its own, so that paths beside it stay apart
                graph.add_edges_from(((first, way), (way, second)))
    return graph


def _fed(appliance: Appliance, without: tuple[str, int] | None = None) -> set[str]:
    """Elements on some way from L to N, with one path of a part taken out."""
    graph = _graph(appliance, without)
    graph.add_edge("L", "N")
    inside: set[str] = set()
    for block in nx.biconnected_components(graph):
        if {"L", "N"} <= block:
            inside |= {node[0] for node in block if isinstance(node, tuple)}
    return inside & {part.name for part in appliance.elements}


def _from_line(appliance: Appliance, without: tuple[str, int]) -> set[str]:
    """Elements still joined to L with one path taken out."""
    reached = nx.node_connected_component(_graph(appliance, without), "L")
    return {node[0] for node in reached if isinstance(node, tuple)}


def opens_both(appliance: Appliance, switch: Switch) -> bool:
    """Whether a switch, all else closed, parts every element that has a way from L to N from both
    conductors, in one of its positions."""
    elements = _fed(appliance)
    for position in switch.positions:
        graph = _graph(appliance, None)
        for number, contact in enumerate(switch.contacts, 1):
            if position not in contact.closed_in:
                graph.remove_node((switch.name, number))
        joined = nx.node_connected_component(graph, "L") | nx.node_connected_component(graph, "N")
        if elements and not elements & {node[0] for node in joined if isinstance(node, tuple)}:
            return True
    return False


def named(part: Part, article: str = "the", before: str = "") -> str:
    """A part as a sentence names it: "the thermal fuse F1 (150 °C)", "a switch S1 (off, on)", and
    where its name was another, "the heating element E1 (700 W; before, E2)"."""
    marks = ", ".join(part.positions) if isinstance(part, Switch) else rating(part)
    if before not in ("", part.name):
        marks = "; ".join(filter(None, (marks, f"before, {before}")))
    start = f"{article} {part.words}"
    if article == "a" and part.words[0] in _VOWELS:
        start = f"an {part.words}"
    return f"{start} {part.name} ({marks})" if marks else f"{start} {part.name}"


def sentence(words: str) -> str:
    """`words` with a capital and a full stop."""
    return f"{words[0].upper()}{words[1:]}."


def in_order(appliance: Appliance, names: Sequence[str]) -> tuple[str, ...]:
    """Names of parts, each once, in the order of the file."""
    return tuple(part.name for part in appliance.parts if part.name in names)
