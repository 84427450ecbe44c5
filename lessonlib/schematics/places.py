"""What a laid-out schematic consists of: places in pixels, as frozen values."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import cos, pi, sin
from typing import Literal, NamedTuple

from lessonlib.schematics.symbols import ROOM, Point
from lessonlib.schematics.text import ASCENT, DESCENT, SMALL_PX, wrapped

HOP_PX = 6.0
"""Radius of the arc in which a rung passes over a foreign bar."""

CAPTION_LINE_PX = 17.0


class Box(NamedTuple):
    left: float
    top: float
    right: float
    bottom: float

    @classmethod
    def around(cls, boxes: Iterable[Box]) -> Box:
        """The smallest box with all of `boxes` in it."""
        lefts, tops, rights, bottoms = zip(*boxes, strict=True)
        return cls(min(lefts), min(tops), max(rights), max(bottoms))

    def meets(self, other: Box) -> bool:
        """Whether the two have any area in common."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )


@dataclass(frozen=True)
class Spot:
    """A place for one line of text: `y` is its baseline, `width` what is kept free for it."""

    x: float
    y: float
    width: float
    anchor: Literal["start", "middle"] = "middle"
    size: float = SMALL_PX
    text: str = ""

    @property
    def box(self) -> Box:
        """What the line may cover."""
        left = self.x if self.anchor == "start" else self.x - self.width / 2
        return Box(
            left, self.y - ASCENT * self.size, left + self.width, self.y + DESCENT * self.size
        )


@dataclass(frozen=True)
class Lead:
    """A horizontal wire of a node from `x` to `to`, hopping over a foreign bar at each `hops`."""

    x: float
    to: float
    y: float
    hops: tuple[float, ...] = ()

    @property
    def points(self) -> list[Point]:
        """The wire as a line, each hop as a half circle of nine points."""
        arc = [(cos(angle), sin(angle)) for angle in (pi * (1 - step / 8) for step in range(9))]
        hopped = [(hop + HOP_PX * x, self.y - HOP_PX * y) for hop in self.hops for x, y in arc]
        return [(self.x, self.y), *hopped, (self.to, self.y)]


@dataclass(frozen=True)
class BarPlace:
    """A node: its bar at `x` from `top` to `bottom`, the wires up to the parts, and its text."""

    node: str
    x: float
    top: float
    bottom: float
    rail: bool
    leads: tuple[Lead, ...]
    dots: tuple[float, ...]
    name: Spot
    condition: Spot


@dataclass(frozen=True)
class PolePlace:
    """The blade of a change-over switch, from (x, y), where its wire ends, to one of `contacts`.
    With `flip` the wire comes from the right. `link_y` is where the switch's link ends on it."""

    part: str
    contacts: tuple[int, ...]
    x: float
    y: float
    flip: bool
    link_y: float | None = None


@dataclass(frozen=True)
class RungPlace:
    """One path through a part: the centre of its symbol, and its texts. `detail` is the line below
    the name: a rating or a switch's position. With `flip` its first terminal is on the right;
    `linked_up` and `linked_down` say where a link leaves a contact. `pole` is the blade that comes
    to it, where it is not a contact of its own."""

    part: str
    kind: str
    contact: int
    left: str
    right: str
    x: float
    y: float
    flip: bool
    linked_up: bool
    linked_down: bool
    name: Spot
    detail: Spot
    readings: tuple[Spot, ...]
    pole: PolePlace | None = None

    @property
    def symbol(self) -> tuple[Box, ...]:
        """What the symbol covers: its body, and a box above it where it has one; of a change-over
        switch the way that its blade takes to this contact."""
        room, x, y = ROOM[self.kind], self.x, self.y
        if self.pole is not None:
            way = (y > self.pole.y) - (y < self.pole.y)
            top, bottom = sorted((self.pole.y + 2 * way, y + 4 * way))
            return (Box(x - room.half, top, x + room.half, bottom),)
        body = Box(x - room.half, y - room.up, x + room.half, y + room.down)
        if not room.box_half:
            return (body,)
        return (body, Box(x - room.box_half, y - room.box_up, x + room.box_half, body.top))

    @property
    def reach(self) -> Box:
        """What shows that a contact can be pressed: symbol and name, at least 44 pixels wide and
        high."""
        least = Box(self.x - 23, self.y - 35, self.x + 23, self.y + 5)
        left, top, right, bottom = Box.around((*self.symbol, self.name.box, self.detail.box, least))
        return Box(left - 2, top - 2, right + 2, bottom + 2)

    @property
    def whole(self) -> Box:
        """All that belongs to it, its readings too: any of this takes a click or a touch."""
        return Box.around((self.reach, *(text.box for text in self.readings)))


@dataclass(frozen=True)
class Layout:
    """A schematic, ready to be drawn. `links` has by switch the dashed lines that join its
    contacts, each as its corners. `metal` is the box of the metal parts, where they are
    drawn."""

    width: float
    height: float
    bars: tuple[BarPlace, ...]
    rungs: tuple[RungPlace, ...]
    links: Mapping[str, Sequence[tuple[Point, ...]]]
    poles: tuple[PolePlace, ...]
    metal: Spot | None
    caption: Spot

    @property
    def crossings(self) -> int:
        """How many times a wire hops over a foreign bar."""
        return sum(len(lead.hops) for bar in self.bars for lead in bar.leads)

    def foot(self, text: str) -> tuple[list[tuple[float, str]], float]:
        """`text` below the drawing as lines (baseline, words), and the height with all of them."""
        words = wrapped(text, self.caption.width, self.caption.size, bold=True)
        lines = [
            (self.caption.y + CAPTION_LINE_PX * number, line) for number, line in enumerate(words)
        ]
        return lines, self.height + CAPTION_LINE_PX * (len(lines) - 1)
