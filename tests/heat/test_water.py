"""Water, steam and the atmosphere against published points and a second, independent library."""

from __future__ import annotations

import doctest
import warnings

import pytest

from lessonlib.errors import HeatError
from lessonlib.heat import water
from lessonlib.limits import half_wave
from lessonlib.ratings import replacement

# IAPWS R7-97(2012) Region 4, Tables 35 and 36, as quoted by three public test suites.
PRINTED_KELVIN = [(0.1e6, 372.755919), (1e6, 453.035632), (10e6, 584.149488)]
PRINTED_PASCAL = [(300, 3.53658941e3), (500, 2.63889776e6), (600, 12.3443146e6)]

# IAPWS SR1-86(1992), verification values, from memory: K, kg/m3 of water and of steam.
PRINTED_DENSITIES = [(273.16, 999.789, 0.00485426), (373.1243, 958.365, 0.597586)]

# Dry saturated steam table: bar gauge, °C, kJ/kg (a secondary page).
STEAM_TABLE = [
    (0.0, 100.0, 2256.66),
    (0.5, 111.6, 2225.47),
    (1.0, 120.4, 2201.16),
    (1.5, 127.6, 2180.86),
    (2.0, 133.7, 2163.23),
]


def test_the_releases_verification_values_come_out() -> None:
    for pascal, kelvin in PRINTED_KELVIN:  # printed to 1e-6 K
        assert water.saturation_temperature_C(pascal) + 273.15 == pytest.approx(kelvin, abs=5.1e-7)
    for kelvin, pascal in PRINTED_PASCAL:  # printed to nine figures
        assert water.saturation_pressure_Pa(kelvin - 273.15) == pytest.approx(pascal, rel=5e-9)
    for kelvin, *densities in PRINTED_DENSITIES:  # six figures printed
        found = water.saturated_densities_kg_per_m3(kelvin - 273.15)
        assert found == pytest.approx(densities, rel=1e-6)


@pytest.mark.parametrize(("gauge", "celsius", "kilojoule"), STEAM_TABLE)
def test_gauge_pressure_gives_the_steam_table_s_temperature_and_latent_heat(
    gauge, celsius, kilojoule
) -> None:
    # printed to 0.1 K; its latent heats are from an older formulation, 0.01 % off the present one
    assert water.steam_temperature_C(gauge) == pytest.approx(celsius, abs=0.051)
    latent = water.latent_heat_J_per_kg(water.steam_temperature_C(gauge))
    assert latent / 1e3 == pytest.approx(kilojoule, rel=1.5e-4)


@pytest.mark.parametrize(
    ("altitude_m", "pascal", "celsius"),
    [
        (0, 101325, 99.97),
        (500, 95461.3, 98.31),
        (1000, 89876.3, 96.65),
        (1500, 84559.7, 94.98),
        (2000, 79501.4, 93.32),
        (3000, 70121.2, 89.97),
    ],
)
def test_water_boils_colder_higher_up(altitude_m, pascal, celsius) -> None:
    # the formula takes geometric and geopotential height as one: 0.03 %, which is 0.008 K
    assert water.atmospheric_pressure_Pa(altitude_m) == pytest.approx(pascal, rel=3e-4)
    assert water.boiling_point_C(altitude_m) == pytest.approx(celsius, abs=0.005 + 0.008)


def test_the_standard_atmosphere_has_its_printed_values_and_gauge_pressure_stands_on_it() -> None:
    # US Standard Atmosphere 1976 table; geometric against geopotential height: 0.03 %
    for feet, psi in ((5000, 12.228), (10_000, 10.108)):
        pascal = water.atmospheric_pressure_Pa(feet * 0.3048)
        assert pascal == pytest.approx(psi * 6894.757, rel=3e-4)
    assert water.absolute_Pa(0.75) == 176_325
    assert water.absolute_Pa(0.75, 2000) == water.atmospheric_pressure_Pa(2000) + 75_000


@pytest.fixture(scope="module")
def second_library():
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # its binary parts warn on import under some Pythons
        from CoolProp.CoolProp import PropsSI
    return PropsSI


@pytest.mark.parametrize("celsius", [1, 60, 99.97, 139, 192, 300])
def test_an_independent_library_agrees(second_library, celsius) -> None:
    kelvin = celsius + 273.15
    # IF97 stays within 0.025 % of IAPWS-95 on the saturation line, a bound of our own reading:
    # 0.018 % is the most between these temperatures
    pascal = second_library("P", "T", kelvin, "Q", 1, "Water")
    assert water.saturation_pressure_Pa(celsius) == pytest.approx(pascal, rel=2.5e-4)
    steam, liquid = (second_library("H", "T", kelvin, "Q", q, "Water") for q in (1, 0))
    # SR1-86 against IAPWS-95, which came after it: 0.016 % is the most between these temperatures
    assert water.latent_heat_J_per_kg(celsius) == pytest.approx(steam - liquid, rel=2e-4)
    densities = water.saturated_densities_kg_per_m3(celsius)
    for density, quality in zip(densities, (0, 1), strict=True):
        expected = second_library("D", "T", kelvin, "Q", quality, "Water")
        # the same two formulations: water at 300 °C is 0.028 % off, all else less
        assert density == pytest.approx(expected, rel=3e-4)


def test_the_mean_heat_of_water_is_the_enthalpy_from_20_degrees_to_boiling(second_library) -> None:
    boils_K = second_library("T", "P", 101_325, "Q", 0, "Water")
    warm = second_library("H", "P", 101_325, "Q", 0, "Water")
    cold = second_library("H", "P", 101_325, "T", 293.15, "Water")
    mean = (warm - cold) / (boils_K - 293.15)
    # stated to the nearest 10 J/kgK, of which it is within 1
    assert mean == pytest.approx(water.HEAT_OF_WATER_J_PER_KGK, abs=1)


@pytest.mark.parametrize("value", [-50, 1e9, float("nan"), float("inf"), "1", None])
def test_a_property_outside_its_range_is_refused(value) -> None:
    for ask in (
        water.saturation_pressure_Pa,
        water.latent_heat_J_per_kg,
        water.saturation_temperature_C,
    ):
        with pytest.raises(HeatError, match="accepted: a number from"):
            ask(value)
    with pytest.raises(HeatError, match=r"altitude_m = .* accepted"):
        water.atmospheric_pressure_Pa(value if value != -50 else -431)


@pytest.mark.parametrize("module", [water, half_wave, replacement])
def test_the_examples_in_the_docstrings_are_true(module) -> None:
    done = doctest.testmod(module)
    assert done.attempted >= 1
    assert done.failed == 0
