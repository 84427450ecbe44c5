"""Shorts are results with a path, floating nodes have no potential, and nothing is invented."""

import math
import random

import pytest

from lessonlib import load_appliance, single_faults, solve, solve_all
from lessonlib.appliance.parts import Diode
from tests.networks import contact, diode, element, link, random_appliance, rig

E1, ON = element("E1", "L", "N"), {"S1": "on"}


@pytest.mark.parametrize(
    ("parts", "path"),
    [
        (contact("S1", ("L", "N")), "L – S1 – N"),
        (contact("S1", ("L", "PE")), "L – S1 – PE"),
        (contact("S1", ("N", "PE")), "N – S1 – PE"),  # and no current is invented for it
        # in one half of the cycle; named from the line, whichever way it flows
        (diode("D1", "N", "L", 0.9), "L – D1 – N"),
        (diode("D1", "L", "a") + diode("D2", "a", "N"), "L – D1 – a – D2 – N"),
        # the shorter of two, and no way back to the line
        (contact("S1", ("L", "a"), ("a", "L"), ("a", "N"), ("L", "N")), "L – S1 – N"),
    ],
)
def test_a_short_is_a_result_with_its_path_and_without_numbers(parts, path):
    shorted = solve(rig(E1 + parts), ON if "S1" in path else None)
    assert str(shorted.short) == path
    assert (shorted.power_W, shorted.current_A, shorted.part["E1"].power_W) == (None, None, None)
    assert shorted.node["L"].potential_V is None


def test_a_shorted_element_names_every_part_on_the_way():
    steamer = load_appliance("garment-steamer")
    shorted = solve(steamer, ON, fault="E1 shorted")
    assert shorted.short.parts == ("S1", "F1", "E1", "P1")
    assert solve(steamer, {"S1": "off"}, fault="E1 shorted").short is None


def test_two_diodes_back_to_back_are_no_short():
    back_to_back = solve(rig(E1 + diode("D1", "L", "a") + diode("D2", "N", "a")))
    assert back_to_back.short is None
    assert back_to_back.power_W == pytest.approx(529)  # 230^2 / 100 of E1 alone


def test_diodes_whose_drops_exceed_the_peak_do_not_short():
    # Ten drops of 10 V against a supply of 50 V r.m.s., peak 70.7 V.
    chain = "".join(diode(f"D{i}", "L" if i == 0 else f"n{i}", f"n{i + 1}", 10) for i in range(9))
    chain += diode("D9", "n9", "N", 10)
    small = solve(rig(E1 + chain, 50))
    assert small.short is None
    assert small.power_W == pytest.approx(25)  # 50^2 / 100
    assert solve(rig(E1 + chain)).short is not None


@pytest.mark.parametrize("drop_V", [0.9, 9])
def test_a_shorted_diode_is_a_plain_join_whatever_its_drop_and_the_supply(drop_V):
    # 6 V r.m.s. peaks at 8.5 V: a sound diode of 9 V across it would never conduct.
    across = rig(element("E1", "L", "N", 10) + diode("D1", "L", "N", drop_V), 6)
    assert (solve(across).short is None) == (drop_V == 9)
    shorted = solve(across, fault="D1 shorted")
    assert str(shorted.short) == "L – D1 – N"
    assert shorted.power_W is None
    assert str(solve(across, fault="D1 shorted", reversed_plug=True).short) == "N – D1 – L"


def test_the_drops_of_the_sound_diodes_on_the_way_still_count_beside_a_shorted_one():
    chain = element("E1", "L", "N", 10) + diode("D1", "L", "a", 9)
    low, high = (
        solve(rig(chain + diode("D2", "a", "N", drop), 6), fault="D1 shorted") for drop in (1, 9)
    )
    assert str(low.short) == "L – D1 – a – D2 – N"
    assert high.short is None
    assert high.power_W == pytest.approx(3.6)  # 6^2 / 10 of E1 alone


def test_every_fault_beside_drops_as_large_as_the_peak_has_a_result():
    rng = random.Random(3)
    shorts = 0
    for _ in range(10):
        appliance = random_appliance(rng, diodes=rng.randint(1, 4))
        faults = (None, *single_faults(appliance))
        for volts in (0.5, 0.7 / math.sqrt(2), 15, 20 / math.sqrt(2)):  # drops go up to 20 V
            for found in solve_all(appliance, faults=faults, supply_voltage_V=volts):
                if found.short is None:
                    assert found.power_W >= 0
                    continue
                shorts += 1
                drops = [
                    appliance.part(name).forward_drop_V
                    for name in found.short.parts
                    if isinstance(appliance.part(name), Diode)
                    and (found.fault is None or found.fault.part != name)
                ]
                assert sum(drops) < volts * math.sqrt(2)
    assert shorts > 100


def test_a_point_joined_to_earth_by_a_contact_is_earthed_although_an_element_feeds_it():
    parts = element("E1", "L", "a", 2300) + contact("S1", ("a", "PE")) + element("E2", "L", "N")
    fed = solve(rig(parts), ON)
    assert fed.node["a"].condition == "earthed"
    assert fed.part["S1"].current_A == pytest.approx(0.1)  # 230 V / 2300 ohm


def test_a_leak_to_earth_leaves_through_the_earth_conductor():
    leaking = solve(rig(element("E1", "L", "N") + element("R1", "L", "PE", 23000)))
    assert leaking.part["R1"].current_A == pytest.approx(0.01)  # 230 V / 23 kilohm
    assert leaking.current_A == pytest.approx(2.31)
    assert leaking.node["PE"].condition == "earthed"


def test_an_isolated_part_is_floating_and_has_no_voltage_to_anything():
    both = rig(element("E1", "a", "b") + contact("S1", ("L", "a"), ("b", "N")))
    off = solve(both)
    assert [off.node[node].condition for node in "ab"] == ["floating", "floating"]
    assert off.node["a"].potential_V is None
    assert off.part["E1"].voltage_V == 0  # no current through it: its own ends are level
    assert off.part["S1"].voltage_V is None  # between the line and nobody knows what


def test_a_node_behind_an_element_without_current_is_live():
    one_pole = rig(element("E1", "L", "a") + contact("S1", ("a", "N")))
    off = solve(one_pole)
    assert off.node["a"].condition == "live"
    assert off.node["a"].potential_V == pytest.approx(230)
    assert off.part["E1"].voltage_V == pytest.approx(0, abs=1e-9)


def test_a_node_behind_a_link_is_live_although_a_little_is_lost():
    solution = solve(rig(link("W1", "L", "a", 0.5) + element("E1", "a", "N", 45.5)))
    assert solution.node["a"].condition == "live"
    assert solution.node["a"].potential_V == pytest.approx(230 * 45.5 / 46)


@pytest.mark.parametrize(
    ("contacts", "amps"),
    [
        ([("L", "a"), ("L", "a")], [5, 5]),  # 10 A in all, shared equally
        ([("L", "a"), ("a", "b"), ("b", "L")], [10, 0, 10]),  # nothing goes round
    ],
)
def test_contacts_in_a_loop_share_the_current_and_carry_no_circulating_one(contacts, amps):
    more = element("E2", "b", "N", 23) if len(contacts) == 3 else ""
    on = solve(rig(element("E1", "a", "N", 23) + contact("S1", *contacts) + more), ON)
    assert [each.current_A for each in on.part["S1"].contacts] == pytest.approx(amps, abs=1e-9)


def test_a_bridge_of_four_diodes_gives_the_element_both_halves():
    bridge = rig(
        diode("D1", "L", "p")
        + diode("D2", "N", "p")
        + diode("D3", "m", "L")
        + diode("D4", "m", "N")
        + element("E1", "p", "m")
    )
    solution = solve(bridge)
    assert solution.power_W == pytest.approx(529)  # as without diodes: 230^2 / 100
    # Full-wave mean is 2/pi of the peak (standard result).
    assert solution.part["E1"].current_mean_A == pytest.approx(
        2 * 3.25269119 / 3.14159265, rel=1e-8
    )


def test_a_pair_of_diodes_back_to_back_leaves_a_narrow_gap_in_the_middle():
    # Conducts above 0.7 V one way and above 1.1 V the other; between, nothing flows. The gap is
    # half a per cent of the peak, and the integral below is exact.
    solution = solve(
        rig(diode("D1", "L", "a", 0.7) + diode("D2", "a", "L", 1.1) + element("E1", "a", "N"))
    )
    peak_V = 230 * math.sqrt(2)

    def half(drop):
        on = math.asin(drop / peak_V)
        width = math.pi - 2 * on
        square = peak_V**2 * (width / 2 + math.sin(2 * on) / 2)
        return square - 2 * peak_V * drop * 2 * math.cos(on) + drop**2 * width

    exact_W = (half(0.7) + half(1.1)) / (2 * math.pi) / 100
    assert solution.part["E1"].power_W == pytest.approx(exact_W, rel=1e-12)


def test_twelve_diodes_that_depend_on_each_other_are_solved():
    # A ladder of diodes both ways round, with drops: every set may have to be tried.
    parts = element("E0", "L", "n0") + element("E9", "n6", "N")
    for i in range(6):
        parts += diode(f"A{i}", f"n{i}", f"n{i + 1}", 0.7) + diode(f"B{i}", f"n{i + 1}", f"n{i}", 1)
    solution = solve(rig(parts))
    forward, backward = 6 * 0.7, 6 * 1.0
    mean_A = solution.part["E0"].current_mean_A
    # The half cycle with less drop carries more: the mean flows forward.
    assert mean_A > 0
    peak_V = 230 * 2**0.5
    assert solution.part["E0"].current_peak_A == pytest.approx((peak_V - forward) / 200)
    assert solution.part["B0"].current_peak_A == pytest.approx((peak_V - backward) / 200)
