"""How far off a reading may be with nothing wrong: marked powers, the mains, and the test leads."""

from __future__ import annotations

from lessonlib.appliance.parts import Appliance
from lessonlib.limits.input_power import MOST_W, input_power_limits
from lessonlib.limits.mains import mains_range
from lessonlib.meter.readings import PlugReading, PowerReading

LEADS_OHM = 1.0
"""What test leads and contacts may add to a reading, ohm: common practice, no source."""

# The table sets no lower limit up to 25 W; there its next row's is used, so that a dead appliance
# is not within it.
_LOWEST = 0.9


def room_at_plug(appliance: Appliance, reading: PlugReading, power_W: float) -> tuple[float, float]:
    """Least and most that `reading` may be, as shares of what the file gives; the file gives
    `power_W` in all."""
    marked_V = appliance.supply.voltage_V
    volts = reading.supply_voltage_V or marked_V
    least, most = marked_shares(power_W * (marked_V / volts) ** 2)
    if reading.supply_voltage_V is None and (mains := mains_range(marked_V)):
        exponent = 2 if isinstance(reading, PowerReading) else 1
        least *= (mains.low_V / marked_V) ** exponent
        most *= (mains.high_V / marked_V) ** exponent
    return least, most


def marked_shares(marked_W: float) -> tuple[float, float]:
    """Least and most that may be drawn, as shares of the marked power."""
    if marked_W <= 0:
        return 1.0, 1.0
    limits = input_power_limits(min(marked_W, MOST_W))
    return limits.low_W / limits.marked_W or _LOWEST, limits.high_W / limits.marked_W
