"""What a heating curve is drawn from: points, bands and spans of a run, as plain numbers.

Between two events a run is smooth, so points are placed there as close as the eye needs, and one on
each event. Where events come closer together than a line is wide, a band from lowest to highest
takes their place, so that the size of a picture does not grow with the number of cycles.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from lessonlib.circuit.network import Floats
from lessonlib.heat.result import Event, HeatRun
from lessonlib.heat.segment import Segment

_FEW = 8
"""Fewer short intervals in a row than this are drawn one by one."""


@dataclass(frozen=True)
class Interval:
    """The part of a segment that is in the time shown, s: no contact moves within it."""

    start_s: float
    end_s: float
    segment: Segment

    @property
    def setting(self) -> Mapping[str, str]:
        return self.segment.course.setting

    @property
    def power_W(self) -> float:
        """What the appliance draws, W."""
        return self.segment.course.drawn_W


ValueAt = Callable[[Interval, float], float]
"""A value of the run at a time, s, within an interval, both ends included."""
Points = list[tuple[float, float]]


@dataclass(frozen=True)
class Stretch:
    """Intervals one after the other; `dense` where they are too short to be drawn one by one."""

    intervals: tuple[Interval, ...]
    dense: bool

    @property
    def start_s(self) -> float:
        return self.intervals[0].start_s

    @property
    def end_s(self) -> float:
        return self.intervals[-1].end_s


@dataclass(frozen=True)
class Band:
    """From `low` to `high` at each of `time_s`."""

    time_s: Floats
    low: Floats
    high: Floats


@dataclass(frozen=True)
class Span:
    """How long a part stays in a position; `moves` counts those too quick to be drawn."""

    start_s: float
    end_s: float
    position: str
    moves: int = 0


@dataclass(frozen=True)
class Happening:
    """An event, and how often it happens in the time shown."""

    first: Event
    times: int

    @property
    def words(self) -> str:
        return self.first.what + ("" if self.times == 1 else f", the first of {self.times}")


def stretches_of(run: HeatRun, from_s: float, to_s: float, shortest_s: float) -> list[Stretch]:
    """The run from `from_s` to `to_s`; dense where many intervals in a row are under `shortest_s`.

    A hand on a switch ends a dense stretch, so that every turn of it is drawn.
    """
    turned_s = {event.time_s for event in run.events if event.kind == "turned"}
    grouped: list[list[Interval]] = []
    after_short = False
    for segment in run.segments:
        if not (segment.start_s < to_s and segment.end_s > from_s):
            continue
        each = Interval(max(segment.start_s, from_s), min(segment.end_s, to_s), segment)
        is_short = each.end_s - each.start_s < shortest_s
        if after_short and is_short and each.start_s not in turned_s:
            grouped[-1].append(each)
        else:
            grouped.append([each])
        after_short = is_short
    return [Stretch(tuple(group), len(group) >= _FEW) for group in grouped]


def line(
    value_at: ValueAt, stretches: Iterable[Stretch], step_s: float, corner_C: float | None
) -> tuple[Floats, Floats]:
    """Times and values, a point on each event and one each `step_s` at most between.

    Dense stretches are left out: a NaN stands for the gap. Where the temperature passes `corner_C`
    within an interval, that moment is a point too: gauge pressure starts to rise there.
    """

    def points(each: Interval) -> Points:
        count = int(np.ceil((each.end_s - each.start_s) / step_s))
        times_s = np.linspace(each.start_s, each.end_s, count + 1).tolist()
        if corner_C is not None:
            passes_s = each.segment.start_s + each.segment.course.seconds_to(corner_C)
            if each.start_s < passes_s < each.end_s:
                times_s = sorted([*times_s, passes_s])
        return [(time_s, value_at(each, time_s)) for time_s in times_s]

    return _columns(stretches, points)


def steps(stretches: Iterable[Stretch]) -> tuple[Floats, Floats]:
    """Times and powers drawn, W, as corners of steps; a NaN stands for a dense stretch."""
    return _columns(
        stretches, lambda each: [(each.start_s, each.power_W), (each.end_s, each.power_W)]
    )


def bands(value_at: ValueAt, stretches: Iterable[Stretch], column_s: float) -> list[Band]:
    """Lowest and highest value over each dense stretch, in columns of about `column_s`.

    A value rises or falls all through an interval, so its extremes are at the ends.
    """
    found = []
    for dense in (stretch for stretch in stretches if stretch.dense):
        count = max(1, round((dense.end_s - dense.start_s) / column_s))
        edges = np.linspace(dense.start_s, dense.end_s, count + 1)
        starts = [each.start_s for each in dense.intervals]
        ends = np.array(
            [[value_at(each, each.start_s), value_at(each, each.end_s)] for each in dense.intervals]
        )
        # each column takes in the intervals that reach into it
        first = np.searchsorted(starts, edges[:-1], "right") - 1
        last = np.searchsorted(starts, edges[1:], "left")
        low = [ends[a:b].min() for a, b in zip(first, last, strict=True)]
        high = [ends[a:b].max() for a, b in zip(first, last, strict=True)]
        middle = (edges[:-1] + edges[1:]) / 2
        found.append(
            Band(
                np.array([edges[0], *middle, edges[-1]]),
                np.array([low[0], *low, low[-1]]),
                np.array([high[0], *high, high[-1]]),
            )
        )
    return found


def spans(name: str, stretches: Iterable[Stretch]) -> list[Span]:
    """Where the part `name` is over time, in order."""
    found: list[Span] = []
    for stretch in stretches:
        positions = [each.setting[name] for each in stretch.intervals]
        moves = sum(one != other for one, other in pairwise(positions))
        if stretch.dense and moves:
            found.append(Span(stretch.start_s, stretch.end_s, "", moves))
            continue
        for each, position in zip(stretch.intervals, positions, strict=True):
            if found and found[-1].position == position and not found[-1].moves:
                found[-1] = Span(found[-1].start_s, each.end_s, position)
            else:
                found.append(Span(each.start_s, each.end_s, position))
    return found


def happenings(run: HeatRun, from_s: float, to_s: float) -> list[Happening]:
    """What happens from `from_s` to `to_s`, each different thing once, at its first time."""
    alike: dict[str, list[Event]] = {}
    for event in run.events:
        if from_s <= event.time_s <= to_s:
            alike.setdefault(event.what, []).append(event)
    return [Happening(events[0], len(events)) for events in alike.values()]


def _columns(
    stretches: Iterable[Stretch], points_of: Callable[[Interval], Points]
) -> tuple[Floats, Floats]:
    """The points of all intervals as two columns, a NaN for each dense stretch; a point that only
    repeats the one before is left out."""
    points: Points = []
    for stretch in stretches:
        if stretch.dense:
            points.append((np.nan, np.nan))
        else:
            for each in stretch.intervals:
                points += points_of(each)
    kept = [point for before, point in pairwise([None, *points]) if point != before]
    columns = np.array(kept)
    return columns[:, 0], columns[:, 1]
