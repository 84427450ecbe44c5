"""The numbers of lesson 6's questions that lines of data cannot draw."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from itertools import product

from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.reader import read_appliance
from lessonlib.circuit.solution import solve
from lessonlib.heat.protection import TOLERANCE_K
from lessonlib.heat.run import heat_up
from lessonlib.questions.answers import CellTable, Choice, Number, Order
from lessonlib.questions.content_template import Numbers
from lessonlib.questions.draw import Draw
from lessonlib.questions.numbers.live import LiveCase, one_by_answer
from lessonlib.questions.rewiring import rewired

_HIGH_MAINS_V = 253.0
"""230 V and 10 % more: IEC 60038, as quoted."""

_MARKS_C = (128, 139, 144, 152, 157, 167, 172, 184, 192, 216, 229, 240)
"""Marks with which thermal fuses are made: common practice, no source."""


def _quoted(nodes: str) -> str:
    return ", ".join(f'"{node}"' for node in nodes.split())


def _side_by_side(
    names: tuple[str, str, str, str, str],
    wires: tuple[str, str, str, str],
    watts: tuple[float, float],
) -> Appliance:
    """Two elements on one switch. `names`: the title, the two positions that heat, and the points
    to which S1 joins its common point in both of them and in the second. `wires`: that common
    point, and between what E1, E2 and F1 lie."""
    title, low, high, a, b = names
    source, first, second, fuse = map(_quoted, wires)
    return read_appliance(
        f"""\
title = "{title}"
supply.voltage_V = 230
switch = [{{ name = "S1", positions = ["off", "{low}", "{high}"], contacts = [
  {{ between = [{source}, "{a}"], closed_in = ["{low}", "{high}"] }},
  {{ between = [{source}, "{b}"], closed_in = ["{high}"] }}] }}]
element = [
  {{ name = "E1", between = [{first}], power_W = {watts[0]:g}, voltage_V = 230 }},
  {{ name = "E2", between = [{second}], power_W = {watts[1]:g}, voltage_V = 230 }}]
thermal_fuse = [{{ name = "F1", between = [{fuse}], opens_at_C = 172 }}]
"""
    )


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


_CAUSES = {
    "punch warmer": (
        ("it leans on a broken foot, and E2 runs dry at one side", "fit a foot that fits"),
        ("it was left at boost overnight", "put a note at S1: never leave it at boost"),
        ("the boost contact of S1 has welded", "fit a sound switch as S1"),
        ("a stronger element was fitted as E2", "fit an E2 of the power on the label"),
        ("sugar has burnt on above E2", "clean the pot until the crust above E2 is gone"),
        ("its level mark has worn off, and it was filled too low", "make the level mark readable"),
    ),
    "wax melter": (
        ("its water bath leaks and ran dry", "mend the bath so that it holds its water"),
        ("its level mark has worn off, and the bath ran dry", "make the level mark readable"),
        ("wax has got into its bath in place of water", "clean the bath and fill it with water"),
        ("the clip of F1 has slipped, and F1 touches E1", "put the clip back where it belongs"),
    ),
    "pie cabinet": (
        ("grease has closed its vents", "clean the vents"),
        ("the plate between E2 and F1 has come off", "put the plate back"),
        ("a stronger element was fitted as E2", "fit an E2 of the power on the label"),
        ("a contact of S2 has welded, and low and high heat at once", "fit a sound switch as S2"),
        ("the clip of F1 has slipped, and F1 touches E2", "put the clip back where it belongs"),
    ),
    **{
        f"{kind} steamer": (
            ("P1 has welded, and it boiled dry", "fit a sound pressure switch as P1"),
            ("its vessel leaks and ran dry", "fit a sound vessel"),
            ("its relief valve does not shut, and it ran dry", "fit a sound relief valve"),
            ("scale covers E1", "descale the vessel"),
            ("the clip of F1 has slipped, and F1 touches E1", "put the clip back where it belongs"),
        )
        for kind in ("garment", "curtain", "wallpaper")
    },
}
"""Why a thermal fuse has opened, and what puts it right, by appliance."""


def fuse_repair_in_order(draw: Draw) -> Numbers:
    """The steps of a repair after a one-shot fuse has opened, by its cause."""
    name, (cause, cure) = draw.one_of(
        [(name, each) for name, causes in _CAUSES.items() for each in causes]
    )
    plug, prove = "pull the plug and keep it in sight", "prove dead"
    steam = name.endswith("steamer")
    cool = "let it cool and lose its pressure" if steam else "let hot parts cool"
    fit, watch = "fit a fuse with the same mark and ratings", "plug it in and stay with it"
    test = "close it up and test earth continuity and insulation"
    return Numbers(
        answer=Order(
            (plug, cool, prove, cure, fit, test, watch),
            reasons={
                (plug, cool): "Until the plug is out, something in it may still heat.",
                (plug, prove): "With the plug in there is nothing to prove: it is live.",
                (plug, cure): "With the plug in you work on live parts.",
                (plug, fit): "With the plug in you work on live parts.",
                (plug, test): "These tests are made with the plug out.",
                (cool, prove): "Proving dead brings your hands to hot parts.",
                (cool, cure): "Hot parts burn whoever works on them.",
                (prove, cure): "Until it is proved dead, it may be live where you work.",
                (prove, fit): "Until it is proved dead, it may be live where you work.",
                (cure, fit): "What opened the old fuse would open the new one.",
                (fit, test): "Fitting the fuse can trap a wire, or leave an earth wire off.",
                (cure, test): "Work done after the tests is not tested.",
                (test, watch): "With no earth and a trapped wire the case is live as soon as the "
                "plug goes in.",
                (cure, watch): "With the cause still there, that run opens the new fuse.",
                (fit, watch): "A first run shows something only with the new fuse in it.",
            },
        ),
        slips={
            "fuse-first": (plug, cool, prove, fit, cure, test, watch),
            "cooling-on-the-plug": (cool, plug, prove, cure, fit, test, watch),
            "tested-while-hot": (plug, prove, cool, cure, fit, test, watch),
            "proved-too-late": (plug, cool, cure, prove, fit, test, watch),
            "tested-before-the-fuse": (plug, cool, prove, cure, test, fit, watch),
            "plugged-in-untested": (plug, cool, prove, cure, fit, watch, test),
            "cure-after-the-first-run": (plug, cool, prove, fit, test, watch, cure),
        },
        words={"name": name, "cause": cause},
    )


_BOILERS = {
    "in the common return": ("L", "a end", "b end", "end N"),
    "in the wire of E1": ("L", "a end", "b N", "end N"),
    "in the wire of E2": ("L", "a N", "b end", "end N"),
}

Cells = tuple[tuple[float, ...], ...]


def _powers(boiler: Appliance, fuse: str) -> Cells:
    rows = []
    for position in ("low", "high"):
        now = solve(boiler, {"S1": position, "F1": fuse})
        values = (now.part["E1"].power_W, now.part["E2"].power_W, now.current_A)
        rows.append(tuple(round(value or 0.0, 9) for value in values))
    return tuple(rows)


def boiler_with_the_fuse_open(draw: Draw) -> Numbers:
    """What two elements still give once a fuse in one of three places has opened."""
    place = draw.one_of(list(_BOILERS))
    watts = (draw.number(400, 700, 50), draw.number(900, 1500, 100))
    names = ("Wash boiler", "low", "high", "a", "b")
    boilers = {words: _side_by_side(names, wires, watts) for words, wires in _BOILERS.items()}
    boiler = boilers[place]
    return Numbers(
        answer=CellTable(
            rows=("S1 low", "S1 high"),
            columns=(("E1", "W"), ("E2", "W"), ("current", "A")),
            value=_powers(boiler, "open"),
            because="three figures, and 2 % for rounding on the way",
        ),
        slips={
            "fuse-left-out": _powers(boiler, "closed"),
            **{
                f"fuse-{words.replace(' ', '-').lower()}": _powers(other, "open")
                for words, other in boilers.items()
                if words != place
            },
        },
        words={
            "boiler": boiler,
            "place": place,
            "e1_end": boiler.part("E1").rungs[0][1],
            "e2_end": boiler.part("E2").rungs[0][1],
            "low": solve(boiler, {"S1": "low", "F1": "open"}),
            "high": solve(boiler, {"S1": "high", "F1": "open"}),
        },
        appliance=boiler,
        setting={"S1": "high", "F1": "open"},
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
