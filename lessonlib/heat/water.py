"""Water and steam data, and the atmosphere above them.

The saturation line is IAPWS R7-97(2012) (IF97), Region 4; the latent heat follows from IAPWS-95 by
the Clapeyron equation. Both are taken from the package `chemicals`, loaded when first needed.
"""

from __future__ import annotations

import math
from functools import cache
from typing import Any

from lessonlib.errors import HeatError, shown

HEAT_OF_WATER_J_PER_KGK = 4190.0
"""Mean specific heat of water at 1 atm, from 20 °C to where it boils: 335.05 kJ/kg over 79.97 K,
IAPWS-95. At any one temperature in between it is 4179 to 4216."""

STANDARD_ATMOSPHERE_PA = 101_325.0
"""At sea level, by definition: US Standard Atmosphere 1976, ISO 2533."""

ZERO_C_IN_K = 273.15
PA_PER_BAR = 1e5

# Region 4 of IF97 reaches from 611.213 Pa to the critical pressure; next to the critical point
# density changes so fast that no boiling vessel is described, so we stop before it.
_LOWEST_C, _HIGHEST_C = 0.01, 370.0


@cache
def _iapws() -> Any:
    from chemicals import iapws

    return iapws


def saturation_pressure_Pa(temperature_C: float) -> float:
    """Absolute pressure of saturated steam, Pa, from 0.01 to 370 °C.

    Raises `HeatError` (a `ValueError`) outside that range.

    >>> round(saturation_pressure_Pa(100.0))
    101418
    """
    _within("temperature_C", temperature_C, _LOWEST_C, _HIGHEST_C, "°C")
    return float(_iapws().Psat_IAPWS(temperature_C + ZERO_C_IN_K))


def saturation_temperature_C(absolute_Pa: float) -> float:
    """Temperature at which water boils under an absolute pressure, °C, from 612 Pa to 21 MPa.

    Raises `HeatError` (a `ValueError`) outside that range.

    >>> round(saturation_temperature_C(101_325), 2)  # not 100.00
    99.97
    """
    _within("absolute_Pa", absolute_Pa, 612.0, 21e6, "Pa")
    return float(_iapws().Tsat_IAPWS(absolute_Pa)) - ZERO_C_IN_K


def latent_heat_J_per_kg(temperature_C: float) -> float:
    """Heat that turns water into steam at its saturation temperature, J/kg, from 0.01 to 370 °C.

    By Clapeyron's equation from the IAPWS-95 saturation line and densities. Raises `HeatError`
    (a `ValueError`) outside that range.

    >>> round(latent_heat_J_per_kg(99.974) / 1000)
    2256
    """
    _within("temperature_C", temperature_C, _LOWEST_C, _HIGHEST_C, "°C")
    data, kelvin = _iapws(), temperature_C + ZERO_C_IN_K
    expansion = 1 / data.iapws95_rhog_sat(kelvin) - 1 / data.iapws95_rhol_sat(kelvin)
    return float(kelvin * data.iapws95_dPsat_dT(kelvin)[0] * expansion)


def atmospheric_pressure_Pa(altitude_m: float = 0.0) -> float:
    """Mean pressure of the atmosphere, Pa, from -430 to 9000 m above sea level.

    US Standard Atmosphere 1976, the same as ISO 2533 below 11 km: p = 101325 (1 - h/44329)^5.255876
    with h in m. The day's weather moves it by some 3 %. Raises `HeatError` (a `ValueError`)
    outside that range.
    """
    _within("altitude_m", altitude_m, -430.0, 9000.0, "m")
    return float(STANDARD_ATMOSPHERE_PA * (1 - altitude_m / 44_329) ** 5.255876)


def boiling_point_C(altitude_m: float = 0.0) -> float:
    """Temperature at which water boils in an open vessel, °C, from -430 to 9000 m."""
    return saturation_temperature_C(atmospheric_pressure_Pa(altitude_m))


def absolute_Pa(gauge_bar: float, altitude_m: float = 0.0) -> float:
    """Absolute pressure, Pa, of a gauge pressure in bar above the local atmosphere."""
    return atmospheric_pressure_Pa(altitude_m) + gauge_bar * PA_PER_BAR


def gauge_bar(absolute_Pa: float, altitude_m: float = 0.0) -> float:
    """Gauge pressure, bar above the local atmosphere, of an absolute pressure in Pa."""
    return (absolute_Pa - atmospheric_pressure_Pa(altitude_m)) / PA_PER_BAR


def steam_temperature_C(gauge_bar: float, altitude_m: float = 0.0) -> float:
    """Temperature of saturated steam at a gauge pressure in bar, °C.

    >>> round(steam_temperature_C(0.75), 1)
    116.3
    """
    return saturation_temperature_C(absolute_Pa(gauge_bar, altitude_m))


def _within(name: str, value: float, low: float, high: float, unit: str) -> None:
    if not (isinstance(value, int | float) and math.isfinite(value) and low <= value <= high):
        raise HeatError(
            f"found {name} = {shown(value)}; accepted: a number from {low:g} to {high:g} {unit}. "
            "Check the number and its unit."
        )
