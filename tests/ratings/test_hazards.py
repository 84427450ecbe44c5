"""What can shock, what "off" cuts, what a blown fuse leaves live, and what protects when dry."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from lessonlib import findings, hazards, load_appliance, solve, variant
from lessonlib.appliance.bundled import appliance_names
from lessonlib.appliance.parts import Link
from lessonlib.circuit.live import live_words
from lessonlib.ratings.advice import Advice, advice
from lessonlib.ratings.hazard import Hazard
from lessonlib.ratings.remarks import remarks
from lessonlib.sheet.safety import drawn_hazards
from tests.networks import random_appliance

MELTER, URN = load_appliance("wax-melter"), load_appliance("tea-urn")
CURTAIN = load_appliance("curtain-steamer")


def about(name: str, word: str) -> dict[str, Hazard]:
    return {row.when: row for row in hazards(load_appliance(name)).about(word)}


def parts(row: Hazard) -> set[str]:
    return {end.part for end in row.live}


def advised(appliance) -> Advice:
    return advice(findings(appliance), hazards(appliance))


@pytest.mark.parametrize(
    ("name", "word", "when", "level", "says"),
    [
        ("curtain-steamer", "off", "S1 off", "danger", "nothing heats, but these stay live: F1,"),
        # a single-pole switch, and a double-pole one
        ("garment-steamer", "off", "S1 off", "know", "only the line is cut; with the plug turned,"),
        ("wallpaper-steamer", "off", "S1 off", "know", "both conductors are cut behind the switch"),
        ("tea-urn", "off", "in every setting", "know", "no setting of the switches turns"),
        ("tea-urn", "fuse", "plug fuse blown", "know", "plug as marked: in the model nothing"),
        ("tea-urn", "fuse", "plug fuse blown", "know", "socket wired the wrong way round: still"),
        # half of 35.27 ohm at 230 V is 13.04 A
        ("garment-steamer", "metalwork", "E1 touches its sheath", "know", "near its live end the"),
        ("garment-steamer", "metalwork", "E1 touches its sheath", "know", "up to 13 A (E1) flows"),
        # with the earth broken, its switch in the line keeps the metal from it only as marked
        ("garment-steamer", "metalwork", "E1 touches its sheath", "know", "live at S1 on, and with "
         "the plug turned at S1 off too"),
        ("wax-melter", "metalwork", "E1 touches its sheath", "know", "only an RCD of type A"),
        # a thermostat alone is a danger, a fuse besides is not
        ("food-warmer", "dry heat", "T1 welded", "danger", "A second protector is needed"),
        ("wax-melter", "dry heat", "F1 bridged", "know", "Never bridge it."),
        # E2 is behind the fuse, and not named
        ("punch-warmer", "dry heat", "it runs dry or is covered", "danger", "heat stops E1. Never"),
        ("tea-urn", "dry heat", "it runs dry or is covered", "danger", "stops E1 and E2. Never"),
    ],
)  # fmt: skip
def test_a_hazard_is_told_with_its_level(name, word, when, level, says) -> None:
    row = about(name, word)[when]
    assert row.level == level
    assert says in row.told


def test_only_half_waves_call_for_an_rcd_of_type_A_and_two_guards_for_nothing() -> None:
    (row,) = about("garment-steamer", "metalwork").values()
    assert "type A" not in row.what
    assert not about("hot-trolley", "dry heat")


def test_a_switch_in_the_wrong_conductor_is_put_right_by_the_plug_it_has() -> None:
    (row,) = hazards(CURTAIN).dangers
    assert "E1" in parts(row)
    # its plug goes in either way: a switch moved to the other conductor would be no better
    assert row.do == "Have a switch fitted that cuts both conductors."
    (row,) = hazards(variant(CURTAIN, {"supply": {"reversible_plug": False}})).dangers
    assert row.do.startswith("Have the switch put into the line, or a switch fitted")


def test_what_a_fault_leaves_live_is_told_by_its_parts() -> None:
    blown = {**about("tea-urn", "fuse"), **about("tea-urn", "cord")}
    for when in ("plug fuse blown", "cord: neutral core broken"):
        assert parts(blown[when]) == {"E1", "E2", "S1"}
    (row,) = (row for when, row in about("pie-cabinet", "fuse").items() if "F1 open" in when)
    assert parts(row) >= {"E1", "F1"} or "E2" in parts(row)
    # the neutral contact of a double-pole switch matters with the plug turned
    double = about("wallpaper-steamer", "off")
    assert "E1" in parts(double["S1 off, S1.1 welded"])
    assert "E1" in parts(double["S1 off, plug turned, S1.2 welded"])
    # one that cuts a single pole does the same both ways, which is said once
    assert list(about("garment-steamer", "off")) == ["S1 off", "S1 off, S1 welded"]


def test_class_I_without_an_earth_wire_is_a_danger() -> None:
    (row,) = hazards(variant(URN, {"supply": {"cord_cores": "two"}})).about("metalwork")
    assert row.level == "danger"
    assert "no fuse blows" in row.what
    assert row.do.startswith("Do not use it.")


# --- what a person is to do


def test_advice_says_each_thing_once_and_calls_fire_fire() -> None:
    done = advised(URN)
    assert len(done.put_right) == 2
    assert done.put_right[0].startswith("It runs dry or is covered: nothing that feels heat stops")
    assert "no water, S1 on: fire" in done.put_right[1]
    # what no vessel lets the model tell is said by the danger alone
    done = advised(load_appliance("towel-rail"))
    assert (len(done.put_right), done.find_out) == (1, ())
    assert done.standing.startswith("1 thing to put right; 8 limits are kept")
    # what only a new design may not have is nothing to put right
    done = advised(MELTER)
    assert done.put_right == ()
    assert "16 limits are kept; a new design may not have D1." in done.standing


GOOD = variant(load_appliance("garment-steamer"), {"F1": {"holds_C": 160}})


def bridged(appliance, name: str, between: tuple[str, str]):
    """With a wire, in the place of the part of that name if there is one."""
    others = (part for part in appliance.parts if part.name != name)
    return replace(appliance, parts=(*others, Link(name, between, resistance_ohm=0.001)))


@pytest.mark.parametrize(
    ("bad", "says"),
    [
        (variant(GOOD, {"supply": {"cord_area_mm2": 0.5}}), "this one is too thin for 6.53 A"),
        (variant(GOOD, {"F1": {"opens_at_C": 60, "holds_C": 40}}), "It opens in normal use"),
        (variant(GOOD, {"F1": {"opens_at_C": 240, "holds_C": 200}}), "cuts off every element befo"),
        (bridged(GOOD, "F1", ("fed", "top")), "nothing that feels heat stops E1"),
        (CURTAIN, "these stay live"),
        (replace(GOOD, vessel=replace(GOOD.vessel, relief_bar=None)), "It needs a relief valve"),
        (variant(GOOD, {"supply": {"cord_cores": "two"}}), "Do not use it. Fit a three-core cord"),
        (bridged(MELTER, "W1", ("fed", "heat")), "D1 changes nothing"),
        (variant(MELTER, {"D1": {"rated_V": 200}}), "D1, reverse peak"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_a_bad_appliance_is_caught(bad, says: str) -> None:
    assert any(says in line for line in advised(bad).put_right)


def test_a_good_appliance_makes_no_noise() -> None:
    done = advised(GOOD)
    assert (done.put_right, done.find_out) == ((), ())


# --- as solved and as drawn


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


# a double-pole switch, two elements and a plug that cannot be turned, a diode
@pytest.mark.parametrize("name", ["wallpaper-steamer", "tea-urn", "wax-melter"])
def test_each_drawing_shows_the_case_and_marks_the_parts_that_its_row_is_about(name: str) -> None:
    drawn = drawn_hazards(hazards(load_appliance(name)))
    for row, drawing in drawn.items():
        assert row.seen is not None
        assert repr(drawing).startswith(f"{row.level}: {row.told}. ")
        for part in row.marked:
            assert f"▲ {part}" in drawing.svg
        if row.live and row.about != "shock":
            assert parts(row) == row.marked
    assert {row.about for row in drawn} >= {"cord", "metalwork"}


@pytest.mark.parametrize("seed", range(6))
def test_any_network_can_be_judged_and_its_rows_are_the_solvers(seed: int) -> None:
    rng = random.Random(seed)
    appliance = random_appliance(rng, diodes=seed % 3, links=1, earth=seed % 2 == 1)
    assert advised(appliance).standing
    assert remarks(appliance)
    for row in hazards(appliance).rows:
        assert row.seen is None or not row.live or set(row.live) == set(row.seen.live), row
