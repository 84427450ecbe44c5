"""The numbers of lesson 11's questions that lines of data cannot draw."""

from __future__ import annotations

from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.reader import read_appliance
from lessonlib.circuit.solution import solve
from lessonlib.limits.input_power import input_power_limits
from lessonlib.meter.agreement import Verdict, compare_reading
from lessonlib.meter.alloys import WIRE_C, resistance_factor
from lessonlib.meter.ohmmeter import OhmReading, resistance, resistances
from lessonlib.meter.readings import PowerReading
from lessonlib.questions.answers import CellTable, Choice, Number, OneSetting, Order
from lessonlib.questions.content_template import Numbers
from lessonlib.questions.draw import Draw

_RIGHT_TO_THREE_FIGURES = "three figures, and 2 % for rounding on the way"


def _gluepot(
    keep_W: float, boost_W: float, *, alloy: str = "", contacts: tuple[str, str] | None = None
) -> Appliance:
    """The gluepot of the lesson: off, warm (E1) and hot (E1 and E2). `contacts` are the positions
    in which E1 and E2 get their line, as lists of a file."""
    first, second = contacts or ('"warm", "hot"', '"hot"')
    wire = f'alloy = "{alloy}"' if alloy else ""
    return read_appliance(f"""\
title = "Gluepot"
[supply]
voltage_V = 230
[[element]]
name = "E1"
between = ["warm", "N"]
power_W = {keep_W:g}
voltage_V = 230
{wire}
[[element]]
name = "E2"
between = ["boost", "N"]
power_W = {boost_W:g}
voltage_V = 230
{wire}
[[switch]]
name = "S1"
positions = ["off", "warm", "hot"]
contacts = [
    {{ between = ["L", "warm"], closed_in = [{first}] }},
    {{ between = ["L", "boost"], closed_in = [{second}] }},
]
""")


def gluepot_cold_ohms(draw: Draw) -> Numbers:
    """What an ohmmeter shows between the pins of a cold gluepot at hot."""
    alloy = draw.one_of(["NiCr 35/20", "FeCrAl 13/4", "NiCr 60/15"])
    keep_W = draw.number(200, 300, 20)
    boost_W = draw.number(360, 560, 40)
    pot = _gluepot(keep_W, boost_W, alloy=alloy)
    setting = {"S1": "hot"}
    shown = resistance(pot, setting, red="L", black="N").ohm
    assert shown is not None
    factor = resistance_factor(alloy, WIRE_C)
    hot = 230**2 / (keep_W + boost_W)
    return Numbers(
        answer=Number(shown, "Ω", because=_RIGHT_TO_THREE_FIGURES),
        slips={
            "hot-for-cold": hot,
            "factor-upside-down": hot * factor,
            "added-side-by-side": 230**2 / keep_W / factor + 230**2 / boost_W / factor,
        },
        words={
            "keep_W": keep_W,
            "boost_W": boost_W,
            "alloy": alloy,
            "factor": factor,
            "hot_ohm": hot,
            "shown_ohm": shown,
        },
        appliance=pot,
        setting=setting,
    )


_VERDICTS: dict[Verdict, tuple[str, str]] = {
    "agrees": (
        "marked-is-about",
        "it agrees: the meter's tolerance covers the difference",
    ),
    "within the limits": (
        "limits-for-everything",
        "it is within the limits: not the meter's, but those of the marking",
    ),
    "off": ("marked-is-exact", "it is off: neither the meter nor the marking explains it"),
}
"""For each verdict the slip of somebody who gives it wrongly, and the option."""


def gluepot_watts_on_this_mains(draw: Draw) -> Numbers:
    """What to say of a reading in watts, taken with the volts beside it."""
    keep_W = draw.number(200, 400, 50)
    boost_W = draw.number(400, 600, 50)
    volts = draw.one_of([216, 218, 222, 239, 242])
    share = draw.one_of([1.0, 1.005, 0.93, 0.94, 0.8, 0.84])
    pot = _gluepot(keep_W, boost_W)
    setting = {"S1": "hot"}
    wanted_W = solve(pot, setting, supply_voltage_V=volts).power_W
    assert wanted_W is not None
    shown_W = round(wanted_W * share)
    reading = PowerReading(power_W=shown_W, setting=setting, supply_voltage_V=volts)
    limits = input_power_limits(keep_W + boost_W)
    verdict = compare_reading(pot, reading).verdict
    options = [option for _, option in _VERDICTS.values()]
    return Numbers(
        answer=Choice(_VERDICTS[verdict][1], tuple(draw.shuffled(options))),
        slips=dict(found for wrong, found in _VERDICTS.items() if wrong != verdict),
        words={
            "marked_W": keep_W + boost_W,
            "volts": volts,
            "shown_W": shown_W,
            "wanted_W": wanted_W,
            "tolerance_W": reading.tolerance,
            "low_W": limits.low_W,
            "high_W": limits.high_W,
            "right": _VERDICTS[verdict][1],
        },
        appliance=pot,
        setting=setting,
    )


def _dish_warmer(low_W: float, high_W: float) -> Appliance:
    return read_appliance(f"""\
title = "Dish warmer"
[supply]
voltage_V = 230
[[switch]]
name = "S1"
positions = ["off", "on"]
contacts = [{{ between = ["L", "shelf"], closed_in = ["on"] }}]
[[switch]]
name = "S2"
positions = ["off", "on"]
contacts = [{{ between = ["L", "base"], closed_in = ["on"] }}]
[[element]]
name = "E1"
between = ["shelf", "N"]
power_W = {low_W:g}
voltage_V = 230
[[element]]
name = "E2"
between = ["base", "N"]
power_W = {high_W:g}
voltage_V = 230
""")


def dish_warmer_which_setting(draw: Draw) -> Numbers:
    """How two switches stand, from one reading in ohms."""
    low_W, high_W = draw.number(150, 300, 10), draw.number(450, 800, 10)
    warmer = _dish_warmer(low_W, high_W)
    parts = ("S1", "S2")
    settings = [
        dict(zip(parts, row, strict=True)) for row in (("on", "off"), ("off", "on"), ("on", "on"))
    ]
    which = draw.one_of([0, 1, 2])
    ohms = [resistance(warmer, each, red="L", black="N").ohm for each in settings]
    return Numbers(
        answer=OneSetting(warmer, accepted=(settings[which],), parts=parts),
        slips={
            "more-watts-more-ohms": settings[1 if which == 0 else 0],
            "more-paths-more-ohms": settings[2 if which != 2 else 1],
            "off-and-measured": {"S1": "off", "S2": "off"},
        },
        words={
            "low_W": low_W,
            "high_W": high_W,
            "both": which == 2,
            "shown_ohm": round(ohms[which] or 0.0, 1),
            "first_ohm": ohms[0],
            "second_ohm": ohms[1],
            "both_ohm": ohms[2],
        },
        appliance=warmer,
    )


def dish_warmer_burnt_element(draw: Draw) -> Numbers:
    """The watts at the plug, sound and with one element open."""
    low_W, high_W = draw.number(150, 300, 10), draw.number(450, 800, 10)
    volts = draw.one_of([*range(216, 223), *range(239, 247)])
    warmer = _dish_warmer(low_W, high_W)
    rows = {"S1 on, S2 off": ("on", "off"), "both on": ("on", "on")}

    def watts(fault: str | None, on: float = volts) -> list[float]:
        return [
            solve(warmer, {"S1": first, "S2": second}, fault=fault, supply_voltage_V=on).power_W
            or 0.0
            for first, second in rows.values()
        ]

    def table(sound: list[float], burnt: list[float]) -> tuple[tuple[float, ...], ...]:
        return tuple(zip(sound, burnt, strict=True))

    sound, burnt = watts(None), watts("E2 open")
    return Numbers(
        answer=CellTable(
            rows=tuple(rows),
            columns=(("sound", "W"), ("E2 open", "W")),
            value=table(sound, burnt),
            tolerance=0.02,
            because=_RIGHT_TO_THREE_FIGURES,
        ),
        slips={
            "marked-on-any-voltage": table(watts(None, 230), watts("E2 open", 230)),
            "burnt-one-stops-both": table(sound, [burnt[0], 0.0]),
            "other-one-takes-over": table(sound, [burnt[0], sound[1]]),
        },
        words={
            "low_W": low_W,
            "high_W": high_W,
            "volts": volts,
            "first_W": sound[0],
            "both_W": sound[1],
        },
        appliance=warmer,
        setting={"S1": "on", "S2": "on"},
    )


_FAULTS = {
    "E1 open": "E1 burnt through",
    "E2 open": "E2 burnt through",
    "S1 contact 1 welded": "the contact of S1 for E1 welded",
    "S1 contact 2 welded": "the contact of S1 for E2 welded",
}
_POSITIONS = ("off", "warm", "hot")


def _ohms(reading: OhmReading) -> str:
    return "OL" if reading.ohm is None else f"{reading.ohm:.0f} Ω"


def _told(row: list[str]) -> str:
    return ", ".join(f"{at} {ohms}" for at, ohms in zip(_POSITIONS, row, strict=True))


def gluepot_fault_by_readings(draw: Draw) -> Numbers:
    """The one fault that fits three readings."""
    keep_W, boost_W = draw.number(200, 300, 20), draw.number(360, 560, 40)
    alloy = draw.one_of(["NiCr 35/20", "NiCr 80/20", "FeCrAl 25/5"])
    pot = _gluepot(keep_W, boost_W, alloy=alloy)
    settings = [{"S1": position} for position in _POSITIONS]
    found = resistances(pot, settings, red="L", black="N", faults=(None, *_FAULTS))
    width = 1 + len(_FAULTS)
    sound, *columns = [[_ohms(one) for one in found[at::width]] for at in range(width)]
    by_fault = dict(zip(_FAULTS, columns, strict=True))
    fault = draw.one_of(list(_FAULTS))
    seen = by_fault[fault]
    words: dict[str, object] = {}
    slips = {}
    for name, row in by_fault.items():
        if name == fault:
            continue
        slip = name.lower().replace(" ", "-")
        first = next(
            at for at, (one, other) in enumerate(zip(row, seen, strict=True)) if one != other
        )
        slips[slip] = _FAULTS[name]
        words |= {
            f"at_{slip.replace('-', '_')}": _POSITIONS[first],
            f"shows_{slip.replace('-', '_')}": row[first],
        }
    return Numbers(
        answer=Choice(_FAULTS[fault], tuple(draw.shuffled(list(_FAULTS.values())))),
        slips=slips,
        words={
            "keep_W": keep_W,
            "boost_W": boost_W,
            "sound": _told(sound),
            "seen": _told(seen),
            "right": _FAULTS[fault],
            **words,
        },
        appliance=pot,
    )


_MEASURED = {
    "gluepot": ("warm", "hot"),
    "dish warmer": ("shelf on", "base on", "both on"),
    "plate warmer": ("low", "high"),
    "bottle warmer": ("low", "high"),
    "punch warmer": ("keep warm", "boost"),
    "towel rail": ("low", "medium", "high"),
    "soup kettle": ("simmer", "boil"),
    "pie cabinet": ("low", "high"),
    "wax melter": ("half", "full"),
    "hot trolley": ("low", "medium", "high"),
}
"""Appliances of the hall and the settings in which they are measured."""
_WHY = ("is sound", "still fits its file", "has lost an element")


def order_of_a_measurement(draw: Draw) -> Numbers:
    """The order in which one reading is taken."""
    what = draw.one_of(list(_MEASURED))
    at, why = draw.one_of(_MEASURED[what]), draw.one_of(_WHY)
    work = (
        "pull the plug, keep it in sight, let it cool",
        f"set the switch to {at}",
        "prove dead between every pair of pins",
        "read the ohmmeter between L and N",
        "write the setting beside the ohms",
        "compare with the file",
    )
    plug, turn, prove, read, write, compare = work
    return Numbers(
        answer=Order(
            work,
            reasons={
                (plug, turn): "Switched on with the plug in, it heats, and you want it cold.",
                (plug, prove): "The test is to show that pulling the plug has done its work.",
                (plug, read): "Ohms are measured only on an unplugged appliance.",
                (turn, prove): "With an open switch the pins say nothing of what lies behind it.",
                (turn, read): "A reading belongs to the setting in which it was taken.",
                (prove, read): "Ohms are measured only on what has been proved dead.",
                (read, write): "There are no ohms yet to write it beside.",
                (write, compare): "Without the setting you cannot tell what to compare with.",
            },
        ),
        slips={
            "proved-too-late": (plug, turn, read, prove, write, compare),
            "proved-with-the-switch-off": (plug, prove, turn, read, write, compare),
            "not-yet-unplugged": (turn, plug, prove, read, write, compare),
            "switch-last": (plug, prove, read, turn, write, compare),
            "setting-from-memory": (plug, turn, prove, read, compare, write),
        },
        words={"what": what, "at": at, "why": why},
    )


def own_both(draw: Draw) -> Numbers:
    """What is between the pins of the lesson's own gluepot at hot."""
    marked_W, alloy = 280, "NiCr 35/20"
    pot = _gluepot(marked_W, marked_W, alloy=alloy)
    one, both = (
        resistance(pot, {"S1": at}, red="L", black="N").ohm or 0.0 for at in ("warm", "hot")
    )
    return Numbers(
        answer=Number(both, "Ω"),
        slips={
            "one-alone": one,
            "added": 2 * one,
            "at-work": both * resistance_factor(alloy, WIRE_C),
        },
        words={"one_ohm": one, "both_ohm": both},
    )
