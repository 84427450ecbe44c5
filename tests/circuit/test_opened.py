"""The opened appliance: sound, it does what the closed one does; and what its own faults do."""

import pytest
from hypothesis import given, settings

from lessonlib import (
    appliance_names,
    load_appliance,
    read_appliance,
    solve,
    solve_all,
    variant,
    waveform,
)
from lessonlib.appliance.settings import settings as every_setting
from lessonlib.circuit.opened import opened, points, probed
from lessonlib.circuit.situation import situation
from lessonlib.circuit.solution import solutions_of
from tests.networks import appliances

URN = load_appliance("tea-urn")
MELTER = load_appliance("wax-melter")
ON = {"S1": "on"}


def same(appliance):
    base = situation(appliance)
    chosen = every_setting(appliance)
    for closed, open_one in zip(
        solve_all(appliance), solutions_of(base, chosen, [None], opened(appliance)), strict=True
    ):
        assert (closed.short is None) == (open_one.short is None)
        if closed.short is not None:  # of equal paths any may be told
            assert len(closed.short.parts) == len(open_one.short.parts)
            continue
        assert open_one.power_W == pytest.approx(closed.power_W, rel=1e-9, abs=1e-9)
        assert open_one.current_A == pytest.approx(closed.current_A, rel=1e-9, abs=1e-9)
        assert {end.node for end in open_one.live} == {end.node for end in closed.live}
        for name, node in closed.node.items():
            if not appliance.diodes:  # beside a diode that blocks, more than one answer is right
                assert open_one.node[name].condition == node.condition, name


@pytest.mark.parametrize("name", appliance_names())
def test_a_sound_bundled_appliance_does_what_it_does_closed(name):
    same(load_appliance(name))


@given(appliances(diodes=1))
@settings(max_examples=25, deadline=None)
def test_a_sound_random_appliance_does_what_it_does_closed(appliance):
    same(appliance)


def test_points_are_pins_fuse_metal_nodes_and_ends():
    assert points(URN)[:5] == ("L", "N", "PE", "plug fuse", "case")
    assert {"boost", "E1 at L", "S1 at boost"} < set(points(URN))
    assert set(solve(URN, ON, fault="earth wire off").node) == set(points(URN))
    assert all(map(probed, points(URN)))
    assert len(opened(URN).nodes) > len(points(URN))  # the middle of an element is no point


def test_with_a_cord_of_two_cores_no_probe_finds_an_earth_and_the_metalwork_floats():
    two = variant(URN, {"supply": {"cord_cores": "two"}})
    assert "PE" not in points(two)
    assert solve(two, ON, fault="E1 at L: wire off").node["case"].condition == "floating"
    assert solve(URN, ON, fault="E1 at L: wire off").node["case"].condition == "earthed"


def test_a_broken_neutral_leaves_everything_inside_live():
    broken = solve(URN, ON, fault="cord: neutral core broken")
    assert broken.power_W == 0
    assert broken.node["E1 at N"].condition == "live"
    assert broken.node["N"].condition == "neutral"
    assert {str(end) for end in broken.live} == {
        "E1 at L", "E1 at N", "E2 at boost", "E2 at N", "S1 at L", "S1 at boost"
    }  # fmt: skip
    assert solve(URN, ON, fault="plug fuse blown").live == ()


def test_a_wire_off_an_element_leaves_its_other_end_where_it_hangs():
    off = solve(URN, ON, fault="E2 at boost: wire off")
    assert off.part["E2"].power_W == 0
    assert off.node["boost"].condition == "live"
    assert off.node["E2 at boost"].condition == "neutral"
    assert "E2 at boost" not in map(str, off.live)


def test_a_leak_drives_a_current_to_earth_and_both_pieces_give_heat():
    half = solve(URN, fault="E1 leaking to its sheath at 50 %, 0 Ω")
    assert half.power_W == pytest.approx(2 * 400)
    assert half.current_A == pytest.approx(230 / (132.25 / 2))
    pieces = half.part["E1"].contacts
    assert [piece.power_W for piece in pieces] == pytest.approx([800, 0], abs=1e-6)
    assert waveform(half, "E1").current is not None


def test_a_diode_fitted_backwards_takes_the_other_half():
    setting = {"S1": "on", "S2": "half"}
    right, wrong = solve(MELTER, setting), solve(MELTER, setting, fault="D1 reversed")
    assert wrong.power_W == pytest.approx(right.power_W)
    means = [one.part["E1"].current_mean_A for one in (right, wrong)]
    assert means[0] == pytest.approx(-means[1])
    assert means[0] > 1


def test_a_resistive_contact_is_a_gap_where_it_is_open():
    assert solve(URN, {"S1": "off"}, fault="S1 resistive, 5 Ω").power_W == pytest.approx(400)
    on = solve(URN, ON, fault="S1 resistive, 5 Ω")
    ohm = 230**2 / 1200
    powers = [on.part[name].power_W for name in ("E2", "S1")]
    assert powers == pytest.approx([(230 / (ohm + 5)) ** 2 * each for each in (ohm, 5)])


def test_drifting_does_not_show_in_one_setting():
    assert solve(MELTER, ON, fault="F1 drifted").power_W == solve(MELTER, ON).power_W


def test_a_short_inside_names_the_parts_as_ever():
    assert str(solve(URN, fault="E1 shorted").short) == "L – E1 – N"
    base = situation(MELTER, {"S1": "on", "S2": "full"}, "E1 shorted")
    [inside] = solutions_of(base, [base.setting], [base.fault], opened(MELTER))
    closed = solve(MELTER, {"S1": "on", "S2": "full"}, fault="E1 shorted")
    named = "L – S1 – switched – F1 – fed – S2 – heat – E1 – N"
    assert str(inside.short) == str(closed.short) == named


def test_a_published_example_of_a_loose_connection_comes_out_as_printed():
    # an electrician's note on loose connections (2019), with 230 V, an element of 6.23 ohm and
    # 5 ohm in a bad joint: 20.48 A, 2613 W in the element, 2097 W in the joint
    heater = read_appliance(
        'title = "Heater"\n[supply]\nvoltage_V = 230\n[[element]]\nname = "E1"\n'
        'between = ["L", "N"]\nresistance_ohm = 6.23\n'
    )
    found = solve(heater, fault="E1 at L: bad joint, 5 Ω")
    assert found.current_A == pytest.approx(20.48, abs=0.005)
    assert found.part["E1"].power_W == pytest.approx(2613, abs=0.5)
    # printed from the rounded current
    assert found.power_W - found.part["E1"].power_W == pytest.approx(2097, abs=0.5)
