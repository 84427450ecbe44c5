"""What the file says a reading should be, and how far off it may be with nothing wrong."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import Appliance, Element
from lessonlib.circuit.solution import Solution, solve_all
from lessonlib.limits.input_power import CLAUSE, MOST_W, input_power_limits
from lessonlib.limits.mains import mains_range
from lessonlib.meter.alloys import (
    MAKERS_DIFFER,
    largest_factor,
    makers_factor,
    resistance_factor,
)
from lessonlib.meter.ohmmeter import OhmReading, resistances
from lessonlib.meter.readings import AnyReading, PlugReading, PowerReading, ResistanceReading
from lessonlib.quantities import format_quantity

LEADS_OHM = 1.0
"""What test leads and contacts may add to a reading, ohm: common practice, no source."""

# The table sets no lower limit up to 25 W; there its next row's is used, so that a dead appliance
# is not within it.
_LOWEST = 0.9


@dataclass(frozen=True)
class Expected:
    """A reading by the file: `value` in its unit (infinite for open, NaN for a short circuit). A
    reading at any of `sure` agrees; one from `low` to `high` is within the limits.

    `slack` says what leaves that room, `doubts` what the meter cannot tell.
    """

    value: float
    low: float
    high: float
    sure: tuple[float, ...]
    text: str
    slack: str
    doubts: tuple[str, ...] = ()


def expected_readings(
    appliance: Appliance,
    reading: AnyReading,
    settings: Sequence[Mapping[str, str]],
    faults: Sequence[Fault | None],
    wire_C: float,
) -> list[Expected]:
    """What `reading` should be in every given setting with every given fault, settings outermost.

    The reading's own setting is not used. Raises what `resistance` and `solve` raise.
    """
    if isinstance(reading, ResistanceReading):
        found = resistances(
            appliance, settings, red=reading.red, black=reading.black, faults=faults, wire_C=wire_C
        )
        return [_ohms(appliance, one, wire_C) for one in found]
    solved = solve_all(
        appliance, settings, faults=faults, supply_voltage_V=reading.supply_voltage_V
    )
    return [_at_plug(one, reading) for one in solved]


def _ohms(appliance: Appliance, found: OhmReading, wire_C: float) -> Expected:
    value, low, high = (
        math.inf if ohm is None else ohm for ohm in (found.ohm, found.low_ohm, found.high_ohm)
    )
    sure = (value, high) if value < math.inf else (value, low)
    slack = "leads and contacts may add up to 1 Ω"
    if 0 < low < math.inf:
        least, most = marked_shares(appliance.supply.voltage_V**2 / low)
        low, high = low / most, high / least
        slack = f"the marked power leaves room from {format_quantity(low, 'Ω')}"
        alloys = _alloys(appliance, found)
        if found.no_alloy:
            low /= largest_factor(wire_C)
            slack = (
                f"the marked power, and the alloy not named for {', '.join(found.no_alloy)}, "
                f"leave room from {format_quantity(low, 'Ω')}"
            )
        elif differing := [alloy for alloy in alloys if alloy in MAKERS_DIFFER]:
            low /= max(
                makers_factor(each, wire_C) / resistance_factor(each, wire_C) for each in alloys
            )
            slack = (
                f"the marked power, and wire of {', '.join(differing)} of another maker, "
                f"leave room from {format_quantity(low, 'Ω')}"
            )
        slack += f" to {format_quantity(high, 'Ω') if high < math.inf else 'open'} ({CLAUSE})"
    return Expected(value, low, high + LEADS_OHM, sure, found.text, slack, found.doubts)


def _alloys(appliance: Appliance, found: OhmReading) -> list[str]:
    """The alloys named for the elements that carry the meter's current, each once."""
    named = dict.fromkeys(
        part.alloy
        for part in appliance.parts
        if isinstance(part, Element) and part.name in found.through and part.alloy
    )
    return [alloy for alloy in named if alloy]


def _at_plug(found: Solution, reading: PlugReading) -> Expected:
    if found.power_W is None or found.current_A is None:
        nan = math.nan
        return Expected(nan, nan, nan, (), "a short circuit", "")
    value = found.power_W if isinstance(reading, PowerReading) else found.current_A
    least, most, slack = room_at_plug(found.appliance, reading, found.power_W)
    low, high = value * least, value * most
    ends = f"from {format_quantity(low, reading.unit)} to {format_quantity(high, reading.unit)}"
    text = f"{format_quantity(value, reading.unit)} at {found.supply_voltage_V:g} V"
    return Expected(value, low, high, (value,), text, f"{slack} {ends} ({CLAUSE})")


def room_at_plug(
    appliance: Appliance, reading: PlugReading, power_W: float
) -> tuple[float, float, str]:
    """Least and most that `reading` may be, as shares of what the file gives, and why; the file
    gives `power_W` in all."""
    marked_V = appliance.supply.voltage_V
    volts = reading.supply_voltage_V or marked_V
    least, most = marked_shares(power_W * (marked_V / volts) ** 2)
    slack = "the marked power leaves room"
    if reading.supply_voltage_V is None and (mains := mains_range(marked_V)):
        exponent = 2 if isinstance(reading, PowerReading) else 1
        least *= (mains.low_V / marked_V) ** exponent
        most *= (mains.high_V / marked_V) ** exponent
        slack = (
            f"the marked power, and a supply from {mains.low_V:g} to {mains.high_V:g} V, leave room"
        )
    return least, most, slack


def marked_shares(marked_W: float) -> tuple[float, float]:
    """Least and most that may be drawn, as shares of the marked power."""
    if marked_W <= 0:
        return 1.0, 1.0
    limits = input_power_limits(min(marked_W, MOST_W))
    return limits.low_W / limits.marked_W or _LOWEST, limits.high_W / limits.marked_W
