"""Where the points of a fault bench are in its drawing: ends of parts, points of the file, and the
plug's pins and the metalwork in a strip above it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np

from lessonlib.appliance.parts import TERMINALS, Appliance
from lessonlib.appliance.terminals import metalwork, plug_fuse, terminals
from lessonlib.circuit.opened import points
from lessonlib.schematics.layout import layout
from lessonlib.schematics.places import BarPlace, RungPlace
from lessonlib.schematics.symbols import ROOM, Point
from lessonlib.schematics.text import width_px

_STRIP_Y_PX = -22.0
_APART_PX = 26.0  # two points that a finger can tell apart
_CLEAR_PX = 24.0  # how far the end of a throw is put aside, off the middle of what turns the switch


def places(appliance: Appliance) -> list[dict[str, Any]]:
    """Every point with its place in the drawing. Those of the plug and the metalwork are in a strip
    above it, which the file does not draw."""
    place = layout(appliance, False)
    rungs = {(rung.part, rung.contact): rung for rung in place.rungs}
    ends = terminals(appliance)
    at: dict[str, Point] = {}
    for first, second in zip(ends[::2], ends[1::2], strict=True):
        rung = rungs[first.part, first.contact or 1]
        left, right = _ends(rung)
        at[str(first)], at[str(second)] = (right, left) if rung.flip else (left, right)
    for bar in place.bars:
        if bar.node not in TERMINALS:
            at[bar.node] = _spot(bar, list(at.values()))
    pins = ("L", plug_fuse(appliance), "N", "PE", metalwork(appliance))
    strip = [name for name in pins if name in points(appliance)]
    x = width_px("Plug") + 44.0
    for name in strip:
        at[name] = (x, _STRIP_Y_PX)
        x += width_px(name) + (60.0 if name == strip[-2] else 39.0)
    return [
        {"name": name, "x": round(at[name][0], 1), "y": round(at[name][1], 1)}
        | ({"strip": True} if name in strip else {})
        for name in points(appliance)
    ]


def _ends(rung: RungPlace) -> tuple[Point, Point]:
    """Where the wires of a path begin on its left and on its right."""
    out = max(ROOM[rung.kind].half + 1, _APART_PX / 2)
    x, y = [rung.x - out, rung.x + out], [rung.y, rung.y]
    # contacts that share a blade have their ends above and below where it turns
    pole = rung.pole
    if pole is not None:
        way = (rung.y > pole.y) - (rung.y < pole.y)
        y[int(pole.flip)] = pole.y + way * _APART_PX / 2
        x[int(not pole.flip)] += -_CLEAR_PX if pole.flip else _CLEAR_PX
    return (x[0], y[0]), (x[1], y[1])


def _spot(bar: BarPlace, taken: Sequence[Point]) -> Point:
    """A place on the wires of a point, away from all that are taken: a dot if one is."""
    steps = np.linspace(0, 1, 17).tolist()
    along = [(bar.x, bar.top + (bar.bottom - bar.top) * step) for step in steps]
    along += [(lead.x + (lead.to - lead.x) * step, lead.y) for lead in bar.leads for step in steps]
    every = [*((bar.x, y) for y in bar.dots), *along]
    return max(every, key=lambda spot: min(_APART_PX, *(math.dist(spot, t) for t in taken)))
