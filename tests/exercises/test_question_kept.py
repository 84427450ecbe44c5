"""What was predicted and tried is kept, and a prediction comes back when its cell is run again."""

from __future__ import annotations

from pathlib import Path

import pytest

from lessonlib import check, predict, recall
from lessonlib.exercises.progress import PLACE, progress_here
from lessonlib.exercises.question import FROM_BEFORE, Check, Prediction

OPTIONS = {
    "a half": "Power follows the voltage.",
    "a quarter": "Voltage and current both halve.",
}


def half_voltage() -> Prediction:
    return predict("half-voltage", "What is left at half the voltage?", OPTIONS)


def restart() -> None:
    """Forget all that a kernel forgets when it is started again."""
    progress_here.cache_clear()


@pytest.fixture
def kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A trainee's place for progress, as against a checkout, where there is none."""
    place = tmp_path / "progress.sqlite"
    monkeypatch.setenv(PLACE, str(place))
    restart()
    return place


@pytest.mark.usefixtures("kept")
def test_a_prediction_comes_back_after_a_restart_and_can_be_recalled() -> None:
    half_voltage().choose("a half")
    restart()
    again = half_voltage()
    assert again.choice == "a half"
    assert recall(again).splitlines()[0] == (
        "You said: a half. The thought behind it: Power follows the voltage."
    )


@pytest.mark.usefixtures("kept")
def test_a_prediction_from_before_is_shown_as_chosen_and_says_so() -> None:
    half_voltage().choose("a quarter")
    restart()
    again = half_voltage()
    again._repr_mimebundle_()
    assert again._view is not None
    assert (again._view.chosen, again._view.feedback) == (1, FROM_BEFORE)
    assert f"a quarter: {FROM_BEFORE}" in repr(again).splitlines()


@pytest.mark.usefixtures("kept")
def test_a_new_choice_takes_the_place_of_the_earlier_one() -> None:
    half_voltage().choose("a half")
    restart()
    again = half_voltage()
    again._repr_mimebundle_()
    assert again._view is not None
    said = again.choose("a quarter")
    assert again._view.feedback == said
    assert FROM_BEFORE not in repr(again)
    restart()
    assert half_voltage().choice == "a quarter"


@pytest.mark.usefixtures("kept")
def test_a_choice_in_the_widget_is_kept_as_well() -> None:
    first = half_voltage()
    first._repr_mimebundle_()
    assert first._view is not None
    first._view.set_state({"chosen": 0, "asked": 1})
    restart()
    assert half_voltage().choice == "a half"


@pytest.mark.usefixtures("kept")
def test_an_earlier_choice_that_is_no_longer_offered_is_forgotten() -> None:
    half_voltage().choose("a half")
    restart()
    other = predict("half-voltage", "What is left?", {"a third": "x", "nothing": "y"})
    assert other.choice is None
    assert other.note == ""


@pytest.mark.usefixtures("kept")
def test_another_prediction_is_not_touched() -> None:
    half_voltage().choose("a half")
    assert predict("low-mains", "What is left?", OPTIONS).choice is None


def test_in_a_checkout_nothing_is_kept_beyond_the_process() -> None:
    half_voltage().choose("a half")
    assert progress_here().path is None
    restart()
    fresh = half_voltage()
    assert fresh.choice is None
    assert FROM_BEFORE not in repr(fresh)


def test_progress_that_cannot_be_kept_is_said_beside_the_reply(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(PLACE, str(tmp_path))  # a folder, where a file should be
    restart()
    prediction, question = half_voltage(), power()
    for asked in (prediction, question):
        asked._repr_mimebundle_()
    assert prediction._view is not None
    assert question._view is not None
    prediction._view.set_state({"chosen": 0, "asked": 1})
    question._view.set_state({"typed": "200 W", "asked": 1})
    for view, said in (
        (prediction._view, "Noted: a half."),
        (question._view, "Not right yet. I read 200 W."),
    ):
        assert view.feedback.startswith(said)
        assert "Your progress is not being kept." in view.feedback
    assert prediction.choice == "a half"


def power() -> Check:
    return check("power", "What is left?", 100, "W", slips={200: "Half."}, worked="100 W.")


def test_every_answer_to_a_check_is_recorded_as_it_was_judged() -> None:
    question = power()
    for answer in ("200 W", "tenth", "100 W"):
        question.try_answer(answer)
    assert [(t.exercise, t.seed, t.verdict, t.answer) for t in progress_here().tries()] == [
        ("power", 0, "wrong", "200 W"),
        ("power", 0, "unread", "tenth"),
        ("power", 0, "right", "100 W"),
    ]


def test_an_answer_given_after_the_worked_one_was_shown_is_marked_as_such() -> None:
    question = power()
    for _ in range(3):
        question.worked_answer()  # refused before the third try, so nothing is shown
        question.try_answer("30 W")
    assert not any(one.worked_shown for one in progress_here().tries())
    question.worked_answer()
    question.try_answer("100 W")
    assert progress_here().tries()[-1].worked_shown


def test_a_megabyte_as_an_answer_is_kept_short_and_answered_in_words() -> None:
    said = power().try_answer("9" * 1_000_000)
    assert "1000000 characters" in said.replace(",", "")
    assert len(progress_here().tries()[-1].answer) <= 200
