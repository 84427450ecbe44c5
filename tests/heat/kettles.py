"""Appliances made for the tests of heat: one element on the supply, and what the test is about."""

from __future__ import annotations

from lessonlib import read_appliance
from lessonlib.appliance.parts import Appliance

THERMOSTAT = """
[[thermostat]]
name = "T1"
between = ["L", "fed"]
opens_at_C = {opens}
closes_at_C = {closes}
"""
PRESSURE_SWITCH = """
[[pressure_switch]]
name = "P1"
between = ["L", "fed"]
opens_at_bar = {opens}
closes_at_bar = {closes}
"""
FUSE = """
[[thermal_fuse]]
name = "F1"
between = ["L", "fed"]
opens_at_C = {opens}
resettable = {resettable}
{more}
"""
WIRE = """
[[link]]
name = "W1"
between = ["L", "fed"]
resistance_ohm = 1e-6
"""


def kettle(power_W: float = 1000, guard: str = WIRE, **vessel: object) -> Appliance:
    """One element behind `guard`, in a vessel of the given keys."""
    lines = "\n".join(
        f"{key} = {str(value).lower() if isinstance(value, bool) else value}"
        for key, value in vessel.items()
    )
    return read_appliance(
        f"""
title = "Kettle"
[supply]
voltage_V = 230
[[element]]
name = "E1"
between = ["fed", "out"]
power_W = {power_W}
voltage_V = 230
[[switch]]
name = "S1"
positions = ["off", "on"]
start = "on"
contacts = [{{ between = ["out", "N"], closed_in = ["on"] }}]
{guard}
[vessel]
{lines}
"""
    )


def thermostat(opens: float, closes: float) -> str:
    return THERMOSTAT.format(opens=opens, closes=closes)


def pressure_switch(opens: float, closes: float) -> str:
    return PRESSURE_SWITCH.format(opens=opens, closes=closes)


def fuse(opens: float, resettable: bool = False, rise_K_per_W: float | None = None) -> str:
    """On the vessel's wall, or on E1 where a rise is given."""
    more = "" if rise_K_per_W is None else f'placed_on = "E1"\nrise_K_per_W = {rise_K_per_W}'
    return FUSE.format(opens=opens, resettable=str(resettable).lower(), more=more)


def behind_thermostat(opens: float, closes: float, fuse: str) -> str:
    """A thermostat, and a fuse in series with it."""
    thermostat = THERMOSTAT.format(opens=opens, closes=closes).replace('"fed"', '"middle"')
    return thermostat + fuse.replace('"L"', '"middle"')
