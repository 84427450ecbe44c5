"""The solver against published limits of the supply, and the standard values of a half wave."""

import math

import pytest

from lessonlib import load_appliance, solve
from tests.trade import HALF_WAVE


def test_power_at_the_supplys_published_limits():
    # IEC 60038: 230 V +/- 10 % (as quoted by trade pages); P ~ V^2 gives 0.81 and 1.21.
    # ANSI C84.1 range A: 120 V +/- 5 % gives 0.9025 and 1.1025. Arithmetic: rounding only.
    urn, stall = load_appliance("tea-urn"), load_appliance("food-warmer")
    for appliance, volts, factor in (
        (urn, 207, 0.81),
        (urn, 253, 1.21),
        (stall, 114, 0.9025),
        (stall, 126, 1.1025),
    ):
        on = {"S1": "on"}
        nominal = solve(appliance, on).power_W
        assert solve(appliance, on, supply_voltage_V=volts).power_W == pytest.approx(
            factor * nominal, rel=1e-12
        )


def test_a_half_wave_has_its_standard_values():
    # Half-wave rectified sine of peak 325.27 V on 52.9 ohm, 1000 W at 230 V behind a diode: common
    # practice, no source. LEC Vol. III, Rectifier circuits: a series diode halves a lamp's power.
    full = solve(HALF_WAVE, {"S1": "on", "S2": "full"})
    half = solve(HALF_WAVE, {"S1": "on", "S2": "half"})
    peak_V, heater, diode = 230 * math.sqrt(2), half.part["E1"], half.part["D1"]
    assert half.power_W == pytest.approx(full.power_W / 2, rel=1e-15)
    for found, exactly, printed, half_last_digit in (
        (heater.voltage_mean_V, peak_V / math.pi, 103.54, 0.005),
        (heater.voltage_V, peak_V / 2, 162.63, 0.005),
        (heater.voltage_V / heater.voltage_mean_V, math.pi / 2, 1.570796, 5e-7),  # form factor
        (heater.voltage_peak_V / heater.voltage_V, 2, 2, 0),  # crest factor
        (diode.voltage_peak_V, peak_V, 325.27, 0.005),
        (diode.current_mean_A, peak_V / 52.9 / math.pi, 1.957, 5e-4),
        (diode.current_A, peak_V / 52.9 / 2, 3.074, 5e-4),
        (diode.current_peak_A, peak_V / 52.9, 6.149, 5e-4),
    ):
        assert found == pytest.approx(exactly, rel=1e-12)
        assert found == pytest.approx(printed, abs=half_last_digit, rel=1e-12)
