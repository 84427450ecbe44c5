"""The numbers of lesson 6's questions that lines of data cannot draw."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from itertools import product

from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.reader import read_appliance
from lessonlib.heat.protection import TOLERANCE_K
from lessonlib.heat.run import heat_up
from lessonlib.questions.answers import Choice, Number
from lessonlib.questions.content_template import Numbers
from lessonlib.questions.draw import Draw
from lessonlib.questions.numbers.live import LiveCase, one_by_answer
from lessonlib.questions.rewiring import rewired

_HIGH_MAINS_V = 253.0
"""230 V and 10 % more: IEC 60038, as quoted."""

_MARKS_C = (128, 139, 144, 152, 157, 167, 172, 184, 192, 216, 229, 240)
"""Marks with which thermal fuses are made: common practice, no source."""


_PLACES: tuple[Mapping[str, str], ...] = (
    {},  # as in the lesson
    {"E1": "warm-end", "E2": "boost-N"},
    {"E1": "warm-end"},
    {"E2": "top-N", "F1": "boost-top"},
    {"E1": "top-N", "E2": "boost-N", "F1": "warm-top"},
    {"S1": "(fed-warm, fed-boost)", "E2": "boost-N", "F1": "L-fed"},
)
"""What is wired otherwise in a punch warmer whose fuse lies elsewhere."""


@lru_cache(maxsize=2)
def _fused(warmer: Appliance) -> list[tuple[LiveCase, frozenset[str]]]:
    """The fuse open at each place, in every position and either way of the lead; and what is live
    then."""
    warmers = [rewired(warmer, wires) for wires in _PLACES]
    ways = product(warmers, ("off", "keep warm", "boost"), (False, True))
    cases = [LiveCase(one, {"S1": at, "F1": "open"}, swapped) for one, at, swapped in ways]
    return [(case, case.live) for case in cases]


def live_points_with_the_fuse_open(draw: Draw) -> Numbers:
    """What is live in a punch warmer whose fuse, at one of six places, has opened."""
    case = one_by_answer(draw, _fused(draw.appliance("punch-warmer")), 3)
    ends = {name: case.appliance.part(name).rungs[0] for name in ("S1", "E1", "E2", "F1")}
    return case.asked(
        {
            "open-means-dead": frozenset(),
            "fuse-as-if-closed": case.but(F1="closed").live,
            "wrong-conductor": case.turned.live,
            "cold-means-dead": case.live - case.cold_ends,
            "ends-of-the-fuse": case.points & set(ends["F1"]),
            "all-is-live": case.points,
        },
        position=case.setting["S1"],
        source=ends["S1"][0],
        first=" and ".join(ends["E1"]),
        second=" and ".join(ends["E2"]),
        fuse=" and ".join(ends["F1"]),
    )


def _jam_kettle(power_W: float, rise_K_per_W: float) -> Appliance:
    """An open kettle whose fuse touches its element, with a mark out of reach."""
    return read_appliance(
        f"""\
title = "Jam kettle"
supply.voltage_V = 230
vessel = {{ water_kg = 4, heat_capacity_J_per_K = 900, loss_W_per_K = 2 }}
element = [{{ name = "E1", between = ["L", "end"], power_W = {power_W:g}, voltage_V = 230 }}]
[[thermal_fuse]]
name = "F1"
between = ["end", "N"]
opens_at_C = 400
placed_on = "E1"
rise_K_per_W = {rise_K_per_W:g}
"""
    )


def _at_the_boil_C(kettle: Appliance, supply_voltage_V: float = 230.0) -> float:
    """The hottest at the place of F1 in normal use: long at the boil, and not yet dry."""
    run = heat_up(kettle, minutes=45, supply_voltage_V=supply_voltage_V)
    return run.hottest_place_C("F1")


def lowest_mark(draw: Draw) -> Numbers:
    """The lowest mark with which a fuse on an element stays closed at the boil."""
    grid = product(range(1000, 1601, 50), (0.03, 0.035, 0.04, 0.045, 0.05, 0.06))
    whole_kelvins = [each for each in grid if round(each[0] * each[1], 6).is_integer()]
    power_W, rise_K_per_W = draw.one_of(whole_kelvins)
    kettle = _jam_kettle(power_W, rise_K_per_W)
    # the text says 100 °C, where the steam table has a few hundredths less
    place_C, hottest_C = (float(round(_at_the_boil_C(kettle, v))) for v in (230.0, _HIGH_MAINS_V))
    right_C = place_C + TOLERANCE_K
    made_C = min(mark for mark in _MARKS_C if mark >= right_C)
    slips = {
        "tolerance-forgotten": place_C,
        "tolerance-backwards": place_C - TOLERANCE_K,
        "at-the-kettle": place_C - rise_K_per_W * power_W + TOLERANCE_K,
        "mains-higher-than-told": hottest_C + TOLERANCE_K,
    }
    if min(made_C - right_C, abs(made_C - hottest_C - TOLERANCE_K)) > 5:
        slips["next-mark-that-is-made"] = float(made_C)  # the tolerances reach 2 K each way
    return Numbers(
        answer=Number(
            right_C,
            "°C",
            tolerance=0.01,
            because="three figures; the tolerance of the fuse is 5 % of it",
            safe_side="above",
            unsafe_because="A fuse with a lower mark can open at the boil.",
        ),
        slips=slips,
        words={
            "power_W": power_W,
            "rise_K_per_W": rise_K_per_W,
            "tolerance_K": TOLERANCE_K,
            "place_C": place_C,
            "right_C": right_C,
            "made_C": made_C,
        },
    )


@lru_cache(maxsize=1)
def _designs() -> list[tuple[float, float]]:
    """Watts, and kelvins for each watt, with which every slip has a mark of its own."""
    grid = product(range(1000, 1801, 50), (0.02, 0.025, 0.03, 0.035, 0.04, 0.045, 0.05, 0.055))
    return [(power_W, rise) for power_W, rise in grid if all(_marks(power_W, rise))]


def _marks(power_W: float, rise_K_per_W: float) -> tuple[list[int], list[int], list[int]]:
    """Marks above the place of a fuse by less than its tolerance, marks that are high enough at
    230 V alone, and marks that are high enough; the last empty where there is no higher one."""
    usual_C, hottest_C = (100 + rise_K_per_W * power_W * up for up in (1.0, 1.21))
    usual, nominal, safe = (
        [mark for mark in _MARKS_C if low + 1 < mark < high - 1]
        for low, high in (
            (usual_C, usual_C + TOLERANCE_K),
            (usual_C + TOLERANCE_K, hottest_C + TOLERANCE_K),
            (hottest_C + TOLERANCE_K, 1000),
        )
    )
    return usual, nominal, safe if len(safe) > 1 else []


def which_fuse_fits(draw: Draw) -> Numbers:
    """The mark that is out of reach of normal use and low enough to act in time."""
    power_W, rise_K_per_W = draw.one_of(_designs())
    kettle = _jam_kettle(power_W, rise_K_per_W)
    usual_C, hottest_C = (_at_the_boil_C(kettle, volts) for volts in (230.0, _HIGH_MAINS_V))
    usual, nominal, safe = _marks(power_W, rise_K_per_W)
    right_C, next_C = safe[:2]
    bears_C = draw.one_of(range(right_C + 1, next_C))
    low_C, middle_C, high_C = map(draw.one_of, (usual, nominal, safe[1:3]))
    assert usual_C < low_C < usual_C + TOLERANCE_K < middle_C < hottest_C + TOLERANCE_K
    assert hottest_C + TOLERANCE_K < right_C < bears_C < high_C
    marks_C = sorted([right_C, low_C, middle_C, high_C], reverse=draw.one_of([False, True]))

    def option(mark_C: int) -> str:
        return f"mark {mark_C} °C"

    return Numbers(
        answer=Choice(option(right_C), tuple(map(option, marks_C))),
        slips={
            "tolerance-forgotten": option(low_C),
            "nominal-mains-only": option(middle_C),
            "higher-is-safer": option(high_C),
        },
        words={
            "power_W": power_W,
            "rise_K_per_W": rise_K_per_W,
            "tolerance_K": TOLERANCE_K,
            "high_V": _HIGH_MAINS_V,
            "hottest_C": hottest_C,
            "bears_C": bears_C,
            "right": option(right_C),
        },
    )
