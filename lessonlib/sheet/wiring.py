"""The schematic on a PDF page: the same layout and symbols as everywhere, drawn with the pen."""

from __future__ import annotations

from collections.abc import Callable
from math import isnan
from typing import Any

from lessonlib.circuit.solution import Solution
from lessonlib.palette import INK
from lessonlib.schematics.captions import summary
from lessonlib.schematics.layout import layout
from lessonlib.schematics.places import Spot
from lessonlib.schematics.raster import PIXELS_PER_INCH, Canvas, Painter, paint
from lessonlib.sheet.ink import Pen
from lessonlib.sheet.measure import font_name

_POINTS = 72 / PIXELS_PER_INCH
_DASHED = 1.3  # width of a dashed line, pixels: as in the drawing's style sheet


def draw_wiring(pen: Pen, now: Solution, x: float, y: float, scale_pt: float) -> None:
    """Draw the schematic with its upper left corner at (x, y), a pixel `scale_pt` points large."""
    canvas = pen.canvas
    place = layout(now.appliance, False)
    lines, _ = place.foot(summary(now, False))
    symbols = _Symbols()
    painter = _PenPainter(symbols)
    paint(painter, place, now, "iec", True)
    for base, words in lines:
        spot = Spot(place.caption.x, base, place.caption.width, "start", place.caption.size)
        painter.text(spot, words, fontweight="bold")
    canvas.saveState()
    canvas.translate(x, pen.height_pt - y)
    canvas.scale(scale_pt, scale_pt)
    for _, stroke in sorted(symbols.strokes, key=lambda one: one[0]):
        stroke(canvas)
    canvas.restoreState()


class _Symbols(Canvas):
    """What the symbols draw on: keeps each stroke with its order, as later ones may lie below."""

    def __init__(self) -> None:
        self.strokes: list[tuple[float, Callable[[Any], None]]] = []

    def plot(
        self, x: Any, y: Any, *, color: str, ls: str, lw: float, zorder: int, **_: Any
    ) -> None:
        width, dashes = (_DASHED, (2.5, 3)) if ls == "--" else (lw / _POINTS, ())
        points = list(zip(x, y, strict=True))
        self.path(points, color, width, dashes, zorder, round_ends=True)

    def poly(self, verts: Any, *, color: str, lw: float, zorder: int, **_: Any) -> None:
        self.path([*verts, verts[0]], color, lw / _POINTS, (), zorder, round_ends=True)

    def circle(
        self, center: Any, radius: float, *, color: str, lw: float, zorder: int, **_: Any
    ) -> None:
        def stroke(canvas: Any) -> None:
            canvas.setDash()
            canvas.setStrokeColor(color)
            canvas.setLineWidth(lw / _POINTS)
            canvas.circle(*center, radius, stroke=1, fill=0)

        self.strokes.append((zorder, stroke))

    def path(
        self,
        points: list[tuple[float, float]],
        colour: str,
        width: float,
        dashes: tuple[float, ...],
        order: float,
        *,
        round_ends: bool = False,
    ) -> None:
        """A line through `points`, y upwards."""

        def stroke(canvas: Any) -> None:
            canvas.setStrokeColor(colour)
            canvas.setLineWidth(width)
            canvas.setLineCap(1 if round_ends else 0)
            canvas.setLineJoin(1)
            canvas.setDash(*([list(dashes)] if dashes else []))
            line = canvas.beginPath()
            put = line.moveTo
            for x, y in points:
                if isnan(x):  # schemdraw's gap between two lines
                    put = line.moveTo
                    continue
                put(x, y)
                put = line.lineTo
            canvas.drawPath(line, stroke=1, fill=0)

        self.strokes.append((order, stroke))


class _PenPainter(Painter):
    """Draws in the layout's coordinates."""

    def __init__(self, symbols: _Symbols) -> None:
        self.canvas = symbols
        self.symbols = symbols

    def line(
        self,
        points: list[tuple[float, float]],
        colour: str,
        width: float,
        dashes: tuple[float, ...] = (),
        order: float = 1,
    ) -> None:
        self.symbols.path([(x, -y) for x, y in points], colour, width, dashes, order)

    def text(self, spot: Spot, text: str, colour: str = INK, **style: Any) -> None:
        face = "bold" if style.get("fontweight") == "bold" else "plain"
        name = font_name("italic" if style.get("fontstyle") == "italic" else face)

        def stroke(canvas: Any) -> None:
            canvas.setFillColor(colour)
            canvas.setFont(name, spot.size)
            put = canvas.drawString if spot.anchor == "start" else canvas.drawCentredString
            put(spot.x, -spot.y, text)

        self.symbols.strokes.append((5, stroke))

    def dot(self, x: float, y: float, colour: str) -> None:
        def stroke(canvas: Any) -> None:
            canvas.setFillColor(colour)
            canvas.circle(x, -y, 3.4, stroke=0, fill=1)

        self.symbols.strokes.append((2, stroke))
