"""What can shock, what "off" cuts, what a blown fuse leaves live, and what protects when dry."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from lessonlib import findings, hazards, load_appliance, read_appliance, solve, variant
from lessonlib.appliance.bundled import appliance_names
from lessonlib.appliance.parts import Link
from lessonlib.circuit.live import live_words
from lessonlib.ratings.advice import advice
from lessonlib.ratings.remarks import remarks
from lessonlib.sheet.safety import drawn_hazards
from tests.networks import random_appliance


def test_a_switch_in_the_wrong_conductor_is_a_danger() -> None:
    table = hazards(load_appliance("curtain-steamer"))
    (row,) = table.dangers
    assert (row.about, row.when) == ("off", "S1 off")
    assert "E1" in {end.part for end in row.live}
    # its plug goes in either way: a switch moved to the other conductor would be no better
    assert row.do == "Have a switch fitted that cuts both conductors."
    one_way = variant(load_appliance("curtain-steamer"), {"supply": {"reversible_plug": False}})
    (row,) = hazards(one_way).dangers
    assert row.do.startswith("Have the switch put into the line, or a switch fitted")


def test_a_single_pole_switch_is_told_from_a_double_pole_one() -> None:
    (single,) = [row for row in hazards(load_appliance("garment-steamer")).about("off")
                 if row.when == "S1 off"]  # fmt: skip
    assert single.what.startswith("only the line is cut; with the plug turned, live:")
    (double,) = [row for row in hazards(load_appliance("wallpaper-steamer")).about("off")
                 if row.when == "S1 off"]  # fmt: skip
    assert double.what == "both conductors are cut behind the switch"


def test_an_urn_without_a_real_off_and_without_a_cut_out() -> None:
    table = hazards(load_appliance("tea-urn"))
    (off,) = table.about("off")
    assert off.what == "no setting of the switches turns everything off"
    assert "nothing that feels heat stops E1 and E2" in table.summary


def test_a_blown_plug_fuse_leaves_nothing_live_unless_the_socket_is_wired_wrongly() -> None:
    rows = {row.when: row for row in hazards(load_appliance("tea-urn")).rows}
    blown = rows["plug fuse blown"]
    assert "plug as marked: in the model nothing behind the switches is live" in blown.what
    assert "socket wired the wrong way round: still live" in blown.what
    for row in (blown, rows["cord: neutral core broken"]):
        assert {end.part for end in row.live} == {"E1", "E2", "S1"}


def test_an_open_thermal_fuse_in_the_return_leaves_its_element_live() -> None:
    table = hazards(load_appliance("pie-cabinet"))
    (row,) = [row for row in table.about("fuse") if "F1 open" in row.when]
    assert {"E1", "F1"} <= {end.part for end in row.live} or "E2" in {end.part for end in row.live}


def test_only_an_rcd_opens_where_the_element_limits_the_current() -> None:
    (row,) = hazards(load_appliance("garment-steamer")).about("metalwork")
    # half of 35.27 ohm at 230 V is 13.04 A
    assert "near its live end the fuse or the circuit breaker opens, and an RCD" in row.what
    assert "half-way along up to 13 A (E1) flows to earth: only an RCD opens at once" in row.what
    assert "type A" not in row.what
    # with the earth broken, its switch in the line keeps the metal from it only as marked
    assert "metal is live at S1 on, and with the plug turned at S1 off too" in row.do


def test_half_waves_to_earth_open_an_rcd_of_type_A_only() -> None:
    (row,) = hazards(load_appliance("wax-melter")).about("metalwork")
    assert "behind a diode only an RCD of type A is sure to open" in row.what


def test_the_neutral_contact_of_a_double_pole_switch_matters_with_the_plug_turned() -> None:
    rows = {row.when: row for row in hazards(load_appliance("wallpaper-steamer")).about("off")}
    assert "E1" in {end.part for end in rows["S1 off, S1.1 welded"].live}
    assert "E1" in {end.part for end in rows["S1 off, plug turned, S1.2 welded"].live}
    # one that cuts a single pole does the same both ways, which is said once
    single = [row.when for row in hazards(load_appliance("garment-steamer")).about("off")]
    assert single == ["S1 off", "S1 off, S1 welded"]


def test_class_I_without_an_earth_wire_is_a_danger() -> None:
    urn = variant(load_appliance("tea-urn"), {"supply": {"cord_cores": "two"}})
    (row,) = hazards(urn).about("metalwork")
    assert row.level == "danger"
    assert "no fuse blows" in row.what
    assert row.do.startswith("Do not use it.")


def test_a_thermostat_alone_is_a_danger_and_a_fuse_besides_is_not() -> None:
    (alone,) = hazards(load_appliance("food-warmer")).about("dry heat")
    assert (alone.level, alone.when) == ("danger", "T1 welded")
    assert not hazards(load_appliance("hot-trolley")).about("dry heat")
    (bridged,) = hazards(load_appliance("wax-melter")).about("dry heat")
    assert (bridged.level, bridged.when) == ("know", "F1 bridged")


def test_an_element_that_its_fuse_does_not_stop_is_named() -> None:
    rows = hazards(load_appliance("punch-warmer")).about("dry heat")
    assert "stops E1" in rows[0].what
    assert "E2" not in rows[0].what
    assert rows[0].level == "danger"


def test_a_short_circuit_is_a_danger() -> None:
    text = """title = "t"
[supply]
voltage_V = 230
[[switch]]
name = "S1"
positions = ["off", "on"]
contacts = [{ between = ["L", "N"], closed_in = ["on"] }]
[[element]]
name = "E1"
between = ["L", "N"]
resistance_ohm = 100
"""
    (row,) = hazards(read_appliance(text)).about("short circuit")
    assert row.level == "danger"
    assert row.when == "S1 on"


def test_advice_says_each_thing_once_and_calls_fire_fire() -> None:
    urn = load_appliance("tea-urn")
    done = advice(findings(urn), hazards(urn))
    assert len(done.put_right) == 2
    assert done.put_right[0].startswith("It runs dry or is covered: nothing that feels heat stops")
    assert "no water, S1 on: fire" in done.put_right[1]
    # what no vessel lets the model tell is said by the danger alone
    rail = load_appliance("towel-rail")
    done = advice(findings(rail), hazards(rail))
    assert (len(done.put_right), done.find_out) == (1, ())
    assert done.standing.startswith("1 thing to put right; 8 limits are kept")


def test_what_only_a_new_design_may_not_have_is_nothing_to_put_right() -> None:
    melter = load_appliance("wax-melter")
    done = advice(findings(melter), hazards(melter))
    assert done.put_right == ()
    assert "16 limits are kept; a new design may not have D1." in done.standing


def test_a_good_appliance_makes_no_noise_and_bad_ones_are_caught() -> None:
    good = variant(load_appliance("garment-steamer"), {"F1": {"holds_C": 160}})
    done = advice(findings(good), hazards(good))
    assert (done.put_right, done.find_out) == ((), ())
    bridge = Link("F1", ("fed", "top"), resistance_ohm=0.001)
    assert good.vessel is not None
    bare = tuple(bridge if part.name == "F1" else part for part in good.parts)
    melter = load_appliance("wax-melter")
    bad = {
        "this one is too thin for 6.53 A": variant(good, {"supply": {"cord_area_mm2": 0.5}}),
        "It opens in normal use": variant(good, {"F1": {"opens_at_C": 60, "holds_C": 40}}),
        "nothing that feels heat stops E1": replace(good, parts=bare),
        "these stay live": load_appliance("curtain-steamer"),
        "that cuts off every element before that": variant(
            good, {"F1": {"opens_at_C": 240, "holds_C": 200}}
        ),
        "It needs a relief valve": replace(good, vessel=replace(good.vessel, relief_bar=None)),
        "Do not use it. Fit a three-core cord": variant(good, {"supply": {"cord_cores": "two"}}),
        "D1 changes nothing": replace(
            melter, parts=(*melter.parts, Link("W1", ("fed", "heat"), resistance_ohm=0.001))
        ),
        "D1, reverse peak": variant(melter, {"D1": {"rated_V": 200}}),
    }
    for words, appliance in bad.items():
        told = advice(findings(appliance), hazards(appliance)).put_right
        assert any(words in line for line in told), (words, told)


@pytest.mark.parametrize("name", appliance_names())
def test_each_drawing_shows_the_case_and_marks_the_parts_that_its_row_is_about(name: str) -> None:
    table = hazards(load_appliance(name))
    for row, drawing in drawn_hazards(table).items():
        assert row.seen is not None
        assert repr(drawing).startswith(f"{row.level}: {row.told}. ")
        for part in row.marked:
            assert f"▲ {part}" in drawing.svg
        if row.live and row.about != "shock":
            assert {end.part for end in row.live} == row.marked
            assert set(row.live) == set(row.seen.live)
    assert {row.about for row in drawn_hazards(table)} >= {"cord", "metalwork"}


@pytest.mark.parametrize("name", appliance_names())
def test_shocks_are_those_of_the_solver(name: str) -> None:
    appliance = load_appliance(name)
    for row in hazards(appliance).about("shock"):
        for words in row.when.split("; "):  # settings that leave the same live
            setting = {}
            if words != "plugged in":
                setting = dict(each.split(" ", 1) for each in words.split(", "))
            assert row.live == solve(appliance, setting).live, row.when
            turned = solve(appliance, setting, reversed_plug=True)
            assert live_words(appliance, turned.live) in row.what


@pytest.mark.parametrize("seed", range(6))
def test_any_network_can_be_judged_and_its_rows_are_the_solvers(seed: int) -> None:
    rng = random.Random(seed)
    appliance = random_appliance(rng, diodes=seed % 3, links=1, earth=seed % 2 == 1)
    table = hazards(appliance)
    assert advice(findings(appliance), table).standing
    assert remarks(appliance)
    for row in table.rows:
        assert row.seen is None or not row.live or row.live == row.seen.live, row
