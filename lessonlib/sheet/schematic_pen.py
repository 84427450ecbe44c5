"""The pen that draws a schematic on a PDF page: one state, in the colours of paper."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Any

from lessonlib.palette import LIGHT
from lessonlib.schematics import look
from lessonlib.schematics.painter import NO_DATA, Data, Line, Words
from lessonlib.schematics.places import Box, Lead
from lessonlib.schematics.symbols import Point
from lessonlib.sheet.measure import font_name


class SchematicPen:
    """Draws on a canvas of reportlab, on which y counts upwards from the top of the drawing."""

    every_state = False

    def __init__(self, canvas: Any) -> None:
        self._canvas = canvas

    @contextmanager
    def group(
        self, kinds: str, title: str = "", *, at: Point | None = None, data: Data = NO_DATA
    ) -> Iterator[None]:
        """What is drawn within has its origin `at`."""
        self._canvas.saveState()
        if at is not None:
            self._canvas.translate(at[0], -at[1])
        yield
        self._canvas.restoreState()

    def lines(self, kind: str, lines: Sequence[Line], condition: str = "") -> None:
        """Lines in the look of their kind; one without width does not show."""
        canvas, stroke = self._canvas, look.stroke(kind, condition)
        if not stroke.width:
            return
        canvas.setStrokeColor(LIGHT[stroke.colour])
        canvas.setLineWidth(stroke.width)
        canvas.setLineCap(1 if stroke.round_ends else 0)
        canvas.setLineJoin(1)
        canvas.setDash(list(stroke.dashes))
        for line in lines:
            path = canvas.beginPath()
            draw = path.moveTo
            for x, y in line.points if isinstance(line, Lead) else line:
                draw(x, -y)
                draw = path.lineTo
            canvas.drawPath(path, stroke=1, fill=0)

    def circle(self, kind: str, x: float, y: float, radius: float, condition: str = "") -> None:
        """A dot is filled, a ring is not."""
        canvas, colour = self._canvas, look.colour(kind, condition)
        canvas.setDash([])
        canvas.setStrokeColor(colour)
        canvas.setFillColor(colour)
        canvas.setLineWidth(look.stroke(kind).width)
        canvas.circle(x, -y, radius, stroke=int(kind != "dot"), fill=int(kind == "dot"))

    def text(
        self, kind: str, words: Sequence[Words], condition: str = "", data: Data = NO_DATA
    ) -> None:
        """Words at their spots, those without one behind the words before them."""
        canvas = self._canvas
        canvas.setFillColor(look.colour(kind, condition))
        for number, each in enumerate(words):
            behind = words[number + 1 :]
            more = behind[:1] if behind and behind[0].spot is None else ()
            text = "  ".join(one.text for one in (each, *more)).strip()
            if each.spot is not None and text:
                canvas.setFont(font_name(look.face(kind)), each.spot.size)
                middle = each.spot.anchor == "middle"
                put = canvas.drawCentredString if middle else canvas.drawString
                put(each.spot.x, -each.spot.y, text)

    def area(self, kind: str, box: Box) -> None:
        """Nothing on paper can be pressed."""
