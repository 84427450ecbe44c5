"""The front door: `schematic` for a picture of one state, `live_svg` for the panel."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from os import PathLike
from pathlib import Path

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.settings import Setting
from lessonlib.circuit.situation import situation
from lessonlib.circuit.solution import Solution, solution_of
from lessonlib.errors import DrawingError, shown
from lessonlib.page.document import scrolling
from lessonlib.palette import DARK, INK, PAPER, SHADE, declarations
from lessonlib.schematics.painter import Drawing
from lessonlib.schematics.svg import svg_of
from lessonlib.schematics.symbols import STYLES, Style

SUFFIXES = (".svg", ".png", ".pdf")

_DARK = declarations(
    DARK, "live", "neutral", "earth", "earth-stripe", "between", "floating", "alarm"
)
# What a notebook shows the drawing with: colours from its theme, lighter ones on a dark page. On a
# narrow page it shrinks, to letters of 9 px, and then scrolls sideways in a box of its own.
_NOTEBOOK_STYLE = f"""\
.hc-figure {{ max-width: 100%; --hc-paper: transparent; \
--hc-ink: var(--jp-content-font-color1, {INK}); --hc-page: var(--jp-layout-color0, {PAPER}); }}
{scrolling(".hc-figure", "var(--hc-page)", SHADE)}
.hc-figure svg.hc-schematic {{ width: 100%; height: auto; \
min-width: calc(0.75 * var(--hc-width)); max-width: var(--hc-width); }}
[data-jp-theme-light="false"] .hc-figure {{ {_DARK}; }}"""


@dataclass(frozen=True, eq=False)
class Schematic:
    """A schematic of one state; shows itself in a notebook, and can be saved."""

    solution: Solution
    readings: bool = True
    symbols: Style = "iec"
    conditions: bool = True
    earth: bool = False
    marked: frozenset[str] = frozenset()
    note: str = ""

    @cached_property
    def svg(self) -> str:
        """The drawing as SVG text, with CSS variables for its colours."""
        return svg_of(self.drawing)

    @property
    def _plain_svg(self) -> str:
        return svg_of(self.drawing, plain=True)

    @cached_property
    def drawing(self) -> Drawing:
        """What a pen is to draw."""
        now, shown = self.solution, (self.readings, self.symbols, self.conditions, self.earth)
        return Drawing(now.appliance, now, *shown, self.marked, self.note)

    def save(self, path: str | PathLike[str]) -> None:
        """Write the drawing to `path`; its suffix says how: .svg, .png or .pdf.

        Raises `DrawingError` for another suffix, and `OSError` where the file cannot be written.
        """
        target = Path(path)
        suffix = target.suffix.lower()
        if suffix not in SUFFIXES:
            raise DrawingError(
                f"cannot save a schematic as {shown(target.name)}: found suffix {shown(suffix)}. "
                f"Accepted: {', '.join(SUFFIXES)}. End the file's name in one of these."
            )
        if suffix == ".svg":
            target.write_text(self._plain_svg, "utf-8")
            return
        from lessonlib.schematics.raster import save_raster  # loads matplotlib

        save_raster(self.drawing, target)

    def __repr__(self) -> str:
        return self.drawing.told

    def _repr_mimebundle_(self, include: object = None, exclude: object = None) -> dict[str, str]:
        width = f"--hc-width: {self.drawing.place.width:.0f}px"
        style = f"<style>{_NOTEBOOK_STYLE}</style>"
        return {
            "text/html": f'<div class="hc-figure" style="{width}">{style}{self.svg}</div>',
            "image/svg+xml": self._plain_svg,
            "text/plain": repr(self),
        }


def schematic(
    appliance: Appliance,
    setting: Setting | None = None,
    *,
    fault: Fault | str | None = None,
    reversed_plug: bool = False,
    supply_voltage_V: float | None = None,
    readings: bool = True,
    symbols: Style = "iec",
    conditions: bool = True,
    earth: bool = False,
) -> Schematic:
    """A picture of `appliance` in one setting; see `solve` for the first arguments.

    `readings` are voltage (r.m.s.), current (r.m.s.) and power (mean) beside each part; `symbols`
    is "iec" or "north american" (zig-zag resistors). `conditions` show what is live. Without
    conditions and readings the drawing gives no answer away. `earth` adds the earth wire PE, with
    the metal parts that it is joined to, where there is one. Raises what `solve` raises, and
    `DrawingError` for other symbols.
    """
    if symbols not in STYLES:
        raise DrawingError(
            f"found symbols={shown(symbols)}; accepted: "
            f"{', '.join(shown(style) for style in STYLES)}. Use one of these, or leave it out."
        )
    at = situation(appliance, setting, fault, reversed_plug, supply_voltage_V)
    return Schematic(solution_of(at), bool(readings), symbols, bool(conditions), bool(earth))


def live_svg(appliance: Appliance, earth: bool = False) -> str:
    """The drawing for the live panel: both states of every contact, and no state set."""
    return svg_of(Drawing(appliance, None, earth=earth))
