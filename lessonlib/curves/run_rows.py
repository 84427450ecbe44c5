"""The rows of contacts in a heating curve: told apart by shape and word, not by colour."""

from __future__ import annotations

from typing import Any

from lessonlib.appliance.fault import is_closed
from lessonlib.appliance.parts import Part, Switch
from lessonlib.curves.picture import FONT_PT, LEFT, WIDTH_IN
from lessonlib.curves.run_panels import BESIDE_PT, SMALL_PT, WORDS_PT
from lessonlib.curves.run_words import cycle_within
from lessonlib.curves.traces import Span, View, spans
from lessonlib.heat.result import HeatRun
from lessonlib.palette import CLOSED, INK, PAPER
from lessonlib.schematics.text import shortened, width_px

_HATCH = "////////"  # where a contact moves too often to be drawn
_NAME_PT = 72 * WIDTH_IN * LEFT - 10
_WORTH_CUTTING_PT = 40.0  # in less, a word cut short says nothing


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
