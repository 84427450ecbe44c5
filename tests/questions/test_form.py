"""The form of an exercise from Python's side: what the browser gets, and what its presses do."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from ipywidgets.widgets.widget import _instances

from lessonlib import exercise
from lessonlib.panels.heating import HeatingPanel
from lessonlib.panels.widget import LivePicture
from lessonlib.progress.progress import PLACE, progress_here
from lessonlib.questions.form import CHANGED_MEANWHILE, NOTHING_YET, FormView
from lessonlib.questions.task import Task
from tests.questions.every_kind import CASES, Case

every_kind = pytest.mark.parametrize("case", CASES.values(), ids=CASES.keys())


def shown(case: Case) -> tuple[Task, FormView]:
    task = case.task()
    return task, FormView(task)


def press(view: FormView, name: str, **filled_in: Any) -> None:
    """What the browser sends when a button is pressed."""
    view.set_state({**filled_in, name: getattr(view, name) + 1})


@every_kind
def test_the_browser_gets_the_question_and_not_its_answer(case: Case) -> None:
    task, view = shown(case)
    state = view.get_state(["text", "form", "seed_words", "standing"])
    assert state["text"] == task.exercise.text
    assert state["form"]["kind"] == task.exercise.answer.kind
    assert (state["seed_words"], state["standing"]) == ("numbers of set 1", "Not tried yet")
    hidden = {**view.get_state(), "_esm": "", "_css": ""}
    for secret in (*task.exercise.hints, *task.exercise.worked):
        assert secret not in json.dumps(hidden, default=str)


def test_what_was_typed_is_not_sent_back_where_it_would_undo_what_was_typed_since(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    _, view = shown(CASES["number"])
    sent: list[Any] = []
    monkeypatch.setattr(view, "_send", lambda message, buffers=None: sent.append(message))
    view.set_state({"given": "20"})
    assert view.given == "20"
    assert sent == []


@every_kind
def test_a_wrong_answer_then_a_right_one_get_their_replies_and_are_recorded(case: Case) -> None:
    _, view = shown(case)
    press(view, "asked", given=case.wrong)
    assert "This is what you get when this is thought." in view.feedback
    assert (view.standing, view.solved, view.heard) == ("1 try", False, 1)
    press(view, "asked", given=case.right)
    assert view.feedback.startswith("Right: ")
    assert "Another line." in view.feedback
    assert (view.standing, view.solved, view.offered) == ("Solved, 2 tries", True, False)
    assert [(one.verdict, one.slip) for one in progress_here().tries()] == [
        ("wrong", "known"),
        ("right", None),
    ]


def test_the_reply_comes_with_its_verdict_and_the_answer_that_it_is_about() -> None:
    _, view = shown(CASES["number"])
    for given, verdict in (("much", "unread"), ("200 W", "wrong"), ("100 W", "right")):
        press(view, "asked", given=given)
        assert (view.verdict, view.answered) == (verdict, given)
    press(view, "hint_wanted")
    assert view.verdict == "right"
    press(view, "new_wanted")
    assert view.verdict == ""


@every_kind
def test_nothing_filled_in_is_no_try(case: Case) -> None:
    task, view = shown(case)
    press(view, "asked")
    assert (view.feedback, task.tries) == (NOTHING_YET, 0)
    assert progress_here().tries() == ()


def test_a_reply_that_is_about_the_live_picture_offers_it_until_the_numbers_change() -> None:
    task = exercise("urn-on-low-mains", seed=7)
    view = FormView(task)
    slip = next(each for each in task.exercise.slips if "live picture" in each.attempt)
    press(view, "asked", given="1 kA")
    assert not view.live_offered
    press(view, "asked", given=task.exercise.answer.written(slip.value))
    assert (view.live_offered, view.live) == (True, "")
    press(view, "live_wanted")
    shown_now = _instances[view.live.removeprefix("IPY_MODEL_")]
    assert isinstance(shown_now, LivePicture)
    assert shown_now.table["title"] == task.exercise.appliance.title
    press(view, "new_wanted")
    assert (view.live_offered, view.live) == (False, "")


def test_the_live_picture_of_an_exercise_about_heating_heats_and_no_drawing_means_none() -> None:
    assert isinstance(exercise("steamer-standing-ready", seed=1).live_picture(), HeatingPanel)
    assert exercise("closing-pressure", seed=1).live_picture() is None


def test_new_numbers_begin_anew_and_a_check_has_none() -> None:
    check = FormView(Task(replace(CASES["number"].template, grade="check"), 0))
    assert (check.draws, check.seed_words) == (False, "")
    task, view = shown(CASES["number"])
    first = view.text
    assert view.draft == "heater exercise test-number/1"
    for wrong in ("1 W", "2 W", "3 W"):
        press(view, "asked", given=wrong)
    press(view, "hint_wanted")
    press(view, "wanted")
    press(view, "new_wanted")
    assert task.seed == 2
    assert view.text == task.exercise.text != first
    assert view.draft == "heater exercise test-number/2"  # the browser keeps the answer under it
    assert view.feedback == "New numbers: set 2. Your tries start again."
    assert (view.standing, view.seed_words) == ("Not tried yet", "numbers of set 2")
    assert (view.given, view.hints, view.worked, view.offered) == (None, [], "", False)


@pytest.mark.parametrize(
    ("given", "standing"),
    [("much", "Not tried yet"), ("1 W", "Tried before"), ("100 W", "Solved before")],
)
def test_what_was_done_on_another_day_with_the_same_numbers_is_said(
    given: str, standing: str
) -> None:
    case = CASES["number"]
    case.task(1).try_answer(given)
    assert FormView(case.task(1)).standing == standing
    assert FormView(case.task(2)).standing == "Not tried yet"


def test_wirings_are_drawn_each_under_its_label_and_one_alone_without() -> None:
    task = exercise("change-that-made-off-worse", seed=1)
    view = FormView(task)
    assert [label for label, _ in task.pictures()] == ["A", "B", "C", "D"]
    assert view.picture.count("<svg") == 4
    assert "<strong>D</strong>" in view.picture
    task, view = shown(CASES["number"])
    ((_, picture),) = task.pictures()
    assert picture.svg in view.picture
    assert shown(CASES["choice"])[1].picture == ""  # it has no drawing


def test_hints_and_numbers_from_plain_code_show_at_once_and_when_the_cell_is_shown_again() -> None:
    task = CASES["number"].task()
    bundle = task._repr_mimebundle_()
    view = task._view
    assert view is not None
    view.set_state({"given": "0.1 k"})
    assert task._repr_mimebundle_() == bundle  # the same widget
    assert (bundle["text/plain"], view.given) == (repr(task), "0.1 k")
    task.hint()
    assert (view.hints, view.hints_left) == ([task.exercise.hints[0]], 1)
    task.new_numbers(7)
    assert (view.text, view.seed_words) == (task.exercise.text, "numbers of set 7")
    assert view.hints == []
    task.exercise = task.template.draw(9)
    task.seed = 9
    task._repr_mimebundle_()
    assert (view.text, view.seed_words) == (task.exercise.text, "numbers of set 9")


def test_an_answer_to_numbers_that_are_gone_is_not_held_against_the_new_ones() -> None:
    task, view = shown(CASES["number"])
    # changed behind the form's back, as when two pages show the same task
    task._view = None
    task.new_numbers(7)
    press(view, "asked", given="100 W")
    assert (task.tries, view.feedback, view.given) == (0, CHANGED_MEANWHILE, None)
    assert view.text == task.exercise.text


def test_progress_that_cannot_be_kept_is_said_beside_the_reply(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(PLACE, str(tmp_path))  # a folder, where a file should be
    progress_here.cache_clear()
    _, view = shown(CASES["number"])
    press(view, "asked", given="200 W")
    first, *_, last = view.feedback.splitlines()
    assert first.startswith("Not right yet. I read 200 W.")
    assert last.startswith("Your progress is not being kept.")
