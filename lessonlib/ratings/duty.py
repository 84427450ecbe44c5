"""The most that each part meets: over all settings, each way the plug goes in, at one voltage."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import Appliance, Lamp
from lessonlib.appliance.settings import setting_words, settings
from lessonlib.circuit.network import Floats
from lessonlib.circuit.solution import Solution, Solutions, solve_all
from lessonlib.circuit.totals import Totals
from lessonlib.limits.mains import mains_range
from lessonlib.ratings.finding import Worst

_BEHIND = 0.05
"""A load whose power changes by more than this share when a diode is bridged is behind it: a cord's
resistance changes that of others by less."""


@dataclass(frozen=True, eq=False)
class Duty:
    """Every setting of every contact, those that act by themselves included."""

    appliance: Appliance
    volts: float
    ways: tuple[Solutions, ...]

    def current(self, part: str, contact: int = 1) -> Worst:
        """r.m.s. current through the part or its contact, A."""
        return self._most(part, lambda of: np.sqrt(np.maximum(of.current2, 0)), contact)

    def mean_current(self, part: str) -> Worst:
        """Direct part of the current, A."""
        return self._most(part, lambda of: np.abs(of.current_mean))

    def peak(self, part: str) -> Worst | None:
        """Largest instantaneous voltage across it, V; None where nothing ever fixes it."""
        known = [way.totals.voltage_known[:, way.network.place[part, 1]] for way in self.ways]
        if not any((one & ~way.short).any() for one, way in zip(known, self.ways, strict=True)):
            return None
        return self._most(part, lambda of: of.voltage_peak * of.voltage_known)

    def voltage(self, part: str) -> Worst:
        """r.m.s. voltage across it, V."""
        return self._most(part, lambda of: np.sqrt(np.maximum(of.voltage2, 0)))

    def power_W(self, part: str) -> float:
        """Most power of an element, W."""
        return self._most(part, lambda of: of.power).value

    def drawn_A(self) -> Worst:
        """r.m.s. current from the line, A."""
        return self._worst([np.nan_to_num(way.current_A) for way in self.ways])

    def drawn_W(self) -> Worst:
        """Power of the whole appliance, W."""
        return self._worst([np.nan_to_num(way.power_W) for way in self.ways])

    def has_sound(self) -> bool:
        """Whether there is a setting that is no short circuit."""
        return any((~way.short).any() for way in self.ways)

    def shorted(self) -> Solution | None:
        """The first setting that is a short circuit."""
        found = ((way, np.flatnonzero(way.short)) for way in self.ways)
        return next((way[int(cases[0])] for way, cases in found if cases.size), None)

    def _most(self, part: str, values: Callable[[Totals], Floats], contact: int = 1) -> Worst:
        return self._worst(
            [values(way.totals)[:, way.network.place[part, contact]] for way in self.ways]
        )

    def _worst(self, columns: list[Floats]) -> Worst:
        found = np.array(columns)
        way, case = divmod(int(np.argmax(found)), found.shape[1])
        words = [setting_words(self.appliance, self.ways[way].settings[case])]
        words += ["plug reversed"] if self.ways[way].base.reversed_plug else []
        words.append(f"{self.volts:g} V")
        return Worst(float(found[way, case]), ", ".join(filter(None, words)))


def duty_at(appliance: Appliance, volts: float) -> Duty:
    """What the parts meet at `volts`. Raises `SettingError` for too many settings at once."""
    every = settings(appliance, appliance.movable)
    plugs = (False, True) if appliance.supply.reversible_plug else (False,)
    ways = (
        solve_all(appliance, every, reversed_plug=turned, supply_voltage_V=volts)
        for turned in plugs
    )
    return Duty(appliance, volts, tuple(ways))


def highest_V(appliance: Appliance) -> float:
    """The highest mains that its supply may be, V; its nominal voltage where no range is kept."""
    found = mains_range(appliance.supply.voltage_V)
    return appliance.supply.voltage_V if found is None else found.high_V


@lru_cache(maxsize=16)
def controlled_W(appliance: Appliance, diode: str) -> float:
    """Power of the elements and lamps behind a diode, W: the most that those give with it bridged
    that change when it is. 0 for a diode that changes nothing; NaN where nothing is ever on."""
    faults = [None, Fault(diode, "shorted")]
    batch = solve_all(appliance, settings(appliance, appliance.movable), faults=faults)
    loads = [*appliance.elements, *appliance.of_type(Lamp)]
    columns = [batch.network.place[part.name, 1] for part in loads]
    power = batch.totals.power[:, columns].reshape(-1, 2, len(columns))
    sound = ~batch.short.reshape(-1, 2).any(axis=1)
    before, after = power[sound, 0], power[sound, 1]
    if not after.any():
        return math.nan
    changed = np.abs(after - before) > _BEHIND * np.maximum(after, before)
    return float((after * changed).sum(axis=1).max(initial=0.0))
