"""Appliances made for the tests of heat: one element on the supply, and what the test is about."""

from __future__ import annotations

import json
import random

from lessonlib import appliance_names, load_appliance, read_appliance
from lessonlib.appliance.parts import Appliance
from lessonlib.heat.result import HeatRun

VESSELS = [name for name in appliance_names() if load_appliance(name).vessel is not None]
SEALED: dict[str, object] = {"heat_capacity_J_per_K": 650, "loss_W_per_K": 1.8, "sealed": True}


def kinds(run: HeatRun) -> list[str]:
    """What happens, without times."""
    return [event.kind for event in run.events]


def all_on(appliance: Appliance) -> dict[str, str]:
    return {part.name: part.positions[-1] for part in appliance.switches}


def toml(values: dict[str, object]) -> str:
    return "".join(f"{key} = {json.dumps(value)}\n" for key, value in values.items())


def table(kind: str, name: str, between: tuple[str, str] = ("L", "fed"), **values: object) -> str:
    """A part as it stands in a file."""
    return f"[[{kind}]]\n" + toml({"name": name, "between": between, **values})


WIRE = table("link", "W1", resistance_ohm=1e-6)


def element(name: str, between: tuple[str, str], power_W: float) -> str:
    return table("element", name, between, power_W=power_W, voltage_V=230)


def thermostat(opens: float, closes: float, to: str = "fed") -> str:
    return table("thermostat", "T1", ("L", to), opens_at_C=opens, closes_at_C=closes)


def pressure_switch(opens: float, closes: float, to: str = "fed") -> str:
    return table("pressure_switch", "P1", ("L", to), opens_at_bar=opens, closes_at_bar=closes)


def fuse(opens: float, resettable: bool = False, rise_K_per_W: float | None = None) -> str:
    """On the vessel's wall, or on E1 where a rise is given."""
    placed = {} if rise_K_per_W is None else {"placed_on": "E1", "rise_K_per_W": rise_K_per_W}
    return table("thermal_fuse", "F1", opens_at_C=opens, resettable=resettable, **placed)


def behind_thermostat(opens: float, closes: float, fuse: str) -> str:
    """A thermostat, and a fuse in series with it."""
    return thermostat(opens, closes, "middle") + fuse.replace('"L"', '"middle"')


def kettle(power_W: float = 1000, guard: str = WIRE, **vessel: object) -> Appliance:
    """One element behind `guard`, in a vessel of the given keys."""
    return read_appliance(
        f"""
title = "Kettle"
[supply]
voltage_V = 230
{element("E1", ("fed", "out"), power_W)}
[[switch]]
name = "S1"
positions = ["off", "on"]
start = "on"
contacts = [{{ between = ["out", "N"], closed_in = ["on"] }}]
{guard}
[vessel]
{toml(vessel)}
"""
    )


def bare_and_guarded(opens_bar: float, closes_bar: float) -> Appliance:
    """A sealed vessel that soon boils dry under its relief valve of 2.5 bar, on an element without
    a guard; a pressure switch guards only a second one."""
    guard = pressure_switch(opens_bar, closes_bar, "second")
    parts = WIRE + element("E2", ("second", "out"), 200) + guard
    return kettle(1000, parts, water_kg=0.05, relief_bar=2.5, **SEALED)


def dry_steamer(seed: int) -> tuple[Appliance, float, tuple[tuple[float, dict[str, str]], ...]]:
    """The same with random figures, minutes, and hands on S1."""
    draw = random.Random(7000 + seed)
    relief = draw.uniform(0.3, 6)
    opens = relief * draw.uniform(0.05, 0.99)
    second = element("E2", ("second", "out"), draw.uniform(100, 800))
    guard = pressure_switch(opens, opens * draw.uniform(0.3, 0.95), "second")
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
