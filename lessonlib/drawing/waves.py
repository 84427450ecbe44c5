"""Pictures of a waveform: `waves`, its voltage, current and power over a cycle, and `spectrum`,
the bars of its harmonics. The marks and their words come from exact values; only the line itself is
drawn through points. matplotlib loads when the first picture is made.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape
from typing import Any

import numpy as np

from lessonlib.electric.network import Floats
from lessonlib.electric.wave import Wave
from lessonlib.electric.waveform import Waveform
from lessonlib.errors import DrawingError, shown
from lessonlib.quantities import format_quantity

QUANTITIES = ("voltage", "current", "power")
_UNIT = {"voltage": "V", "current": "A", "power": "W"}
# Colours that keep 4.5 to 1 against the paper; lines also differ in dash and carry their names.
_COLOUR = {"voltage": "#1f4e9c", "current": "#8a4b08", "power": "#a11d33"}
_INK, _GREY, _PAPER = "#1d1d1f", "#5f6368", "#ffffff"
_DASH = {"peak": (0, (1, 2)), "r.m.s.": (0, (7, 2)), "mean": (0, (7, 2, 1, 2))}
_STYLE = {
    "svg.hashsalt": "lessonlib",  # the same names inside the file, hence the same bytes, every time
    "svg.fonttype": "none",  # text stays text
    "font.family": "sans-serif",
    "font.size": 10.5,
    "axes.facecolor": "none",
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.edgecolor": _GREY,
    "axes.labelcolor": _INK,
    "xtick.color": _INK,
    "ytick.color": _INK,
}
_BOX = (
    "overflow-x: auto; max-width: 680px; background: "
    f"linear-gradient(to right, {_PAPER} 40%, {_PAPER}00) left / 40px 100% local, "
    f"linear-gradient(to left, {_PAPER} 40%, {_PAPER}00) right / 40px 100% local, "
    "linear-gradient(to right, #00000066, #00000000) left / 12px 100% scroll, "
    f"linear-gradient(to left, #00000066, #00000000) right / 12px 100% scroll, {_PAPER}; "
    "background-repeat: no-repeat"
)
_POINTS = 240  # a cycle drawn with a point every 1.5 degrees looks round
_LABEL_GAP = 0.16  # of a panel's height, between the words of two marks


@dataclass(frozen=True)
class Picture:
    """A picture as SVG text, and its finding in words. Shows itself in a notebook."""

    svg: str
    finding: str

    def __repr__(self) -> str:
        return self.finding

    def _repr_mimebundle_(self, include: object = None, exclude: object = None) -> dict[str, str]:
        """The picture on paper of its own, so that it can be read on a dark page too. Where the
        page is narrow it scrolls sideways, and a shade hints at what is beyond the edge."""
        named = f'<svg role="img" aria-label="{escape(self.finding)}" '
        named += 'style="display: block; width: 100%; min-width: 440px; height: auto" '
        picture = self.svg.replace("<svg ", named, 1)
        return {
            "text/html": f'<div style="{_BOX}" tabindex="0">{picture}</div>',
            "text/plain": self.finding,
        }


def waves(
    wave: Waveform,
    quantities: Sequence[str] = QUANTITIES,
    *,
    predicted: Waveform | None = None,
    predicted_name: str = "predicted",
) -> Picture:
    """`wave` over one cycle, one panel a quantity, with its peak, r.m.s. and mean marked.

    `predicted` is drawn dashed in grey, under `predicted_name`. Raises `DrawingError` for a
    quantity that is not voltage, current or power, and `WaveformError` for one that is undefined.
    """
    wanted = tuple(quantities)
    unknown = [quantity for quantity in wanted if quantity not in QUANTITIES]
    if unknown or not wanted:
        raise DrawingError(
            f"found quantities {shown(wanted)}; accepted: one or more of "
            f"{', '.join(QUANTITIES)}. Use these words."
        )
    t_s = _times(wave)
    with _style():
        figure, rows = _figure(len(wanted), 1.75 * len(wanted) + 0.55, right=0.78)
        for axes, quantity in zip(rows, wanted, strict=True):
            values = _values(wave, quantity, t_s)
            axes.axhline(0, color=_GREY, linewidth=0.8)
            if predicted is not None:
                other = _values(predicted, quantity, t_s)
                axes.plot(1e3 * t_s, other, color=_GREY, linewidth=1.3, dashes=(4, 3))
                at = int(np.argmin(np.abs(t_s - 0.75 * wave.period_s)))
                beside = (1e3 * t_s[at], 0.45 * other[at])  # inside the half wave, clear of it
                axes.annotate(predicted_name, beside, ha="center", va="center", color=_GREY)
            axes.plot(1e3 * t_s, values, color=_COLOUR[quantity], linewidth=2.2)
            axes.set_ylabel(f"{quantity}, {_UNIT[quantity]}")
            axes.set_xlim(0, 1e3 * wave.period_s)
            _mark(axes, _marks(wave, quantity), _UNIT[quantity], _COLOUR[quantity])
            if axes is not rows[-1]:
                axes.tick_params(labelbottom=False)
        rows[-1].set_xlabel("time, ms")
        figure.align_ylabels()
        return Picture(_svg(figure), _finding(wave, wanted))


def spectrum(wave: Wave, name: str, orders: Iterable[int] = range(9)) -> Picture:
    """Bars of the r.m.s. values of the harmonics of `wave`, which belongs to `name`."""
    found = wave.fourier(orders)
    names = ["d.c." if each.order == 0 else f"{each.order * wave.frequency_Hz:g}" for each in found]
    with _style():
        figure, (axes,) = _figure(1, 2.9, right=0.97)
        places = range(len(found))
        axes.bar(places, [each.rms for each in found], color="#1f4e9c", width=0.6)
        for place, each in zip(places, found, strict=True):
            axes.annotate(
                format_quantity(_clean(each.rms, wave.rms), wave.unit),
                (place, each.rms),
                xytext=(0, 3),
                textcoords="offset points",
                ha="center",
            )
        axes.set_xticks(list(places), names)
        axes.set_xlabel("frequency, Hz")
        axes.set_ylabel(f"r.m.s., {wave.unit}")
        axes.set_ylim(0, 1.15 * max(each.rms for each in found) or 1)
        svg = _svg(figure)
    largest = [
        f"{format_quantity(each.rms, wave.unit)} {'d.c.' if each.order == 0 else f'at {hertz} Hz'}"
        for each, hertz in zip(found, names, strict=True)
        if each.rms > 0.01 * wave.rms
    ]
    total = format_quantity(wave.rms, wave.unit)
    return Picture(svg, f"{name}: {', '.join(largest)}; r.m.s. of all together {total}")


def _style() -> Any:
    import matplotlib

    settings: Any = _STYLE
    return matplotlib.rc_context(settings)


def _figure(count: int, height_in: float, right: float) -> tuple[Any, list[Any]]:
    from matplotlib.figure import Figure

    figure = Figure(figsize=(6.6, height_in), facecolor="none")
    # transparent: the paper is that of the box around it, whose shade has to show through
    rows = figure.subplots(count, 1, sharex=True, squeeze=False)[:, 0]
    bottom = 0.52 / height_in
    figure.subplots_adjust(0.115, bottom, right, 1 - 0.12 / height_in, hspace=0.16)
    return figure, list(rows)


def _svg(figure: Any) -> str:
    text = io.StringIO()
    figure.savefig(text, format="svg", metadata={"Date": None, "Creator": None})
    return re.sub(r"^.*?(?=<svg )", "", text.getvalue(), flags=re.DOTALL)


def _times(wave: Waveform) -> Floats:
    """Even steps over a cycle, and every instant at which a diode turns."""
    even = np.linspace(0, wave.period_s, _POINTS + 1)
    return np.unique(np.concatenate([even, wave.breakpoints_s]))


def _values(wave: Waveform, quantity: str, t_s: Floats) -> Floats:
    if quantity == "voltage":
        return wave.voltage_V(t_s)
    return wave.current_A(t_s) if quantity == "current" else wave.power_W(t_s)


def _marks(wave: Waveform, quantity: str) -> dict[str, float]:
    if quantity == "power":
        return {"peak": wave.power_peak_W, "mean": wave.power_mean_W}
    one = wave.voltage if quantity == "voltage" else wave.current
    assert one is not None  # its values have been drawn by now
    extreme = one.highest if one.highest >= -one.lowest else one.lowest
    return {"peak": extreme, "r.m.s.": one.rms, "mean": _clean(one.mean, one.rms)}


def _clean(value: float, scale: float) -> float:
    """Zero for what is only rounding."""
    return 0.0 if abs(value) < 1e-9 * scale else value


def _words(value: float, unit: str) -> str:
    return format_quantity(value, unit).replace("-", "−")


def _mark(axes: Any, marks: dict[str, float], unit: str, colour: str) -> None:
    """A line for each mark across the panel, with its words to the right, clear of each other."""
    for value in marks.values():
        axes.update_datalim([(0, value)])
    axes.autoscale_view(scalex=False)
    low, high = axes.get_ylim()
    axes.set_ylim(low, high)
    gap = _LABEL_GAP * (high - low)
    place = float("inf")
    for name, value in sorted(marks.items(), key=lambda item: -item[1]):
        axes.axhline(value, color=colour, linewidth=1.1, linestyle=_DASH[name])
        place = min(value, place - gap)
        axes.annotate(
            f"{name} {_words(value, unit)}",
            (1, value),
            xycoords=("axes fraction", "data"),
            xytext=(1.03, place),
            textcoords=("axes fraction", "data"),
            va="center",
            color=_INK,
            arrowprops={"arrowstyle": "-", "color": _GREY, "linewidth": 0.7, "shrinkA": 0},
        )


def _finding(wave: Waveform, quantities: tuple[str, ...]) -> str:
    said = []
    for quantity in quantities:
        marks = ", ".join(
            f"{name} {_words(value, _UNIT[quantity])}"
            for name, value in _marks(wave, quantity).items()
        )
        said.append(f"{quantity} {marks}")
    return f"{wave.name} over {format_quantity(wave.period_s, 's')}: " + "; ".join(said)
