"""A bench to try a diagnosis at: an appliance with a hidden fault, parts as good as they come, and
a meter as good as its leaflet says. Readings come from `ohmmeter`, not from `pairs`."""

from __future__ import annotations

import math
import random
from collections.abc import Mapping
from dataclasses import replace

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import Appliance, Diode, Element, Lamp, Part
from lessonlib.diagnosis.bench_test import BenchTest
from lessonlib.diagnosis.predicted import unhook
from lessonlib.diagnosis.typed import Reading
from lessonlib.meter.ohmmeter import OhmReading, resistances
from lessonlib.meter.readings import DiodeReading, ResistanceReading


def as_made(appliance: Appliance, rng: random.Random) -> Appliance:
    """`appliance` with elements that take 95 to 105 % of their marked power, of wire that is up to
    4 % up when hot, and lamps that are filaments or neon."""

    def made(part: Part) -> Part:
        if isinstance(part, Element):
            share = rng.uniform(0.95, 1.05) * rng.uniform(1.0, 1.04)
            return replace(part, resistance_ohm=part.resistance_ohm / share)
        if isinstance(part, Lamp):
            ohm = part.resistance_ohm / rng.uniform(1, 13) if rng.random() < 0.5 else 1e15
            return replace(part, resistance_ohm=ohm)
        return replace(part, forward_drop_V=0.0) if isinstance(part, Diode) else part

    return replace(appliance, parts=tuple(map(made, appliance.parts)))


class Bench:
    """Measures an appliance that is `faulty` with a meter within its accuracy, drawn by `rng`."""

    def __init__(self, appliance: Appliance, fault: Fault | None, rng: random.Random) -> None:
        self.appliance, self.fault, self.rng = as_made(appliance, rng), fault, rng

    def measure(self, test: BenchTest) -> float | None:
        """What the meter shows, in the test's unit."""
        one = self._true(test.red, test.black, test.setting, test.unhooked)
        conducts = math.inf if one.low_ohm is None else one.low_ohm
        blocked = math.inf if one.high_ohm is None else one.high_ohm
        # a lamp is what it is here: what is left open is whether diodes conduct
        lamp = any("neon" in doubt for doubt in one.doubts) and not any(
            "conduct" in doubt for doubt in one.doubts
        )
        if lamp or not self.appliance.diodes:
            conducts = blocked = math.inf if one.ohm is None else one.ohm
        if test.diode_range:
            true_A, drop_V = self.rng.uniform(0.0006, 0.0014), self.rng.uniform(0.4, 0.8)
            forward = drop_V if blocked > 1.001 * conducts else 0.0
            return self._shown(min(blocked * true_A, forward + conducts * true_A), 0.001, 2.0)
        ohm = self.rng.choice((conducts, blocked))
        return self._shown(ohm + self.rng.uniform(0, 0.5), 0.1, 20e6)

    def read(self, test: BenchTest) -> Reading:
        """The same as a reading."""
        value = self.measure(test)
        at = {key: getattr(test, key) for key in ("red", "black", "setting", "unhooked")}
        if test.diode_range:
            return DiodeReading(volts=value, **at)
        return ResistanceReading(ohm=value, **at)

    def _true(self, red: str, black: str, setting: Mapping[str, str], unhooked: str) -> OhmReading:
        faults = () if self.fault is None else (self.fault,)
        if unhooked:
            faults += unhook(self.appliance, unhooked)
        found = resistances(self.appliance, [setting], red=red, black=black, faults=[faults])
        return found[0]

    def _shown(self, value: float, step: float, top: float) -> float | None:
        if value >= top:
            return None
        read = value * self.rng.uniform(0.99, 1.01) + self.rng.uniform(-3, 3) * step
        return max(0.0, read)
