"""The front door: `schematic` for a picture of one state, `live_svg` for the panel."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.settings import Setting
from lessonlib.circuit.situation import situation
from lessonlib.circuit.solution import solution_of
from lessonlib.page.document import scrolling
from lessonlib.palette import DARK, INK, PAPER, SHADE, declarations
from lessonlib.schematics.painter import Drawing
from lessonlib.schematics.svg import svg_of

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


@dataclass(frozen=True, eq=False, repr=False)
class Schematic:
    """A schematic of one state; shows itself in a notebook."""

    drawing: Drawing

    @cached_property
    def svg(self) -> str:
        """The drawing as SVG text, with CSS variables for its colours."""
        return svg_of(self.drawing)

    def __repr__(self) -> str:
        return self.drawing.told

    def _repr_mimebundle_(self, include: object = None, exclude: object = None) -> dict[str, str]:
        width = f"--hc-width: {self.drawing.place.width:.0f}px"
        style = f"<style>{_NOTEBOOK_STYLE}</style>"
        return {
            "text/html": f'<div class="hc-figure" style="{width}">{style}{self.svg}</div>',
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
    conditions: bool = True,
    earth: bool = False,
) -> Schematic:
    """A picture of `appliance` in one setting; see `solve` for the first arguments.

    `readings` are voltage (r.m.s.), current (r.m.s.) and power (mean) beside each part;
    `conditions` show what is live. Without both the drawing gives no answer away. `earth` adds the
    earth wire PE, with the metal parts that it is joined to, where there is one. Raises what
    `solve` raises.
    """
    now = solution_of(situation(appliance, setting, fault, reversed_plug, supply_voltage_V))
    return Schematic(Drawing(appliance, now, readings, conditions, earth))


def live_svg(appliance: Appliance, earth: bool = False) -> str:
    """The drawing for the live panel: both states of every contact, and no state set."""
    return svg_of(Drawing(appliance, None, earth=earth))
