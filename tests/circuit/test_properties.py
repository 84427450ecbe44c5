"""What must hold for any network, whatever its graph."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lessonlib import single_faults, solve, solve_all
from lessonlib.appliance.parts import Resistive
from tests.networks import appliances

some = settings(max_examples=settings().max_examples // 2)
# Results are right to some tens of roundings of 1e-16; where a diode turns, to 1e-9 of the peak,
# within which another may turn unseen. What is left of drops that oppose each other is known to
# 1e-14 V, times the largest conductance drawn (100 S, a link of 0.01 ohm).
DIGITS, BALANCE, FLOOR_A = 1e-12, 1e-9, 1e-12


@given(appliances(diodes=4))
def test_power_and_current_balance_in_every_setting(appliance):
    for solution in solve_all(appliance):
        if solution.short is not None:
            continue
        heat = sum(reading.power_W for reading in solution.part.values())
        assert solution.power_W == pytest.approx(heat, rel=BALANCE, abs=FLOOR_A)
        into = dict.fromkeys(appliance.nodes, 0.0)
        through = dict.fromkeys(appliance.nodes, 0.0)
        for part in solution.part.values():
            for contact in part.contacts:
                first, second = contact.between
                into[first] -= contact.current_mean_A
                into[second] += contact.current_mean_A
                for node in (first, second):
                    through[node] += contact.current_A
        for node in appliance.nodes:
            if node not in ("L", "N"):
                assert abs(into[node]) <= BALANCE * through[node] + FLOOR_A
        assert into["L"] == pytest.approx(-into["N"], rel=BALANCE, abs=FLOOR_A)
        # The supply's side, from the line current alone: without diodes the current is in step
        # with the voltage, so power is V I; with diodes it can only be less.
        apparent_VA = solution.supply_voltage_V * solution.current_A
        assert solution.power_W <= apparent_VA * (1 + BALANCE) + FLOOR_A * 230
        if not appliance.diodes:
            assert solution.power_W == pytest.approx(apparent_VA, rel=DIGITS)
        for part in appliance.of_type(Resistive):  # none gets more than the full supply gives it
            most_W = 230**2 / part.resistance_ohm
            assert 0 <= solution.part[part.name].power_W <= most_W * (1 + BALANCE)


@given(appliances())
def test_without_diodes_powers_follow_the_square_of_the_voltage_and_not_the_plug(appliance):
    usual, reversed_, half = (
        solve_all(appliance, **options)
        for options in ({}, {"reversed_plug": True}, {"supply_voltage_V": 115})
    )
    for one, other, low in zip(usual, reversed_, half, strict=True):
        assert (one.short is None) == (other.short is None) == (low.short is None)
        for name, reading in one.part.items() if one.short is None else ():
            power_W = pytest.approx(reading.power_W, rel=DIGITS, abs=1e-24)
            assert other.part[name].power_W == power_W
            assert 4 * low.part[name].power_W == power_W
        # With line voltage on both terminals nothing flows and every reached node is at 230 V; by
        # superposition that is the sum of the plug's two ways round.
        for node in appliance.nodes:
            first, second = one.node[node].potential_V, other.node[node].potential_V
            assert (first is None) == (second is None)
            if first is not None:
                assert first + second == pytest.approx(230, rel=DIGITS)


@given(appliances(diodes=3))
@some
def test_a_fault_applied_and_removed_gives_the_original(appliance):
    faults = (None, *single_faults(appliance), None)
    batch = solve_all(appliance, [{}], faults=faults)
    alone = solve(appliance)
    for solution in (batch[0], batch[len(faults) - 1]):
        assert (solution.short is None) == (alone.short is None)
        if alone.short is None:
            assert solution.power_W == pytest.approx(alone.power_W, rel=1e-12, abs=FLOOR_A)
            for name, point in alone.node.items():
                found = solution.node[name]
                assert (found.condition, found.can_shock) == (point.condition, point.can_shock)
                assert (found.potential_V is None) == (point.potential_V is None)
                # a case of a batch may have gone in another order: rounding
                ours, theirs = found.potential_V or 0.0, point.potential_V or 0.0
                assert ours == pytest.approx(theirs, rel=1e-12, abs=1e-9)


@given(appliances(diodes=4))
@some
def test_a_batch_gives_what_each_setting_gives_alone(appliance):
    for solution in solve_all(appliance):
        alone = solve(appliance, solution.setting)
        assert (solution.short is None) == (alone.short is None)
        if alone.short is None:
            assert solution.power_W == pytest.approx(alone.power_W, rel=1e-12, abs=FLOOR_A)


def test_every_run_draws_the_same_examples_but_the_wide_search(request):
    def draws():
        drawn = []

        @given(st.integers(0, 2**64))
        def draw(number):
            drawn.append(number)

        draw()
        return drawn

    wide = request.config.getoption("--wide")
    first, second = draws(), draws()
    assert len(set(first)) > 50
    assert (first == second) == (not wide)
