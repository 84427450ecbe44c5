"""What a heating curve is drawn from: points and spans of a run, as plain numbers.

Between two events a run is smooth, so points are placed there as close as the eye needs, and one on
each event. Where events come closer together than can be drawn, only the lowest and the highest
value of each narrow column are left, so that a picture does not grow with the number of cycles.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby

import numpy as np

from lessonlib.circuit.network import Floats
from lessonlib.heat.result import Event, HeatRun
from lessonlib.heat.segment import Segment

_NARROWEST_PT = 3.0  # what is narrower runs into the next
_FEW = 8  # so many narrow spans in a row are drawn one by one, no more
_STEP_PT = 0.75  # between two points of a curve
_COLUMN_PT = 1.5
_POINTS_A_COLUMN = 5  # that can still be told apart; a smooth line has two or three
_LONG_S = 5 * 3600.0  # what lasts longer has its time axis in hours

ValueAt = Callable[[Segment, float], float]
"""A value of the run at a time, s, within a segment, both ends included."""


@dataclass(frozen=True)
class View:
    """A run from `from_s` to `to_s`, drawn with `point_s` seconds in a point of width."""

    run: HeatRun
    from_s: float
    to_s: float
    point_s: float

    @property
    def unit_s(self) -> float:
        """What the time axis counts in: minutes, or hours where it is long."""
        return 3600.0 if self.to_s - self.from_s > _LONG_S else 60.0

    @cached_property
    def segments(self) -> list[tuple[float, float, Segment]]:
        """What is in the time shown, with its start and end there, s."""
        return [
            (max(each.start_s, self.from_s), min(each.end_s, self.to_s), each)
            for each in self.run.segments
            if each.start_s < self.to_s and each.end_s > self.from_s
        ]


@dataclass(frozen=True)
class Span:
    """How long a part stays in a position; `moves` counts those too quick to be drawn."""

    start_s: float
    end_s: float
    position: str
    moves: int = 0


def line(view: View, value_at: ValueAt, corner_C: float | None = None) -> tuple[Floats, Floats]:
    """Times, s, and values, a point on each event and enough of them between.

    Where the temperature passes `corner_C` between two events, that moment is a point too: gauge
    pressure starts to rise there.
    """
    points = []
    for start_s, end_s, segment in view.segments:
        count = int(np.ceil((end_s - start_s) / (_STEP_PT * view.point_s)))
        times_s = np.linspace(start_s, end_s, count + 1).tolist()
        if corner_C is not None:
            passes_s = segment.start_s + segment.course.seconds_to(corner_C)
            if start_s < passes_s < end_s:
                times_s = sorted([*times_s, passes_s])
        points += [(time_s, value_at(segment, time_s)) for time_s in times_s]
    return _thinned(view, points)


def steps(view: View) -> tuple[Floats, Floats]:
    """Times, s, and powers drawn, W, as corners of steps."""
    corners = [
        (time_s, segment.course.circuit.drawn_W)
        for start_s, end_s, segment in view.segments
        for time_s in (start_s, end_s)
    ]
    return _thinned(view, corners)


def _thinned(view: View, points: list[tuple[float, float]]) -> tuple[Floats, Floats]:
    """The points as two columns; in a column of the picture with too many of them, the lowest and
    the highest stand for all."""
    time_s, values = np.array(list(dict.fromkeys(points))).T
    column = (time_s - view.from_s) // (_COLUMN_PT * view.point_s)
    starts = np.flatnonzero(np.diff(column, prepend=-1))
    counts = np.diff(np.append(starts, len(values)))
    crowded = counts > _POINTS_A_COLUMN
    kept = np.repeat(~crowded, counts)
    low, high = (f.reduceat(values, starts)[crowded] for f in (np.minimum, np.maximum))
    all_s = np.concatenate([time_s[kept], np.repeat(time_s[starts][crowded], 2)])
    order = np.argsort(all_s, kind="stable")
    all_values = np.concatenate([values[kept], np.column_stack([low, high]).ravel()])
    return all_s[order], all_values[order]


def spans(view: View, name: str) -> list[Span]:
    """Where the part `name` is over time, in order; many short spans in a row are one."""
    found: list[Span] = []
    for start_s, end_s, segment in view.segments:
        position = segment.course.circuit.setting[name]
        if found and found[-1].position == position:
            start_s = found.pop().start_s
        found.append(Span(start_s, end_s, position))
    drawn = []
    shortest_s = _NARROWEST_PT * view.point_s
    for is_short, alike in groupby(found, lambda span: span.end_s - span.start_s < shortest_s):
        group = list(alike)
        if is_short and len(group) >= _FEW:
            group = [Span(group[0].start_s, group[-1].end_s, "", len(group) - 1)]
        drawn += group
    return drawn


def happenings(run: HeatRun, from_s: float, to_s: float) -> dict[str, Event]:
    """What happens from `from_s` to `to_s`, each different thing once in words, at its first
    time."""
    shown = [event for event in run.events if from_s <= event.time_s <= to_s]
    times = Counter(event.what for event in shown)
    first = {event.what: event for event in reversed(shown)}
    return {
        what if count == 1 else f"{what}, the first of {count}": first[what]
        for what, count in times.items()
    }
