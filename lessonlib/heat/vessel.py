"""A vessel's own temperatures: where its water boils, its valve lifts, and the model ends."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from lessonlib.appliance.parts import Appliance, Vessel
from lessonlib.errors import HeatError
from lessonlib.heat import water
from lessonlib.heat.water import PA_PER_BAR, ZERO_C_IN_K

Held = Literal["boiling", "venting"]

FIRE_C = 200.0
"""From about here, what is in a dry vessel or touches it can catch fire: about the flash point of
paraffin wax (from memory). It is no promise of safety below, as an element is hotter than its
vessel."""
MELTS_C = 660.0
"""The model stops here, where aluminium melts: a handbook value, from memory."""
BURSTS_BAR = 10.0
"""Gauge pressure at which the model of a sealed vessel without a relief valve stops: four times
what the valves of such vessels hold. We have no source for the pressure at which one bursts
(common practice, no source)."""
FREEZES_C = 0.0
"""Ice is not modelled."""

FIRE = f"fire: above {FIRE_C:g} °C wax, fat, sugar or cloth can catch fire"
MELTS = f"the model stops: aluminium melts at {MELTS_C:g} °C"
BURSTS = f"the vessel bursts, here or long before: the model stops at {BURSTS_BAR:g} bar gauge"
FREEZES = "the model stops: the water is about to freeze"
WEIGHTLESS = "the model stops: the dry vessel has no heat capacity"


@dataclass(frozen=True)
class Body:
    """A vessel as the run needs it.

    `held_C` is where its water takes up heat without warming: the boiling point of an open vessel,
    the relief temperature of a sealed one (None without a valve). `bursts_C` is where a sealed one
    without a valve has `BURSTS_BAR` over its water.
    """

    vessel: Vessel
    atmosphere_Pa: float
    held_C: float | None
    held_as: Held
    latent_J_per_kg: float
    bursts_C: float | None

    def lost_W(self, temperature_C: float) -> float:
        """Heat lost to the surroundings, W."""
        return self.vessel.loss_W_per_K * (temperature_C - self.vessel.ambient_C)

    def capacity_J_per_K(self, water_kg: float) -> float:
        """Heat capacity of vessel and water, J/K."""
        return self.vessel.heat_capacity_J_per_K + water_kg * water.HEAT_OF_WATER_J_PER_KGK

    def highest_C(self, water_kg: float) -> float:
        """Temperature at which the model stops."""
        return self.bursts_C if self.bursts_C is not None and water_kg > 0 else MELTS_C

    @property
    def holds_steam(self) -> bool:
        """Whether steam can build up pressure: it is sealed, and there was water in it."""
        return self.vessel.sealed and self.vessel.water_kg > 0

    @property
    def relief_Pa(self) -> float:
        """Absolute pressure that the relief valve holds, Pa; infinite without one."""
        relief_bar = self.vessel.relief_bar
        return math.inf if relief_bar is None else self.atmosphere_Pa + relief_bar * PA_PER_BAR

    def pressure_bar(self, temperature_C: float, steam_C: float | None = None) -> float:
        """Gauge pressure, bar: that of saturated steam, from zero to what the relief valve holds.

        `steam_C` is for a sealed vessel that has boiled dry, and None before: the hottest it has
        been since, its valve holding the pressure. Cooler than that, the steam left in it follows
        the gas law at constant volume until it condenses, and then the saturation line. Below the
        local boiling point the gauge pressure is taken as zero: air finds its way in and out.
        """
        # 50 °C is below the boiling point everywhere up to 9000 m
        if not self.holds_steam or temperature_C < 50:
            return 0.0
        full_C = self.held_C if steam_C is None else steam_C
        if full_C is not None and temperature_C >= full_C:
            assert self.vessel.relief_bar is not None
            return self.vessel.relief_bar
        pascal = math.inf
        if self.held_C is None or temperature_C < self.held_C:
            pascal = water.saturation_pressure_Pa(temperature_C)
        if steam_C is not None:
            share = (temperature_C + ZERO_C_IN_K) / (steam_C + ZERO_C_IN_K)
            pascal = min(pascal, share * self.relief_Pa)
        return max((pascal - self.atmosphere_Pa) / PA_PER_BAR, 0.0)

    def pressure_reached_at_C(self, gauge_bar: float) -> float:
        """Temperature at which the gauge pressure is reached; infinite where it never is."""
        relief_bar = self.vessel.relief_bar
        if not self.holds_steam or (relief_bar is not None and gauge_bar > relief_bar):
            return math.inf
        return water.steam_temperature_C(gauge_bar, self.vessel.altitude_m)


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
    if vessel.water_kg == 0 and vessel.heat_capacity_J_per_K == 0:
        raise HeatError(
            f"{appliance.title}: found a vessel with no water and no heat capacity, so nothing to "
            "warm; accepted: water_kg or heat_capacity_J_per_K above 0. Give at least one of them."
        )
    held_C = bursts_C = None
    if not vessel.sealed:
        held_C = water.boiling_point_C(vessel.altitude_m)
    elif vessel.relief_bar is not None:
        held_C = water.steam_temperature_C(vessel.relief_bar, vessel.altitude_m)
    else:
        bursts_C = water.steam_temperature_C(BURSTS_BAR, vessel.altitude_m)
    body = Body(
        vessel=vessel,
        atmosphere_Pa=water.atmospheric_pressure_Pa(vessel.altitude_m),
        held_C=held_C,
        held_as="venting" if vessel.sealed else "boiling",
        latent_J_per_kg=0.0 if held_C is None else water.latent_heat_J_per_kg(held_C),
        bursts_C=bursts_C,
    )
    high_C = body.highest_C(vessel.water_kg) if held_C is None else held_C
    if vessel.water_kg > 0 and not FREEZES_C <= vessel.start_C <= high_C:
        highest = math.floor(high_C * 10) / 10  # rounded up, it would not be accepted itself
        raise HeatError(
            f"{appliance.title}: found start_C = {vessel.start_C:g} for a vessel with water in it; "
            f"accepted: {FREEZES_C:g} to {highest:g} degrees Celsius. Correct start_C in the "
            "[vessel] table."
        )
    return body
