"""The panels of a heating curve, one function each: curve, power, numbered events, time axis, and
the rows of contacts, told apart by shape and word, not by colour."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from lessonlib.appliance.fault import is_closed
from lessonlib.appliance.parts import Part, Switch
from lessonlib.curves.picture import FONT_PT, LEFT, WIDTH_IN, Mark, height_pt, mark, spread
from lessonlib.curves.run_words import cycle_within
from lessonlib.curves.traces import Span, ValueAt, View, line, spans, steps
from lessonlib.heat.result import HeatRun
from lessonlib.palette import CLOSED, FLOW, HAIR, INK, PAPER, QUIET
from lessonlib.quantities import format_quantity
from lessonlib.schematics.text import shortened, width_px

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
_HATCH = "////////"  # where a contact moves too often to be drawn
_NAME_PT = 72 * WIDTH_IN * LEFT - 10
_WORTH_CUTTING_PT = 40.0  # in less, a word cut short says nothing


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


def contact_rows(axes: Any, view: View) -> None:
    """A row for each part that moves: a bar where its contact is closed, a line where it is open,
    hatched where it moves too often to be seen."""
    rows = view.run.appliance.movable
    axes.set_ylim(len(rows), 0)
    names = [shortened(part.name, _NAME_PT, FONT_PT) for part in rows]
    axes.set_yticks([row + 0.5 for row in range(len(rows))], names, parse_math=False)
    axes.tick_params(axis="y", length=0)
    axes.spines["left"].set_visible(False)
    for row, part in enumerate(rows):
        for span in spans(view, part.name):
            _span(axes, view, row, part, span)
        beside = _beside(view, part)
        if beside:
            axes.annotate(
                shortened(beside, BESIDE_PT, WORDS_PT),
                (1.03, row + 0.5),
                xycoords=("axes fraction", "data"),
                va="center",
                color=INK,
                fontsize=WORDS_PT,
                parse_math=False,
            )


def _span(axes: Any, view: View, row: int, part: Part, span: Span) -> None:
    start, end = span.start_s / view.unit_s, span.end_s / view.unit_s
    words = _position_words(view.run, part, span)
    fault, contacts = view.run.fault, range(1, len(part.contacts) + 1)
    closed = not span.moves and any(is_closed(part, c, span.position, fault) for c in contacts)
    if closed or span.moves:
        axes.barh(
            row + (0.5 if closed else 0.78),
            end - start,
            left=start,
            height=0.72 if closed else 0.16,
            facecolor=CLOSED if closed else PAPER,
            edgecolor=INK,
            linewidth=0.7,
            hatch=None if closed else _HATCH,
        )
    else:
        axes.plot([start, end], [row + 0.86] * 2, color=INK, linewidth=1.2, solid_capstyle="butt")
    room_pt = (span.end_s - span.start_s) / view.point_s - 4
    if width_px(words, SMALL_PT) > room_pt < _WORTH_CUTTING_PT:
        return
    axes.annotate(
        shortened(words, room_pt, SMALL_PT),
        ((start + end) / 2, row + (0.5 if closed else 0.4)),
        ha="center",
        va="center_baseline",
        fontsize=SMALL_PT,
        color=INK,
        parse_math=False,
        # on a hairline, words are read more easily on paper
        bbox=None if closed else {"facecolor": PAPER, "linewidth": 0, "pad": 0.5},
    )


def _position_words(run: HeatRun, part: Part, span: Span) -> str:
    """A switch has positions with names; of any other contact a fault says more."""
    if span.moves:
        return f"{span.moves} moves"
    fault = run.fault
    if fault is not None and fault.part == part.name and not isinstance(part, Switch):
        return fault.kind
    return span.position


def _beside(view: View, part: Part) -> str:
    """What is said beside a row: its fault, or for how much of a cycle it is closed."""
    fault = view.run.fault
    if fault is not None and fault.part == part.name:
        return str(fault).removeprefix(part.name).strip()
    cycle = cycle_within(view.run, view.from_s, view.to_s)
    if cycle is None or cycle.part != part.name:
        return ""
    return f"closed {100 * cycle.duty:.3g} %"
