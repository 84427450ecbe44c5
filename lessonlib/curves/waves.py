"""Picture of a waveform: `waves`, its voltage, current and power over a cycle.

The marks and their words come from exact values; only the line itself is drawn through points.
matplotlib loads when the first picture is made.
"""

from __future__ import annotations

import numpy as np

from lessonlib.circuit.network import Floats
from lessonlib.circuit.waveform import Waveform
from lessonlib.curves.picture import FONT_PT, WIDTH_IN, Mark, Picture, mark, panels, style, svg_text
from lessonlib.palette import DRIVE, FLOW, HEAT, QUIET
from lessonlib.quantities import format_quantity
from lessonlib.schematics.text import shortened

_UNIT = {"voltage": "V", "current": "A", "power": "W"}
# Lines also differ in dash and carry their names.
_COLOUR = {"voltage": DRIVE, "current": FLOW, "power": HEAT}
_DASH = {"peak": (0, (1, 2)), "r.m.s.": (0, (7, 2)), "mean": (0, (7, 2, 1, 2))}
_RIGHT = 0.74  # where the panels end, as a share of the width
_BESIDE_PT = 72 * WIDTH_IN * (1 - _RIGHT) - 12
_POINTS = 240  # a cycle drawn with a point every 1.5 degrees looks round


def waves(
    wave: Waveform,
    *,
    predicted: Waveform | None = None,
    predicted_name: str = "predicted",
) -> Picture:
    """Voltage, current and power of `wave` over one cycle, with peak, r.m.s. and mean marked.

    `predicted` is drawn dashed in grey, and named beside it. Raises `WaveformError` where one of
    the three is undefined.
    """
    even = np.linspace(0, wave.period_s, _POINTS + 1)
    t_s = np.unique(np.concatenate([even, wave.breakpoints_s]))  # each instant that a diode turns
    with style():
        figure, rows = panels([1.55] * len(_UNIT), right=_RIGHT)
        for axes, quantity in zip(rows, _UNIT, strict=True):
            values = _values(wave, quantity, t_s)
            axes.axhline(0, color=QUIET, linewidth=0.8)
            marks = _marks(wave, quantity)
            if predicted is not None:
                other = _values(predicted, quantity, t_s)
                axes.plot(1e3 * t_s, other, color=QUIET, linewidth=1.3, dashes=(4, 3))
                name = shortened(f"dashed: {predicted_name}", _BESIDE_PT, FONT_PT)
                marks.append(Mark(other[-1], name, colour=QUIET))
            axes.plot(1e3 * t_s, values, color=_COLOUR[quantity], linewidth=2.2)
            axes.set_xlim(0, 1e3 * wave.period_s)
            for one in marks:
                axes.update_datalim([(0, one.value)])
            axes.autoscale_view(scalex=False)
            nothing = axes.dataLim.height < 1e-9  # as the power of an ideal diode
            axes.set_ylim((-1, 1) if nothing else axes.get_ylim())
            milli = "m" if 1e-9 < axes.dataLim.height < 0.1 else ""  # as the current of a lamp
            axes.set_ylabel(f"{quantity}, {milli}{_UNIT[quantity]}")
            if milli:
                axes.yaxis.set_major_formatter(
                    lambda value, _: f"{1e3 * value:g}".replace("-", "−")
                )
            mark(axes, marks, _COLOUR[quantity])
        rows[-1].set_xlabel("time, ms")
        figure.align_ylabels()
        return Picture(svg_text(figure), _finding(wave))


def _values(wave: Waveform, quantity: str, t_s: Floats) -> Floats:
    values: Floats = getattr(wave, f"{quantity}_{_UNIT[quantity]}")(t_s)
    return values


def _marks(wave: Waveform, quantity: str) -> list[Mark]:
    """What is marked beside the panel of a quantity, in words."""
    if quantity == "power":
        found = {"peak": wave.power_peak_W, "mean": wave.power_mean_W}
    else:
        one = wave.voltage if quantity == "voltage" else wave.current
        assert one is not None  # its values have been drawn by now
        extreme = one.highest if one.highest >= -one.lowest else one.lowest
        mean = 0.0 if abs(one.mean) < 1e-9 * one.rms else one.mean  # only rounding
        found = {"peak": extreme, "r.m.s.": one.rms, "mean": mean}
    unit = _UNIT[quantity]
    return [
        Mark(value, f"{name} {format_quantity(value, unit)}".replace("-", "−"), _DASH[name])
        for name, value in found.items()
    ]


def _finding(wave: Waveform) -> str:
    said = [f"{each} {', '.join(one.words for one in _marks(wave, each))}" for each in _UNIT]
    return f"{wave.name} over {format_quantity(wave.period_s, 's')}: " + "; ".join(said)
