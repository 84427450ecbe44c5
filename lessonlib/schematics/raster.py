"""Saves the drawing as PNG or PDF, with matplotlib.

Nothing of matplotlib's global state is used or changed: no pyplot, no style.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from lessonlib.palette import PAPER
from lessonlib.schematics.ink_pen import InkPen
from lessonlib.schematics.look import Face, Stroke
from lessonlib.schematics.painter import Drawing, paint
from lessonlib.schematics.symbols import Point

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_PIXELS_PER_INCH = 96
_POINTS = 72 / _PIXELS_PER_INCH
_PNG_DOTS_PER_INCH = 2 * _PIXELS_PER_INCH
_FACES: dict[Face, dict[str, Any]] = {
    "plain": {},
    "bold": {"fontweight": "bold"},
    "italic": {"fontstyle": "italic"},
}


def save_raster(drawing: Drawing, path: Path) -> None:
    """Write the drawing as .png or .pdf, by the suffix of `path`."""
    import matplotlib
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    width, (_, height) = drawing.place.width, drawing.foot
    figure = Figure(figsize=(width / _PIXELS_PER_INCH, height / _PIXELS_PER_INCH))
    FigureCanvasAgg(figure)
    axes = figure.add_axes((0, 0, 1, 1))
    axes.set_axis_off()
    axes.set_xlim(0, width)
    axes.set_ylim(-height, 0)  # y of the layout counts downwards
    # a $ in a name is a dollar sign, whatever the user's own settings say
    with matplotlib.rc_context({"text.parse_math": False, "font.family": ["sans-serif"]}):
        paint(_MatplotlibPen(axes), drawing)
        # without the date the same drawing gives the same bytes
        dated = {"CreationDate": None} if path.suffix.lower() == ".pdf" else {}
        figure.savefig(path, dpi=_PNG_DOTS_PER_INCH, facecolor=PAPER, metadata=dated)


class _MatplotlibPen(InkPen):
    """Everything has the same zorder, so that it is drawn in order."""

    def __init__(self, axes: Axes) -> None:
        super().__init__()
        self._axes = axes

    def line(self, points: Sequence[Point], colour: str, stroke: Stroke) -> None:
        x, y = zip(*points, strict=True)
        ends: Any = "round" if stroke.round_ends else "butt"
        dashes: Any = (0, tuple(dash / stroke.width for dash in stroke.dashes))
        self._axes.plot(
            x,
            y,
            color=colour,
            linewidth=stroke.width * _POINTS,
            linestyle=dashes if stroke.dashes else "-",
            solid_capstyle=ends,
            dash_capstyle=ends,
            solid_joinstyle="round",
            zorder=1,
        )

    def disc(self, centre: Point, radius: float, colour: str, width: float) -> None:
        from matplotlib.patches import Circle

        self._axes.add_patch(
            Circle(
                centre,
                radius,
                facecolor="none" if width else colour,
                edgecolor=colour if width else "none",
                linewidth=width * _POINTS,
                zorder=1,
            )
        )

    def words(
        self, at: Point, text: str, colour: str, face: Face, size: float, middle: bool
    ) -> None:
        self._axes.text(
            *at,
            text,
            color=colour,
            fontsize=size * _POINTS,
            horizontalalignment="center" if middle else "left",
            verticalalignment="baseline",
            zorder=1,
            **_FACES[face],
        )
