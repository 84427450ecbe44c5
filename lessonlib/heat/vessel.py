"""A vessel's own temperatures: where its water boils, its valve lifts, and the model ends."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields
from typing import Literal

from lessonlib.appliance.parts import Appliance, Vessel
from lessonlib.errors import HeatError, shown
from lessonlib.heat import water

Held = Literal["boiling", "venting"]

DRY_LIMIT_C = 1000.0
"""Above it no lumped, loss-proportional vessel is believed: radiation rules, and metals melt."""
SEALED_LIMIT_C = 300.0
"""With water in a sealed vessel, which gets here only without a relief valve: the pressure is
86 bar, and the mean heat of water over 20 to 100 °C falls 7 % short of that over 20 to 300 °C."""
FREEZES_C = 0.0
"""Ice is not modelled."""


@dataclass(frozen=True)
class Body:
    """A vessel as the run needs it. `held_C` is where water takes up heat without warming: the
    boiling point of an open vessel, the relief temperature of a sealed one (None without a valve).
    """

    vessel: Vessel
    atmosphere_Pa: float
    held_C: float | None
    held_as: Held
    latent_J_per_kg: float

    @property
    def ambient_C(self) -> float:
        return self.vessel.ambient_C

    @property
    def loss_W_per_K(self) -> float:
        return self.vessel.loss_W_per_K

    def capacity_J_per_K(self, water_kg: float) -> float:
        """Heat capacity of vessel and water, J/K."""
        return self.vessel.heat_capacity_J_per_K + water_kg * water.HEAT_OF_WATER_J_PER_KGK

    def highest_C(self, water_kg: float) -> float:
        """Temperature above which the model has nothing to say."""
        return SEALED_LIMIT_C if self.vessel.sealed and water_kg > 0 else DRY_LIMIT_C

    def pressure_bar(self, temperature_C: float) -> float:
        """Gauge pressure, bar: that of saturated steam, from zero to what the relief valve holds.

        Below the local boiling point it is taken as zero (air finds its way in and out). A sealed
        vessel that has boiled dry still holds a trace of water, or steam at the valve's pressure.
        """
        if not self.vessel.sealed or self.vessel.water_kg <= 0:
            return 0.0
        if self.held_C is not None and temperature_C >= self.held_C:
            assert self.vessel.relief_bar is not None
            return self.vessel.relief_bar
        if temperature_C < 50:  # below the boiling point everywhere up to 9000 m
            return 0.0
        gauge = water.saturation_pressure_Pa(temperature_C) - self.atmosphere_Pa
        return max(gauge / water.PA_PER_BAR, 0.0)

    def pressure_reached_at_C(self, gauge_bar: float) -> float:
        """Temperature at which the gauge pressure is reached; infinite where it never is."""
        vessel = self.vessel
        never = vessel.relief_bar is not None and gauge_bar > vessel.relief_bar
        if not vessel.sealed or vessel.water_kg <= 0 or never:
            return math.inf
        if gauge_bar == vessel.relief_bar:
            assert self.held_C is not None  # the valve and the switch act at the very same pressure
            return self.held_C
        return water.steam_temperature_C(gauge_bar, vessel.altitude_m)


def body_of(appliance: Appliance) -> Body:
    """The appliance's vessel, checked.

    Raises `HeatError` (a `ValueError`) where there is none, where there is nothing to warm, or
    where it starts outside what is modelled.
    """
    vessel = appliance.vessel
    if vessel is None:
        raise HeatError(
            f"{appliance.title} has no vessel; accepted: an appliance whose file has a [vessel] "
            "table. Add one with water_kg, heat_capacity_J_per_K and loss_W_per_K."
        )
    _check_numbers(appliance.title, vessel)
    relief = vessel.relief_bar if vessel.sealed else None
    held_C = None
    if not vessel.sealed:
        held_C = water.boiling_point_C(vessel.altitude_m)
    elif relief is not None:
        held_C = water.steam_temperature_C(relief, vessel.altitude_m)
    body = Body(
        vessel=vessel,
        atmosphere_Pa=water.atmospheric_pressure_Pa(vessel.altitude_m),
        held_C=held_C,
        held_as="venting" if vessel.sealed else "boiling",
        latent_J_per_kg=0.0 if held_C is None else water.latent_heat_J_per_kg(held_C),
    )
    _check_start(appliance.title, body)
    return body


def _check_numbers(title: str, vessel: Vessel) -> None:
    at_least = {"water_kg": 0.0, "heat_capacity_J_per_K": 0.0, "loss_W_per_K": 0.0}
    for key in fields(vessel):
        value = getattr(vessel, key.name)
        if key.name == "sealed" or (key.name == "relief_bar" and value is None):
            continue
        low = at_least.get(key.name, 1e-9 if key.name == "relief_bar" else -273.15)
        if key.name == "altitude_m":
            low = -430.0
        if not (isinstance(value, int | float) and math.isfinite(value) and value >= low):
            raise HeatError(
                f"{title}: found {key.name} = {shown(value)} in the vessel; accepted: a finite "
                f"number, {low:g} or more. Correct it in the [vessel] table."
            )
    if vessel.water_kg == 0 and vessel.heat_capacity_J_per_K == 0:
        raise HeatError(
            f"{title}: found a vessel with no water and no heat capacity, so nothing to warm; "
            "accepted: water_kg or heat_capacity_J_per_K above 0. Give at least one of them."
        )


def _check_start(title: str, body: Body) -> None:
    start, kg = body.vessel.start_C, body.vessel.water_kg
    low = FREEZES_C if kg > 0 else -273.15
    high = body.highest_C(kg)
    if kg > 0 and body.held_C is not None:
        high = min(high, body.held_C)
    if not low <= start <= high:
        why = " with water in it" if kg > 0 else ""
        raise HeatError(
            f"{title}: found start_C = {start:g} for a vessel{why}; accepted: {low:g} to "
            f"{high:.1f} degrees Celsius. Correct start_C in the [vessel] table."
        )
