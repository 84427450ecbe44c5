"""Appliances made for the tests of heat: one element on the supply, and what the test is about."""

from __future__ import annotations

import random

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
SECOND = """
[[element]]
name = "E2"
between = ["second", "out"]
power_W = {power_W}
voltage_V = 230
"""
SEALED: dict[str, object] = {"heat_capacity_J_per_K": 650, "loss_W_per_K": 1.8, "sealed": True}


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


def bare_and_guarded(opens_bar: float, closes_bar: float) -> Appliance:
    """A sealed vessel that soon boils dry under its relief valve of 2.5 bar, on an element without
    a guard; a pressure switch guards only a second one."""
    guard = pressure_switch(opens_bar, closes_bar).replace('"fed"', '"second"')
    parts = WIRE + SECOND.format(power_W=200) + guard
    return kettle(1000, parts, water_kg=0.05, relief_bar=2.5, **SEALED)


def dry_steamer(seed: int) -> tuple[Appliance, float, tuple[tuple[float, dict[str, str]], ...]]:
    """The same with random figures, minutes, and hands on S1."""
    draw = random.Random(7000 + seed)
    relief = draw.uniform(0.3, 6)
    opens = relief * draw.uniform(0.05, 0.99)
    second = SECOND.format(power_W=draw.uniform(100, 800))
    guard = pressure_switch(opens, opens * draw.uniform(0.3, 0.95)).replace('"fed"', '"second"')
    vessel: dict[str, object] = {
        "water_kg": draw.uniform(0.02, 0.2),
        "heat_capacity_J_per_K": draw.uniform(300, 1500),
        "loss_W_per_K": draw.uniform(0.8, 3),
        "start_C": draw.uniform(10, 40),
        "altitude_m": draw.uniform(-400, 4000),
        "sealed": True,
        "relief_bar": relief,
    }
    appliance = kettle(draw.uniform(400, 1500), WIRE + second + guard, **vessel)
    moments = sorted(draw.uniform(8, 90) for _ in range(8))
    turns = ("off" if number % 2 == 0 else "on" for number in range(8))
    schedule = tuple((minute, {"S1": to}) for minute, to in zip(moments, turns, strict=True))
    return appliance, 100, schedule


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
