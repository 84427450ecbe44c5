"""The numbers of lesson 11's questions that lines of data cannot draw."""

from __future__ import annotations

from lessonlib.appliance.parts import Appliance
from lessonlib.limits.input_power import input_power_limits
from lessonlib.meter.agreement import compare_reading
from lessonlib.meter.readings import PowerReading
from lessonlib.questions.draw import Draw


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


def order_of_a_measurement(draw: Draw) -> dict[str, object]:
    """What is measured, in which setting, and why."""
    what = draw.one_of(list(_MEASURED))
    at = draw.one_of(_MEASURED[what])
    why = draw.one_of(["is sound", "still fits its file", "has lost an element"])
    return {"what": what, "at": at, "why": why}
