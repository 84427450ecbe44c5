"""An exercise in front of a learner: tries, hints, the worked answer, new numbers, the record."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from lessonlib.errors import AnswerError
from lessonlib.progress.progress import Progress
from lessonlib.questions import task as task_module
from lessonlib.questions.answers import (
    Answer,
    CellTable,
    Choice,
    CircuitFile,
    Number,
    OneSetting,
    Order,
    Points,
)
from lessonlib.questions.bank import templates
from lessonlib.questions.draw import Draw
from lessonlib.questions.exercise import Exercise, Slip, Template
from lessonlib.questions.form import FormView
from lessonlib.questions.task import Task, exercise


@pytest.fixture(autouse=True)
def progress(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Progress]:
    """A trainee's progress of the test's own."""
    kept = Progress(tmp_path / "progress.jsonl")
    monkeypatch.setattr(task_module, "progress_here", lambda: kept)
    return kept


def make(draw: Draw) -> Exercise:
    power_W = draw.number(100, 900, 100)
    return Exercise(
        text=f"An element of {power_W:g} W, 230 V on 115 V: which power?",
        answer=Number(power_W / 4, "W"),
        slips=(
            Slip("once", power_W / 2, "power follows voltage", "It falls twice.", "Look again."),
            Slip("kept", power_W, "the marking is kept", "It is for 230 V.", "Look there."),
        ),
        hints=("What does the current do?", "Half of a half."),
        worked=(f"0.5² × {power_W:g} W = {power_W / 4:g} W",),
        appliance=draw.appliance("tea-urn", {"E1": {"power_W": power_W}}),
        setting={"S1": "on"},
    )


TEMPLATE = Template("half-voltage", 2, "same circuit", "say what it gives", make)


OFFER = "You may look at the worked answer now."


def right(task: Task) -> str:
    return task.exercise.answer.written(task.exercise.answer.value)


def test_the_same_seed_gives_the_same_numbers_and_the_next_one_others() -> None:
    assert Task(TEMPLATE, 3).exercise == Task(TEMPLATE, 3).exercise
    texts = {Task(TEMPLATE, seed).exercise.text for seed in range(40)}
    assert len(texts) == 9
    assert Task(TEMPLATE, 0).seed == Task(TEMPLATE, 7).new_numbers(0).seed == 0


def test_a_right_answer_solves_it_for_good_and_brings_the_worked_answer() -> None:
    task = Task(TEMPLATE, 1)
    reply = task.try_answer(right(task))
    assert reply.startswith("Right: ")
    assert task.exercise.worked[0] in reply
    assert (task.solved, task.tries) == (True, 1)
    said = [task.try_answer(f"{number} W") for number in (1, 2, 3, 4)]
    assert (task.solved, task.tries) == (True, 5)
    assert not any(OFFER in each for each in said)  # it has been shown
    assert task.worked_answer().splitlines()[-1] == f"Answer: {right(task)}"


def test_the_worked_answer_comes_after_the_third_try_and_is_offered_until_shown() -> None:
    task = Task(TEMPLATE, 1)
    assert task.worked_answer() == "Try it first: the worked answer comes after 3 more tries."
    assert [OFFER in task.try_answer(f"{number} W") for number in (1, 2)] == [False, False]
    assert task.worked_answer() == "Try it first: the worked answer comes after 1 more try."
    assert [OFFER in task.try_answer(f"{number} W") for number in (3, 4)] == [True, True]
    assert task.worked_answer().splitlines() == [*task.exercise.worked, f"Answer: {right(task)}"]
    assert OFFER not in task.try_answer("5 W")
    assert not task.solved


def test_an_answer_of_several_lines_begins_on_a_line_of_its_own() -> None:
    table = CellTable(("a", "b"), (("power", "W"),), ((1.0,), (2.0,)))
    task = Task(answered_by(table), 1)
    task.try_answer([["1 W"], ["2 W"]])
    assert task.worked_answer() == "Answer:\n1 W\n2 W"


def test_new_numbers_begin_anew_with_the_next_seed() -> None:
    task = Task(TEMPLATE, 1)
    task.try_answer(right(task))
    assert [task.hint(), task.hint()] == [*task.exercise.hints]
    assert task.hint() == "You have seen every hint. Try with what you have."
    before = task.exercise
    assert task.new_numbers() is task
    assert (task.seed, task.tries, task.solved, task.hints_left) == (2, 0, False, 2)
    assert task.exercise == Task(TEMPLATE, 2).exercise
    assert task.new_numbers(1).exercise == before


@pytest.mark.parametrize(
    "seed",
    [2**63, -1, 2.0, float("nan"), True, "1", 10**5000],
    ids=lambda seed: repr(seed)[:9] if seed != 10**5000 else "huge",
)
def test_a_seed_that_is_none_is_refused_before_anything_is_recorded(
    progress: Progress, seed: Any
) -> None:
    task = Task(TEMPLATE, 3)
    before = task.exercise
    for ask in (lambda: exercise(templates()[0].name, seed=seed), lambda: task.new_numbers(seed)):
        with pytest.raises(AnswerError, match="Accepted: a whole number from 0 to 9223372036854"):
            ask()
    assert (task.seed, task.exercise) == (3, before)
    task.try_answer(right(task))
    assert [one.seed for one in progress.tries()] == [3]


@pytest.mark.parametrize("seed", [0, 2**63 - 1, np.int64(7)])
def test_any_whole_number_that_fits_is_a_seed_and_is_recorded_as_it_is(
    progress: Progress, seed: int
) -> None:
    task = Task(TEMPLATE, seed)
    task.try_answer(right(task))
    task.new_numbers().try_answer("1 W")
    first, second = (one.seed for one in progress.tries())
    assert first == seed
    assert second in range(2**63)
    assert progress.note == ""


def shuffled(draw: Draw) -> Exercise:
    """Two questions in all, whose options come in any order."""
    options = tuple(draw.shuffled(["a", "b", "c", "d", "e"]))
    return Exercise(draw.one_of(["One?", "Two?"]), Choice("a", options), (), ("", ""), ())


def drawn(draw: Draw) -> Exercise:
    """A question that is in the drawing alone."""
    return replace(make(draw), text="Which power?")


@pytest.mark.parametrize("what", [shuffled, drawn, make])
def test_new_numbers_never_give_the_same_question_twice_in_a_row(what: Any) -> None:
    task = Task(replace(TEMPLATE, make=what), 1)
    steps = []
    for _ in range(30):
        before, seed = task.exercise, task.seed
        task.new_numbers()
        assert (task.exercise.text, task.exercise.appliance) != (before.text, before.appliance)
        assert task.exercise == task.template.draw(task.seed)
        steps.append(task.seed - seed)
    assert min(steps) == 1
    assert max(steps) > 1  # seeds that give the same question again were passed over
    task = Task(changed(text="What?", appliance=None), 1)
    assert task.new_numbers().seed == 2  # there is but one


def test_an_exercise_comes_back_as_it_was_left(progress: Progress) -> None:
    name = templates(1)[0].name
    first = exercise(name)
    assert first.seed == progress.trainee_seed
    first.try_answer(right(first))
    second = exercise(name).new_numbers()
    assert (exercise(name).seed, exercise(name).tries) == (second.seed, 0)
    second.try_answer("no such point")
    for number in range(3):
        second.try_answer(wrong_points(second)[number])
    again = exercise(name)
    assert (again.seed, again.tries, again.solved) == (second.seed, 3, False)
    assert again.may_see_worked_answer
    solved = exercise(name, first.seed)
    assert (solved.tries, solved.solved, solved.may_see_worked_answer) == (1, True, True)
    assert displayed(solved).offered


def wrong_points(task: Task) -> list[str]:
    """Answers to a question for points that are wrong and can be read."""
    answer = task.exercise.answer
    assert isinstance(answer, Points)
    every = [", ".join(some) for some in combinations(answer.points, 2)] + list(answer.points)
    return [each for each in every if set(each.split(", ")) != answer.value]


def test_every_try_is_recorded_with_its_slip(progress: Progress) -> None:
    task = Task(TEMPLATE, 5)
    once = task.exercise.answer.written(task.exercise.slips[0].value)
    task.worked_answer()  # refused so early
    for given in ("much", once, "7 W", "8 W"):
        task.try_answer(given)
    task.worked_answer()
    task.try_answer(right(task))
    recorded = progress.tries("half-voltage")
    assert [one.verdict for one in recorded] == ["unread", "wrong", "wrong", "wrong", "right"]
    assert [one.slip for one in recorded] == [None, "once", None, None, None]
    assert [one.answer for one in recorded] == ["much", once, "7 W", "8 W", right(task)]
    assert [one.worked_shown for one in recorded] == [False, False, False, False, True]
    assert {(one.seed, one.lesson, one.objective) for one in recorded} == {
        (5, 2, "say what it gives")
    }


@pytest.mark.parametrize(
    ("given", "recorded"),
    [
        ({"S1": "on", "S2": "låg"}, '{"S1": "on", "S2": "låg"}'),
        ([["1 W"], ["2 A"]], '[["1 W"], ["2 A"]]'),
        ("x" * 5000, "x" * 200),  # not read, so no try
        (["x" * 5000], '["' + "x" * 198),
        (b"100 W", "b'100 W'"),
    ],
)
def test_whatever_is_given_is_recorded_as_text(
    progress: Progress, given: object, recorded: str
) -> None:
    Task(TEMPLATE, 5).try_answer(given)
    assert progress.tries()[0].answer == recorded


@pytest.mark.parametrize(("setting", "drawn"), [({"S1": "on"}, "on"), ({}, "off")])
def test_the_picture_is_the_appliance_in_its_setting_without_readings(
    setting: dict[str, str], drawn: str
) -> None:
    ((label, picture),) = Task(changed(setting=setting), 1).pictures()
    assert not label
    assert picture.solution.setting == {"S1": drawn}
    assert (picture.readings, picture.conditions) == (False, False)
    assert not Task(changed(appliance=None), 1).pictures()


def changed(**fields: Any) -> Template:
    return replace(TEMPLATE, make=lambda draw: replace(make(draw), **fields))


def answered_by(answer: Answer, text: str = "What?") -> Template:
    return replace(TEMPLATE, make=lambda draw: Exercise(text, answer, (), ("", ""), ()))


KETTLE = Draw("any", 1).appliance("soup-kettle")


@pytest.mark.parametrize(
    ("answer", "said"),
    [
        (Number(1.0, "W"), 'Your answer: a number with its unit, as in .try_answer("... W")'),
        (Number(1.0, ""), 'Your answer: a number, as in .try_answer("...")'),
        (Choice("a", ("a", "b")), "  1. a\n  2. b\nYour answer: an option, or its number"),
        (
            OneSetting(KETTLE, {"S1": "on", "S2": "boil"}),
            '.try_answer({"S1": "off", "S2": "simmer"})',
        ),
        (Points(frozenset(), ("L", "N", "fed")), '.try_answer("L, N")'),
        (
            CellTable(("a", "b"), (("power", "W"), ("share", "")), ((1.0, 2.0), (3.0, 4.0))),
            '.try_answer([["... W", "..."], ["... W", "..."]])',
        ),
        (
            Order(("a", "b")),
            '  A. b\n  B. a\nYour answer: the letters in your order, such as .try_answer("A, B")',
        ),
        (CircuitFile(KETTLE), '.try_answer("""...""")'),
    ],
)
def test_as_text_it_says_how_to_answer(answer: Answer, said: str) -> None:
    shown = repr(Task(answered_by(answer, "What?\nWhy?"), 1))
    assert shown.startswith("What?\nWhy?\n")
    assert said in shown


def displayed(task: Task) -> FormView:
    """The form of a task that has been shown in a notebook."""
    task._repr_mimebundle_()
    assert task._view is not None
    return task._view


def test_the_form_on_the_page_follows_tries_in_plain_code() -> None:
    task = Task(TEMPLATE, 1)
    view = displayed(task)
    task.try_answer("much")
    assert view.standing == "Not tried yet"
    for given, standing in (("1 W", "1 try"), ("2 W", "2 tries"), ("3 W", "3 tries")):
        assert not view.offered
        task.try_answer(given)
        assert view.standing == standing
    assert view.offered
    task.try_answer(right(task))
    assert (view.standing, view.solved) == ("Solved, 4 tries", True)
    assert view.offered  # the worked answer is in the other cell's reply, not on the form
