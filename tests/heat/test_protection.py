"""What protects, case by case: against formulas by hand, and the words it is told in."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from lessonlib import Fault, load_appliance
from lessonlib.appliance.parts import ThermalFuse
from lessonlib.errors import FaultError, HeatError, SettingError
from lessonlib.heat.protection import Case, protections, read_case, with_fuse
from lessonlib.heat.result import clock
from lessonlib.heat.story import protection_story
from lessonlib.safety import ONE_LINE
from tests.heat.kettles import VESSELS, all_on, behind_thermostat, element, fuse, kettle

STEAMER = load_appliance("garment-steamer")
ON = {"S1": "on"}
# the garment steamer by hand: 1500 W against 1.8 W/K from 20 °C, wet and dry heat capacity
SETTLES_C = 20 + 1500 / 1.8
WET_S, DRY_S = (650 + 1.2 * 4190) / 1.8, 650 / 1.8
P1_C = 113.55  # IF97, to 0.01 K: 0.6 bar gauge
NO_VALVE = "P1 welded, no relief valve"
EXACT = 1e-9  # rounding: both sides are closed forms
SPARE = "stays closed: 68.5 K below 182 °C"
BRIDGED = "cannot open: its contact is welded, or bridged"


def seconds(tau_s: float, from_C: float, to_C: float) -> float:
    """From one temperature to another on the exponential towards SETTLES_C."""
    return tau_s * math.log((SETTLES_C - from_C) / (SETTLES_C - to_C))


def with_f1(**changes):
    return with_fuse(STEAMER, replace(STEAMER.part("F1"), **changes))


ON_ELEMENT = with_f1(placed_on="E1", rise_K_per_W=0.05)  # 75 K at 1500 W
IRON = {"heat_capacity_J_per_K": 500, "loss_W_per_K": 1}


def only(appliance, fault=None, setting=ON):
    (row,) = protections(appliance, setting, minutes=60, faults=[fault]).rows
    return row


# --- figures


def test_in_normal_use_the_fuse_s_margin_is_from_the_switch_s_temperature_to_its_mark() -> None:
    row = only(STEAMER)
    (first,) = row.acts  # of a contact that cycles the first opening counts
    assert first.time_s == pytest.approx(seconds(WET_S, 20, P1_C), abs=0.05)  # 0.005 K at 14 K/min
    assert row.hottest_C == pytest.approx(P1_C, abs=0.0051)
    assert row.margin_K == pytest.approx(192 - 10 - P1_C, abs=0.0051)
    # a resettable one has no tolerance of the standard's
    assert only(with_f1(resettable=True)).margin_K == pytest.approx(192 - P1_C, abs=0.0051)
    assert row.holds_margin_K is None
    assert only(with_f1(holds_C=160)).holds_margin_K == pytest.approx(160 - P1_C, abs=0.0051)


def test_once_dry_the_fuse_opens_on_the_exponential_of_the_dry_vessel() -> None:
    row = only(STEAMER, "P1 welded")
    dry = row.acts[2]
    held_C = row.acts[1].temperature_C
    # a difference of times of 2500 s, each to 1e-12: 1e-10 of 28 s, of which 1e-6 is far enough
    assert row.earliest_s - dry.time_s == pytest.approx(seconds(DRY_S, held_C, 182), rel=1e-6)
    assert row.latest_s - dry.time_s == pytest.approx(seconds(DRY_S, held_C, 192), rel=1e-6)
    row = only(STEAMER, "no water")
    assert row.earliest_s == pytest.approx(seconds(DRY_S, 20, 182), rel=EXACT)
    assert row.latest_s == pytest.approx(seconds(DRY_S, 20, 192), rel=EXACT)


def test_without_the_valve_the_vessel_bursts_before_the_fuse_is_at_its_mark() -> None:
    from CoolProp.CoolProp import PropsSI

    row = only(STEAMER, NO_VALVE)
    assert row.latest_s is None
    assert row.earliest_s == pytest.approx(seconds(WET_S, 20, 182), rel=EXACT)
    bursts_C = PropsSI("T", "P", 10e5 + 101_325, "Q", 1, "Water") - 273.15
    # IF97 against IAPWS-95 on the saturation line: 0.025 % at most, see test_water; 0.012 K
    assert row.hottest_C == pytest.approx(bursts_C, abs=0.012)
    assert row.acts[-1].time_s == pytest.approx(seconds(WET_S, 20, row.hottest_C), rel=EXACT)


# --- words


@pytest.mark.parametrize(
    ("appliance", "fault", "acts", "verdict"),
    [
        (STEAMER, None, "P1", SPARE),
        (STEAMER, "P1 welded", "P1 vents dry F1", "opens, between 41 min 53 s and 41 min 58 s"),
        (STEAMER, NO_VALVE, "P1 bursts", "may open, from 11 min 22 s: 7.9 K below its mark"),
        (STEAMER, "no water", "F1", "opens, between 1 min 18 s and 1 min 23 s"),
        (ON_ELEMENT, None, "P1", "may open, from 5 min 48 s: 3.5 K below its mark"),
        (with_f1(holds_C=110), None, "P1", f"{SPARE}, but 3.5 K above its holding temperature"),
        (with_f1(resettable=True), "no water", "F1", "opens, at 1 min 23 s"),
        (with_f1(placed_on="E1", rise_K_per_W=0.2), None, "F1", "opens, at 0 s"),  # 300 K
        # a faulty fuse is not said to open
        (STEAMER, "F1 welded", "P1", BRIDGED),
        (STEAMER, "F1 welded, no water", "F1 fire melts", BRIDGED),
        (STEAMER, "F1 not making", "", "is open from the start"),
        # what changes nothing, and a hand, is no protection
        (STEAMER, "E1 shorted", "short", "stays closed: 162.0 K below 182 °C"),
    ],
)
def test_each_case_says_what_acts_and_whether_the_fuse_opens(
    appliance, fault, acts, verdict
) -> None:
    row = only(appliance, fault)
    assert [event.part or event.kind for event in row.acts] == acts.split()
    assert row.verdict == verdict
    assert (row.earliest_s is not None) == verdict.startswith(("opens", "may open"))
    assert (row.latest_s is not None) == verdict.startswith("opens")


def test_no_bundled_fuse_opens_in_normal_use_and_each_opens_without_water() -> None:
    fused = [each for each in map(load_appliance, VESSELS) if each.of_type(ThermalFuse)]
    assert len(fused) >= 5
    for appliance in fused:
        # three quarters of an hour unwatched: the wax melter's bath is dry after 57 minutes at full
        normal, *_, dry = protections(appliance, all_on(appliance), minutes=45).rows
        assert normal.case == Case()
        assert normal.margin_K > 0
        assert dry.case == Case(no_water=True)
        assert dry.latest_s is not None


def test_a_welded_switch_counts_from_where_it_should_open_not_from_where_it_closes() -> None:
    first = only(STEAMER, "P1 welded", setting={"S1": "on", "P1": "open"}).acts[0]
    assert first.what.startswith("P1 should open")


# --- the table


@pytest.mark.parametrize(
    ("appliance", "setting", "cases"),
    [
        (STEAMER, ON, f"nothing wrong; P1 welded; no relief valve; {NO_VALVE}; no water"),
        (
            kettle(guard=behind_thermostat(80, 70, fuse(150)), **IRON),
            {},
            "nothing wrong; T1 welded",
        ),
        (kettle(guard=fuse(150), water_kg=1), {}, "nothing wrong"),  # without water it is nothing
    ],
)
def test_the_usual_cases_are_the_ones_an_appliance_can_have(appliance, setting, cases) -> None:
    rows = protections(appliance, setting, minutes=5).rows
    assert "; ".join(str(row.case) for row in rows) == cases


def test_every_fuse_has_a_row_of_its_own() -> None:
    second = fuse(120).replace('"F1"', '"F2"').replace('"L"', '"middle"')
    first = fuse(150).replace('"fed"', '"middle"')
    appliance = kettle(guard=first + second, **IRON)
    rows = protections(appliance, minutes=60, faults=[None, "F2 welded"]).rows
    opens = [(row.fuse.name, row.latest_s is not None) for row in rows]
    assert opens == [("F1", False), ("F2", True), ("F1", True), ("F2", False)]


# --- cases in words


@pytest.mark.parametrize(
    ("words", "case"),
    [
        ("P1 welded", Case(Fault("P1", "welded"))),
        (Fault("P1", "welded"), Case(Fault("P1", "welded"))),
        ("no water", Case(no_water=True)),
        ("no relief valve, P1 welded", Case(Fault("P1", "welded"), no_valve=True)),
        ("no water, no relief valve", Case(no_water=True, no_valve=True)),
    ],
)
def test_a_case_is_read_from_words_and_told_in_the_same(words, case: Case) -> None:
    assert read_case(STEAMER, words) == read_case(STEAMER, str(case)) == case


NO_VESSEL, NO_FUSE = load_appliance("hot-trolley"), load_appliance("tea-urn")
OPEN = kettle(guard=fuse(150), water_kg=1, heat_capacity_J_per_K=500)


@pytest.mark.parametrize("ask", [protections, protection_story])
@pytest.mark.parametrize(
    ("appliance", "setting", "minutes", "words", "error", "says"),
    [
        (STEAMER, ON, 60, "P1 welded, F1 welded", HeatError, "found 2 faults of parts"),
        (STEAMER, ON, 60, "P9 welded", FaultError, "no part 'P9'"),
        (STEAMER, ON, 60, "no steam", FaultError, "cannot read the fault 'no steam'"),
        (OPEN, {}, 60, "no relief valve", HeatError, "found 'no relief valve' for Kettle, which"),
        (NO_FUSE, {}, 60, None, HeatError, r"has no thermal fuse; accepted: .*\[\[thermal_fuse"),
        (NO_VESSEL, ON, 60, None, HeatError, r"has no vessel; accepted: .*\[vessel\]"),
        (STEAMER, {}, 60, None, HeatError, "no element gives heat in this setting; accepted"),
        (STEAMER, ON, 0, None, HeatError, "found minutes = 0"),
        (STEAMER, {"S1": "up"}, 60, None, SettingError, "no position"),
    ],
)
def test_what_cannot_be_asked_is_refused(
    ask, appliance, setting, minutes, words, error, says
) -> None:
    case = {"faults": [words]} if ask is protections else {"fault": words}
    with pytest.raises(error, match=says):
        ask(appliance, setting, minutes=minutes, **case)


# --- the story


def told(appliance, fault=None, minutes=60, setting=ON) -> str:
    return str(protection_story(appliance, setting, minutes=minutes, fault=fault))


def test_the_story_of_a_welded_switch_has_the_figures_worked_out_by_hand() -> None:
    text = told(STEAMER, "P1 welded")
    assert f"by {(1500 - 1.8 * (192 - 20)) / 650 * 60:.3g} K a minute" in text
    held_C = 138.98  # saturation at 2.5 bar gauge, IF97
    dry_s = seconds(WET_S, 20, held_C) + 1.2 * 2147.2e3 / (1500 - 1.8 * (held_C - 20))
    opens_s, fire_s, melts_s = (dry_s + seconds(DRY_S, held_C, C) for C in (192, 200, 660))
    assert f"{clock(dry_s)}: boiled dry: the last water is gone." in text
    assert f"{clock(opens_s)}: F1 opens at 192 °C, and stays open." in text
    assert f"at 200 °C after {clock(fire_s)}, and melts" in text
    assert f"after {clock(melts_s)} (660 °C)" in text
    assert "without it the vessel bursts, after 11 min 32 s (10 bar gauge) or long before." in text


def test_the_story_with_nothing_wrong_tells_the_cycle_and_the_margin() -> None:
    text = told(STEAMER)
    assert "P1 goes on opening and closing: it opens 29 times in 60 min 00 s, between" in text
    assert "F1 stays closed: its place gets to 113.5 °C, 68.5 K below 182 °C, the lowest" in text
    assert "prevents" not in text


EARLY = with_f1(opens_at_C=150)


@pytest.mark.parametrize(
    ("appliance", "fault", "words"),
    [
        (with_f1(holds_C=160), None, "Its holding temperature is 160 °C: with its rated"),
        (with_f1(holds_C=110), None, "But that is 3.5 K above its holding temperature of 110 °C."),
        (ON_ELEMENT, None, "may open, from 5 min 48 s on: its place gets to 188.5 °C, below its"),
        (ON_ELEMENT, "no water", "On a dry E1 the real rise is larger than 0.05 K for each watt"),
        (STEAMER, "no water", "Without water there is no steam: P1 cannot open."),
        (STEAMER, "F1 welded", "F1 cannot open: its contact is welded, or bridged."),
        (STEAMER, NO_VALVE, "11 min 32 s: the vessel bursts, here or long before: the model stops"),
        (STEAMER, NO_VALVE, "184.1 °C before that. A thermal fuse does not stand in for a relief"),
        (EARLY, NO_VALVE, "What F1 prevents: without it the vessel bursts, after "),
        (EARLY, NO_VALVE, "or long before. A thermal fuse does not stand in for a relief valve."),
        (STEAMER, "F1 welded, no water", "the dry vessel is at 660 °C after 8 min 48 s. It ends"),
        (with_f1(resettable=True), "no water", "F1 is resettable: a hand resets it, once what"),
    ],
)
def test_the_story_says_what_matters_in_its_case(appliance, fault, words: str) -> None:
    assert words in told(appliance, fault)
    assert words not in told(STEAMER, "P1 welded")


@pytest.mark.parametrize(
    ("heat", "fault", "words"),
    [
        ("full", None, "57 min 46 s: F1 opens at 128 °C, and stays open."),
        ("full", "F1 welded", "59 min 39 s: fire: above 200 °C wax, fat, sugar or cloth can catch"),
        ("full", "F1 welded", "the dry vessel is at 353 °C after 3 h 00 min. It ends in fire."),
        ("half", None, "164 min 54 s: F1 opens at 128 °C, and stays open."),
        ("half", "no water", "gets to 187 °C within 180 min. Its elements are hotter: fire can"),
    ],
)
def test_the_wax_melter_s_fuse_ends_the_heating_of_a_dry_bath_and_bridged_it_burns(
    heat: str, fault: str | None, words: str
) -> None:
    assert words in told(load_appliance("wax-melter"), fault, 180, {"S1": "on", "S2": heat})


def test_a_fuse_that_does_not_stop_the_fire_is_not_said_to_prevent_it() -> None:
    text = told(load_appliance("punch-warmer"), minutes=240, setting={"S1": "boost"})
    assert "139 min 08 s: fire: above 200 °C" in text
    assert (
        "F1 delays the fire and does not prevent it: without it the vessel is at 200 °C after "
        "132 min 10 s, with it after 139 min 08 s."
    ) in text
    assert "What F1 prevents" not in text


HELD = kettle(guard=behind_thermostat(180, 150, fuse(240)), **IRON)  # dry, by a thermostat
IN_ONE_BRANCH = kettle(guard=fuse(150) + element("E2", ("L", "out"), 300), **IRON)
SLOW = kettle(100, fuse(50), heat_capacity_J_per_K=20_000)  # a quarter of a kelvin a minute


@pytest.mark.parametrize(
    ("appliance", "fault", "minutes", "there", "not_there"),
    [
        (HELD, None, 60, "T1 goes on opening", "fire"),
        (IN_ONE_BRANCH, None, 60, "not switch off everything: E2 with 300 W still", "Nothing stop"),
        (SLOW, None, 300, "F1 opens at 50 °C", "warming"),  # slower than the test of a mark
        (ON_ELEMENT, NO_VALVE, 60, "F1 opens at 192 °C on E1", "On a dry"),
        (STEAMER, "no water", 60, "F1 opens at 192 °C", "does not switch off"),
        (kettle(guard=fuse(150), water_kg=1, heat_capacity_J_per_K=500), "no water", 60,
         "F1 opens", "steam"),
    ],
)  # fmt: skip
def test_the_story_says_no_more_than_happens(appliance, fault, minutes, there, not_there) -> None:
    setting = {part.name: "on" for part in appliance.switches}
    text = told(appliance, fault, minutes, setting)
    assert there in text
    assert not_there not in text


def test_a_story_is_a_list_in_a_notebook_with_its_sources() -> None:
    story = protection_story(STEAMER, ON, minutes=60, fault="no water")
    html = story._repr_html_()
    assert html.count("<li>") == len(story.sentences)
    assert "192\u00a0°C" in html  # a narrow page keeps number and unit together
    for text in (html, str(story)):
        assert ONE_LINE in text
        assert "IEC 60691" in text
        assert "IEC 60335-1 cl. 3.7" in text
    assert str(story).splitlines()[1].startswith("1. Without water")
