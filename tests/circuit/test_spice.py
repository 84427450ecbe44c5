"""The solver against a general-purpose SPICE engine, on every bundled appliance and at random."""

import random

import pytest

from lessonlib import appliance_names, load_appliance, solve_all
from lessonlib.appliance.parts import Resistive
from lessonlib.appliance.settings import settings
from tests.circuit import spice
from tests.networks import random_appliance

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
        for branch in found.branches:
            reading = solution.part[branch.part].contacts[branch.contact - 1]
            assert branch.current_A == pytest.approx(reading.current_A, rel=share, abs=1e-6)
            # A mean is a small difference of large halves: sampling is good to 1e-5 of the r.m.s.
            assert branch.current_mean_A == pytest.approx(
                reading.current_mean_A, rel=share, abs=1e-6 + 1e-5 * reading.current_A
            )
            # A closed contact of 1 microohm drops up to 10 microvolt, a diode up to DROP_V.
            # That left-over current through the largest resistance (a lamp) is a few millivolt.
            allowed_V = 1e-4 + 3e-7 * largest_ohm + diodes * DROP_V
            allowed_W = 1e-3 + 2 * diodes * DROP_V * reading.current_A
            assert branch.power_W == pytest.approx(reading.power_W, rel=SHARE, abs=allowed_W)
            # Between points that only its own leaks fix, the engine's voltage is its rounding.
            fixed = [solution.node[end].potential_V is not None for end in reading.between]
            if reading.voltage_V is not None and any(fixed):
                assert branch.voltage_V == pytest.approx(
                    reading.voltage_V, rel=SHARE, abs=allowed_V
                )
                assert branch.voltage_mean_V == pytest.approx(
                    reading.voltage_mean_V, rel=SHARE, abs=allowed_V + 1e-5 * reading.voltage_V
                )


@pytest.mark.parametrize("block", range(2))
def test_random_networks_with_diodes_agree(block, wide, tmp_path):
    compared, stopped, seed = 0, 0, 1000 * block
    while compared < (100 if wide else 15):
        seed += 1
        rng = random.Random(seed)
        diodes = rng.randint(1, 4)
        appliance = random_appliance(rng, diodes=diodes)
        solution = rng.choice(list(solve_all(appliance)))
        if solution.short is not None or solution.power_W < 1e-3:
            continue
        try:
            found = spice.simulate(solution, tmp_path)
        except spice.NotConverged:
            stopped += 1
            continue
        allowed_V = diodes * DROP_V
        total_S = 0.0
        for branch in found.branches:
            part = appliance.part(branch.part)
            # Shares between ideal joins, and a few millivolt across a link, are no test of it.
            if not isinstance(part, Resistive) or part.kind == "link":
                continue
            reading = solution.part[branch.part]
            total_S += 1 / part.resistance_ohm
            if reading.voltage_V is None:
                continue
            where = f"seed {seed}, {branch.part}"
            assert branch.voltage_V == pytest.approx(reading.voltage_V, rel=SHARE, abs=allowed_V), (
                where
            )
            assert branch.power_W == pytest.approx(
                reading.power_W,
                rel=2 * SHARE,
                abs=(2 * reading.voltage_V + allowed_V) * allowed_V / part.resistance_ohm,
            ), where
        assert found.current_A == pytest.approx(
            solution.current_A, rel=SHARE, abs=allowed_V * total_S
        ), f"seed {seed}"
        assert found.power_W == pytest.approx(
            solution.power_W, rel=2 * SHARE, abs=2 * 230 * allowed_V * total_S
        ), f"seed {seed}"
        compared += 1
    # the engine gives up on about one in ten; more would leave little tested
    assert stopped <= compared / 3


def test_a_short_draws_more_than_any_fuse_allows(tmp_path):
    from lessonlib import solve

    shorted = solve(load_appliance("garment-steamer"), {"S1": "on"}, fault="E1 shorted")
    assert shorted.short is not None
    # Four closed contacts of 1 microohm are all that limits it: 230 V / 4 microohm.
    assert spice.simulate(shorted, tmp_path).current_A > 1e6
