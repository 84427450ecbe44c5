"""What a heating curve is drawn from: points, bands and spans of a run, as plain numbers.

Between two events a run is smooth, so points are placed there as close as the eye needs, and one on
each event. Where events come closer together than a line is wide, there is a band from lowest to
highest instead, so that the size of a picture does not grow with the number of cycles.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from lessonlib.circuit.network import Floats
from lessonlib.heat.result import Event, HeatRun

_FEW = 8
"""So many short pieces in a row can still be drawn one by one."""


@dataclass(frozen=True)
class Piece:
    """A stretch of time, s, in which no contact moves, with what the appliance draws in it."""

    start_s: float
    end_s: float
    setting: Mapping[str, str]
    power_W: float


Reading = Callable[[Piece, float], float]
"""A value of the run within a piece, at a time in seconds that includes both its ends."""


@dataclass(frozen=True)
class Stretch:
    """Pieces one after the other; `dense` where they are too short to be drawn one by one."""

    pieces: tuple[Piece, ...]
    dense: bool

    @property
    def start_s(self) -> float:
        return self.pieces[0].start_s

    @property
    def end_s(self) -> float:
        return self.pieces[-1].end_s


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


def stretches(run: HeatRun, from_s: float, to_s: float, shortest_s: float) -> list[Stretch]:
    """The run from `from_s` to `to_s`; dense where many pieces in a row last under `shortest_s`.

    A hand on a switch ends a dense stretch, so that every turn of it is drawn.
    """
    turned_s = {event.time_s for event in run.events if event.kind == "turned"}
    pieces = [
        Piece(max(s.start_s, from_s), min(s.end_s, to_s), s.course.setting, s.course.drawn_W)
        for s in run.segments
        if s.start_s < to_s and s.end_s > from_s
    ]
    grouped: list[list[Piece]] = []
    for piece in pieces:
        short = piece.end_s - piece.start_s < shortest_s
        before = grouped[-1][-1] if grouped else None
        joins = (
            before is not None
            and short
            and before.end_s - before.start_s < shortest_s
            and piece.start_s not in turned_s
        )
        if joins:
            grouped[-1].append(piece)
        else:
            grouped.append([piece])
    return [Stretch(tuple(group), len(group) >= _FEW) for group in grouped]


def line(
    run: HeatRun, reading: Reading, parts: Iterable[Stretch], step_s: float, corner_C: float | None
) -> tuple[Floats, Floats]:
    """Times and values of a reading, a point on each event and one each `step_s` at most between.

    Dense stretches are left out: a NaN stands for the gap. Where the temperature passes `corner_C`
    within a piece, that moment is a point too: gauge pressure starts to rise there.
    """
    points: list[tuple[float, float]] = []
    for part in parts:
        if part.dense:
            points.append((np.nan, np.nan))
            continue
        for piece in part.pieces:
            count = int(np.ceil((piece.end_s - piece.start_s) / step_s))
            times = np.linspace(piece.start_s, piece.end_s, count + 1).tolist()
            if corner_C is not None:
                times = sorted([*times, *_passes(run, piece, corner_C)])
            points += [(time_s, reading(piece, time_s)) for time_s in times]
    return _columns(points)


def bands(reading: Reading, parts: Iterable[Stretch], column_s: float) -> list[Band]:
    """Lowest and highest of a reading over each dense stretch, in columns of about `column_s`.

    A reading goes one way within a piece, so that its extremes are at the pieces' ends.
    """
    found = []
    for part in parts:
        if not part.dense:
            continue
        count = max(1, round((part.end_s - part.start_s) / column_s))
        edges = np.linspace(part.start_s, part.end_s, count + 1)
        starts = [piece.start_s for piece in part.pieces]
        ends = np.array(
            [[reading(each, each.start_s), reading(each, each.end_s)] for each in part.pieces]
        )
        # each column takes in the pieces that reach into it
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


def spans(name: str, parts: Iterable[Stretch]) -> list[Span]:
    """Where the part `name` is over time, in order."""
    found: list[Span] = []
    for part in parts:
        positions = [piece.setting[name] for piece in part.pieces]
        moves = sum(one != other for one, other in pairwise(positions))
        if part.dense and moves:
            found.append(Span(part.start_s, part.end_s, "", moves))
            continue
        for piece, position in zip(part.pieces, positions, strict=True):
            if found and found[-1].position == position and not found[-1].moves:
                found[-1] = Span(found[-1].start_s, piece.end_s, position)
            else:
                found.append(Span(piece.start_s, piece.end_s, position))
    return found


def steps(parts: Iterable[Stretch]) -> tuple[Floats, Floats]:
    """Times and powers drawn, W, as corners of steps; a NaN stands for a dense stretch."""
    corners: list[tuple[float, float]] = []
    for part in parts:
        if part.dense:
            corners.append((np.nan, np.nan))
            continue
        for piece in part.pieces:
            corners += [(piece.start_s, piece.power_W), (piece.end_s, piece.power_W)]
    return _columns(corners)


def happenings(run: HeatRun, from_s: float, to_s: float) -> list[Happening]:
    """What happens from `from_s` to `to_s`, each different thing once, at its first time."""
    within = [event for event in run.events if from_s <= event.time_s <= to_s]
    often = Counter(event.what for event in within)
    first: dict[str, Event] = {}
    for event in within:
        first.setdefault(event.what, event)
    return [Happening(event, often[what]) for what, event in first.items()]


def _columns(points: list[tuple[float, float]]) -> tuple[Floats, Floats]:
    """Points as two columns; one that only repeats the point before it is left out."""
    kept = [point for before, point in pairwise([None, *points]) if point != before]
    columns = np.array(kept)
    return columns[:, 0], columns[:, 1]


def _passes(run: HeatRun, piece: Piece, at_C: float) -> list[float]:
    """The moment at which the temperature passes `at_C` within a piece, if it does: by halving."""
    low_s, high_s = piece.start_s, piece.end_s
    rising = run.temperature_C(low_s) < at_C
    if rising == (run.temperature_C(high_s) <= at_C):
        return []
    while high_s - low_s > 1e-9 * high_s:
        middle_s = (low_s + high_s) / 2
        if (run.temperature_C(middle_s) < at_C) == rising:
            low_s = middle_s
        else:
            high_s = middle_s
    return [high_s]
