"""The symbols of the parts as lines and circles, and the room that each takes.

Resistor, lamp and diode are those of IEC 60617 as schemdraw draws them; zig-zag resistors are the
North American form (IEEE 315). The others are composed from memory of IEC 60617, without the
standard at hand: fuse (rectangle with the conductor through it), make contact, contact moved by
temperature or pressure (a box with θ or p, joined to the contact by a dashed line). Small circles
at the ends of a contact are ours, so that a closed contact is still seen to be one.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby
from typing import Literal, get_args

Style = Literal["iec", "north american"]
STYLES: tuple[Style, ...] = get_args(Style)
Point = tuple[float, float]


@dataclass(frozen=True)
class Outline:
    """A line through `points`, pixels from the centre of the symbol, y downwards."""

    points: tuple[Point, ...]
    dashed: bool = False


@dataclass(frozen=True)
class Ring:
    """A circle around a point of the rung."""

    x: float
    radius: float


@dataclass(frozen=True)
class Room:
    """What a symbol takes around its centre, in pixels: `half` to either side where its wires
    begin, `up` and `down` from the rung. A box that acts on a contact stands above that: it takes
    `box_half` to either side, up to `box_up`."""

    half: float
    up: float
    down: float
    box_half: float = 0.0
    box_up: float = 0.0


_CONTACT_HALF = 17.0
BLADE_PX = 7.0
"""How far the middle of an open contact's blade is above the rung."""

ROOM: dict[str, Room] = {
    "element": Room(23, 11.5, 11.5),
    "lamp": Room(12, 12, 12),
    "link": Room(20, 5, 5),
    "diode": Room(9, 11.5, 11.5),
    "switch": Room(_CONTACT_HALF, 14, 4),
    "thermal_fuse": Room(23, 9, 9),
    "pressure_switch": Room(_CONTACT_HALF, 14, 4, box_half=9.5, box_up=43),
    "thermostat": Room(_CONTACT_HALF, 14, 4, box_half=9.5, box_up=43),
}
"""Room by kind of part, the same in both styles and in every position."""

MARK: dict[str, tuple[str, float, float]] = {
    "thermostat": ("θ", 0.0, -28.0),
    "pressure_switch": ("p", 0.0, -28.5),
}
"""Letter in a symbol, and where its baseline is from the centre of the symbol, pixels."""


@lru_cache(maxsize=64)
def symbol(kind: str, style: Style, state: str, flip: bool) -> tuple[Outline | Ring, ...]:
    """The symbol of a kind of part; with `flip` its first terminal is on the right."""
    shapes = tuple(_shapes(kind, style, state))
    return tuple(map(_mirrored, shapes)) if flip else shapes


def _mirrored(shape: Outline | Ring) -> Outline | Ring:
    if isinstance(shape, Ring):
        return Ring(-shape.x, shape.radius)
    return Outline(tuple((-x, y) for x, y in shape.points), shape.dashed)


def _shapes(kind: str, style: Style, state: str) -> Iterator[Outline | Ring]:
    room = ROOM[kind]
    match kind:
        case "element" if style == "iec":
            yield from _drawn("ResistorIEC", 2 * room.half)
        case "element":
            yield from _drawn("ResistorIEEE", 2 * room.half)
        case "link" if style == "iec":
            yield _box(room.half, -room.up, room.down)
        case "link":
            yield from _drawn("ResistorIEEE", 2 * room.half)
        case "lamp":
            yield from _drawn("Lamp2", 2 * room.half)
        case "diode":
            yield from _drawn("Diode", 46.0, centre=0.175)
            yield Outline(((-room.half, 0), (room.half, 0)))
        case "thermal_fuse":
            yield _box(room.half, -room.up, room.down)
            if state == "closed":
                yield Outline(((-room.half, 0), (room.half, 0)))
            else:  # the melted conductor: two stubs that droop apart
                yield Outline(((-room.half, 0), (-10, 0), (-6, 4)))
                yield Outline(((6, 4), (10, 0), (room.half, 0)))
        case _:
            yield from _contact(room, state)


def _drawn(name: str, scale: float, centre: float = 0.5) -> Iterator[Outline | Ring]:
    """An element of schemdraw, `scale` pixels to its unit, around the x of its `centre`."""
    from schemdraw import elements  # with it comes matplotlib, so not before it is needed

    for segment in getattr(elements, name)().segments:
        if hasattr(segment, "radius"):
            yield Ring((segment.center[0] - centre) * scale, segment.radius * scale)
            continue
        path = [*segment.verts, segment.verts[0]] if hasattr(segment, "verts") else segment.path
        placed = [((x - centre) * scale, -y * scale) for x, y in path]
        # it separates the lines of one path by points that are NaN
        for drawn, points in groupby(placed, key=lambda point: point[0] == point[0]):
            line = tuple(points)
            if drawn and len(set(line)) > 1:
                yield Outline(line)


def _contact(room: Room, state: str) -> Iterator[Outline | Ring]:
    end, radius = room.half - 5, 2.5
    yield Ring(-end - radius, radius)
    yield Ring(end + radius, radius)
    yield Outline(((-end, 0), (end, 0)) if state == "closed" else ((-end, -1), (end, -13)))
    if room.box_half:
        yield _box(8.5, -42, -25)
        yield Outline(((0, -25), (0, -0.5 if state == "closed" else -BLADE_PX)), dashed=True)


def _box(half: float, top: float, bottom: float) -> Outline:
    corners = ((-half, bottom), (-half, top), (half, top), (half, bottom), (-half, bottom))
    return Outline(corners)
