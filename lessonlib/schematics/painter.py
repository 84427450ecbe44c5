"""Goes through a laid-out circuit once, and tells a pen what to draw, in order.

Everything drawn has the name of its kind ("wire", "part-name"), as in the style sheet.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass, replace
from functools import cached_property
from types import MappingProxyType
from typing import Protocol

from lessonlib.appliance.fault import is_closed
from lessonlib.appliance.parts import Appliance, Part
from lessonlib.appliance.terminals import has_earth
from lessonlib.circuit.solution import PathReading, Solution
from lessonlib.schematics.captions import (
    NO_CURRENT,
    conditions_of,
    description,
    finding,
    reading_values,
    summary,
)
from lessonlib.schematics.layout import METAL_HALF_PX, layout
from lessonlib.schematics.places import BarPlace, Box, Layout, Lead, PolePlace, RungPlace, Spot
from lessonlib.schematics.symbols import (
    BLADE_PX,
    EARTH,
    MARK,
    Outline,
    Point,
    Ring,
    Style,
    rest,
    symbol,
    throw,
)
from lessonlib.schematics.text import shortened

DOT_RADIUS_PX = 3.4
MARKED = "▲"

Line = Lead | tuple[Point, ...]
Data = Mapping[str, str]
NO_DATA: Data = MappingProxyType({})


@dataclass(frozen=True)
class Words:
    """Words at a spot; without one, behind the words before them."""

    text: str
    spot: Spot | None = None
    quantity: str = ""


class Pen(Protocol):
    """Something that draws: y counts downwards, lengths are pixels."""

    every_state: bool
    """Whether it draws both states of each contact, and where a contact can be pressed."""

    def group(
        self, kinds: str, title: str = "", *, at: Point | None = None, data: Data = NO_DATA
    ) -> AbstractContextManager[None]:
        """What is drawn within belongs together, with its origin `at`."""

    def lines(self, kind: str, lines: Sequence[Line], condition: str = "") -> None:
        """Lines of one kind, in the look that the node's condition gives them."""

    def circle(self, kind: str, x: float, y: float, radius: float, condition: str = "") -> None:
        """A "dot" that joins wires, or a "ring"."""

    def text(
        self, kind: str, words: Sequence[Words], condition: str = "", data: Data = NO_DATA
    ) -> None:
        """Words of one kind; the first have a spot."""

    def area(self, kind: str, box: Box) -> None:
        """Where a contact can be pressed."""


@dataclass(frozen=True)
class Drawing:
    """What is to be drawn: one state, or with `now` None only what is the same in every state.

    Without `conditions` it does not show what is live. `earth` adds PE and the metal parts. A sign
    stands at the parts named in `marked`, and `note` says why to people who cannot see it.
    """

    appliance: Appliance
    now: Solution | None
    readings: bool = True
    style: Style = "iec"
    conditions: bool = True
    earth: bool = False
    marked: frozenset[str] = frozenset()
    note: str = ""

    @property
    def earthed(self) -> bool:
        """Whether PE is drawn with the metal parts on it: if asked for, and its wire is sound."""
        fault = None if self.now is None else self.now.fault
        off = fault is not None and fault.kind == "earth wire off"
        return self.earth and has_earth(self.appliance) and not off

    @property
    def place(self) -> Layout:
        """Where everything is."""
        return layout(self.appliance, self.readings, self.earthed)

    @cached_property
    def foot(self) -> tuple[list[tuple[float, str]], float]:
        """The lines below the drawing (baseline, words), and the height with all of them."""
        return self.place.foot("" if self.now is None else summary(self.now, self.readings))

    @cached_property
    def conditions_now(self) -> Mapping[str, str]:
        """The condition of each point, where it is shown."""
        return conditions_of(self.now) if self.now is not None and self.conditions else {}

    @property
    def told(self) -> str:
        """The drawing of a state in words, for people who cannot see it."""
        assert self.now is not None
        drawn = finding(self.now, self.readings, self.conditions, self.earthed)
        return ". ".join(filter(None, (self.note, drawn)))

    @property
    def shorted(self) -> bool:
        """Whether it shows a short circuit, which has no readings."""
        return self.now is not None and self.now.short is not None


def paint(pen: Pen, drawing: Drawing) -> None:
    """Draw it all, wires first."""
    place = drawing.place
    for bar in place.bars:
        _node(pen, bar, drawing)
    if place.metal is not None:
        _metal(pen, place.metal)
    for part, lines in place.links.items():
        with pen.group("link", f"{part}, its contacts move together", data={"part": part}):
            for line in lines:
                pen.lines("link-line", [line])
    for rung in place.rungs:
        _part(pen, rung, drawing.appliance.part(rung.part), drawing)
    for pole in place.poles:
        _pole(pen, pole, drawing)
    kind = "summary" if drawing.now is not None and not drawing.shorted else "short"
    foot, _ = drawing.foot
    pen.text(kind, [Words(words, replace(place.caption, y=y)) for y, words in foot])


def _node(pen: Pen, bar: BarPlace, drawing: Drawing) -> None:
    if bar.node not in drawing.appliance.nodes:
        condition = "earthed"  # PE, in every state
    else:
        condition = drawing.conditions_now.get(bar.node, "")
    title = ", ".join(filter(None, (f"point {bar.node}", condition)))
    upright: list[Line] = [((bar.x, bar.top), (bar.x, bar.bottom))] if bar.top < bar.bottom else []
    wires = [*([] if bar.rail else upright), *bar.leads]
    with pen.group("node", title, data={"node": bar.node, "condition": condition}):
        if wires:
            pen.lines("wire", wires, condition)
        if bar.rail:
            pen.lines("rail", upright, condition)
        pen.lines("wire-over", [*upright, *bar.leads], condition)
        for y in bar.dots:
            pen.circle("dot", bar.x, y, DOT_RADIUS_PX, condition)
        pen.text("node-name", [Words(bar.name.text, bar.name)])
        pen.text("node-condition", [Words(condition, bar.condition)], condition)
        if bar.node == "PE":
            with pen.group("symbol", at=(bar.x, bar.bottom)):
                _shapes(pen, EARTH)


def _metal(pen: Pen, words: Spot) -> None:
    """What a person can touch, joined to PE."""
    half, up = words.width / 2, METAL_HALF_PX
    corners = ((-half, up), (-half, -up), (half, -up), (half, up), (-half, up))
    with pen.group("metal", f"{words.text}, joined to PE"):
        with pen.group("symbol", at=(words.x, words.y - 4)):
            pen.lines("outline", [corners])
        pen.text("rating", [Words(words.text, words)])


def _part(pen: Pen, rung: RungPlace, part: Part, drawing: Drawing) -> None:
    now = drawing.now
    words = [description(part, rung.contact), "marked" if part.name in drawing.marked else ""]
    kinds, data, state = "part", {"part": part.name, "kind": part.kind}, ""
    if part.contacts:
        kinds = "part contact"
        if now is not None:
            state = "closed" if _is_closed(now, part, rung.contact) else "open"
        data |= {"contact": str(rung.contact), "state": state}
        words.append(state)
    found = now.part[part.name].contacts[rung.contact - 1] if now is not None else None
    if found is not None and drawing.readings:
        values = reading_values(found)
        words += [value for value in values.values() if value != "–"]
        words += [] if "current" in values else [NO_CURRENT]
    with pen.group(kinds, ", ".join(filter(None, words)), data=data):
        _symbol(pen, rung, part, drawing.style, state)
        fault = None if now is None else now.fault
        at = fault.contact if fault is not None and fault.part == part.name else 0
        sign = f"{MARKED} " if part.name in drawing.marked and rung.contact == (at or 1) else ""
        pen.text("part-name", [Words(sign + rung.name.text, rung.name)])
        chosen = part.kind == "switch" and rung.contact == 1
        if rung.detail.text:
            pen.text("rating", [Words(rung.detail.text, rung.detail)])
        if part.contacts and pen.every_state:
            pen.area("touch", rung.whole)
            pen.area("hit", rung.reach)
        if chosen:
            position = "" if now is None else shortened(now.setting[part.name], rung.detail.width)
            pen.text("position", [Words(position, rung.detail)], data={"part": part.name})
        if rung.readings and not drawing.shorted:
            named = {"part": part.name, "contact": str(rung.contact)}
            pen.text("reading", _readings(rung, found), data=named)


def _is_closed(now: Solution, part: Part, contact: int) -> bool:
    return is_closed(part, contact, now.setting[part.name], now.fault)


def _symbol(pen: Pen, rung: RungPlace, part: Part, style: Style, state: str) -> None:
    with pen.group("symbol", at=(rung.x, rung.y)):
        if not part.contacts:
            _shapes(pen, symbol(rung.kind, style, "", rung.flip))
        for each in ("open", "closed") if part.contacts else ():
            if each == state or pen.every_state:
                with pen.group(f"when-{each}"):
                    _contact(pen, rung, style, each)
                    # a link ends at one state's blade; in the other a piece is added to reach it
                    if rung.pole is not None and each == "closed":
                        _reach(pen, rung.pole, (rung.pole.y + rung.y) / 2, rung.y)
                    elif rung.linked_down if each == "open" else rung.linked_up:
                        pen.lines("dashed", [((0.0, 0.0), (0.0, -BLADE_PX))])
        if rung.kind in MARK:
            letter, x, y = MARK[rung.kind]
            pen.text("mark", [Words(letter, Spot(x, y, 0.0, size=13.0))])


def _contact(pen: Pen, rung: RungPlace, style: Style, state: str) -> None:
    if rung.pole is not None:
        _shapes(pen, throw(rung.pole.y - rung.y, state == "closed", rung.pole.flip))
    else:
        _shapes(pen, symbol(rung.kind, style, state, rung.flip))


def _shapes(pen: Pen, shapes: Sequence[Outline | Ring]) -> None:
    for shape in shapes:
        if isinstance(shape, Outline):
            pen.lines("dashed" if shape.dashed else "outline", [shape.points])
        else:
            pen.circle("ring", shape.x, shape.y, shape.radius)


def _pole(pen: Pen, pole: PolePlace, drawing: Drawing) -> None:
    """Where the blade turns; and the blade itself where it is at no contact."""
    part, now = drawing.appliance.part(pole.part), drawing.now
    data = {"part": pole.part, "contacts": ",".join(map(str, pole.contacts))}
    resting = now is None or not any(_is_closed(now, part, one) for one in pole.contacts)
    with pen.group("symbol pole", at=(pole.x, pole.y)):
        ring, blade = rest(pole.flip)
        pen.circle("ring", ring.x, ring.y, ring.radius)
        if resting or pen.every_state:
            with pen.group("rest", data={**data, "state": "open" if resting else "closed"}):
                pen.lines("outline", [blade.points])
                _reach(pen, pole, pole.y, pole.y)


def _reach(pen: Pen, pole: PolePlace, y: float, origin_y: float) -> None:
    """The piece of a link from where it ends to the blade, which its middle line meets at `y`."""
    if pole.link_y is not None and pole.link_y != y:
        pen.lines("dashed", [((0.0, pole.link_y - origin_y), (0.0, y - origin_y))])


def _readings(rung: RungPlace, found: PathReading | None) -> list[Words]:
    """Voltage and current on the first line, power on the second where there is room for it."""
    spots = (rung.readings[0], None, *rung.readings[1:])
    values = {} if found is None else reading_values(found)
    names = ("voltage", "current", "power")
    return [
        Words(values.get(name, ""), spot, name) for name, spot in zip(names, spots, strict=False)
    ]
