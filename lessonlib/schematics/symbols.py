"""The symbols of the parts, drawn by schemdraw, and the room that each takes.

Resistor, lamp, diode and make contact follow the open standard IEC 60617 as schemdraw draws them;
zig-zag resistors are the North American form (IEEE 315). The others are composed here from memory
of IEC 60617, without the standard at hand: fuse (rectangle with the conductor through it), contact
moved by temperature or pressure (a box with θ or p, joined to the contact by a dashed line). Small
circles at the ends of a contact are ours, so that a closed contact is still seen to be one.
"""

from __future__ import annotations

import importlib
import sys
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Literal, get_args
from xml.etree import ElementTree

Style = Literal["iec", "north american"]
STYLES: tuple[Style, ...] = get_args(Style)


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

_MODULES = (
    "schemdraw.elements",
    "schemdraw.segments",
    "schemdraw.transform",
    "schemdraw.util",
    "schemdraw.types",
    "schemdraw.backends.svg",
)


@lru_cache(maxsize=1)
def _schemdraw() -> list[Any]:
    """schemdraw, without matplotlib where nobody has loaded that yet.

    schemdraw loads matplotlib (a third of a second) whenever it can, and then makes it the default.
    Here matplotlib is out of its sight for the time of the import, and the copy of schemdraw that
    results is ours alone: whoever imports schemdraw later gets a whole one, with its own settings.
    """
    if "schemdraw" in sys.modules or "matplotlib.pyplot" in sys.modules:
        return [importlib.import_module(name) for name in _MODULES]
    hidden = {
        name: sys.modules.pop(name)
        for name in list(sys.modules)
        if name == "matplotlib" or name.startswith("matplotlib.")
    }
    sys.modules["matplotlib"] = None  # type: ignore[assignment]  # makes its import fail
    try:
        return [importlib.import_module(name) for name in _MODULES]
    finally:
        del sys.modules["matplotlib"]
        sys.modules.update(hidden)
        for name in list(sys.modules):
            if name == "schemdraw" or name.startswith("schemdraw."):
                del sys.modules[name]


def _pieces(kind: str, style: Style, state: str) -> list[tuple[Any, float, float]]:
    """schemdraw segments of a symbol with their scale (pixels a unit) and the x of their centre."""
    elements, segments, _, util = _schemdraw()[:4]
    line, circle = segments.Segment, segments.SegmentCircle
    gap = util.Point((float("nan"), float("nan")))

    def ready(element: Any, scale: float, centre: float) -> list[tuple[Any, float, float]]:
        return [(segment, scale, centre) for segment in element.segments]

    def own(*made: Any) -> list[tuple[Any, float, float]]:
        return [(segment, 1.0, 0.0) for segment in made]

    if kind == "element":
        shape = elements.ResistorIEC if style == "iec" else elements.ResistorIEEE
        return ready(shape(), 46.0, 0.5)
    if kind == "lamp":
        return ready(elements.Lamp2(), 24.0, 0.5)
    if kind == "diode":
        return ready(elements.Diode(), 46.0, 0.175) + own(line([(-9, 0), (9, 0)]))
    if kind == "link":
        if style == "iec":
            return own(line([(-20, -5), (-20, 5), (20, 5), (20, -5), (-20, -5)]))
        return [(segment, 40.0, 0.5) for segment in elements.ResistorIEEE().segments]
    if kind == "thermal_fuse":
        box = line([(-23, -9), (-23, 9), (23, 9), (23, -9), (-23, -9)])
        if state == "closed":
            return own(box, line([(-23, 0), (23, 0)]))
        # the melted conductor: two stubs that droop apart
        return own(box, line([(-23, 0), (-10, 0), (-6, -4), gap, (6, -4), (10, 0), (23, 0)]))
    tip = (_CONTACT_HALF - 5, 0.0) if state == "closed" else (_CONTACT_HALF - 5, 13.0)
    start = -_CONTACT_HALF + 5
    made = [
        circle((-_CONTACT_HALF + 2.5, 0), 2.5),
        circle((_CONTACT_HALF - 2.5, 0), 2.5),
        line([(start, 0.0 if state == "closed" else 1.0), tip]),
    ]
    if kind != "switch":
        height = BLADE_PX if state == "open" else 0.5
        made += [
            line([(-8.5, 25), (-8.5, 42), (8.5, 42), (8.5, 25), (-8.5, 25)]),
            line([(0, 25), (0, height)], ls="--"),
        ]
    return own(*made)


def draw(figure: Any, kind: str, style: Style, state: str, x: float, y: float, flip: bool) -> None:
    """Draw a symbol on `figure` (a schemdraw figure, or what looks like one to its segments),
    centred at (x, y), y upwards. With `flip` its first terminal is on the right."""
    transform = _schemdraw()[2].Transform
    for segment, scale, centre in _pieces(kind, style, state):
        if flip:
            segment.doreverse(centre)
        segment.draw(figure, transform(0, (x, y), (-centre, 0), scale))


@lru_cache(maxsize=256)
def svg_symbol(kind: str, style: Style, state: str, flip: bool) -> str:
    """The symbol as SVG elements around (0, 0), without colours: those are in the style sheet."""
    types, backend = _schemdraw()[4:]
    figure = backend.Figure(types.BBox(0, 0, 1, 1), inches_per_unit=1 / backend.PT_PER_IN)
    draw(figure, kind, style, state, 0.0, 0.0, flip)
    found = []
    for _, element in figure.svgelements:
        if "stroke-dasharray:-;" not in element.attrib.pop("style"):
            element.set("class", "hc-dashed")
        found.append(ElementTree.tostring(element, encoding="unicode").replace(" />", "/>"))
    return "".join(found)
