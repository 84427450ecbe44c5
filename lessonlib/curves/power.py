"""`power_curve`: what a part gives on every supply voltage, beside what one might guess."""

from __future__ import annotations

from collections.abc import Sequence

from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.settings import Setting
from lessonlib.circuit.solution import solve
from lessonlib.curves.picture import Picture, panels, style, svg_text
from lessonlib.palette import DRIVE, INK, QUIET
from lessonlib.quantities import format_quantity

_STEPS = 60  # so many straight pieces look like a curve
_WIDTH_IN = 4.9  # so that all of it fits a phone
_ABOVE = 1.15  # the picture goes a little beyond the highest voltage of interest


def power_curve(
    appliance: Appliance,
    part: str,
    volts: Sequence[float],
    setting: Setting | None = None,
) -> Picture:
    """The power of `part` from 0 V up to a little above the highest of `volts` (r.m.s., V).

    A dashed straight line shows the guess that power follows voltage; it meets the curve at the
    supply voltage of the file. Each of `volts` is marked with its power. Raises what `solve` does.
    """
    solved_W = {volt: _power_W(appliance, part, volt, setting) for volt in sorted(volts)}
    file_V = appliance.supply.voltage_V
    file_W = _power_W(appliance, part, file_V, setting)
    most_V = _ABOVE * max(*solved_W, file_V)
    run_V = [most_V * step / _STEPS for step in range(1, _STEPS + 1)]
    run_W = [_power_W(appliance, part, volt, setting) for volt in run_V]
    with style():
        figure, (axes,) = panels([2.3], left=0.16, right=0.98, width_in=_WIDTH_IN)
        axes.plot([0, *run_V], [0, *run_W], color=DRIVE, linewidth=2.2)
        axes.plot([0, most_V], [0, file_W * most_V / file_V], color=QUIET, dashes=(4, 3))
        for volt, watts in solved_W.items():
            above = volt > file_V  # on the side of the curve where the dashed line is not
            axes.plot(volt, watts, marker="o", color=INK)
            axes.annotate(
                f"{format_quantity(watts, 'W')} on {volt:g} V",
                (volt, watts),
                xytext=(-9, 4) if above else (9, -4),
                textcoords="offset points",
                ha="right" if above else "left",
                va="bottom" if above else "top",
                color=INK,
            )
        middle_V = 0.55 * file_V
        axes.annotate(
            "the guess",
            (middle_V, file_W * middle_V / file_V),
            xytext=(-9, 4),
            textcoords="offset points",
            ha="right",
            color=QUIET,
        )
        axes.set_xlim(0, most_V * 1.22)
        axes.set_ylim(0)
        axes.set_xlabel("supply voltage, V (r.m.s.)")
        axes.set_ylabel(f"power of {part}, W")
        svg = svg_text(figure)
    found = ", ".join(f"{format_quantity(w, 'W')} on {v:g} V" for v, w in solved_W.items())
    said = f"Power of {part}: {found}; the curve bends upward"
    return Picture(svg, said, min_width_px=300, max_width_px=520)


def _power_W(appliance: Appliance, part: str, volts: float, setting: Setting | None) -> float:
    return solve(appliance, setting, supply_voltage_V=volts).part[part].power_W or 0.0
