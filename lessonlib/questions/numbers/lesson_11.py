"""The numbers of lesson 11's questions that lines of data cannot draw."""

from __future__ import annotations

from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.reader import read_appliance
from lessonlib.circuit.solution import solve
from lessonlib.limits.input_power import input_power_limits
from lessonlib.meter.agreement import compare_reading
from lessonlib.meter.readings import PowerReading
from lessonlib.questions.answers import CellTable, Order
from lessonlib.questions.content_template import Numbers
from lessonlib.questions.draw import Draw

_RIGHT_TO_THREE_FIGURES = "three figures, and 2 % for rounding on the way"


def gluepot_watts_on_this_mains(
    circuit: Appliance, volts: float, shown_W: float, marked_W: float
) -> dict[str, object]:
    """What to say of a reading in watts, taken with the volts beside it."""
    reading = PowerReading(power_W=shown_W, setting={"S1": "hot"}, supply_voltage_V=volts)
    limits = input_power_limits(marked_W)
    return {
        "verdict": compare_reading(circuit, reading).verdict,
        "tolerance_W": reading.tolerance,
        "low_W": limits.low_W,
        "high_W": limits.high_W,
    }


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
