"""What there is, and what has been done."""

from __future__ import annotations

import pytest

from lessonlib import exercise, exercise_list, my_progress
from lessonlib.errors import AnswerError
from lessonlib.exercises.bank import BANK, templates


def test_every_exercise_of_a_lesson_is_listed_and_what_was_answered_rightly_is_marked() -> None:
    first = BANK[6][0]
    task = exercise(first.name)
    task.try_answer(task.exercise.answer.written(task.exercise.answer.value))
    rows = exercise_list(6).shown_rows
    assert [row[0] for row in rows] == [template.name for template in BANK[6]]
    assert [row[0] for row in rows if row[1] == "right"] == [first.name]


def test_without_a_lesson_all_are_listed() -> None:
    assert len(exercise_list().shown_rows) == len(templates())


def test_a_lesson_without_exercises_gets_the_list_of_those_that_have_some() -> None:
    with pytest.raises(AnswerError, match="found no exercises of lesson 99"):
        exercise_list(99)


def test_progress_says_what_to_do_next_beside_its_picture() -> None:
    nothing_yet = my_progress()
    first = templates()[0]
    assert f"Begin with exercise {first.name}" in repr(nothing_yet)
    shown = nothing_yet._repr_mimebundle_()
    assert "<svg" in shown["text/html"]
    assert first.name in shown["text/html"]
    assert "not being kept" not in shown["text/html"]
    task = exercise(first.name)
    slip = task.exercise.slips[0]
    task.try_answer(task.exercise.answer.written(slip.value))
    assert slip.name.replace("-", " ") in repr(my_progress())
