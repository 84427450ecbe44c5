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
from lessonlib.diagnosis.bench_test import reading_words
from lessonlib.diagnosis.predicted import TOP, USUAL_DIODE_A, USUAL_DROP_V, diode_volts, unhook
from lessonlib.diagnosis.ranges import Guess
from lessonlib.diagnosis.typed import Reading
from lessonlib.meter.expected import LEADS_OHM, room_at_plug
from lessonlib.meter.pairs import pairs
from lessonlib.meter.readings import DiodeReading, PlugReading, PowerReading, UnpluggedReading


@dataclass(frozen=True, eq=False)
class Shown:
    """What every guess gives at each of `readings`, in its unit: an array (3, guesses, readings) of
    the least, the usual, which is by the file, and the most. Infinite where open, or a short
    circuit at the plug."""

    readings: Sequence[Reading]
    values: Floats

    def agrees(self) -> Flags:
        """Whether each guess gives each reading."""
        low, _, high = self.values
        least, most = self._spans()
        return np.asarray((low <= most) & (high >= least))

    def fit(self) -> Floats:
        """How well each guess gives all readings: 1 for what the file says, 0 at the limits of what
        may be."""
        found = [_fit(one, *self.values[..., k]) for k, one in enumerate(self.readings)]
        return np.asarray(np.mean(found, axis=0))

    def words(self, guess: int, reading: int) -> str:
        """What a guess would give where that was read, in words."""
        low, _, high = self.values[:, guess, reading].tolist()
        return reading_words(low, high, self.readings[reading].unit)

    def apart(self) -> Floats:
        """How far each guess is from each reading: the logarithm of a ratio, 0 where it agrees."""
        least, most = self._spans()
        floor = np.array([_floor(reading) for reading in self.readings])
        low, _, high = np.log(np.clip(self.values, 0.0, 1e12) + floor)
        least, most = np.log(np.clip((least, most), 0.0, 1e12) + floor)
        return np.asarray(np.maximum(np.maximum(low - most, least - high), 0.0))

    def _spans(self) -> tuple[Floats, Floats]:
        """What may be there, at least and at most, where each reading was read."""
        spans = []
        for reading in self.readings:
            top = TOP.get(reading.unit, np.inf)
            leads = LEADS_OHM if reading.unit == "Ω" else 0.0
            low, high = reading.value - reading.tolerance - leads, reading.value + reading.tolerance
            spans.append((top, np.inf) if reading.value >= top else (low, high))
        least, most = np.array(spans).T
        return least, most


def _floor(reading: Reading) -> float:
    """Below this all values are alike."""
    return max(reading.tolerance, LEADS_OHM if reading.unit == "Ω" else 0.0, 1e-9)


def _fit(reading: Reading, low: Floats, usual: Floats, high: Floats) -> Floats:
    top = TOP.get(reading.unit, np.inf)
    if reading.value >= top:
        return np.where(usual >= top, 1.0, 0.5)
    floor = _floor(reading)
    least, middle, most = (np.log(np.minimum(x, 1e12) + floor) for x in (low, usual, high))
    here = np.log(reading.value + floor)
    room = np.where(here > middle, most - middle, middle - least) + floor / (reading.value + floor)
    return np.asarray(np.clip(1 - np.abs(here - middle) / room, 0.0, 1.0))


def shown_at(appliance: Appliance, readings: Sequence[Reading], guesses: Sequence[Guess]) -> Shown:
    """What every guess gives at every reading."""
    values = np.zeros((3, len(guesses), len(readings)))
    together: dict[str, list[int]] = {}  # by what is unhooked: one network for all of them
    for number, reading in enumerate(readings):
        if isinstance(reading, UnpluggedReading):
            together.setdefault(reading.unhooked, []).append(number)
        else:
            values[..., number] = np.transpose(list(_at_plug(appliance, reading, guesses)))
    for unhooked, numbers in together.items():
        some = [each for n in numbers if isinstance(each := readings[n], UnpluggedReading)]
        points = tuple(dict.fromkeys(end for each in some for end in (each.red, each.black)))
        set_to = [complete(appliance, each.setting) for each in some]
        settings = [each for number, each in enumerate(set_to) if each not in set_to[:number]]
        loose = unhook(appliance, unhooked)
        ranges = [[(*corner, *loose) for corner in guess.corners] for guess in guesses]
        found = pairs(appliance, settings, ranges, points)
        volts = diode_volts(found)
        usual_V = found.forward * USUAL_DROP_V + found.usual_ohm * USUAL_DIODE_A
        for number, reading, setting in zip(numbers, some, set_to, strict=True):
            every = np.array((found.least_ohm, found.usual_ohm, found.most_ohm))
            if isinstance(reading, DiodeReading):
                every = np.array((volts[0], usual_V, volts[1]))
            at_ends = every[..., points.index(reading.red), points.index(reading.black)]
            read = at_ends.reshape(3, len(settings), len(guesses))[:, settings.index(setting)]
            values[..., number] = np.where(read < TOP[reading.unit], read, np.inf)
    return Shown(readings, values)


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
    value = power_W
    if not isinstance(reading, PowerReading):
        value = np.where(short, np.inf, np.sqrt(np.maximum(totals.drawn2, 0.0)))
    room = [room_at_plug(appliance, reading, min(watts, 1e5)) for watts in power_W.tolist()]
    low, high = (value * share for share in np.transpose(room))
    case = 0
    for guess in guesses:
        own = slice(case, case + 1 + len(guess.corners))
        yield float(low[own].min()), float(value[case]), float(high[own].max())
        case = own.stop
