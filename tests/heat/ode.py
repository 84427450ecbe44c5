"""The same vessel by a general solver of differential equations: the reference for `heat_up`.

It steps through time and looks for events as scipy does. Its rules are written from the physics
anew; only the element's power (`solve`) and the saturation line (tested by themselves) are shared.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from scipy.integrate import solve_ivp

from lessonlib import solve
from lessonlib.appliance.parts import Appliance
from lessonlib.heat import water

C_WATER = 4190.0  # IAPWS-95, mean from 20 °C to boiling; see test_water
MELTS_C, BURSTS_BAR = 660.0, 10.0  # where the model says it ends
FIRE_C = 200.0  # from where on it speaks of fire


@dataclass
class OdeRun:
    events: list[tuple[float, str, str]] = field(default_factory=list)
    points: list[tuple[float, float, float, float]] = field(default_factory=list)  # s, °C, kg, bar


def gauge_bar(appliance: Appliance, temperature_C: float, steam: float | None) -> float:
    """Gauge pressure. Over water that of saturated steam; of a dry vessel `steam` is the amount of
    steam it holds, as Pa/K of an ideal gas, so that what is above saturation has condensed."""
    vessel = appliance.vessel
    if not vessel.sealed or vessel.water_kg <= 0 or temperature_C < 50:
        return 0.0
    air = 101325 * (1 - vessel.altitude_m / 44329) ** 5.255876
    pascal = water.saturation_pressure_Pa(min(temperature_C, 360))
    if steam is not None:
        pascal = min(pascal, steam * (temperature_C + 273.15))
    gauge = max((pascal - air) / 1e5, 0.0)
    return gauge if vessel.relief_bar is None else min(gauge, vessel.relief_bar)


def ode_run(
    appliance: Appliance,
    setting: dict[str, str],
    minutes: float,
    schedule: tuple = (),
    fault: str | None = None,
    rtol: float = 1e-11,
    atol: float = 1e-10,
) -> OdeRun:
    vessel, found = appliance.vessel, OdeRun()
    k, ambient = vessel.loss_W_per_K, vessel.ambient_C
    air = 101325 * (1 - vessel.altitude_m / 44329) ** 5.255876
    held_C = None
    if not vessel.sealed:
        held_C = water.saturation_temperature_C(air)
    elif vessel.relief_bar is not None:
        held_C = water.saturation_temperature_C(air + vessel.relief_bar * 1e5)
    latent = water.latent_heat_J_per_kg(held_C) if held_C else 0.0
    positions = {part.name: part.start for part in appliance.movable} | setting
    acting = appliance.self_acting
    stuck = {fault.split()[0]} if fault and fault.split()[0] in {p.name for p in acting} else set()
    known: dict[tuple, dict[str, float]] = {}

    def powers() -> dict[str, float]:
        key = tuple(positions.values())
        if key not in known:
            now = solve(appliance, positions, fault=fault)
            elements = appliance.elements
            known[key] = {element.name: now.part[element.name].power_W for element in elements}
        return known[key]

    def excess(part, position, T):
        """How far past the point where it moves: what a person would read off its scale, held to
        where the part sits."""
        if part.kind == "thermal_fuse" and part.placed_on:
            T = T + part.rise_K_per_W * powers()[part.placed_on]
        opening = position == "closed"
        if part.kind == "pressure_switch":
            p = gauge_bar(appliance, T, steam)
            return p - part.opens_at_bar if opening else part.closes_at_bar - p
        if opening:
            return T - part.opens_at_C
        return part.closes_at_C - T if part.kind == "thermostat" else -1.0

    t, T, m, mode = 0.0, vessel.start_C, vessel.water_kg, "free"
    steam, open_valve, burns = None, False, False
    relief = air + vessel.relief_bar * 1e5 if vessel.sealed and vessel.relief_bar else None
    end, ahead = minutes * 60, sorted((minute * 60, change) for minute, change in schedule)
    due = ""  # what the solver stopped for: at its root, give or take a rounding
    for _ in range(5000):
        while ahead and ahead[0][0] <= t:
            for name, position in ahead.pop(0)[1].items():
                positions[name] = position
                found.events.append((t, "turned", name))
        moving = True
        while moving:  # what has moved may have changed the power, and with it a fuse's place
            moving = [
                part
                for part in acting
                if part.name == due or excess(part, positions[part.name], T) >= 0
            ]
            for part in moving:
                was = positions[part.name]
                positions[part.name] = "open" if was == "closed" else "closed"
                kind = "opens" if was == "closed" else "closes"
                found.events.append((t, "stuck" if part.name in stuck else kind, part.name))
            due = ""
        P = sum(powers().values())
        net = P - k * (T - ambient)
        before = mode
        mode = "free"
        if m > 0 and held_C is not None and abs(T - held_C) < 1e-9 and net > 0:
            mode = "vents" if vessel.sealed else "boils"
        if mode != before and (mode != "free" or m > 0) and not vessel.sealed:
            found.events.append((t, mode if mode != "free" else "stops", ""))
        was_open = open_valve
        full = steam is not None and steam * (T + 273.15) >= relief * (1 - 1e-12)
        open_valve = mode == "vents" or (full and net > 0)
        if open_valve != was_open:
            found.events.append((t, "vents" if open_valve else "stops", ""))
        if T >= FIRE_C - 1e-9 and not burns:
            burns = True
            found.events.append((t, "fire", ""))
        top, end_kind = MELTS_C, "melts"
        if vessel.sealed and m > 0 and relief is None:
            top, end_kind = water.saturation_temperature_C(air + BURSTS_BAR * 1e5), "bursts"
        if net > 0 and top - 1e-9 <= T:
            found.events.append((t, end_kind, ""))
            return found
        if t >= end:
            return found
        stop = min(ahead[0][0], end) if ahead else end
        capacity = vessel.heat_capacity_J_per_K + m * C_WATER

        def rates(_, y, mode=mode, P=P, capacity=capacity):
            flow = P - k * (y[0] - ambient)
            return [flow / capacity, 0.0] if mode == "free" else [0.0, -flow / latent]

        # water counts in milligrams, so that one tolerance suits both unknowns
        watched = [("top", lambda _, y, top=top: y[0] - top)]
        if not burns:
            watched.append(("fire", lambda _, y: y[0] - FIRE_C))
        lifts_C = None  # where the steam of a dry vessel has the relief pressure again
        if steam is not None and not open_valve:
            lifts_C = relief / steam - 273.15
            watched.append(("lifts", lambda _, y, lifts_C=lifts_C: y[0] - lifts_C))
        if mode != "free":
            watched.append(("dry", lambda _, y: -y[1]))
        elif m > 0 and held_C is not None and held_C > T:
            watched.append(("held", lambda _, y: y[0] - held_C))
        for part in acting:
            at = positions[part.name]
            watched.append((part.name, lambda _, y, part=part, at=at: excess(part, at, y[0])))
        for _, event in watched:
            event.terminal, event.direction = True, 1
        done = solve_ivp(
            rates,
            (t, stop),
            [T, m],
            method="DOP853",
            rtol=rtol,
            atol=[atol, atol * 1e-3],
            events=[event for _, event in watched],
        )
        for at, C, kg in zip(done.t[:-1], done.y[0][:-1], done.y[1][:-1], strict=True):
            found.points.append((at, C, kg, gauge_bar(appliance, C, steam)))
        t, (T, m) = float(done.t[-1]), map(float, done.y[:, -1])
        due = ""
        if done.status == 1:
            due = next(watched[i][0] for i, times in enumerate(done.t_events) if np.size(times))
            T = {"held": held_C, "top": top, "fire": FIRE_C, "lifts": lifts_C}.get(due, T)
            if due == "dry":
                m = 0.0
                found.events.append((t, "dry", ""))
                if vessel.sealed:
                    steam = relief / (T + 273.15)
        if open_valve and m == 0:  # steam that no longer fits has left through the valve
            steam = min(steam, relief / (T + 273.15))
    raise AssertionError("the reference went round in circles")
