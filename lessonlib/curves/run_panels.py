"""The panels of a heating curve, one function each: curve, power, numbered events, time axis.

The rows of contacts are in `run_rows`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from lessonlib.curves.picture import LEFT, WIDTH_IN, Mark, height_pt, mark, spread
from lessonlib.curves.run_words import cycle_within
from lessonlib.curves.traces import ValueAt, View, line, steps
from lessonlib.palette import FLOW, HAIR, INK, PAPER, QUIET
from lessonlib.quantities import format_quantity

RIGHT = 0.69
"""Where the panels end, as a share of the picture's width."""
BESIDE_PT = 72 * WIDTH_IN * (1 - RIGHT) - 12
"""Room for words to the right of the panels."""
WORDS_PT = 9.5
"""Font of the words to the right of the panels."""
SMALL_PT = 9.0
"""Font of the words in rows and in the list."""

WIDE_PT = 72 * WIDTH_IN * (RIGHT - LEFT)
_BALL_PT = 17.0  # from one numbered ball to the next
_REACH = 0.15  # how far beyond the curve a mark is still shown, as a share of its range
_MEAN_DASHES = (0, (7, 2, 1, 2))


@dataclass(frozen=True)
class Trace:
    """A line of a panel; its name, if any, stands beside its end."""

    view: View
    value_at: ValueAt
    colour: str
    name: str = ""
    width_pt: float = 2.2
    dashes: Any = "-"


def curve(
    axes: Any,
    traces: Sequence[Trace],
    label: str,
    least: float,
    marks: Sequence[Mark],
    corner_C: float | None = None,
) -> None:
    """Traces over time, the run's own first, with those marks that lie in their range.

    The panel shows a range of `least` or more.
    """
    own = traces[0].view
    ends: list[float] = []
    named = []
    for trace in traces:
        view = trace.view
        time_s, values = line(view, trace.value_at, corner_C)
        axes.plot(
            time_s / own.unit_s,
            values,
            color=trace.colour,
            linewidth=trace.width_pt,
            linestyle=trace.dashes,
            zorder=3 if view is own else 2.5,
        )
        ends += [*values]
        if trace.name:
            at = (view.to_s - own.from_s) / own.point_s / WIDE_PT
            named.append(Mark(values[-1], trace.name, x=at, colour=trace.colour))
    low, high = min(ends), max(ends)
    reach = max(_REACH * (high - low), least / 2)
    within = [one for one in marks if low - reach <= one.value <= high + reach]
    low, high = (f(low, high, *(one.value for one in within)) for f in (min, max))
    spare = max(0.0, least - (high - low))  # above it, as gauge pressure has a floor
    edge = 0.06 * (high - low + spare)
    axes.set_ylim(low - edge, high + spare + edge)
    axes.set_ylabel(label)
    mark(axes, [*within, *named], traces[0].colour, WORDS_PT)


def power(axes: Any, view: View) -> None:
    """Power drawn, as steps, with its levels and the mean of a cycle beside it."""
    time_s, watts = steps(view)
    axes.fill_between(time_s / view.unit_s, watts, color=FLOW, alpha=0.25, linewidth=0)
    width_pt = 1.5 if len(time_s) < WIDE_PT else 0.5  # crowded lines leave the mean's to be seen
    axes.plot(time_s / view.unit_s, watts, color=FLOW, linewidth=width_pt)
    levels = {segment.course.circuit.drawn_W for _, _, segment in view.segments}
    most = max(levels)
    axes.set_ylim(0, 1.15 * most or 1)
    axes.set_ylabel("power, W")
    seen = sorted(level for level in levels if level >= 0.05 * most)[-2:]
    marks = [Mark(level, format_quantity(level, "W")) for level in seen]
    cycle = cycle_within(view.run, view.from_s, view.to_s)
    if cycle is not None:
        mean_W = cycle.mean_power_W
        marks.append(Mark(mean_W, f"mean {format_quantity(mean_W, 'W')}", _MEAN_DASHES))
    mark(axes, marks, FLOW, WORDS_PT)


def numbers(panels: Sequence[Any], view: View, times_s: Sequence[float]) -> None:
    """A numbered ball above the panels for each time, and a hairline through all of them."""
    top = panels[0]
    for axes in panels:
        for time_s in times_s:
            axes.axvline(time_s / view.unit_s, color=HAIR, linewidth=0.8, zorder=0)
    wanted = [(time_s - view.from_s) / view.point_s for time_s in times_s]
    for number, (time_s, place_pt) in enumerate(
        zip(times_s, spread(wanted, _BALL_PT, 0, WIDE_PT), strict=True), start=1
    ):
        top.annotate(
            str(number),
            (time_s / view.unit_s, 1),
            xycoords=("data", "axes fraction"),
            xytext=(place_pt / WIDE_PT, 1 + 13 / height_pt(top)),
            textcoords="axes fraction",
            ha="center",
            va="center",
            fontsize=SMALL_PT,
            color=PAPER,
            bbox={"boxstyle": "circle,pad=0.25", "facecolor": INK, "linewidth": 0},
            arrowprops={"arrowstyle": "-", "color": QUIET, "linewidth": 0.8},
            annotation_clip=False,
        )


def time_axis(axes: Any, view: View) -> None:
    """Minutes, or hours where it is long."""
    from matplotlib.ticker import MaxNLocator

    long = view.unit_s == 3600
    axes.set_xlim(view.from_s / view.unit_s, view.to_s / view.unit_s)
    axes.xaxis.set_major_locator(
        MaxNLocator(9, steps=[1, 2, 3, 4, 6, 10] if long else [1, 2, 5, 10])
    )
    axes.set_xlabel("time, hours" if long else "time, minutes")
