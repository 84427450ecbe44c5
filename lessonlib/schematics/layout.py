"""Lays an appliance out as a drawing in pixels: geometry alone, without colours or state."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
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

    def placed(rung: Rung, x: float = 0, y: float = 0, pole: PolePlace | None = None) -> RungPlace:
        return _rung(rung, parts[rung.part], grid, readings, x, y, pole)

    names = {node: shortened(node, NODE_MOST_PX, NAME_PX, True) for node in grid.nodes}
    labels = {
        node: max(width_px(name, NAME_PX, True), width_px(WIDEST_CONDITION))
        for node, name in names.items()
    }
    space = spacing_of(grid, {rung.index: placed(rung) for rung in grid.rungs}, labels)
    bars = tuple(_bar(node, grid, space, names[node], labels[node]) for node in grid.nodes)
    found = [(pole, _pole(pole, grid, space)) for pole in grid.poles]
    poles = {index: place for pole, place in found for index in pole.rungs}
    rungs = tuple(
        placed(rung, space.middle[grid.gap[number]], space.y[grid.row[number]], poles.get(number))
        for number, rung in enumerate(grid.rungs)
    )
    reached = {(grid.row[index], grid.gap[index]): pole for index, pole in poles.items()}
    links = {
        part: [_link_line(line, space, reached) for line in lines]
        for part, lines in grid.links.lines.items()
    }
    width = max(_LEAST_WIDTH_PX, *(b.name.x + labels[b.node] / 2 + MARGIN_PX for b in bars))
    bottom, metal = space.bottom + _FOOT_PX, None
    if earth and "PE" not in grid.nodes:
        metal, below = _earth(next(bar.x for bar in bars if bar.node == "N"), space.bottom)
        bars += (below,)
        bottom = below.bottom + EARTH_PX + _FOOT_PX
    caption = Spot(MARGIN_PX, bottom + 4, width - 2 * MARGIN_PX, "start", NAME_PX)
    blades = tuple(place for _, place in found)
    height = bottom + _CAPTION_PX - 10
    return Layout(width, height, bars, rungs, links, blades, metal, caption)


def _rung(
    rung: Rung,
    part: Part,
    grid: Grid,
    readings: bool,
    x: float,
    y: float,
    blade: PolePlace | None,
) -> RungPlace:
    """A rung with its texts, its symbol's centre at (x, y)."""
    room = ROOM[rung.kind]
    cell = (grid.row[rung.index], grid.gap[rung.index])
    up, down = cell in grid.links.upward, cell in grid.links.downward
    # text moves to the side where a box or the dashed line of a link is in its way
    aside = _ASIDE_PX if up else room.box_half and room.box_half + 4.5
    aside_below = _ASIDE_PX if down else 0.0
    pole = grid.pole(rung.index)
    if pole is not None and pole.at_left:  # beside the blade
        aside = aside_below = room.half + _ASIDE_PX

    def spot(
        aside: float, down: float, width: float, size: float = SMALL_PX, text: str = ""
    ) -> Spot:
        if pole is not None and not pole.at_left:
            left = x - room.half - _ASIDE_PX - width / 2
            return Spot(left, y + down, width, "middle", size, text)
        return Spot(x + aside, y + down, width, "start" if aside else "middle", size, text)

    name, detail = _named(part, rung.contact), rating(part)
    room_for = [detail]
    if part.kind == "switch" and rung.contact == 1:  # its position, which the state decides
        room_for = [shortened(position, NAME_MOST_PX) for position in part.positions]
    base = -_TEXT_UP_PX if any(room_for) else _LINE_PX - _TEXT_UP_PX
    lines: list[Spot] = []
    if readings:
        lines.append(spot(aside_below, room.down + 15.0, width_px(WIDEST_READING) + 8))
    if readings and not part.contacts:
        lines.append(spot(aside_below, room.down + 15.0 + _LINE_PX, width_px(WIDEST_POWER)))
    left, right = grid.left[rung.index], grid.right[rung.index]
    return RungPlace(
        part=rung.part,
        kind=rung.kind,
        contact=rung.contact,
        left=left,
        right=right,
        x=x,
        y=y,
        flip=left != rung.between[0],
        linked_up=up,
        linked_down=down,
        name=spot(aside, base - _LINE_PX, width_px(name, NAME_PX, True), NAME_PX, name),
        detail=spot(aside, base, max(map(width_px, room_for)), text=detail),
        readings=tuple(lines),
        pole=blade,
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
    y = median(space.y[row] for row in rows)
    linked = grid.links.upward | grid.links.downward
    ends = [(y + space.y[row]) / 2 for row in rows if (row, pole.gap) in linked]
    contacts = tuple(grid.rungs[index].contact for index in pole.rungs)
    x, flip = space.middle[pole.gap], not pole.at_left
    return PolePlace(pole.part, contacts, x, y, flip, ends[-1] if ends else None)


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
