"""Appliances with the trade's usual numbers: common practice, no source. For tests alone; what is
bundled has ratings of its own."""

from lessonlib import read_appliance

# 300 W or 700 W behind a selector with its off in the middle.
EITHER_OR = read_appliance(
    """
title = "Either or"
supply.voltage_V = 230
[[element]]
name = "E1"
between = ["low", "N"]
power_W = 300
voltage_V = 230
[[element]]
name = "E2"
between = ["high", "N"]
power_W = 700
voltage_V = 230
[[switch]]
name = "S1"
positions = ["low", "off", "high"]
start = "off"
contacts = [
  { between = ["L", "low"], closed_in = ["low"] },
  { between = ["L", "high"], closed_in = ["high"] },
]
"""
)

# 1000 W behind a diode, which a second switch bridges.
HALF_WAVE = read_appliance(
    """
title = "Half wave"
supply.voltage_V = 230
[[switch]]
name = "S1"
positions = ["off", "on"]
contacts = [{ between = ["L", "fed"], closed_in = ["on"] }]
[[switch]]
name = "S2"
positions = ["half", "full"]
contacts = [{ between = ["fed", "heat"], closed_in = ["full"] }]
[[diode]]
name = "D1"
between = ["fed", "heat"]
[[element]]
name = "E1"
between = ["heat", "N"]
power_W = 1000
voltage_V = 230
"""
)
