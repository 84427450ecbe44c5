"""An appliance of two elements with a fuse and a switch, wired well or badly."""

from __future__ import annotations

from lessonlib import read_appliance
from lessonlib.appliance.parts import Appliance

PAIR = """
title = "Two-heat kettle"
[supply]
voltage_V = 230
{supply}
[[element]]
name = "{e1}"
between = ["a", "{other}"]
power_W = 600
voltage_V = 230
[[element]]
name = "{e2}"
between = ["b", "{other}"]
power_W = 900
voltage_V = 230
[[thermal_fuse]]
name = "F1"
between = ["L", "fed"]
opens_at_C = 150
rated_A = {rated}
[[switch]]
name = "S1"
positions = ["off", "low", "both"]
contacts = [
  {{ between = ["{line}", "a"], closed_in = ["low", "both"] }},
  {{ between = ["{line}", "b"], closed_in = ["both"] }},
]
"""


def pair(
    *, rated: int = 16, in_neutral: bool = False, e1: str = "E1", e2: str = "E2", supply: str = ""
) -> Appliance:
    """The switch is in the line, or `in_neutral`."""
    line, other = ("N", "fed") if in_neutral else ("fed", "N")
    return read_appliance(
        PAIR.format(supply=supply, rated=rated, e1=e1, e2=e2, line=line, other=other)
    )
