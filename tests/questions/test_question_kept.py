"""What was predicted is kept, and comes back when its cell is run again."""

from __future__ import annotations

from pathlib import Path

import pytest

from lessonlib import recall
from lessonlib.progress.progress import PLACE, progress_here
from lessonlib.questions.question import FROM_BEFORE, Prediction
from lessonlib.questions.view import QuestionView

OPTIONS = {
    "a half": "Power follows the voltage.",
    "a quarter": "Voltage and current both halve.",
}


def half_voltage() -> Prediction:
    return Prediction("half-voltage", "What is left at half the voltage?", OPTIONS)


def restart() -> None:
    """Forget all that a kernel forgets when it is started again."""
    progress_here.cache_clear()


def view_of(prediction: Prediction) -> QuestionView:
    prediction._repr_mimebundle_()
    assert prediction._view is not None
    return prediction._view


@pytest.fixture
def kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A trainee's place for progress, as against a checkout, where there is none."""
    place = tmp_path / "progress.sqlite"
    monkeypatch.setenv(PLACE, str(place))
    restart()
    return place


@pytest.mark.usefixtures("kept")
@pytest.mark.parametrize("in_the_widget", [True, False])
def test_a_prediction_comes_back_after_a_restart_says_so_and_can_be_recalled(
    in_the_widget: bool,
) -> None:
    first = half_voltage()
    if in_the_widget:
        view_of(first).set_state({"given": "a half", "asked": 1})
    else:
        first.choose("a half")
    restart()
    again = half_voltage()
    assert again.choice == "a half"
    assert (view_of(again).given, view_of(again).feedback) == ("a half", FROM_BEFORE)
    assert f"a half: {FROM_BEFORE}" in repr(again).splitlines()
    assert recall(again).splitlines()[0] == (
        "You said: a half. The thought behind it: Power follows the voltage."
    )
    assert Prediction("low-mains", "What is left?", OPTIONS).choice is None


@pytest.mark.usefixtures("kept")
def test_a_new_choice_takes_the_place_of_the_earlier_one() -> None:
    half_voltage().choose("a half")
    restart()
    again = half_voltage()
    view = view_of(again)
    said = again.choose("a quarter")
    assert view.feedback == said
    assert FROM_BEFORE not in repr(again)
    restart()
    assert half_voltage().choice == "a quarter"


@pytest.mark.usefixtures("kept")
def test_an_earlier_choice_that_is_no_longer_offered_is_forgotten() -> None:
    half_voltage().choose("a half")
    restart()
    other = Prediction("half-voltage", "What is left?", {"a third": "x", "nothing": "y"})
    assert other.choice is None
    assert other.note == ""


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
    prediction = half_voltage()
    view = view_of(prediction)
    view.set_state({"given": "a half", "asked": 1})
    assert view.feedback.startswith("Noted: a half.")
    assert "Your progress is not being kept." in view.feedback
    assert prediction.choice == "a half"
