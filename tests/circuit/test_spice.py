"""The solver against a general-purpose SPICE engine, on every bundled appliance.

Random networks are held against exact fractions (test_digits), closer than any engine comes.
"""

import pytest

from lessonlib import appliance_names, load_appliance, solve, solve_all
from lessonlib.appliance.parts import Resistive
from lessonlib.appliance.settings import settings
from tests.circuit import spice

pytestmark = [
    pytest.mark.spice,
    pytest.mark.skipif(not spice.available(), reason="the SPICE engine ngspice is not installed"),
]

# A reference diode drops 6 to 9 mV more than the ideal one: 10 mV a diode in the path. Sampling
# 2000 times from peak to peak is good to 4e-6; 1e-4 of a value leaves room for a diode's switching
# instant.
DROP_V = 0.010
SHARE = 1e-4


@pytest.mark.parametrize("name", appliance_names())
def test_every_setting_of_every_bundled_appliance_agrees(name, tmp_path):
    appliance = load_appliance(name)
    diodes = len(appliance.diodes)
    largest_ohm = max(p.resistance_ohm for p in appliance.parts if isinstance(p, Resistive))
    every = settings(appliance, appliance.movable)
    for solution in [
        *solve_all(appliance, every),
        *solve_all(appliance, every[::-2], reversed_plug=True),
    ]:
        found = spice.simulate(solution, tmp_path)
        share = SHARE + 2 * diodes * DROP_V / solution.supply_voltage_V
        # Where nothing flows the engine is left with its own current tolerance, under 0.3 uA.
        assert found.power_W == pytest.approx(solution.power_W, rel=share, abs=1e-4)
        assert found.current_A == pytest.approx(solution.current_A, rel=share, abs=3e-7)
        for (name, number), values in found.branches.items():
            reading = solution.part[name].contacts[number]
            # A closed contact of 1 microohm drops up to 10 microvolt, a diode up to DROP_V.
            # That left-over current through the largest resistance (a lamp) is a few millivolt.
            allowed_V = 1e-4 + 3e-7 * largest_ohm + diodes * DROP_V
            # A mean is a small difference of large halves: sampling is good to 1e-5 of the r.m.s.
            room = {
                "current_A": (share, 1e-6),
                "current_mean_A": (share, 1e-6 + 1e-5 * reading.current_A),
                "power_W": (SHARE, 1e-3 + 2 * diodes * DROP_V * reading.current_A),
            }
            # Between points that only its own leaks fix, the engine's voltage is its rounding.
            fixed = [solution.node[end].potential_V is not None for end in reading.between]
            if reading.voltage_V is not None and any(fixed):
                room["voltage_V"] = (SHARE, allowed_V)
                room["voltage_mean_V"] = (SHARE, allowed_V + 1e-5 * reading.voltage_V)
            for value, (rel, within) in room.items():
                wanted = pytest.approx(getattr(reading, value), rel=rel, abs=within)
                assert values[value] == wanted, f"{value} of {name}"


def test_a_short_draws_more_than_any_fuse_allows(tmp_path):
    shorted = solve(load_appliance("garment-steamer"), {"S1": "on"}, fault="E1 shorted")
    assert shorted.short is not None
    # Four closed contacts of 1 microohm are all that limits it: 230 V / 4 microohm.
    assert spice.simulate(shorted, tmp_path).current_A > 1e6
