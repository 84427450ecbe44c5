"""Every exercise of the bank: what holds for all that it can draw.

An exercise with up to 24 variants is held to it in each of them, one with more in 24 that are
spread over what it can draw (`variants`).
"""

from __future__ import annotations

import json
import math
import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from lessonlib.appliance.bundled import workbook_folder
from lessonlib.appliance.settings import complete
from lessonlib.errors import AnswerError
from lessonlib.questions.answers import (
    Answer,
    CellTable,
    Choice,
    Number,
    OneSetting,
    Order,
    Points,
)
from lessonlib.questions.bank import find, find_check, templates
from lessonlib.questions.content import read_entries
from lessonlib.questions.exercise import GRADES, Exercise, Template
from lessonlib.questions.marking import mark, too_close
from lessonlib.questions.reading import find_unit, written
from lessonlib.schematics.schematic import schematic
from tests.questions.variants import question, variants
from tests.questions.worked import false_equations, figures, unexplained

EVERY = [
    pytest.param(template.name, id=f"lesson_{template.lesson:02}-{template.name}")
    for template in templates()
]


@pytest.fixture(scope="module", params=EVERY)
def drawn(request: pytest.FixtureRequest) -> tuple[Exercise, ...]:
    """The variants of one exercise after the other: all tests see them before the next is drawn."""
    return variants(request.param)


def as_typed(answer: Answer, value: Any) -> Iterator[object]:
    """What a learner could give for `value`, by keyboard and by form."""
    yield answer.written(value)
    match answer:
        case Number() if math.isfinite(value):
            yield answer.written(value).replace(" ", "")
            yield f"= {value:.6f} {answer.unit}"
        case Number():
            yield "open"
        case Choice():
            yield f" {answer.options.index(value) + 1} "
            yield value.upper()
        case OneSetting():
            yield dict(value)
            yield "; ".join(f"{name.lower()} = {value[name]}" for name in answer.parts)
        case Points():
            yield sorted(value) or ["none"]
            yield " and ".join(sorted(value)) or "None."
        case CellTable():
            yield [
                [written(cell, unit) for cell, (_, unit) in zip(row, answer.columns, strict=True)]
                for row in value
            ]
        case Order():
            numbers = [answer.offered.index(item) + 1 for item in value]
            yield numbers
            yield ", ".join(map(str, numbers))


FIGURE = re.compile(r"(?<![\w.,])(-?[0-9]+(?:[.,][0-9]+)?)(?:\s?([^\W\d_]+|%|°C))?")


def gives_away(answer: Answer, text: str, known: str) -> str | None:
    """The figure (or words) of the right answer in `text`, unless `known` has it anyway."""
    if not isinstance(answer, Number):
        said = answer.written(answer.value)
        return said if len(said) >= 8 and said in text and said not in known else None
    asked = find_unit(answer.unit) if answer.unit else None
    figures_known = {figure[1] for figure in FIGURE.finditer(known)}
    for figure in FIGURE.finditer(text):
        if figure[1] in figures_known:
            continue
        value = float(figure[1].replace(",", "."))
        unit = find_unit(figure[2]) if figure[2] else None
        if unit is not None and asked is not None and unit.kind == asked.kind:
            value *= unit.size / asked.size
        elif unit is not None or len(figure[1].replace(".", "").strip("0")) < 3:
            continue
        if answer.right(value):
            return figure[0]
    return None


ENDS = (".", "?", "!", ":", '."', ".)")
SPOILT = re.compile(r"\bNone\b|\bnan\b|\binf\b|[{}]|\d\.\d{6}|\d[eE][-+]\d|  |-0 |\( | \.|\.\.")


def texts(exercise: Exercise) -> Iterator[tuple[str, str]]:
    """Every text of an exercise, with what it is."""
    yield "text", exercise.text
    for number, hint in enumerate(exercise.hints, start=1):
        yield f"hint {number}", hint
    for slip in exercise.slips:
        yield f"{slip.name}: thought", slip.thought
        yield f"{slip.name}: why", slip.why
        yield f"{slip.name}: attempt", slip.attempt
    if isinstance(exercise.answer, Order):
        for pair, why in exercise.answer.reasons.items():
            yield f"reason for {pair}", why
    if isinstance(exercise.answer, Number) and exercise.answer.unsafe_because:
        yield "why not on the unsafe side", exercise.answer.unsafe_because
    for line in exercise.worked:
        yield "worked", line


def test_it_has_variants_which_accept_the_right_answer_however_given_and_can_be_drawn(
    drawn: tuple[Exercise, ...],
) -> None:
    assert len(drawn) >= 17
    choices = [one.answer for one in drawn if isinstance(one.answer, Choice)]
    places = {answer.options.index(answer.value) for answer in choices}
    assert not choices or len(places) > 1  # no fixed place for the right one
    for exercise in drawn[:3]:
        if exercise.appliance is not None:
            complete(exercise.appliance, exercise.setting)
            assert schematic(exercise.appliance, exercise.setting).svg.startswith("<svg")
    for exercise in drawn:
        for given in as_typed(exercise.answer, exercise.answer.value):
            marked = mark(exercise, given)
            assert marked.verdict == "right", f"{given!r} to {exercise.text}: {marked.reply}"


def test_each_slip_gets_its_own_reply_and_neither_reply_nor_hint_gives_the_answer_away(
    drawn: tuple[Exercise, ...],
) -> None:
    for exercise in drawn:
        answer = exercise.answer
        assert not too_close(exercise), exercise.text
        for hint in exercise.hints:
            assert gives_away(answer, hint, exercise.text) is None, hint
        assert len({slip.name for slip in exercise.slips}) == len(exercise.slips) >= 2
        if isinstance(answer, Choice):
            assert {slip.value for slip in exercise.slips} == {*answer.options} - {answer.value}
            assert not any(option.endswith((".", "?")) for option in answer.options)
        for slip in exercise.slips:
            marked = mark(exercise, answer.written(slip.value))
            told = f"{slip.name} in {exercise.text}: {marked}"
            assert (marked.verdict, marked.slip) == ("wrong", slip.name), told
            for said in (slip.thought, slip.why, slip.attempt):
                assert said in marked.reply, told
            known = f"{exercise.text} {answer.seen(slip.value)}"
            assert gives_away(answer, marked.reply, known) is None, told


def test_a_wrong_number_that_no_slip_explains_is_not_told_the_right_one(
    drawn: tuple[Exercise, ...],
) -> None:
    for exercise in drawn:
        answer = exercise.answer
        if isinstance(answer, Number) and math.isfinite(answer.value):
            for factor in (-1, 0.001, 0.61, 1.7, 1000):
                marked = mark(exercise, answer.written(answer.value * factor + 0.003))
                if marked.slip is None and marked.verdict == "wrong":
                    assert gives_away(answer, marked.reply, exercise.text) is None, (
                        exercise.text,
                        marked,
                    )


def test_a_safe_side_lets_a_slip_be_closer_on_the_other_side_alone() -> None:
    lowest = Number(140.0, "°C", tolerance=0.01, safe_side="above")
    assert lowest.apart(140.0, 138.0)
    assert not lowest.apart(140.0, 142.0)
    assert not lowest.apart(138.0, 136.0)


def test_the_worked_answer_comes_to_the_right_one_in_steps_that_are_true(
    drawn: tuple[Exercise, ...],
) -> None:
    for exercise in drawn:
        answer, worked = exercise.answer, " ".join(exercise.worked)
        assert not false_equations(exercise.worked)
        said = figures(worked)
        match answer:
            case Number() if math.isfinite(answer.value):
                assert any(answer.right(value) for value, unit in said if unit == answer.unit)
            case Number():
                assert worked.endswith("OL.")
            case CellTable():
                for row in answer.value:
                    for cell, (_, unit) in zip(row, answer.columns, strict=True):
                        one = Number(cell, unit, answer.tolerance)
                        assert (
                            not cell
                            or not unit
                            or any(one.right(value) for value, other in said if other == unit)
                        ), f"{cell} {unit}: {worked}"
            case Choice():
                assert answer.value in worked or (
                    figures(answer.value) and figures(answer.value) <= said
                ), f"{answer.value}: {worked}"
            case Points():
                assert all(re.search(rf"\b{point}\b", worked) for point in answer.value)


READ_OFF = {"lowest-mark", "smallest-first"}
"""Exercises whose worked answers have figures from a table or a rule beside them."""


@pytest.mark.parametrize("name", EVERY)
def test_other_figures_in_a_worked_answer_are_those_of_the_question(name: str) -> None:
    for exercise in variants(name):
        answer, slips = exercise.answer, exercise.slips
        known = [exercise.text, *(answer.written(slip.value) for slip in slips)]
        known += [answer.written(answer.value), *(slip.why for slip in slips)]
        known += answer.options if isinstance(answer, Choice) else ()
        found = unexplained(exercise.worked, " ".join(known))
        assert not found or name in READ_OFF, exercise.worked


def test_the_values_of_a_half_wave_are_shares_of_the_mains_that_rise() -> None:
    shares = (math.sqrt(2) / math.pi, 0.5, 0.5453, math.sqrt(0.5), 1, math.sqrt(2))
    for exercise in variants("smallest-first"):
        said = [float(line.split()[-2]) for line in exercise.worked]
        mains_V = exercise.appliance.supply.voltage_V
        found = [min(shares, key=lambda share: abs(value / mains_V - share)) for value in said]
        assert sorted(said) == said
        assert said == pytest.approx([share * mains_V for share in found], rel=0.002)


CHECKS = [
    entry.name
    for path in sorted((workbook_folder() / "questions").glob("*.md"))
    for entry in read_entries(path.read_text("utf-8"), path.name)
    if entry.kind == "check"
]


@pytest.mark.parametrize("name", CHECKS)
def test_a_check_tells_its_answer_and_its_slips_apart(name: str) -> None:
    exercise = find_check(name).draw(0)
    answer = exercise.answer
    assert mark(exercise, answer.written(answer.value)).verdict == "right"
    for slip in exercise.slips:
        marked = mark(exercise, answer.written(slip.value))
        assert (marked.verdict, marked.slip) == ("wrong", slip.name)
    assert not too_close(exercise)
    assert not false_equations(exercise.worked)
    known = " ".join([exercise.text, answer.written(answer.value), *exercise.hints])
    assert not unexplained(exercise.worked, known), exercise.worked


POINTS = [
    name.values[0] for name in EVERY if isinstance(find(name.values[0]).draw(0).answer, Points)
]


@pytest.mark.parametrize("name", POINTS)
def test_nobody_does_well_by_always_answering_none(name: str) -> None:
    answers = [find(name).draw(seed).answer for seed in range(60)]
    assert sum(not answer.value for answer in answers) <= 0.4 * len(answers)


def test_every_text_reads_well(drawn: tuple[Exercise, ...]) -> None:
    for exercise in drawn:
        assert exercise.worked
        for what, text in texts(exercise):
            told = f"{what}: {text!r}"
            assert text.strip() == text != "", told
            assert not SPOILT.search(text), told
            if what == "worked":
                continue
            if what.endswith("thought"):
                assert not text.endswith(ENDS), told
            else:
                assert text.endswith(ENDS), told
                assert not text[0].islower(), told


@pytest.mark.parametrize("name", EVERY)
def test_the_same_seed_gives_the_same_exercise(name: str) -> None:
    one, other = (find(name).draw(7) for _ in range(2))
    assert (question(one), list(texts(one))) == (question(other), list(texts(other)))
    assert one.answer.form() == other.answer.form()


@pytest.mark.parametrize("template", templates(), ids=lambda template: template.name)
def test_its_objective_is_one_that_the_lesson_states(template: Template, checkout: Path) -> None:
    (lesson,) = (checkout / "workbook").glob(f"{template.lesson:02}_*.ipynb")
    cells = json.loads(lesson.read_text("utf-8"))["cells"]
    text = "\n".join("".join(cell["source"]) for cell in cells).replace("\xa0", " ")
    stated = re.findall(r"^- (.+)$", text.partition("You can now:")[2], flags=re.MULTILINE)
    assert template.objective in stated


@pytest.mark.parametrize("lesson", sorted({template.lesson for template in templates()}))
def test_a_lesson_has_six_exercises_or_more_and_two_of_each_grade(lesson: int) -> None:
    grades = Counter(template.grade for template in templates(lesson))
    assert grades.total() >= 6
    assert all(grades[grade] >= 2 for grade in GRADES)
    assert all(template.lesson == lesson for template in templates(lesson))


def test_an_unknown_name_says_what_there_is() -> None:
    name = templates()[0].name
    said = f'found no exercise .* Did you mean "{name}".*Accepted.*{name}.*exercise_list'
    with pytest.raises(AnswerError, match=said):
        find(name + "s")


def test_kinds_of_answer_are_all_in_use() -> None:
    used = {type(template.draw(0).answer) for template in templates()}
    assert used == set(Answer.__subclasses__())
