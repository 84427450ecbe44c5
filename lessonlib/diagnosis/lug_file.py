"""The start of an appliance file, from the elements found between bare lugs."""

from __future__ import annotations

from typing import TYPE_CHECKING

import networkx as nx

if TYPE_CHECKING:
    from lessonlib.diagnosis.lugs import Lugs


def file_start(found: Lugs) -> str:
    """See `Lugs.appliance_text`."""
    if not found.elements:
        return ""
    volts = f"{found.supply_voltage_V:g}"
    graph = nx.Graph([element.between for element in found.elements])
    common = {
        max(points, key=lambda point: (graph.degree(point), -list(graph).index(point)))
        for points in nx.connected_components(graph)
    }
    name = {point: "N" if point in common else f"lug {point}" for point in graph}
    said = [
        "# The start of a file, from readings between bare lugs. For a start, one lug is on N and",
        "# every other lug has a switch of its own from L. Change that to what you find.",
        'title = "Element block"',
        "",
        "[supply]",
        f"voltage_V = {volts}",
    ]
    for index, element in enumerate(found.elements, 1):
        one, other = (name[end] for end in element.between)
        said += [
            "",
            "[[element]]",
            f'name = "E{index}"',
            f'between = ["{one}", "{other}"]',
            f"resistance_ohm = {element.resistance_ohm:.4g}",
        ]
    for index, point in enumerate((point for point in name if point not in common), 1):
        contact = f'{{ between = ["L", "{name[point]}"], closed_in = ["on"] }}'
        said += [
            "",
            "[[switch]]",
            f'name = "S{index}"',
            'positions = ["off", "on"]',
            f"contacts = [{contact}]",
        ]
    return "\n".join(said) + "\n"
