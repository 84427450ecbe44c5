"""What the browser gets for a fault bench: what the meter shows in every test with every fault.

Pure functions, no widgets. A test is a pair of points, a setting of the switches and a range of the
meter, with one part's wires off or none. What it shows is a column with a number for each fault,
its place among the values [least, usual, most], in ohm or in volt on the diode range, where the top
of the range is open. The browser draws the hidden fault from the seed as `drawn` does.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from lessonlib.appliance.fault import Fault, FaultKind, possible_faults
from lessonlib.appliance.parts import Appliance, Lamp
from lessonlib.appliance.settings import settings, switch_words
from lessonlib.appliance.terminals import plug_fuse
from lessonlib.circuit.network import Floats
from lessonlib.circuit.opened import points
from lessonlib.diagnosis.predicted import (
    TOP,
    Predicted,
    by_itself,
    diode_volts,
    predict,
    seen,
    unhook,
    unhookable,
)
from lessonlib.diagnosis.ranges import exact
from lessonlib.errors import FaultError, SettingError
from lessonlib.meter.ohmmeter import FILAMENT_FACTOR
from lessonlib.meter.pairs import pairs
from lessonlib.panels.data import choices, picture_data
from lessonlib.panels.fault_bench_places import places
from lessonlib.safety import ONE_LINE, UNPLUGGED
from lessonlib.schematics.painter import Drawing
from lessonlib.schematics.svg import svg_of

LEVELS: tuple[tuple[FaultKind, ...], ...] = (
    ("open", "shorted", "welded", "not making", "reversed", "plug fuse blown"),
    ("line core broken", "neutral core broken", "earth wire off", "wire off", "bad joint"),
    ("part shorted", "leaking", "resistive"),
)
"""Kinds of fault that come in at each level: parts that fail altogether, then wires, joints and the
cord, then what is there only in part. A drifted part reads as a sound one."""

# Lamps up to this are neon, which no meter lights, so they read open: common practice, no source.
_NEON_W = 3.0
# Some seconds of work and two megabytes of a page; the largest bundled appliance has a third of it.
_MOST_CELLS = 4_000_000


def drawn(seed: int, tiers: Sequence[Sequence[int]]) -> int:
    """One of the numbers in `tiers`, each tier as likely as the others. The generator is Park and
    Miller's, with their later multiplier 48271 (Communications of the ACM 36 (7), 1993)."""
    state = seed % 2147483646 + 1

    def draw(count: int) -> int:
        nonlocal state
        state = state * 48271 % 2147483647
        return state * count // 2147483647

    for _ in range(3):  # seeds that follow each other are to give faults that do not
        draw(1)
    tier = tiers[draw(len(tiers))]
    return tier[draw(len(tier))]


def findable(appliance: Appliance, level: int) -> Predicted:
    """What every test shows with each fault of `level` (1 to 3) and below that some test can tell
    from a sound appliance, in the figures that the browser has."""
    kinds = [kind for some in LEVELS[:level] for kind in some]
    wanted = [fault for fault in possible_faults(appliance) if fault.kind in kinds]
    guesses = [exact(()), *(exact((fault,)) for fault in wanted)]
    _check_size(appliance, len(guesses))
    predicted = predict(appliance, guesses)
    low, high = predicted.low, predicted.high
    kept = np.flatnonzero(((low > high[0]) | (high < low[0])).any(axis=1))
    if not len(kept):
        raise FaultError(
            f"found no fault of level {level} in {appliance.title} that a meter can tell from a "
            f"sound one; accepted: an appliance with one. Try a higher level, up to {len(LEVELS)}."
        )
    return replace(
        predicted,
        guesses=tuple(guesses[number] for number in kept),
        low=_figures(low[kept], -1),
        high=_figures(high[kept], 1),
    )


def bench_data(appliance: Appliance, level: int, predicted: Predicted) -> dict[str, Any]:
    """Everything the browser gets of a bench with the faults of `predicted`."""
    faults = [guess.faults[0] for guess in predicted.guesses]
    of_level = (
        [number for number, fault in enumerate(faults) if fault.kind in some]
        for some in LEVELS[:level]
    )
    offer = choices(appliance, faults=False)
    svg = svg_of(Drawing(appliance, None, readings=False))
    return {
        **picture_data(offer, svg, f"{ONE_LINE} {UNPLUGGED}", [], {}),
        "level": level,
        "faults": [[_group(fault), exact((fault,)).unsized] for fault in faults],
        "tiers": [tier for tier in of_level if tier],
        "start": list(offer.positions(None)),
        "settings": [switch_words(appliance, setting) for setting in settings(appliance)],
        "points": places(appliance),
        "top": TOP,
        "plug fuse": plug_fuse(appliance),
        "advised": _advised(appliance, predicted),
        **_shows(appliance, faults),
    }


def _check_size(appliance: Appliance, guesses: int) -> None:
    cells = len(points(appliance)) ** 2 * guesses
    count, most = len(settings(appliance)), _MOST_CELLS // cells
    if count > most:
        raise SettingError(
            f"{appliance.title} has {count:,} settings of its switches; accepted for a fault bench "
            f"with its {len(points(appliance))} points: at most {most:,}. Choose a lower level, or "
            "describe it with fewer switches."
        )


def _group(fault: Fault) -> str:
    return "Plug and cord" if fault.part == "cord" else fault.part


def _advised(appliance: Appliance, predicted: Predicted) -> list[list[Any]]:
    """The tests that `nextTest` in the browser chooses from: each as the browser has a test, then
    its trouble before the case is open and after."""
    every, chosen = points(appliance), settings(appliance)
    loose = ["", *unhookable(appliance)]
    return [
        [
            loose.index(test.unhooked),
            test.unit,
            chosen.index(dict(test.setting)),
            every.index(test.red),
            every.index(test.black),
            *(round(one, 6) for one in trouble),
        ]
        for test, trouble in zip(predicted.tests, predicted.trouble.T.tolist(), strict=True)
    ]


def _shows(appliance: Appliance, faults: Sequence[Fault]) -> dict[str, Any]:
    """What every test shows: `loose` has the tests with nothing unhooked first, then those with the
    wires of each part or contact off. Its rows, one for each setting, have the number of a column
    for each two of its points, in the order of numpy's `triu_indices`; back is black to red."""
    every = points(appliance)
    numbers: dict[bytes, int] = {}
    loose = []
    for unhooked, at, own in _ways(appliance, faults):
        rows = {
            kind: [
                [numbers.setdefault(column.tobytes(), len(numbers)) for column in setting]
                for setting in shows
            ]
            for kind, shows in _ranges(appliance, faults, unhooked, at, own)
        }
        loose.append({"name": unhooked, "points": [every.index(p) for p in at], "rows": rows})
    found = np.array([np.frombuffer(column) for column in numbers]).reshape(-1, 3)
    # in the order of the least, as `nextTest` in the browser takes them
    values, places = np.unique(found, axis=0, return_inverse=True)
    columns = places.reshape(len(numbers), len(faults))
    return {"values": values.tolist(), "columns": columns.tolist(), "loose": loose}


def _ways(
    appliance: Appliance, faults: Sequence[Fault]
) -> Iterator[tuple[str, tuple[str, ...], list[int]]]:
    """What is unhooked, the points to try then, and the faults that can show there."""
    yield "", points(appliance), list(range(len(faults)))
    for part, unhooked, at in by_itself(appliance):
        yield unhooked, at, [n for n, fault in enumerate(faults) if fault.part == part.name]


def _ranges(
    appliance: Appliance,
    faults: Sequence[Fault],
    unhooked: str,
    at: Sequence[str],
    own: Sequence[int],
) -> Iterator[tuple[str, Floats]]:
    """For each range of the meter: arrays (settings, pairs, faults, 3) of least, usual, most. The
    faults that are not in `own` show what a sound appliance shows."""
    chosen = settings(appliance)
    off = unhook(appliance, unhooked)
    ranges = [(off,), *(((faults[number], *off),) for number in own)]
    found = pairs(appliance, chosen, ranges, at)
    ohm = found.usual_ohm
    if appliance.lamps:
        ohm = pairs(_with_real_lamps(appliance), chosen, ranges, at).usual_ohm
    place = np.zeros(len(faults), dtype=np.intp)
    place[list(own)] = np.arange(1, len(ranges))
    count = len(at)
    first, second = np.triu_indices(count, 1)

    def shown(low: Floats, usual: Floats, high: Floats, unit: str, back: bool) -> Floats:
        top = TOP[unit]
        usual = np.minimum(np.clip(usual, low, high), top)
        low, high = seen(low, high, unit)
        every = np.stack((_figures(low, -1), _figures(usual, 0), _figures(high, 1)), axis=-1)
        every = every.reshape(len(chosen), len(ranges), count, count, 3)[:, place]
        red, black = (second, first) if back else (first, second)
        return np.ascontiguousarray(every[:, :, red, black].swapaxes(1, 2))

    least, most = found.least_ohm, found.most_ohm
    yield "Ω", shown(least, ohm, most, "Ω", back=False)
    if appliance.diodes:
        low, high = diode_volts(found)
        yield "Ω back", shown(least, ohm, most, "Ω", back=True)
        for back in (False, True):
            yield f"V{' back' * back}", shown(low, (low + high) / 2, high, "V", back)


def _with_real_lamps(appliance: Appliance) -> Appliance:
    """`appliance` with lamps as a meter finds them: neon open, a filament cold."""
    parts = []
    for part in appliance.parts:
        if isinstance(part, Lamp):
            neon = appliance.supply.voltage_V**2 / part.resistance_ohm <= _NEON_W
            # above any ohms range, and not lost beside a diode that conducts
            cold_ohm = 1e10 if neon else part.resistance_ohm / FILAMENT_FACTOR
            part = replace(part, resistance_ohm=cold_ohm)
        parts.append(part)
    return replace(appliance, parts=tuple(parts))


def _figures(values: Floats, up: int) -> Floats:
    """`values` to four figures, down where `up` is -1 and up where it is 1; else to five."""
    size = 10.0 ** (np.floor(np.log10(np.maximum(values, 1e-3))) - (3 if up else 4))
    counted = np.round(values / size, 6)
    whole = np.ceil(counted) if up > 0 else np.floor(counted) if up else np.rint(counted)
    return np.asarray(np.round(whole * size, 6))
