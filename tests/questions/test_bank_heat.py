"""Exercises of lessons 6 and 7: what holds for them beyond what holds for every exercise."""

from __future__ import annotations

import re
from collections import Counter

import pytest

from lessonlib.appliance.bundled import appliance_files, load_appliance
from lessonlib.appliance.parts import Appliance, ThermalFuse
from lessonlib.appliance.variant import variant
from lessonlib.circuit.solution import solve
from lessonlib.heat.protection import TOLERANCE_K
from lessonlib.heat.run import heat_up
from lessonlib.questions import draw
from lessonlib.questions.answers import Choice, CircuitFile, Number, Order, Points
from lessonlib.questions.bank import find, find_check, templates
from lessonlib.questions.marking import mark
from lessonlib.schematics.captions import rating
from tests.questions.variants import variants

NAMES = [template.name for lesson in (6, 7) for template in templates(lesson)]
MADE_C = {128, 139, 144, 152, 157, 167, 172, 184, 192, 216, 229, 240}
"""Marks with which thermal fuses are made: common practice, no source."""


@pytest.mark.parametrize("name", ["live-points-with-the-fuse-open", "live-points-under-pressure"])
def test_nobody_does_well_by_always_naming_the_same_points(name: str) -> None:
    answers = [find(name).draw(seed).answer for seed in range(100)]
    right = Counter(answer.value for answer in answers if isinstance(answer, Points))
    assert right.total() == 100
    assert max(right.values()) < 0.4 * 100


def marks_C(appliance: Appliance | None) -> set[float]:
    parts = appliance.parts if appliance else ()
    return {part.opens_at_C for part in parts if isinstance(part, ThermalFuse)}


def test_thermal_fuses_have_marks_with_which_they_are_made() -> None:
    found = set().union(*(marks_C(load_appliance(name)) for name in appliance_files()))
    for exercise in (exercise for name in NAMES for exercise in variants(name)):
        answer = exercise.answer
        found |= marks_C(exercise.appliance)
        found |= marks_C(answer.value if isinstance(answer, CircuitFile) else None)
        options = answer.options if isinstance(answer, Choice) else ()
        found |= {float(option[5:-3]) for option in options if option.startswith("mark ")}
    assert len(found) > 6
    assert found <= MADE_C


def test_a_fuse_that_is_wired_in_elsewhere_is_not_drawn_on_the_element_of_the_lesson() -> None:
    drawn = [one.appliance for one in variants("live-points-with-the-fuse-open") if one.appliance]
    assert len(drawn) >= 20
    for warmer in drawn:
        assert rating(warmer.part("F1")) == "172 °C"


def test_the_next_mark_that_is_made_is_the_first_that_is_high_enough() -> None:
    for exercise in variants("lowest-mark"):
        lowest_C = exercise.answer.value
        made_C = min(mark_C for mark_C in MADE_C if mark_C >= lowest_C)
        assert exercise.worked[-1].endswith(f" {made_C} °C.")


def test_openings_in_an_hour_are_those_of_the_run() -> None:
    for exercise in variants("closing-pressure")[:4]:
        loss = float(re.search(r"loses ([0-9.]+) W", exercise.text)[1])
        most = float(re.search(r"at most\s+([0-9]+) times", exercise.text)[1])
        assert f"At most {most:g} are wanted" in exercise.worked[-1]
        told = re.findall(r"closing at ([0-9.]+) bar, ([0-9]+)", exercise.worked[0])
        assert len(told) == len(exercise.answer.options)
        for bar, times in told:
            changes = {"P1": {"closes_at_bar": float(bar)}, "vessel": {"loss_W_per_K": loss}}
            run = heat_up(
                variant(load_appliance("garment-steamer"), changes), {"S1": "on"}, minutes=30
            )
            assert round(3600 / run.cycle.period_s) == int(times)


@pytest.mark.parametrize(
    ("name", "appliance", "part", "key", "value", "said"),
    [
        ("pot-after-the-fuse", "punch-warmer", "F1", "opens_at_C", 184, "is marked 184 °C"),
        ("welded-p1-in-order", "garment-steamer", "F1", "opens_at_C", 184, "F1 opens at 184 °C"),
        ("welded-p1-in-order", "garment-steamer", "P1", "opens_at_bar", 0.7, "is marked 0.7 bar"),
        ("steamer-with-signs", "garment-steamer", "P1", "opens_at_bar", 0.7, "rises to 0.7 bar"),
        ("closing-pressure", "garment-steamer", "P1", "opens_at_bar", 0.7, "opens at 0.7 bar"),
        ("live-points-under-pressure", "curtain-steamer", "P1", "opens_at_bar", 0.7, "0.7 bar"),
        (
            "steamer-time-to-ready",
            "garment-steamer",
            "vessel",
            "ambient_C",
            15,
            "are at 15 °C",
        ),
    ],
)
def test_a_mark_that_is_changed_in_the_appliance_s_file_changes_in_the_text(
    name: str, appliance: str, part: str, key: str, value: float, said: str, monkeypatch
) -> None:
    def texts() -> list[str]:
        return [find(name).draw(seed).text for seed in range(12)]

    as_bundled = draw.bundled
    assert not any(said in text for text in texts())
    changed = variant(as_bundled(appliance), {part: {key: value}})
    monkeypatch.setattr(
        draw, "bundled", lambda each: changed if each == appliance else as_bundled(each)
    )
    assert any(said in text for text in texts())


def test_a_mark_below_the_lowest_is_wrong_however_close_and_a_little_above_is_right() -> None:
    for exercise in variants("lowest-mark"):
        answer = exercise.answer
        assert isinstance(answer, Number)
        rise, watts = re.findall(r"([\d.]+) K warmer|gives (\d+) W", exercise.text)[::-1]
        place_C = 100 + float(rise[0]) * float(watts[1])
        lowest, highest = answer.accepted
        assert place_C + TOLERANCE_K == pytest.approx(lowest, abs=1e-9)
        assert mark(exercise, f"{highest - 0.1:.1f} °C").verdict == "right"
        assert "unsafe side" in mark(exercise, f"{lowest - 0.5:.1f} °C").reply


def test_the_fuse_that_fits_keeps_out_of_normal_use_and_acts_in_time() -> None:
    for exercise in variants("which-fuse-fits"):
        assert isinstance(exercise.answer, Choice)
        (watts,) = re.findall(r"element of (\d+) W", exercise.text)
        (rise,) = re.findall(r"is ([\d.]+) K warmer", exercise.text)
        (limit,) = re.findall(r"place is at (\d+) °C", exercise.text)
        # IEC 60038, as quoted: 10 % up; the power goes with the square of the voltage
        hottest_C = 100 + float(rise) * float(watts) * 1.1**2
        for option in exercise.answer.options:
            mark_C = float(option[5:-3])
            fits = mark_C - TOLERANCE_K > hottest_C and mark_C <= float(limit)
            assert fits == (option == exercise.answer.value)


def test_a_repair_ends_with_earth_continuity_and_insulation_and_then_the_plug() -> None:
    for exercise in variants("fuse-repair-in-order"):
        assert isinstance(exercise.answer, Order)
        plug, cool, prove, _cure, fit, test, watch = exercise.answer.value
        assert plug.startswith("pull the plug")
        assert "cool" in cool
        assert (prove, fit[:10]) == ("prove dead", "fit a fuse")
        assert test.endswith("test earth continuity and insulation")
        assert watch.startswith("plug it in")
        slips = {slip.name for slip in exercise.slips}
        assert {"plugged-in-untested", "tested-before-the-fuse"} <= slips


def test_the_check_of_a_pot_dry_at_keep_warm_says_what_the_run_does() -> None:
    warmer = load_appliance("punch-warmer")
    run = heat_up(warmer, {"S1": "keep warm"}, minutes=900)
    (opening,) = [event for event in run.events if event.part == "F1"]
    words = " ".join(find_check("keep-warm-dry").draw(0).worked)
    assert f"it opens at {opening.temperature_C:.0f} °C there" in words
    # no cooler for it: the pot settles where E1 alone holds it
    assert run.temperature_C(900 * 60) > opening.temperature_C


def test_the_check_of_two_lamps_says_what_each_fault_shows() -> None:
    steamer = load_appliance("garment-steamer")

    def lit(fault: str) -> list[bool]:
        part = solve(steamer, {"S1": "on"}, fault=fault).part
        return [bool(part[lamp].power_W) for lamp in ("H1", "H2")]

    assert (lit("S1 not making"), lit("P1 not making")) == ([False, False], [True, False])
    assert find_check("lamps").draw(0).answer.value == "P1 is open"
