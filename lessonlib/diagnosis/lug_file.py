"""The start of an appliance file, from the elements found between bare lugs."""

from __future__ import annotations

from typing import TYPE_CHECKING

import networkx as nx

from lessonlib.appliance.file_text import file_text
from lessonlib.appliance.parts import Appliance, Contact, Element, Part, Supply, Switch

if TYPE_CHECKING:
    from lessonlib.diagnosis.lugs import Lugs

_HEAD = """\
# The start of a file, from readings between bare lugs. For a start, one lug is on N and
# every other lug has a switch of its own from L. Change that to what you find.
"""


def file_start(found: Lugs) -> str:
    """See `Lugs.appliance_text`."""
    if not found.elements:
        return ""
    graph = nx.Graph([element.between for element in found.elements])
    common = [max(some, key=graph.degree) for some in map(sorted, nx.connected_components(graph))]
    name = {point: "N" if point in common else f"lug {point}" for point in graph}
    parts: list[Part] = []
    for number, element in enumerate(found.elements, 1):
        one, other = (name[end] for end in element.between)
        ohm = float(f"{element.resistance_ohm:.4g}")
        parts.append(Element(f"E{number}", (one, other), resistance_ohm=ohm))
    for number, point in enumerate((point for point in name if point not in common), 1):
        contact = Contact(("L", name[point]), ("on",))
        parts.append(Switch(f"S{number}", ("off", "on"), (contact,)))
    supply = Supply(found.supply_voltage_V)
    return _HEAD + file_text(Appliance("Element block", "", supply, tuple(parts)))
