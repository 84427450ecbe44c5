"""The numbers of lesson 5's questions that lines of data cannot draw."""

from __future__ import annotations

import math
from functools import lru_cache
from itertools import combinations, pairwise

from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.reader import read_appliance
from lessonlib.circuit.solution import Solution, solve, solve_all
from lessonlib.circuit.wave import Wave
from lessonlib.circuit.waveform import waveform
from lessonlib.questions.answers import CellTable, Number, Order
from lessonlib.questions.content_template import Numbers
from lessonlib.questions.draw import Draw
from lessonlib.questions.reading import written

_HALF = {"S1": "on", "S2": "half"}
_FULL = {"S1": "on", "S2": "full"}




_TO_FED, _TO_HEAT = '"L", "fed"', '"L", "heat"'
_BRIDGED = (_TO_FED, '"low", "high"', '"fed", "heat"', '"high"')


@lru_cache(maxsize=256)
def _glue_pot(
    power_W: float, supply_V: float = 230, contacts: tuple[str, str, str, str] = _BRIDGED
) -> Appliance:
    """A pot with one diode. `contacts`: between what each of the two lies, and when it is closed;
    the diode leads from "fed" to "heat"."""
    first, when_first, second, when_second = contacts
    return read_appliance(
        f"""\
title = "Glue pot"
supply.voltage_V = {supply_V:g}
[[switch]]
name = "S1"
positions = ["off", "low", "high"]
contacts = [
  {{ between = [{first}], closed_in = [{when_first}] }},
  {{ between = [{second}], closed_in = [{when_second}] }},
]
[[diode]]
name = "D1"
between = ["fed", "heat"]
[[element]]
name = "E1"
between = ["heat", "N"]
power_W = {power_W:g}
voltage_V = {supply_V:g}
"""
    )



_MEAN = "the mean of the voltage across the element"
_NEEDLE = "what a needle meter behind a bridge rectifier shows across the element"
_COUPLED = "what a true-r.m.s. meter that leaves out d.c. shows across the element"
_RMS = "the r.m.s. voltage across the element"
_MAINS = "the r.m.s. voltage of the mains"
_PEAK = "the peak voltage across the element"

_EXCHANGED = {
    (_MEAN, _NEEDLE): "needle-below-the-mean",
    (_MEAN, _COUPLED): "d-c-left-out-below-the-mean",
    (_NEEDLE, _COUPLED): "needle-above-the-other-meter",
    (_NEEDLE, _RMS): "needle-above-rms",
    (_NEEDLE, _MAINS): "needle-above-the-mains",
    (_COUPLED, _RMS): "d-c-left-out-above-rms",
    (_COUPLED, _MAINS): "d-c-left-out-above-the-mains",
    (_RMS, _MAINS): "diode-raises-rms",
    (_RMS, _PEAK): "rms-above-the-peak",
    (_MAINS, _PEAK): "rms-as-the-highest",
    (_MEAN, _RMS): "mean-above-rms",
}
"""The slip that has two neighbours the wrong way round."""


def smallest_first(draw: Draw) -> Numbers:
    """Values of one half-wave in order of size."""
    supply_V = draw.one_of([110, 120, 220, 230, 240])
    pot = _glue_pot(60, supply_V)
    wave = _voltage(solve(pot, {"S1": "low"}), "E1")
    size_V = {
        _MEAN: wave.mean,
        _NEEDLE: wave.averaging_meter,
        _COUPLED: wave.ac_coupled_true_rms_meter,
        _RMS: wave.rms,
        _MAINS: float(supply_V),
        _PEAK: wave.peak,
    }
    pairs = [set(pair) for pair in combinations(list(size_V)[:5], 2)]
    left_out = draw.one_of([pair for pair in pairs if pair != {_RMS, _MAINS}])
    right = tuple(sorted(size_V.keys() - left_out, key=size_V.__getitem__))
    slips = {
        _EXCHANGED[lower, upper]: (*right[:place], upper, lower, *right[place + 2 :])
        for place, (lower, upper) in enumerate(pairwise(right))
    }
    return Numbers(
        answer=Order(right),
        slips=slips | {"largest-first": right[::-1]},
        words={
            "supply_V": supply_V,
            "worked": "\n".join(
                f"{name}: {written(round(size_V[name], 1), 'V')}." for name in right
            ),
        },
        appliance=pot,
        setting={"S1": "low"},
    )


_FAULTS = {
    "d1-is-open": ("D1 is open", "D1 open"),
    "d1-is-shorted": ("D1 is shorted", "D1 shorted"),
    "d1-is-fitted-the-wrong-way-round": ("D1 is fitted the wrong way round", ""),
    "s2-does-not-make": ("S2 does not make", "S2 not making"),
    "nothing-gets-in": ("plug fuse, cord, F1 or E1 is open", "F1 not making"),
}
