"""The same drawing by matplotlib, for PNG and PDF: same layout, same symbols, light paper.

Nothing of matplotlib's global state is used or changed: no pyplot, no style. schemdraw's own
matplotlib backend loads pyplot, so its segments draw on a small canvas of ours instead.
"""

from __future__ import annotations

from dataclasses import replace
from math import cos, pi, sin
from pathlib import Path
from typing import TYPE_CHECKING, Any

from lessonlib.circuit.solution import Solution
from lessonlib.palette import INK, LIGHT, PAPER
from lessonlib.quantities import format_quantity
from lessonlib.schematics.captions import is_closed, summary
from lessonlib.schematics.layout import layout
from lessonlib.schematics.places import HOP_PX, BarPlace, Layout, Lead, RungPlace, Spot
from lessonlib.schematics.symbols import BLADE_PX, MARK, Style, draw
from lessonlib.schematics.text import shortened

if TYPE_CHECKING:
    from matplotlib.axes import Axes

PIXELS_PER_INCH = 96
_POINTS = 72 / PIXELS_PER_INCH
_PNG_DOTS_PER_INCH = 2 * PIXELS_PER_INCH

# colour, width of a wire, width of a rail (pixels), dashes: as in the style sheet
_LINE: dict[str, tuple[str, float, float, tuple[float, ...]]] = {
    "live": (LIGHT["live"], 3.2, 5.0, ()),
    "neutral": (LIGHT["neutral"], 1.9, 3.4, ()),
    "earthed": (LIGHT["earth"], 3.2, 5.0, ()),
    "between": (LIGHT["between"], 2.4, 4.0, (9, 3, 2, 3)),
    "floating": (LIGHT["floating"], 2.0, 3.4, (2, 3.5)),
    "": (LIGHT["floating"], 2.0, 2.0, ()),  # not told
}


def save_raster(
    now: Solution, readings: bool, style: Style, path: Path, conditions: bool = True
) -> None:
    """Write the drawing as .png or .pdf, by the suffix of `path`."""
    import matplotlib
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    place = layout(now.appliance, readings)
    foot, height = place.foot(summary(now, readings))
    figure = Figure(figsize=(place.width / PIXELS_PER_INCH, height / PIXELS_PER_INCH))
    FigureCanvasAgg(figure)
    axes = figure.add_axes((0, 0, 1, 1))
    axes.set_axis_off()
    axes.set_xlim(0, place.width)
    axes.set_ylim(-height, 0)  # y of the layout counts downwards
    # a $ in a name is a dollar sign, whatever the user's own settings say
    with matplotlib.rc_context({"text.parse_math": False, "font.family": ["sans-serif"]}):
        painter = Painter(axes, Canvas(axes))
        paint(painter, place, now, style, conditions)
        for y, words in foot:
            painter.text(replace(place.caption, y=y), words, fontweight="bold")
        # without the date the same drawing gives the same bytes
        dated = {"CreationDate": None} if path.suffix.lower() == ".pdf" else {}
        figure.savefig(path, dpi=_PNG_DOTS_PER_INCH, facecolor=PAPER, metadata=dated)


class Canvas:
    """What schemdraw's segments draw on: the three calls that the symbols need."""

    def __init__(self, axes: Axes) -> None:
        self.axes = axes

    def plot(
        self, x: Any, y: Any, *, color: str, ls: str, lw: float, zorder: int, **_: Any
    ) -> None:
        self.axes.plot(
            x,
            y,
            color=color,
            linestyle=(0, (1.9, 2.3)) if ls == "--" else "-",
            linewidth=lw,
            zorder=zorder,
            solid_capstyle="round",
            solid_joinstyle="round",
        )

    def poly(self, verts: Any, *, color: str, lw: float, zorder: int, **_: Any) -> None:
        from matplotlib.patches import Polygon

        outline = Polygon(verts, facecolor="none", edgecolor=color, linewidth=lw, zorder=zorder)
        self.axes.add_patch(outline)

    def circle(
        self, center: Any, radius: float, *, color: str, lw: float, zorder: int, **_: Any
    ) -> None:
        from matplotlib.patches import Circle

        outline = Circle(
            center, radius, facecolor="none", edgecolor=color, linewidth=lw, zorder=zorder
        )
        self.axes.add_patch(outline)


class Painter:
    """Draws in the layout's coordinates."""

    def __init__(self, axes: Axes, canvas: Canvas) -> None:
        self.axes = axes
        self.canvas = canvas

    def line(
        self,
        points: list[tuple[float, float]],
        colour: str,
        width: float,
        dashes: tuple[float, ...] = (),
        order: float = 1,
    ) -> None:
        style: Any = (0, tuple(dash / width for dash in dashes)) if dashes else "-"
        self.axes.plot(
            [x for x, _ in points],
            [-y for _, y in points],
            color=colour,
            linewidth=width * _POINTS,
            linestyle=style,
            solid_capstyle="butt",
            solid_joinstyle="round",
            zorder=order,
        )

    def text(self, spot: Spot, text: str, colour: str = INK, **style: Any) -> None:
        self.axes.text(
            spot.x,
            -spot.y,
            text,
            color=colour,
            fontsize=spot.size * _POINTS,
            horizontalalignment="left" if spot.anchor == "start" else "center",
            verticalalignment="baseline",
            zorder=5,
            **style,
        )

    def dot(self, x: float, y: float, colour: str) -> None:
        from matplotlib.patches import Circle

        self.axes.add_patch(Circle((x, -y), 3.4, facecolor=colour, edgecolor="none", zorder=2))


def paint(painter: Painter, place: Layout, now: Solution, style: Style, conditions: bool) -> None:
    for bar in place.bars:
        _paint_bar(painter, bar, now.node[bar.node].condition if conditions else "")
    for link in place.links:
        for line in link.lines:
            painter.line(list(line), INK, 1.3, (5, 4), order=3)
    for rung in place.rungs:
        _paint_rung(painter, rung, now, style)


def _paint_bar(painter: Painter, bar: BarPlace, condition: str) -> None:
    colour, thin, thick, dashes = _LINE[condition]
    strokes = [(colour, thin, thick, dashes)]
    if condition == "earthed":
        strokes.append((LIGHT["earth-stripe"], thin, thick, (7, 7)))
    for stroke, wire, rail, dash in strokes:
        for lead in bar.leads:
            painter.line(_lead_points(lead), stroke, wire, dash)
        if bar.top < bar.bottom:
            ends = [(bar.x, bar.top), (bar.x, bar.bottom)]
            painter.line(ends, stroke, rail if bar.rail else wire, dash)
    for y in bar.dots:
        painter.dot(bar.x, y, colour)
    painter.text(bar.name, bar.name.text, fontweight="bold")
    painter.text(bar.condition, condition, colour)


def _lead_points(lead: Lead) -> list[tuple[float, float]]:
    """The wire with its hops, each as a half circle of nine points."""
    points = [(lead.x, lead.y)]
    for hop in lead.hops:
        for step in range(9):
            angle = pi * (1 - step / 8)
            points.append((hop + HOP_PX * cos(angle), lead.y - HOP_PX * sin(angle)))
    return [*points, (lead.to, lead.y)]


def _paint_rung(painter: Painter, rung: RungPlace, now: Solution, style: Style) -> None:
    part = now.appliance.part(rung.part)
    state = ""
    if part.contacts:
        state = "closed" if is_closed(now, part, rung.contact) else "open"
    look = {"color": INK, "lw": 1.8 * _POINTS, "zorder": 4}
    draw(painter.canvas, part.kind, style, state, rung.x, -rung.y, rung.flip, **look)
    if (state == "open" and rung.linked_down) or (state == "closed" and rung.linked_up):
        reach = [(rung.x, rung.y), (rung.x, rung.y - BLADE_PX)]
        painter.line(reach, INK, 1.3, (2.5, 3), order=3)
    if part.kind in MARK:
        letter, x, y = MARK[part.kind]
        painter.text(Spot(rung.x + x, rung.y + y, 0.0, size=13.0), letter, fontstyle="italic")
    painter.text(rung.name, rung.name.text, fontweight="bold")
    if part.kind == "switch" and rung.contact == 1:
        position = shortened(now.setting[part.name], rung.detail.width)
        painter.text(rung.detail, position, fontstyle="italic")
    else:
        painter.text(rung.detail, rung.detail.text)
    if now.short is not None:
        return
    reading = now.part[part.name].contacts[rung.contact - 1]
    lines = (
        f"{format_quantity(reading.voltage_V, 'V')}  {format_quantity(reading.current_A, 'A')}",
        format_quantity(reading.power_W, "W"),
    )
    for spot, words in zip(rung.readings, lines, strict=False):
        painter.text(spot, words)
