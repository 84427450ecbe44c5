"""Numbers of the questions that are not about live points."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import combinations, pairwise, product
from typing import Any

from lessonlib.appliance.parts import Appliance
from lessonlib.circuit.solution import solve, solve_all
from lessonlib.circuit.wave import Wave
from lessonlib.diagnosis.checked import compare_readings
from lessonlib.heat.protection import TOLERANCE_K
from lessonlib.limits.input_power import input_power_limits
from lessonlib.meter.readings import PowerReading
from lessonlib.questions.content_circuit import heated
from lessonlib.questions.draw import Draw
from lessonlib.questions.numbers.faults import odd_one_out
from lessonlib.questions.reading import written

Names = dict[str, Any]


def kettle_wired_anew(circuit: Appliance, low_W: float, high_W: float) -> Names:
    """What another wiring of the kettle's two elements can do."""
    given = {
        (bool(now.part["E1"].power_W), bool(now.part["E2"].power_W)) for now in solve_all(circuit)
    }
    asked = {(False, False), (True, False), (False, True)}
    settings = [f"E1 {low_W * e1:g} W, E2 {high_W * e2:g} W" for e1, e2 in sorted(given)]
    return {
        "same": given == asked,
        "more": given > asked,
        "fewer": given < asked,
        "both": (True, True) in given,
        "settings": "; ".join(settings),
    }


_EXCHANGED = {
    ("mean", "needle"): "needle_below_the_mean",
    ("mean", "coupled"): "d_c_left_out_below_the_mean",
    ("mean", "rms"): "mean_above_rms",
    ("needle", "coupled"): "needle_above_the_other_meter",
    ("needle", "rms"): "needle_above_rms",
    ("needle", "mains"): "needle_above_the_mains",
    ("coupled", "rms"): "d_c_left_out_above_rms",
    ("coupled", "mains"): "d_c_left_out_above_the_mains",
    ("rms", "mains"): "diode_raises_rms",
    ("rms", "peak"): "rms_above_the_peak",
    ("mains", "peak"): "rms_as_the_highest",
}
"""The slip that has two neighbours the wrong way round."""


def smallest_first(draw: Draw, circuit: Appliance, wave: Wave, asked: Mapping[str, str]) -> Names:
    """Values of one half-wave in order of size; `asked` has the words for each."""
    size_V = {
        "mean": wave.mean,
        "needle": wave.averaging_meter,
        "coupled": wave.ac_coupled_true_rms_meter,
        "rms": wave.rms,
        "mains": circuit.supply.voltage_V,
        "peak": wave.peak,
    }
    pairs = [set(pair) for pair in combinations(list(size_V)[:5], 2)]
    left_out = draw.one_of([pair for pair in pairs if pair != {"rms", "mains"}])
    right = sorted(size_V.keys() - left_out, key=size_V.__getitem__)
    orders = {"rising": right, "largest_first": right[::-1]}
    for place, (lower, upper) in enumerate(pairwise(right)):
        orders[_EXCHANGED[lower, upper]] = [*right[:place], upper, lower, *right[place + 2 :]]
    lines = [f"{asked[name]}: {written(round(size_V[name], 1), 'V')}." for name in right]
    told = {key: tuple(asked[name] for name in order) for key, order in orders.items()}
    return {**told, "worked": "\n".join(lines)}


_HIGH_MAINS_V = 253.0
"""230 V and 10 % more: IEC 60038, as quoted."""

_MARKS_C = (128, 139, 144, 152, 157, 167, 172, 184, 192, 216, 229, 240)
"""Marks with which thermal fuses are made: common practice, no source."""


def lowest_mark(draw: Draw) -> Names:
    """Watts and kelvins for each watt that give whole kelvins, and the next mark that is made."""
    grid = product(range(1000, 1601, 50), (0.03, 0.035, 0.04, 0.045, 0.05, 0.06))
    power_W, rise_K_per_W = draw.one_of([(w, k) for w, k in grid if round(w * k, 6) % 1 == 0])
    lowest_C = round(100 + power_W * rise_K_per_W) + TOLERANCE_K
    return {
        "power_W": power_W,
        "rise_K_per_W": rise_K_per_W,
        "tolerance_K": TOLERANCE_K,
        "made_C": min(mark for mark in _MARKS_C if mark >= lowest_C),
    }


def _marks(power_W: float, rise_K_per_W: float) -> list[list[int]]:
    """Marks above the place of a fuse by less than its tolerance, marks that are high enough at
    230 V alone, and marks that are high enough."""
    highest = (_HIGH_MAINS_V / 230) ** 2
    usual_C, hottest_C = (100 + rise_K_per_W * power_W * up for up in (1.0, highest))
    limits = (usual_C, usual_C + TOLERANCE_K, hottest_C + TOLERANCE_K, 1000)
    return [[mark for mark in _MARKS_C if a + 1 < mark < b - 1] for a, b in pairwise(limits)]


def which_fuse_fits(draw: Draw) -> Names:
    """The mark that is out of reach of normal use and low enough to act in time."""
    grid = product(range(1000, 1801, 50), (0.02, 0.025, 0.03, 0.035, 0.04, 0.045, 0.05, 0.055))
    # watts, and kelvins for each watt, with which every slip has a mark of its own
    designs = [each for each in grid if min(map(len, _marks(*each))) and len(_marks(*each)[2]) > 1]
    power_W, rise_K_per_W = draw.one_of(designs)
    usual, nominal, safe = _marks(power_W, rise_K_per_W)
    bears_C = draw.one_of(range(safe[0] + 1, safe[1]))
    marks_C = {
        "fits": safe[0],
        "tolerance_forgotten": draw.one_of(usual),
        "nominal_mains_only": draw.one_of(nominal),
        "higher_is_safer": draw.one_of(safe[1:3]),
    }
    marks = {name: f"mark {mark_C} °C" for name, mark_C in marks_C.items()}
    return {
        **marks,
        "options": tuple(sorted(marks.values(), reverse=draw.one_of([False, True]))),
        "power_W": power_W,
        "rise_K_per_W": rise_K_per_W,
        "tolerance_K": TOLERANCE_K,
        "high_V": _HIGH_MAINS_V,
        "bears_C": bears_C,
    }


_BESIDE = {
    -2: "opens_far_too_often",
    -1: "opens_too_often",
    0: "fits",
    1: "cooler_than_asked",
    2: "far_cooler_than_asked",
}
"""Options by their place from the right one, the closing pressures from high to low."""


def closing_pressure(draw: Draw) -> Names:
    """The highest closing pressure with which the contact opens no more often than it may."""
    loss_W_per_K = draw.one_of([1.5, 1.8, 2.1])
    closes_bar = sorted(draw.some_of([0.2, 0.3, 0.35, 0.4, 0.45, 0.5, 0.55], 4), reverse=True)
    times = []
    for bar in closes_bar:
        changes = {"P1": {"closes_at_bar": bar}, "vessel": {"loss_W_per_K": loss_W_per_K}}
        cycle = heated(draw.appliance("garment-steamer", changes), 30, (("S1", "on"),))["cycle"]
        times.append(3600 / cycle.period_s)
    place = draw.one_of([1, 2])
    most = round((times[place - 1] + times[place]) / 2)
    assert times[place] < most < times[place - 1]
    options = [f"{bar:g} bar" for bar in closes_bar]
    counted = [f"closing at {bar}, {count:.0f}" for bar, count in zip(options, times, strict=True)]
    names: Names = {"loss_W_per_K": loss_W_per_K, "most": most, "counted": "; ".join(counted)}
    for at, (option, count) in enumerate(zip(options, times, strict=True)):
        names |= {_BESIDE[at - place]: option, f"{_BESIDE[at - place]}_times": count}
    return names | {"options": tuple(options[:: draw.one_of([1, -1])])}


_WAYS = {
    "garment-steamer": ("S1", "H2", "P1"),
    "curtain-steamer": ("H2", "P1", "S1"),
    "wallpaper-steamer": ("contact 1 of S1", "H2", "P1", "contact 2 of S1"),
}
"""What the current of H2 passes from L to N."""


def way_of_the_heating_lamp(steamer: str, plug: str) -> Names:
    """What the current of H2 passes, from the line on."""
    way = _WAYS[steamer][:: -1 if plug == "reversed" else 1]
    exchange = {"H2": "P1", "P1": "H2"}
    names: Names = {
        "way": way,
        "from_the_neutral": way[::-1],
        "lamp_and_p1_exchanged": tuple(exchange.get(item, item) for item in way),
    }
    if way[-1] == "S1":
        names["switch_comes_first"] = ("S1", *way[:-1])
    return names


_SUSPECTS: Mapping[str, tuple[str, str | None]] = {
    "E1 has burnt through": ("closed", "E1 open"),
    "F1 has opened": ("closed", "F1 not making"),
    "P1 has welded": ("closed", "P1 welded"),
    "pressure has opened P1": ("open", None),
    "P1 makes no contact": ("closed", "P1 not making"),
    "H2 has burnt out": ("closed", "H2 open"),
    "S1 makes no contact": ("closed", "S1 not making"),
}
"""One thing that may be so: the position of P1, and the fault."""


def excluded_by_the_lamps(draw: Draw, circuit: Appliance, both: str) -> Names:
    """The one cause that does not fit what the lamps show: both of them glow, or H1 alone."""
    fits = {}
    for suspect, (pressure, fault) in _SUSPECTS.items():
        part = solve(circuit, {"S1": "on", "P1": pressure}, fault=fault).part
        lit = [(part[lamp].power_W or 0.0) > 0.1 for lamp in ("H1", "H2")]
        fits[suspect] = lit == [True, both == "yes"]
    return odd_one_out(draw, fits, len(fits))


def gluepot_watts_on_this_mains(
    circuit: Appliance, volts: float, shown_W: float, marked_W: float
) -> Names:
    """What to say of a reading in watts, taken with the volts beside it."""
    reading = PowerReading(power_W=shown_W, setting={"S1": "hot"}, supply_voltage_V=volts)
    limits = input_power_limits(marked_W)
    return {
        "verdict": compare_readings(circuit, reading).rows[0].verdict,
        "tolerance_W": reading.tolerance,
        "low_W": limits.low_W,
        "high_W": limits.high_W,
    }
