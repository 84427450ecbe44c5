"""A pen on light paper, where every stroke has its final look; a library of drawing adds three
strokes to it."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from math import isnan
from typing import Any

from lessonlib.palette import LIGHT
from lessonlib.schematics import look
from lessonlib.schematics.painter import NO_DATA, Data, Line, Words
from lessonlib.schematics.places import Box, Lead, Point
from lessonlib.schematics.symbols import Style, draw


class InkPen(ABC):
    """Draws one state, in the order in which it is told. It is also what schemdraw's segments draw
    on, with y upwards: the three calls that the symbols need."""

    every_state = False

    def __init__(self) -> None:
        self._origin: Point = (0.0, 0.0)

    @abstractmethod
    def line(self, points: Sequence[Point], colour: str, stroke: look.Stroke) -> None:
        """A line through `points`, y upwards."""

    @abstractmethod
    def circle_at(self, centre: Point, radius: float, colour: str, width: float | None) -> None:
        """A circle, y upwards; filled where it has no `width`."""

    @abstractmethod
    def words(
        self, at: Point, text: str, colour: str, face: look.Face, size: float, middle: bool
    ) -> None:
        """One line of text with its baseline at `at`, y upwards."""

    @contextmanager
    def group(
        self, kinds: str, title: str = "", *, at: Point | None = None, data: Data = NO_DATA
    ) -> Iterator[None]:
        before = self._origin
        self._origin = at or before
        yield
        self._origin = before

    def lines(self, kind: str, lines: Sequence[Line], condition: str = "") -> None:
        stroke = look.stroke(kind, condition)
        if stroke is None:
            return
        for line in lines:
            points = line.points if isinstance(line, Lead) else line
            self.line([self._up(*point) for point in points], LIGHT[stroke.colour], stroke)

    def dot(self, x: float, y: float, condition: str) -> None:
        self.circle_at(self._up(x, y), look.DOT_RADIUS_PX, look.colour("dot", condition), None)

    def symbol(self, kind: str, style: Style, state: str, flip: bool) -> None:
        draw(self, kind, style, state, *self._up(0.0, 0.0), flip)

    def text(
        self, kind: str, words: Sequence[Words], condition: str = "", data: Data = NO_DATA
    ) -> None:
        lines: list[Words] = []
        for each in words:
            if each.spot is None:
                lines[-1] = replace(lines[-1], text=f"{lines[-1].text}  {each.text}")
            else:
                lines.append(each)
        for each in lines:
            if each.spot is not None and each.text:
                at, middle = self._up(each.spot.x, each.spot.y), each.spot.anchor == "middle"
                colour, face = look.colour(kind, condition), look.face(kind)
                self.words(at, each.text, colour, face, each.spot.size, middle)

    def area(self, kind: str, box: Box) -> None:
        """Paper is not pressed."""
        return

    def _up(self, x: float, y: float) -> Point:
        return (self._origin[0] + x, -self._origin[1] - y)

    def plot(self, x: Any, y: Any, *, ls: str = "-", **_: Any) -> None:
        """A line of a symbol; it has a gap where a coordinate is not a number."""
        stroke = look.stroke("dashed" if ls == "--" else "symbol")
        assert stroke is not None
        points: list[Point] = []
        for point in zip(x, y, strict=True):
            if isnan(point[0]):
                self.line(points, LIGHT["ink"], stroke)
                points = []
            else:
                points.append(point)
        self.line(points, LIGHT["ink"], stroke)

    def poly(self, verts: Any, **_: Any) -> None:
        """A closed outline of a symbol."""
        x, y = zip(*verts, verts[0], strict=True)
        self.plot(x, y)

    def circle(self, center: Any, radius: float, **_: Any) -> None:
        """A circle of a symbol."""
        self.circle_at(tuple(center), radius, LIGHT["ink"], look.CIRCLE_PX)
