"""What each guess would give at the places that were measured."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.settings import complete
from lessonlib.circuit.islands import shorts
from lessonlib.circuit.network import Flags, Floats
from lessonlib.circuit.opened import cases_with, network_for
from lessonlib.circuit.situation import situation
from lessonlib.circuit.totals import totals_of
from lessonlib.diagnosis.predicted import (
    TOP,
    USUAL_DIODE_A,
    USUAL_DROP_V,
    diode_volts,
    unhook,
)
from lessonlib.diagnosis.ranges import Guess
from lessonlib.diagnosis.typed import Reading
from lessonlib.meter.expected import LEADS_OHM, room_at_plug
from lessonlib.meter.pairs import pairs
from lessonlib.meter.readings import DiodeReading, PlugReading, PowerReading, UnpluggedReading


@dataclass(frozen=True, eq=False)
class Shown:
    """Arrays (guesses, readings), in each reading's unit: from `low` to `high`, `usual` by the
    file. Infinite where open, or a short circuit at the plug."""

    low: Floats
    usual: Floats
    high: Floats

    def agrees(self, readings: Sequence[Reading]) -> Flags:
        """Whether each guess gives each reading."""
        least, most = np.array([_span(reading) for reading in readings]).T
        return np.asarray((self.low <= most) & (self.high >= least))

    def fit(self, readings: Sequence[Reading]) -> Floats:
        """How well: 1 for what the file says, 0 at the limits of what may be."""
        return np.column_stack(
            [
                _fit(reading, self.low[:, k], self.usual[:, k], self.high[:, k])
                for k, reading in enumerate(readings)
            ]
        )

    def apart(self, readings: Sequence[Reading]) -> Floats:
        """How far each guess is from each reading: the logarithm of a ratio, 0 where it agrees."""
        least, most = np.array([_span(reading) for reading in readings]).T
        floor = np.array([_floor(reading) for reading in readings])

        def log(values: Floats) -> Floats:
            return np.asarray(np.log(np.clip(values, 0.0, 1e12) + floor))

        above, below = log(self.low) - log(most), log(least) - log(self.high)
        return np.asarray(np.maximum(np.maximum(above, below), 0.0))


def _floor(reading: Reading) -> float:
    """Below this all values are alike."""
    return max(reading.tolerance, LEADS_OHM if reading.unit == "Ω" else 0.0, 1e-9)


def _span(reading: Reading) -> tuple[float, float]:
    """What may be there where `reading` was read."""
    top = TOP.get(reading.unit, np.inf)
    leads = LEADS_OHM if reading.unit == "Ω" else 0.0
    if reading.value >= top:
        return top, np.inf
    return reading.value - reading.tolerance - leads, reading.value + reading.tolerance


def _fit(reading: Reading, low: Floats, usual: Floats, high: Floats) -> Floats:
    top = TOP.get(reading.unit, np.inf)
    if reading.value >= top:
        return np.where(usual >= top, 1.0, 0.5)
    floor = _floor(reading)
    least, middle, most = (np.log(np.minimum(x, 1e12) + floor) for x in (low, usual, high))
    here = np.log(reading.value + floor)
    room = np.where(here > middle, most - middle, middle - least) + floor / (reading.value + floor)
    return np.asarray(np.clip(1 - np.abs(here - middle) / room, 0.0, 1.0))


def shown_at(
    appliance: Appliance, readings: Sequence[Reading], guesses: Sequence[Guess], wire_C: float
) -> Shown:
    """What every guess gives at every reading."""
    size = (len(guesses), len(readings))
    shown = Shown(np.zeros(size), np.zeros(size), np.zeros(size))
    unplugged: dict[str, list[int]] = {}
    for number, reading in enumerate(readings):
        if isinstance(reading, UnpluggedReading):
            unplugged.setdefault(reading.unhooked, []).append(number)
        else:
            values = np.array(list(_at_plug(appliance, reading, guesses)))
            shown.low[:, number], shown.usual[:, number], shown.high[:, number] = values.T
    for unhooked, numbers in unplugged.items():
        some = [readings[number] for number in numbers]
        of_each = _by_pairs(appliance, some, guesses, unhooked, wire_C)
        for number, (low, usual, high) in zip(numbers, of_each, strict=True):
            shown.low[:, number], shown.usual[:, number], shown.high[:, number] = low, usual, high
    return shown


def _by_pairs(
    appliance: Appliance,
    readings: Sequence[Reading],
    guesses: Sequence[Guess],
    unhooked: str,
    wire_C: float,
) -> Iterator[tuple[Floats, Floats, Floats]]:
    settings: list[dict[str, str]] = []
    at: dict[str, None] = {}
    for reading in readings:
        setting = complete(appliance, reading.setting)
        if setting not in settings:
            settings.append(setting)
        at.update(dict.fromkeys(_ends(reading)))
    loose = unhook(appliance, unhooked)
    ranges = [[(*corner, *loose) for corner in guess.corners] for guess in guesses]
    found = pairs(appliance, settings, ranges, tuple(at), wire_C)
    volts = diode_volts(found)
    usual_V = found.forward * USUAL_DROP_V + found.usual_ohm * USUAL_DIODE_A
    for reading in readings:
        row = settings.index(complete(appliance, reading.setting))
        red, black = (found.points.index(point) for point in _ends(reading))
        cases = slice(row * len(guesses), (row + 1) * len(guesses))
        every = (found.least_ohm, found.usual_ohm, found.most_ohm)
        if isinstance(reading, DiodeReading):
            every = (volts[0], usual_V, volts[1])
        top = TOP[reading.unit]
        low, usual, high = (
            np.where((values := each[cases, red, black]) < top, values, np.inf) for each in every
        )
        yield low, usual, high


def _ends(reading: Reading) -> tuple[str, str]:
    assert isinstance(reading, UnpluggedReading)
    return reading.red, reading.black


def _at_plug(
    appliance: Appliance, reading: Reading, guesses: Sequence[Guess]
) -> Iterator[tuple[float, float, float]]:
    """Power or current with every guess, in each of its sizes."""
    assert isinstance(reading, PlugReading)
    at = situation(appliance, reading.setting, supply_voltage_V=reading.supply_voltage_V)
    faults = [corner for guess in guesses for corner in (guess.faults, *guess.corners)]
    network = network_for(appliance, faults)
    cases = cases_with(network, [at.setting], faults)
    short = shorts(network, cases, at.hot, at.peak_V)
    totals = totals_of(network, cases, np.flatnonzero(~short), at.hot, at.peak_V)
    power_W = np.where(short, np.inf, totals.power.sum(axis=1))
    value = np.where(short, np.inf, np.sqrt(np.maximum(totals.drawn2, 0.0)))
    if isinstance(reading, PowerReading):
        value = power_W
    case = 0
    for guess in guesses:
        own = slice(case, case + 1 + len(guess.corners))
        case = own.stop
        ends = [
            (each * least, each * most)
            for each, watts in zip(value[own].tolist(), power_W[own].tolist(), strict=True)
            for least, most in [room_at_plug(appliance, reading, min(watts, 1e5))]
        ]
        usual = float(value[own.start])
        yield min(low for low, _ in ends), usual, max(high for _, high in ends)
