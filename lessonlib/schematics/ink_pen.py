"""A pen for light paper: it knows how everything looks there, and each drawing library adds its own
line, disc and words."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace

from lessonlib.palette import LIGHT
from lessonlib.schematics import look
from lessonlib.schematics.painter import NO_DATA, Data, Line, Words
from lessonlib.schematics.places import Box, Lead
from lessonlib.schematics.symbols import Point


class InkPen(ABC):
    """Draws one state, in the order given; in `line`, `disc` and `words` y counts upwards."""

    every_state = False

    def __init__(self) -> None:
        self._origin: Point = (0.0, 0.0)

    @abstractmethod
    def line(self, points: Sequence[Point], colour: str, stroke: look.Stroke) -> None:
        """A line through `points`."""

    @abstractmethod
    def disc(self, centre: Point, radius: float, colour: str, width: float) -> None:
        """A circle; filled where its line has no `width`."""

    @abstractmethod
    def words(
        self, at: Point, text: str, colour: str, face: look.Face, size: float, middle: bool
    ) -> None:
        """One line of text with its baseline at `at`."""

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
        for line in lines if stroke.width else ():
            points = line.points if isinstance(line, Lead) else line
            self.line([self._up(*point) for point in points], LIGHT[stroke.colour], stroke)

    def circle(self, kind: str, x: float, y: float, radius: float, condition: str = "") -> None:
        width = 0.0 if kind == "dot" else look.stroke(kind).width
        self.disc(self._up(x, y), radius, look.colour(kind, condition), width)

    def text(
        self, kind: str, words: Sequence[Words], condition: str = "", data: Data = NO_DATA
    ) -> None:
        lines: list[Words] = []
        for each in words:
            if each.spot is None:
                lines[-1] = replace(lines[-1], text=f"{lines[-1].text}  {each.text}".strip())
            else:
                lines.append(each)
        for each in lines:
            if each.spot is not None and each.text:
                at, middle = self._up(each.spot.x, each.spot.y), each.spot.anchor == "middle"
                colour, face = look.colour(kind, condition), look.face(kind)
                self.words(at, each.text, colour, face, each.spot.size, middle)

    def area(self, kind: str, box: Box) -> None:
        """Nothing on paper can be pressed."""
        return

    def _up(self, x: float, y: float) -> Point:
        return (self._origin[0] + x, -self._origin[1] - y)
