"""What a reading may mean that no setting and no single fault of the file explains."""

from __future__ import annotations

import math
from collections.abc import Mapping

from lessonlib.appliance.parts import Appliance
from lessonlib.circuit.solution import solve, solve_all
from lessonlib.meter.expected import LEADS_OHM, Expected
from lessonlib.meter.readings import AnyReading, PlugReading, ResistanceReading
from lessonlib.quantities import format_quantity

# By unit: a share of the expected value, and what commonly gives it. All follow from Ohm's law.
_SHARES: dict[str, tuple[tuple[float, str], ...]] = {
    "W": (
        (
            0.5,
            "about half: as if one of two equal elements were out, or a diode passes half a cycle",
        ),
        (0.25, "about a quarter: as with equal elements in series, or half the volts"),
        (2, "about twice: as if a second equal element were in, or a diode is bridged"),
        (4, "about four times: as with equal elements side by side, not in series"),
    ),
    "A": (
        (math.sqrt(0.5), "about 0.71 of it: a diode passes one half cycle"),
        (0.5, "about half: as if one of two equal elements were out, or half the volts"),
        (0.25, "about a quarter: as with equal elements in series, not side by side"),
        (2, "about twice: as if a second equal element were in"),
        (4, "about four times: as with equal elements side by side, not in series"),
    ),
    "Ω": (
        (2, "about twice: as if one of two equal elements side by side were out"),
        (4, "about four times: as with equal elements in series, not side by side"),
        (0.5, "about half: as if a second equal element were in, side by side"),
        (0.25, "about a quarter: as with equal elements side by side, not in series"),
    ),
}

_ABOUT = 0.1  # the room that limits on marked powers leave

# Heat in one joint that chars the material around it, W: common practice, no source.
_FIRE_W = 5.0

_DAMP_OHM = 10_000.0
"""Damp reads this much or more, ohm; less is a part or a wire: common practice, no source."""

_LEAVE = "leave it unplugged until you know"


def before_the_parts(reading: AnyReading) -> list[str]:
    """What makes everything dead before any part is reached: the fuse in the plug, the cord."""
    found = ["plug fuse blown", "cord broken"]
    if isinstance(reading, PlugReading):
        return found if reading.value <= reading.tolerance else []
    if math.isfinite(reading.value):
        return []
    ends = {reading.red, reading.black}
    return found if "L" in ends else found[1:] if ends & {"N", "PE"} else []


def hint(
    appliance: Appliance, reading: AnyReading, setting: Mapping[str, str], expected: Expected
) -> str:
    """The likeliest meaning; where something could burn, it says to leave it unplugged."""
    value, tolerance, is_ohms = reading.value, reading.tolerance, reading.unit == "Ω"
    if math.isnan(expected.value):
        return "by the file this setting shorts the supply: check the file"
    if math.isinf(value) or (value <= tolerance and not is_ohms):
        return "more than one part is open"
    if math.isinf(expected.value) or (expected.value == 0 and not is_ohms):
        such = "damp" if is_ohms and value >= _DAMP_OHM else "a part that was left out"
        return f"a path that is not in the file, such as {such}: leave it unplugged until found"
    for thousand, words in ((1e3, "large"), (1e-3, "small")):
        if abs(value - thousand * expected.value) <= _ABOUT * thousand * expected.value:
            return (
                f"about 1000 times too {words}: does the meter show a k or an m beside the number?"
            )
    draws_more = (value < expected.value) == is_ohms
    for share, words in _SHARES[reading.unit]:
        if abs(value - share * expected.value) <= _ABOUT * share * expected.value:
            return f"{words}; {_LEAVE}" if draws_more else words
    if draws_more:
        return (
            "most likely another element than in the file; or part of an element is bridged, or "
            f"there is a path that is not in the file: {_LEAVE} which"
        )
    return _more_resistance(appliance, reading, setting, expected)


def _more_resistance(
    appliance: Appliance, reading: AnyReading, setting: Mapping[str, str], expected: Expected
) -> str:
    """What more resistance than the file says may mean, with the heat that one bad joint or contact
    would make."""
    made = _heat_in_joint(appliance, reading, setting, expected)
    if expected.value <= LEADS_OHM:  # no element on the way
        return f"a joint or contact has resistance{made and f', and makes {made}'}: {_LEAVE} where"
    return (
        "most likely another element, or wire of another alloy, than in the file; or a joint or "
        f"contact with resistance{made and f', which would make {made}'}: {_LEAVE} which"
    )


def leads_or_contact(
    appliance: Appliance, reading: AnyReading, setting: Mapping[str, str], expected: Expected
) -> list[str]:
    """How to tell the resistance of the test leads from that of a bad contact in a direct join."""
    made = _heat_in_joint(appliance, reading, setting, expected)
    if expected.value > LEADS_OHM or not made:
        return []
    return [f"touch the leads together: if that does not read the same, a contact makes {made}"]


def _heat_in_joint(
    appliance: Appliance, reading: AnyReading, setting: Mapping[str, str], expected: Expected
) -> str:
    """Heat of one bad joint that would give this reading: "about 32 W of heat at 1.15 A".

    The joint carries what the appliance draws in the reading's setting or, where that is nothing,
    in the setting that draws most. Empty where no setting draws anything.
    """
    volts = reading.supply_voltage_V if isinstance(reading, PlugReading) else None
    found = [solve(appliance, setting, supply_voltage_V=volts)]
    if not found[0].current_A:
        found = list(solve_all(appliance, supply_voltage_V=volts))
    watts, amps = max((one.power_W or 0.0, one.current_A or 0.0) for one in found)
    if not (watts and amps):
        return ""
    if isinstance(reading, ResistanceReading):
        load_ohm = watts / amps**2
        share = load_ohm / (load_ohm + reading.value - expected.value)
    else:
        share = reading.value / expected.value
    # in series the current falls to this share of itself, and so does the power that is drawn
    heat_W = watts * share * (1 - share)
    about = format_quantity(float(f"{heat_W:.2g}"), "W")
    fire = ", enough to start a fire" if heat_W >= _FIRE_W else ""
    return f"about {about} of heat at {format_quantity(amps * share, 'A')}{fire}"
