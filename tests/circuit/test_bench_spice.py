"""Every fault at the bench against the operating point of a general-purpose SPICE engine."""

import math
import random

import pytest

from lessonlib import appliance_names, load_appliance, solve
from lessonlib.appliance.fault import possible_faults
from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.settings import settings
from lessonlib.circuit.opened import points
from lessonlib.meter.ohmmeter import resistance
from tests.circuit import spice
from tests.circuit.bench_spice import Case, operating_points
from tests.networks import random_appliance

pytestmark = [
    pytest.mark.spice,
    pytest.mark.skipif(not spice.available(), reason="the SPICE engine ngspice is not installed"),
]


def measured(appliance: Appliance, rng: random.Random, count: int) -> list[Case]:
    """Every fault, each with `count` pairs of points in settings drawn at random."""
    every = [point for point in points(appliance) if point != "PE"]
    chosen = settings(appliance)
    return [
        Case(appliance, rng.choice(chosen), fault, *rng.sample(every, 2))
        for fault in (None, *possible_faults(appliance))
        for _ in range(count)
    ]


def check_ohms(cases: list[Case], folder) -> int:
    open_ones = given_up = 0
    for case, found in zip(cases, operating_points(cases, folder), strict=True):
        shown = resistance(
            case.appliance, case.setting, red=case.red, black=case.black, fault=case.fault
        )
        given_up += not found
        where = f"{case.red} to {case.black}, {case.setting}, {case.fault}"
        if not found:
            continue
        if shown.ohm is None:
            assert math.isinf(found["ohm"]), where
            open_ones += 1
        else:
            # the engine has wires of 10 microohm, and a leak of 1e12 ohm at each point
            assert found["ohm"] == pytest.approx(shown.ohm, rel=3e-4, abs=1e-3), where
    assert given_up <= len(cases) / 10  # the engine does not like very sharp diodes
    return open_ones


@pytest.mark.parametrize("name", appliance_names())
def test_every_fault_of_every_bundled_appliance_reads_as_the_engine_says(name, wide, tmp_path):
    cases = measured(load_appliance(name), random.Random(name), 3 if wide else 1)
    assert 0 < check_ohms(cases, tmp_path) < len(cases)


def test_every_fault_of_random_appliances_reads_as_the_engine_says(wide, tmp_path):
    cases = []
    for seed in range(200 if wide else 20):
        rng = random.Random(seed)
        # each case with diodes takes a run of the engine
        diodes = rng.randint(1, 4) if seed % 4 == 0 else 0
        appliance = random_appliance(rng, switches=1, earth=seed % 2 == 0, diodes=diodes)
        cases += rng.sample(measured(appliance, rng, 1), 5)
    check_ohms(cases, tmp_path)


@pytest.mark.parametrize("name", [n for n in appliance_names() if not load_appliance(n).diodes])
def test_every_third_fault_leaves_the_potentials_that_the_engine_says(name, wide, tmp_path):
    appliance, rng = load_appliance(name), random.Random(name)
    cases, solved = [], []
    some = possible_faults(appliance)[:: 1 if wide else 3]
    for fault in some:
        setting = rng.choice(settings(appliance))
        solution = solve(appliance, setting, fault=fault)
        if solution.short is None:
            cases.append(Case(appliance, setting, fault))
            solved.append(solution)
    assert len(cases) > len(some) / 2
    for solution, found in zip(solved, operating_points(cases, tmp_path), strict=True):
        for point, reading in solution.node.items():
            volts = found.get({"case": "PE.", "plug fuse": "fuse"}.get(point, point))
            if reading.potential_V is not None and volts is not None:
                assert volts == pytest.approx(reading.potential_V, rel=1e-5, abs=2e-3), (
                    f"{point}, {solution}"
                )
