"""The schematic on a PDF page: the same drawing as everywhere, with a pen for reportlab."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from lessonlib.schematics.ink_pen import InkPen
from lessonlib.schematics.look import Face, Stroke
from lessonlib.schematics.painter import Drawing, paint
from lessonlib.schematics.symbols import Point
from lessonlib.sheet.ink import TaggedPdf
from lessonlib.sheet.measure import font_name


def draw_wiring(pen: TaggedPdf, drawing: Drawing, x: float, y: float, scale_pt: float) -> None:
    """Draw the schematic with its upper left corner at (x, y), a pixel `scale_pt` points large."""
    canvas = pen.canvas
    canvas.saveState()
    canvas.translate(x, pen.height_pt - y)
    canvas.scale(scale_pt, scale_pt)
    paint(_ReportlabPen(canvas), drawing)
    canvas.restoreState()


class _ReportlabPen(InkPen):
    def __init__(self, canvas: Any) -> None:
        super().__init__()
        self._canvas = canvas

    def line(self, points: Sequence[Point], colour: str, stroke: Stroke) -> None:
        canvas = self._canvas
        canvas.setStrokeColor(colour)
        canvas.setLineWidth(stroke.width)
        canvas.setLineCap(1 if stroke.round_ends else 0)
        canvas.setLineJoin(1)
        canvas.setDash(list(stroke.dashes))
        path = canvas.beginPath()
        path.moveTo(*points[0])
        for point in points[1:]:
            path.lineTo(*point)
        canvas.drawPath(path, stroke=1, fill=0)

    def disc(self, centre: Point, radius: float, colour: str, width: float) -> None:
        canvas = self._canvas
        canvas.setDash([])
        canvas.setStrokeColor(colour)
        canvas.setFillColor(colour)
        canvas.setLineWidth(width)
        canvas.circle(*centre, radius, stroke=int(width > 0), fill=int(width == 0))

    def words(
        self, at: Point, text: str, colour: str, face: Face, size: float, middle: bool
    ) -> None:
        canvas = self._canvas
        canvas.setFillColor(colour)
        canvas.setFont(font_name(face), size)
        put = canvas.drawCentredString if middle else canvas.drawString
        put(*at, text)
