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


def _voltage(solution: Solution, part: str) -> Wave:
    wave = waveform(solution, part).voltage
    assert wave is not None
    return wave


def meter_across_the_melter(draw: Draw) -> Numbers:
    """What a meter of one kind or another shows across the element or the diode."""
    supply_V = draw.number(208, 252, 4)
    part = draw.one_of(["E1", "D1"])
    kind = draw.one_of(["needle", "a.c.", "a.c. and d.c."])
    melter = draw.appliance("wax-melter", {"supply": {"voltage_V": supply_V}})
    wave = _voltage(solve(melter, _HALF), part)
    shows = {
        "read-as-a-needle": wave.averaging_meter,
        "read-as-a-c-coupled": wave.ac_coupled_true_rms_meter,
        "read-as-true-rms": wave.true_rms_meter,
    }
    mine = dict(zip(("needle", "a.c.", "a.c. and d.c."), shows, strict=True))[kind]
    others = {
        "mean-as-it-is": abs(wave.mean),
        "mains-voltage": supply_V,
        "peak": wave.peak,
        **({"no-volts-across-a-diode": 0.0} if part == "D1" else {}),
    }
    return Numbers(
        answer=Number(
            shows[mine],
            "V",
            because="three figures, and 2 % for rounding on the way; the slips are 8 % apart",
        ),
        slips={name: value for name, value in shows.items() if name != mine} | others,
        words={
            "supply_V": supply_V,
            "part": part,
            "kind": kind,
            "shown_V": shows[mine],
            "rms_V": wave.rms,
            "mean_V": abs(wave.mean),
        },
        appliance=melter,
        setting=_HALF,
    )


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


def glue_pot_table(draw: Draw) -> Numbers:
    """Power, r.m.s. current and peak current of the glue pot, at high and at low."""
    power_W = draw.number(40, 100, 5)
    supply_V = draw.one_of([120, 220, 230, 240])
    pot = _glue_pot(power_W, supply_V)

    def row(now: Solution) -> tuple[float, ...]:
        found = now.part["E1"]
        return tuple(
            value or 0.0 for value in (found.power_W, found.current_A, found.current_peak_A)
        )

    high, low = map(row, solve_all(pot, [{"S1": "high"}, {"S1": "low"}]))
    halved = tuple(value / 2 for value in high)
    return Numbers(
        answer=CellTable(
            rows=("high", "low"),
            columns=(("power", "W"), ("r.m.s. current", "A"), ("peak current", "A")),
            value=(high, low),
            because="three figures, and 2 % for rounding on the way",
        ),
        slips={
            "all-halved": (high, halved),
            "as-half-the-voltage": (high, (high[0] / 4, *halved[1:])),
            "peak-from-rms": (high, (*low[:2], low[1] * math.sqrt(2))),
            "peak-taken-as-rms": ((*high[:2], high[1]), (*low[:2], high[1])),
            "rms-follows-power": (high, (low[0], high[1] / 2, low[2])),
        },
        words={
            "power_W": power_W,
            "supply_V": supply_V,
            "high_A": high[1],
            "high_peak_A": high[2],
            "low_W": low[0],
            "low_A": low[1],
        },
        appliance=pot,
        setting={"S1": "low"},
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
