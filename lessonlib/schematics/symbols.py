"""The symbols of the parts as lines and circles, and the room that each takes.

Resistor, lamp and diode are those of IEC 60617 as schemdraw draws them; zig-zag resistors are the
North American form (IEEE 315). The others are composed from memory of IEC 60617, without the
standard at hand: fuse (rectangle with the conductor through it), make contact, change-over contact,
what temperature or pressure moves (a box with θ or p, joined to it by a dashed line), and a push
button on that box where a person resets it. So a thermal fuse is a fuse under a box with θ, and one
that can be reset is a contact under it. Protective earth is three lines in a circle. Small circles
at the ends of a contact are ours, so that a closed contact is still seen to be one.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby
from math import hypot
from typing import Literal, get_args

from lessonlib.appliance.parts import Part, ThermalFuse

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
    """A circle, around a point of the rung where `y` is 0."""

    x: float
    radius: float
    y: float = 0.0


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
    "thermal_fuse": Room(23, 9, 9, box_half=9.5, box_up=43),
    "cut_out": Room(_CONTACT_HALF, 14, 4, box_half=9.5, box_up=49),
    "pressure_switch": Room(_CONTACT_HALF, 14, 4, box_half=9.5, box_up=43),
    "thermostat": Room(_CONTACT_HALF, 14, 4, box_half=9.5, box_up=43),
}
"""Room by kind of symbol, the same in both styles and in every position."""

_HEAT = ("θ", 0.0, -28.0)
MARK: dict[str, tuple[str, float, float]] = {
    "thermal_fuse": _HEAT,
    "cut_out": _HEAT,
    "thermostat": _HEAT,
    "pressure_switch": ("p", 0.0, -28.5),
}
"""Letter in a symbol, and where its baseline is from the centre of the symbol, pixels."""


def kind_of(part: Part) -> str:
    """The kind of symbol that a part has: its own kind, or "cut_out" for a thermal fuse that can be
    reset."""
    return "cut_out" if isinstance(part, ThermalFuse) and part.resettable else part.kind


@lru_cache(maxsize=64)
def symbol(kind: str, style: Style, state: str, flip: bool) -> tuple[Outline | Ring, ...]:
    """The symbol of a kind of part; with `flip` its first terminal is on the right."""
    shapes = tuple(_shapes(kind, style, state))
    return tuple(map(_mirrored, shapes)) if flip else shapes


_END, _RING = _CONTACT_HALF - 5, 2.5


def throw(pole_y: float, closed: bool, flip: bool) -> tuple[Outline | Ring, ...]:
    """A contact of a change-over switch: its fixed end, and closed the blade from `pole_y`."""
    x = -_END - _RING if flip else _END + _RING
    ring = Ring(x, _RING)
    if not closed:
        return (ring,)
    short = 1 - 2 * _RING / hypot(2 * x, pole_y)  # between the two rings
    middle, half = pole_y / 2, pole_y / 2 * short
    return ring, Outline(((-x * short, middle + half), (x * short, middle - half)))


def rest(flip: bool) -> tuple[Ring, Outline]:
    """Where the blade of a change-over switch turns, and the blade between its contacts."""
    side = -1 if flip else 1
    return Ring(-side * (_END + _RING), _RING), Outline(((-side * _END, 0), (side * _END, 0)))


EARTH_PX = 23.0
"""Height of the symbol of protective earth."""
EARTH: tuple[Outline | Ring, ...] = (
    Ring(0.0, 11.0, 12.0),
    Outline(((0, 0), (0, 8))),
    *(Outline(((-half, y), (half, y))) for half, y in ((7.5, 8), (5, 12), (2.5, 16))),
)
"""It hangs on the end of a bar."""


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
            yield from _moved_by(-room.up)
        case _:
            yield from _contact(state)
            if room.box_half:
                yield from _moved_by(-0.5 if state == "closed" else -BLADE_PX)
            if kind == "cut_out":
                yield Outline(((0, -42), (0, -48)))
                yield Outline(((-5, -48), (5, -48)))


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


def _contact(state: str) -> Iterator[Outline | Ring]:
    yield Ring(-_END - _RING, _RING)
    yield Ring(_END + _RING, _RING)
    yield Outline(((-_END, 0), (_END, 0)) if state == "closed" else ((-_END, -1), (_END, -13)))


def _moved_by(y: float) -> Iterator[Outline]:
    """The box of what acts on a symbol, joined to it at `y`."""
    yield _box(8.5, -42, -25)
    yield Outline(((0, -25), (0, y)), dashed=True)


def _box(half: float, top: float, bottom: float) -> Outline:
    corners = ((-half, bottom), (-half, top), (half, top), (half, bottom), (-half, bottom))
    return Outline(corners)
