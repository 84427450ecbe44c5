"""Finds what is wrong with a layout: everything that overlaps something it should not."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, pairwise

from lessonlib.schematics.places import Box, Layout
from lessonlib.schematics.symbols import EARTH_PX

HALF_WIRE = 1.0
"""Half the width that a wire is given here, pixels: it must at least not touch what it passes."""


def problems(layout: Layout) -> list[str]:
    """Every overlap of symbols, texts and wires, in words; empty for a sound layout."""
    things = list(_things(layout))
    wires = list(_wires(layout))
    found = [
        f"{name} is outside"
        for name, box in things
        if box.left < 0 or box.top < 0 or box.right > layout.width or box.bottom > layout.height
    ]
    found += [
        f"{one} lies on {two}"
        for (one, box_1), (two, box_2) in combinations(things, 2)
        if box_1.meets(box_2)
    ]
    found += [
        f"wire of {node} lies on {name}"
        for node, wire in wires
        for name, box in things
        if wire.meets(box)
    ]
    found += list(_joined_wires(layout, wires))
    found += list(_links_on_things(layout, things))
    return found


def _things(layout: Layout) -> Iterator[tuple[str, Box]]:
    """Symbols and texts."""
    for rung in layout.rungs:
        at = f"{rung.part} contact {rung.contact}"
        for box in rung.symbol:
            yield f"symbol of {at}", box
        for place in (rung.name, rung.detail, *rung.readings):
            if place.width:
                yield f"text of {at}", place.box
    for bar in layout.bars:
        yield f"name of {bar.node}", bar.name.box
        yield f"condition of {bar.node}", bar.condition.box
        if bar.node == "PE":
            below = bar.bottom + 1
            yield "earth", Box(bar.x - 12, below, bar.x + 12, below + EARTH_PX)
    if layout.metal:
        yield "metal parts", layout.metal.box


def _wires(layout: Layout) -> Iterator[tuple[str, Box]]:
    for bar in layout.bars:
        if bar.top < bar.bottom:
            yield bar.node, Box(bar.x - HALF_WIRE, bar.top, bar.x + HALF_WIRE, bar.bottom)
        for lead in bar.leads:
            yield bar.node, Box(lead.x, lead.y - HALF_WIRE, lead.to, lead.y + HALF_WIRE)


def _joined_wires(layout: Layout, wires: list[tuple[str, Box]]) -> Iterator[str]:
    """Wires of different nodes that meet, other than in a declared hop."""
    hops = {(hop, lead.y) for bar in layout.bars for lead in bar.leads for hop in lead.hops}
    for (one, box_1), (two, box_2) in combinations(wires, 2):
        if one == two or not box_1.meets(box_2):
            continue
        upright, flat = sorted((box_1, box_2), key=lambda box: box.right - box.left)
        crossing = (upright.left + HALF_WIRE, flat.top + HALF_WIRE)
        if crossing not in hops:
            yield f"wires of {one} and {two} meet"


def _links_on_things(layout: Layout, things: list[tuple[str, Box]]) -> Iterator[str]:
    """Links that lie on a symbol or text; at its ends a link reaches the symbols it joins."""
    for part, lines in layout.links.items():
        own = {
            f"symbol of {rung.part} contact {rung.contact}"
            for rung in layout.rungs
            if rung.part == part
        }
        for line in lines:
            ends = (line[0], line[-1])
            for (x1, y1), (x2, y2) in pairwise(line):
                run = Box(
                    min(x1, x2) - 0.5, min(y1, y2) - 0.5, max(x1, x2) + 0.5, max(y1, y2) + 0.5
                )
                for name, box in things:
                    joins = name in own and any(
                        box.left < x < box.right and box.top < y < box.bottom for x, y in ends
                    )
                    if run.meets(box) and not joins:
                        yield f"link of {part} lies on {name}"
