"""Water and steam data, and the atmosphere above them.

The saturation line is IAPWS R7-97(2012) (IF97), Region 4. Densities on that line, and the slope of
pressure that the latent heat follows from by Clapeyron's equation, are the IAPWS supplementary
release SR1-86(1992). Their coefficients stand here from memory of the releases; the tests hold them
to the releases' own verification values and to an independent library. Each function raises
`HeatError` (a `ValueError`) outside the range that it names.
"""

from __future__ import annotations

import math

from lessonlib.errors import HeatError, shown

HEAT_OF_WATER_J_PER_KGK = 4190.0
"""Mean specific heat of water at 1 atm, from 20 °C to where it boils: 335.05 kJ/kg over 79.97 K,
IAPWS-95. At any one temperature in between it is 4179 to 4216."""

STANDARD_ATMOSPHERE_PA = 101_325.0
"""At sea level, by definition: US Standard Atmosphere 1976, ISO 2533."""

ZERO_C_IN_K = 273.15
PA_PER_BAR = 1e5

# Region 4 of IF97 reaches from 611.213 Pa to the critical pressure. We stop before it: near that
# point density changes too fast to describe a boiling vessel.
_LOWEST_C, _HIGHEST_C = 0.01, 370.0

# IAPWS R7-97(2012), Table 34: n1 to n10, for kelvin and megapascal.
SATURATION = (
    0.11670521452767e4,
    -0.72421316703206e6,
    -0.17073846940092e2,
    0.12020824702470e5,
    -0.32325550322333e7,
    0.14915108613530e2,
    -0.48232657361591e4,
    0.40511340542057e6,
    -0.23855557567849,
    0.65017534844798e3,
)
# IAPWS SR1-86(1992): critical point, and pairs of coefficient and exponent of 1 - T/Tc.
_CRITICAL_K, _CRITICAL_PA, _CRITICAL_KG_PER_M3 = 647.096, 22.064e6, 322.0
_PRESSURE = (
    (-7.85951783, 1.0),
    (1.84408259, 1.5),
    (-11.7866497, 3.0),
    (22.6807411, 3.5),
    (-15.9618719, 4.0),
    (1.80122502, 7.5),
)
_WATER = (
    (1.99274064, 1 / 3),
    (1.09965342, 2 / 3),
    (-0.510839303, 5 / 3),
    (-1.75493479, 16 / 3),
    (-45.5170352, 43 / 3),
    (-6.74694450e5, 110 / 3),
)
_STEAM = (
    (-2.03150240, 2 / 6),
    (-2.68302940, 4 / 6),
    (-5.38626492, 8 / 6),
    (-17.2991605, 18 / 6),
    (-44.7586581, 37 / 6),
    (-63.9201063, 71 / 6),
)


def saturation_pressure_Pa(temperature_C: float) -> float:
    """Absolute pressure of saturated steam, Pa, from 0.01 to 370 °C.

    >>> round(saturation_pressure_Pa(100.0))
    101418
    """
    _within("temperature_C", temperature_C, _LOWEST_C, _HIGHEST_C, "°C")
    n1, n2, n3, n4, n5, n6, n7, n8, n9, n10 = SATURATION
    kelvin = temperature_C + ZERO_C_IN_K
    theta = kelvin + n9 / (kelvin - n10)
    a = theta**2 + n1 * theta + n2
    b = n3 * theta**2 + n4 * theta + n5
    c = n6 * theta**2 + n7 * theta + n8
    root = 2 * c / (-b + math.sqrt(b**2 - 4 * a * c))
    return 1e6 * root * root * root * root


def saturation_temperature_C(absolute_Pa: float) -> float:
    """Temperature at which water boils under an absolute pressure, °C, from 612 Pa to 21 MPa.

    >>> round(saturation_temperature_C(101_325), 2)  # not 100.00
    99.97
    """
    _within("absolute_Pa", absolute_Pa, 612.0, 21e6, "Pa")
    n1, n2, n3, n4, n5, n6, n7, n8, n9, n10 = SATURATION
    beta = math.sqrt(math.sqrt(absolute_Pa / 1e6))
    e = beta**2 + n3 * beta + n6
    f = n1 * beta**2 + n4 * beta + n7
    g = n2 * beta**2 + n5 * beta + n8
    d = 2 * g / (-f - math.sqrt(f**2 - 4 * e * g))
    return (n10 + d - math.sqrt((n10 + d) ** 2 - 4 * (n9 + n10 * d))) / 2 - ZERO_C_IN_K


def latent_heat_J_per_kg(temperature_C: float) -> float:
    """Heat that turns water into steam at its saturation temperature, J/kg, from 0.01 to 370 °C.

    By Clapeyron's equation; within 0.02 % of IAPWS-95 up to 300 °C, 0.2 % at 370 °C.

    >>> round(latent_heat_J_per_kg(99.974) / 1000, 1)
    2256.7
    """
    _within("temperature_C", temperature_C, _LOWEST_C, _HIGHEST_C, "°C")
    water, steam = saturated_densities_kg_per_m3(temperature_C)
    kelvin = temperature_C + ZERO_C_IN_K
    tau = 1 - kelvin / _CRITICAL_K
    logarithm = _CRITICAL_K / kelvin * _sum(_PRESSURE, tau)
    slope = logarithm + math.fsum(c * power * tau ** (power - 1) for c, power in _PRESSURE)
    pressure_Pa = _CRITICAL_PA * math.exp(logarithm)
    return -pressure_Pa * slope * (1 / steam - 1 / water)


def saturated_densities_kg_per_m3(temperature_C: float) -> tuple[float, float]:
    """Densities of water and of the steam above it, kg/m3, from 0.01 to 370 °C.

    >>> [round(density, 4) for density in saturated_densities_kg_per_m3(99.974)]
    [958.3654, 0.5976]
    """
    _within("temperature_C", temperature_C, _LOWEST_C, _HIGHEST_C, "°C")
    tau = 1 - (temperature_C + ZERO_C_IN_K) / _CRITICAL_K
    water = _CRITICAL_KG_PER_M3 * (1 + _sum(_WATER, tau))
    return water, _CRITICAL_KG_PER_M3 * math.exp(_sum(_STEAM, tau))


def _sum(terms: tuple[tuple[float, float], ...], tau: float) -> float:
    return math.fsum(c * tau**power for c, power in terms)


def atmospheric_pressure_Pa(altitude_m: float = 0.0) -> float:
    """Mean pressure of the atmosphere, Pa, from -430 to 9000 m above sea level.

    US Standard Atmosphere 1976, the same as ISO 2533 below 11 km: p = 101325 (1 - h/44329)^5.255876
    with h in m. The day's weather moves it by some 3 %.
    """
    _within("altitude_m", altitude_m, -430.0, 9000.0, "m")
    return float(STANDARD_ATMOSPHERE_PA * (1 - altitude_m / 44_329) ** 5.255876)


def boiling_point_C(altitude_m: float = 0.0) -> float:
    """Temperature at which water boils in an open vessel, °C, from -430 to 9000 m."""
    return saturation_temperature_C(atmospheric_pressure_Pa(altitude_m))


def absolute_Pa(gauge_bar: float, altitude_m: float = 0.0) -> float:
    """Absolute pressure, Pa, of a gauge pressure in bar above the local atmosphere."""
    return atmospheric_pressure_Pa(altitude_m) + gauge_bar * PA_PER_BAR


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
