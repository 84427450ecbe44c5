"""Exercises of lessons 6 and 7: what holds for them beyond what holds for every exercise."""

from __future__ import annotations

import re
from collections import Counter
from functools import cache

import pytest

from lessonlib.appliance.bundled import appliance_files, load_appliance
from lessonlib.appliance.parts import PressureSwitch, ThermalFuse
from lessonlib.circuit.solution import solve
from lessonlib.heat.protection import TOLERANCE_K
from lessonlib.heat.run import heat_up
from lessonlib.questions.answers import Choice, Number, Order, Points
from lessonlib.questions.bank import BANK, find, find_check
from lessonlib.questions.exercise import Exercise
from lessonlib.questions.marking import mark
from tests.questions.test_bank import texts

SEEDS = range(400)
NAMES = [template.name for lesson in (6, 7) for template in BANK[lesson]]
MADE_C = {128, 139, 144, 152, 157, 167, 172, 184, 192, 216, 229, 240}
"""Marks with which thermal fuses are made: common practice, no source."""


@cache
def drawn(name: str) -> list[Exercise]:
    return [find(name).draw(seed) for seed in SEEDS]


@pytest.mark.parametrize("name", NAMES)
def test_new_numbers_give_thirty_different_questions_or_more(name: str) -> None:
    def question(exercise: Exercise) -> tuple[object, ...]:
        answer = exercise.answer
        options = sorted(answer.options) if isinstance(answer, Choice) else []
        return exercise.text, answer.written(answer.value), *options

    assert len({question(exercise) for exercise in drawn(name)}) >= 30


@pytest.mark.parametrize("name", ["live-points-with-the-fuse-open", "live-points-under-pressure"])
def test_nobody_does_well_by_always_naming_the_same_points(name: str) -> None:
    answers = [exercise.answer for exercise in drawn(name)]
    right = Counter(answer.value for answer in answers if isinstance(answer, Points))
    assert right.total() == len(SEEDS)
    assert max(right.values()) < 0.36 * len(SEEDS)


@pytest.mark.parametrize("name", NAMES)
def test_the_worked_answer_has_the_right_number(name: str) -> None:
    for exercise in drawn(name):
        answer = exercise.answer
        if isinstance(answer, Number):
            figures = re.findall(rf"([\d.]+) {answer.unit}(?!\w)", " ".join(exercise.worked))
            assert any(answer.right(float(figure)) for figure in figures), exercise.worked


@pytest.mark.parametrize("name", NAMES)
def test_thermal_fuses_have_marks_with_which_they_are_made(name: str) -> None:
    for exercise in drawn(name):
        said = " ".join(text for what, text in texts(exercise) if what != "worked")
        options = exercise.answer.options if isinstance(exercise.answer, Choice) else ()
        marks = re.findall(r"(?:mark|marked|F1 opens at|fuse\S* open\w* at) (\d+) °C", said)
        marks += [option[5:-3] for option in options if option.startswith("mark ")]
        assert {*map(float, marks)} <= MADE_C, exercise.text


def test_thermal_fuses_of_the_bundled_appliances_have_such_marks_too() -> None:
    parts = [part for name in appliance_files() for part in load_appliance(name).parts]
    marks = {part.opens_at_C for part in parts if isinstance(part, ThermalFuse)}
    assert marks
    assert marks <= MADE_C


def test_a_mark_below_the_lowest_is_wrong_however_close_and_a_little_above_is_right() -> None:
    for exercise in drawn("lowest-mark"):
        answer = exercise.answer
        assert isinstance(answer, Number)
        rise, watts = re.findall(r"([\d.]+) K warmer|gives (\d+) W", exercise.text)[::-1]
        place_C = 100 + float(rise[0]) * float(watts[1])
        lowest, highest = answer.accepted
        assert place_C + TOLERANCE_K == pytest.approx(lowest, abs=1e-9)
        assert mark(exercise, f"{highest - 0.1:.1f} °C").verdict == "right"
        assert "unsafe side" in mark(exercise, f"{lowest - 0.5:.1f} °C").reply


def test_the_fuse_that_fits_keeps_out_of_normal_use_and_acts_in_time() -> None:
    for exercise in drawn("which-fuse-fits"):
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
    for exercise in drawn("fuse-repair-in-order"):
        assert isinstance(exercise.answer, Order)
        plug, cool, prove, _cure, fit, test, watch = exercise.answer.value
        assert plug.startswith("pull the plug")
        assert "cool" in cool
        assert (prove, fit[:10]) == ("prove dead", "fit a fuse")
        assert test.endswith("test earth continuity and insulation")
        assert watch.startswith("plug it in")
        slips = {slip.name for slip in exercise.slips}
        assert {"plugged-in-untested", "tested-before-the-fuse"} <= slips


def test_marks_in_a_text_are_those_of_the_appliance_that_is_drawn() -> None:
    seen: Counter[str] = Counter()
    for name in NAMES:
        for exercise in drawn(name):
            for part in exercise.appliance.parts if exercise.appliance else ():
                if isinstance(part, PressureSwitch):
                    said = re.findall(
                        r"at ([\d.]+) bar, and P1 has|P1 has welded; it is marked ([\d.]+) bar|"
                        r"rises to ([\d.]+) bar and no higher",
                        exercise.text,
                    )
                    marks, mark = ["".join(groups) for groups in said], part.opens_at_bar
                elif isinstance(part, ThermalFuse):
                    pattern = r"F1 (?:is marked|opens at) (\d+) °C"
                    marks, mark = re.findall(pattern, exercise.text), part.opens_at_C
                else:
                    continue
                assert all(float(said) == mark for said in marks), exercise.text
                seen[name] += len(marks)
    assert {
        "pot-after-the-fuse",
        "live-points-under-pressure",
        "welded-p1-in-order",
        "steamer-with-signs",
    } <= {name for name, count in seen.items() if count}


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
