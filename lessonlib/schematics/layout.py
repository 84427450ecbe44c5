"""Lays an appliance out as a drawing in pixels: geometry alone, without colours or state."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from statistics import median

from lessonlib.appliance.parts import Appliance, Part
from lessonlib.schematics.captions import rating
from lessonlib.schematics.grid import Grid, grid_of
from lessonlib.schematics.links import Cell, Corner
from lessonlib.schematics.places import (
    BarPlace,
    Layout,
    Lead,
    LinkPlace,
    PolePlace,
    RungPlace,
    Spot,
)
from lessonlib.schematics.poles import Pole
from lessonlib.schematics.rungs import Rung
from lessonlib.schematics.spacing import MARGIN_PX, Spacing, spacing_of
from lessonlib.schematics.symbols import BLADE_PX, EARTH_PX, ROOM
from lessonlib.schematics.text import NAME_PX, SMALL_PX, shortened, width_px

NAME_MOST_PX = 108.0
NODE_MOST_PX = 92.0
"""Longer names of parts and nodes end in an ellipsis."""

WIDEST_CONDITION = "floating"
WIDEST_READING = "888 V 888 mA"
WIDEST_POWER = "888 mW"

RAILS = ("L", "N", "PE")
_RAIL_STUB_PX = 11.0
_LINE_PX = 15.0
_ASIDE_PX = 6.0
_TEXT_UP_PX = 20.0
"""From a rung up to the baseline of the second line above it, the same for parts and nodes: above
every symbol, and beside a box that stands on one."""
_EARTH_UP_PX = 60.0
METAL = "metal parts"
METAL_HALF_PX = 12.0
_FOOT_PX, _CAPTION_PX = 14.0, 24.0
_LEAST_WIDTH_PX = 320.0


@lru_cache(maxsize=128)
def layout(appliance: Appliance, readings: bool = True, earth: bool = False) -> Layout:
    """Lay out `appliance`, the same way every time; `readings` keeps room for readings.

    With `earth` PE stands below N, with the metal parts on it, unless the appliance has it already.
    """
    grid = grid_of(appliance)
    parts = {part.name: part for part in appliance.parts}
    rungs = {r.index: _texts(r, parts[r.part], grid, readings) for r in grid.rungs}
    names = {node: shortened(node, NODE_MOST_PX, NAME_PX, True) for node in grid.nodes}
    labels = {
        node: max(width_px(name, NAME_PX, True), width_px(WIDEST_CONDITION))
        for node, name in names.items()
    }
    space = spacing_of(grid, rungs, labels)
    bars = tuple(_bar(node, grid, space, names[node], labels[node]) for node in grid.nodes)
    poles = {
        index: place
        for pole in grid.poles
        for place in [_pole(pole, grid, space)]
        for index in pole.rungs
    }
    places = tuple(
        replace(
            _moved(rungs[r.index], space.middle[grid.gap[r.index]], space.y[grid.row[r.index]]),
            pole=poles.get(r.index),
        )
        for r in grid.rungs
    )
    reached = {(grid.row[index], grid.gap[index]): pole for index, pole in poles.items()}
    links = tuple(
        LinkPlace(link.part, tuple(_link_line(line, space, reached) for line in link.lines))
        for link in grid.links.links
    )
    right = max(b.name.x + labels[b.node] / 2 for b in bars) + MARGIN_PX
    bottom, metal = space.bottom + _FOOT_PX, None
    if earth and "PE" not in grid.nodes:
        metal, below = _earth(next(bar.x for bar in bars if bar.node == "N"), space.bottom)
        bars += (below,)
        bottom = below.bottom + EARTH_PX + _FOOT_PX
    caption = Spot(
        MARGIN_PX, bottom + 4, max(right, _LEAST_WIDTH_PX) - 2 * MARGIN_PX, "start", NAME_PX
    )
    crossings = sum(len(lead.hops) for bar in bars for lead in bar.leads)
    return Layout(
        max(right, _LEAST_WIDTH_PX),
        bottom + _CAPTION_PX - 10,
        bars,
        places,
        links,
        tuple(dict.fromkeys(poles.values())),
        metal,
        caption,
        crossings,
    )


def _texts(rung: Rung, part: Part, grid: Grid, readings: bool) -> RungPlace:
    """A rung with its texts around (0, 0)."""
    room = ROOM[rung.kind]
    cell = (grid.row[rung.index], grid.gap[rung.index])
    # text moves to the side where a box or the dashed line of a link is in its way
    aside = _ASIDE_PX if cell in grid.links.upward else room.box_half and room.box_half + 4.5
    aside_below = _ASIDE_PX if cell in grid.links.downward else 0.0
    name = _named(part, rung.contact)
    detail = rating(part)
    room_for = [detail]
    if part.kind == "switch" and rung.contact == 1:  # its position, which the state decides
        room_for = [shortened(position, NAME_MOST_PX) for position in part.positions]
    base = -_TEXT_UP_PX if any(room_for) else _LINE_PX - _TEXT_UP_PX
    widest = max(width_px(text) for text in room_for)
    reading_px = width_px(WIDEST_READING) + 8
    pole = grid.pole(rung.index)
    if pole is not None and pole.at_left:  # beside the blade
        aside = aside_below = room.half + _ASIDE_PX

    def spot(x: float, y: float, width: float, size: float = SMALL_PX, text: str = "") -> Spot:
        if pole is not None and not pole.at_left:
            return Spot(-room.half - _ASIDE_PX - width / 2, y, width, "middle", size, text)
        return Spot(x, y, width, "start" if x else "middle", size, text)

    lines: list[Spot] = []
    if readings:
        below = spot(aside_below, room.down + 15.0, reading_px)
        lines.append(below)
        if not part.contacts:
            lines.append(replace(below, y=below.y + _LINE_PX, width=width_px(WIDEST_POWER)))
    return RungPlace(
        rung.part,
        rung.kind,
        rung.contact,
        grid.left[rung.index],
        grid.right[rung.index],
        0.0,
        0.0,
        grid.left[rung.index] != rung.between[0],
        cell in grid.links.upward,
        cell in grid.links.downward,
        spot(aside, base - _LINE_PX, width_px(name, NAME_PX, True), NAME_PX, name),
        spot(aside, base, widest, text=detail),
        tuple(lines),
    )


def _named(part: Part, contact: int) -> str:
    """The name of a path as it fits; a long one keeps the number of its contact."""
    number = part.path_name(contact).removeprefix(part.name)
    room = NAME_MOST_PX - width_px(number, NAME_PX, True)
    return shortened(part.name, room, NAME_PX, True) + number


def _pole(pole: Pole, grid: Grid, space: Spacing) -> PolePlace:
    """The blade turns at the middle of its contacts. A link ends half way from there to the
    outermost contact that it comes from."""
    rows = [grid.row[index] for index in pole.rungs]
    y, link_y = median(space.y[row] for row in rows), None
    for row in rows:
        if (row, pole.gap) in grid.links.upward | grid.links.downward:
            link_y = (y + space.y[row]) / 2
    contacts = tuple(grid.rungs[index].contact for index in pole.rungs)
    return PolePlace(pole.part, contacts, space.middle[pole.gap], y, not pole.at_left, link_y)


def _link_line(
    line: tuple[Corner, ...], space: Spacing, poles: Mapping[Cell, PolePlace]
) -> tuple[tuple[float, float], ...]:
    """A link's corners; it ends at the blade of a change-over switch, and where it comes from above
    at the open blade of the contact."""
    corners = [space.corner(corner) for corner in line]
    for end, near in ((0, 1), (-1, -2)):
        x, y = corners[end]
        pole = poles.get((line[end].row, line[end].gap))
        if pole is not None and pole.link_y is not None:
            corners[end] = (x, pole.link_y)
        elif corners[near][1] < y:
            corners[end] = (x, y - BLADE_PX)
    return tuple(corners)


def _moved(place: RungPlace, x: float, y: float) -> RungPlace:
    def spot(one: Spot) -> Spot:
        return replace(one, x=one.x + x, y=one.y + y)

    return replace(
        place,
        x=x,
        y=y,
        name=spot(place.name),
        detail=spot(place.detail),
        readings=tuple(spot(line) for line in place.readings),
    )


def _bar(node: str, grid: Grid, space: Spacing, name: str, label: float) -> BarPlace:
    x = space.x[grid.column[node]]
    first, last = grid.span[node]
    top, bottom = space.y[first], space.y[last]
    leads = tuple(_leads(node, grid, space))
    rail = node in RAILS
    if leads and not rail:
        top, bottom = (side(lead.y for lead in leads) for side in (min, max))
    dots = () if rail else tuple(_dots(leads, top, bottom))
    if rail and bottom - top < 2 * _RAIL_STUB_PX:
        top, bottom = top - _RAIL_STUB_PX, bottom + _RAIL_STUB_PX
    base = space.y[first] - _TEXT_UP_PX
    return BarPlace(
        node,
        x,
        top,
        bottom,
        rail,
        leads,
        dots,
        Spot(x, base - _LINE_PX, label, "middle", NAME_PX, name),
        Spot(x, base, width_px(WIDEST_CONDITION)),
    )


def _earth(x: float, above: float) -> tuple[Spot, BarPlace]:
    """The box of the metal parts, and the bar of PE that they are joined to, below all else."""
    y = above + _EARTH_UP_PX
    width = width_px(METAL) + 16
    box = Spot(MARGIN_PX + width / 2, y + 4, width, text=METAL)
    label = width_px("earthed")
    bar = BarPlace(
        "PE",
        x,
        y - _RAIL_STUB_PX,
        y + _RAIL_STUB_PX,
        rail=True,
        leads=(Lead(MARGIN_PX + width, x, y),),
        dots=(),
        name=Spot(x, y - _TEXT_UP_PX - _LINE_PX, label, "middle", NAME_PX, "PE"),
        condition=Spot(x, y - _TEXT_UP_PX, label),
    )
    return box, bar


def _leads(node: str, grid: Grid, space: Spacing) -> Iterator[Lead]:
    for rung in grid.rungs:
        index = rung.index
        y = space.y[grid.row[index]]
        pole = grid.pole(index)
        if pole is not None and pole.common == node:
            if index != pole.rungs[0]:
                continue
            y = _pole(pole, grid, space).y
        half = ROOM[rung.kind].half
        middle = space.middle[grid.gap[index]]
        x = space.x[grid.column[node]]
        if grid.left[index] == node:
            yield Lead(x, middle - half, y, _hops(index, x, middle, grid, space))
        elif grid.right[index] == node:
            yield Lead(middle + half, x, y, _hops(index, middle, x, grid, space))


def _hops(index: int, start: float, stop: float, grid: Grid, space: Spacing) -> tuple[float, ...]:
    """Where the rung passes over bars that are not its own."""
    row = grid.row[index]
    bars = ((space.x[column], grid.span[node]) for node, column in grid.column.items())
    passed = (x for x, (first, last) in bars if start < x < stop and first <= row <= last)
    return tuple(sorted(passed))


def _dots(leads: Sequence[Lead], top: float, bottom: float) -> Iterator[float]:
    """A dot where three wires meet; a bar without length is a dot itself."""
    for y, count in sorted(Counter(lead.y for lead in leads).items()):
        if top == bottom or count + (y > top) + (y < bottom) > 2:
            yield y
