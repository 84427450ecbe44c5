"""What is recorded of a trainee, what it adds up to, and where it is kept."""

import os
import re

import pytest

from lessonlib.progress.progress import Progress, progress_here
from lessonlib.progress.records import Predicted
from tests.progress.conftest import record_try

KNOWN = {"ohm": 2, "series": 3, "parallel": 3, "settings": 4}


@pytest.fixture(params=["in memory", "in a file"])
def progress(request, tmp_path):
    return Progress(tmp_path / "progress.jsonl" if request.param == "in a file" else None)


def wrong(progress, exercise, lesson, seed=1, slip=None):
    about = {"lesson": lesson, "objective": exercise, "slip": slip}
    record_try(progress, exercise, seed, verdict="wrong", answer="1 W", **about)


def right(progress, exercise, lesson, seed=1, worked_shown=False):
    about = {"lesson": lesson, "objective": f"find {exercise}", "worked_shown": worked_shown}
    record_try(progress, exercise, seed, verdict="right", answer="2 W", **about)


# recording


def test_tries_come_back_in_order_as_recorded_with_their_time_in_utc(progress):
    details = {"slip": "halves", "answer": "5 A", "lesson": 2, "objective": "use the law"}
    record_try(progress, "ohm", 7, verdict="wrong", **details)
    for number, exercise in enumerate(["series", "ohm"]):
        wrong(progress, exercise, 2, seed=number)
    assert [each.seed for each in progress.tries("ohm")] == [7, 1]
    one, *_ = progress.tries()
    expected = {"exercise": "ohm", "seed": 7, "verdict": "wrong", "worked_shown": False, **details}
    assert {name: value for name, value in vars(one).items() if name in expected} == expected
    assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", one.at_utc)


def test_of_a_prediction_the_last_choice_counts_and_all_are_kept(progress):
    assert progress.prediction("first") is None
    for choice in ("a half", "a quarter"):
        progress.record(Predicted("first", choice))
    progress.record(Predicted("second", "nothing"))
    assert progress.prediction("first").choice == "a quarter"
    assert [each.choice for each in progress.records()] == ["a half", "a quarter", "nothing"]


@pytest.mark.parametrize(
    "typed", ["", "5\x00A", "\ud800", "🔥" * 9000, '{"key": "', "a\nb\r\tc\x1b[0m"]
)
def test_any_text_can_be_recorded_and_is_kept_to_8000_characters(progress, typed):
    record_try(progress, "ohm", 1, verdict="unread", answer=typed, lesson=2)
    (one,) = progress.tries()
    assert len(one.answer) == min(len(typed), 8000)
    assert one.answer[:7999] == typed[:7999].replace("\ud800", "?")
    assert progress.note == ""


# the trainee's seed, and the numbers at hand


def test_each_folder_has_a_seed_of_its_own_that_stays(tmp_path):
    paths = [tmp_path / f"{number}.jsonl" for number in range(8)]
    seeds = [Progress(path).trainee_seed for path in paths]
    assert [Progress(path).trainee_seed for path in paths] == seeds
    assert len(set(seeds)) > 1  # eight equal draws of 900 000 would be a wonder
    assert all(100_000 <= seed < 1_000_000 for seed in seeds)
    assert Progress().trainee_seed == 1  # in memory, so that lessons look the same


def test_the_numbers_at_hand_are_those_tried_or_taken_up_last(progress):
    assert progress.seed_at_hand("ohm") == progress.trainee_seed
    wrong(progress, "ohm", 2, seed=7)
    wrong(progress, "series", 3, seed=8)
    assert progress.seed_at_hand("ohm") == 7
    progress.take_up("ohm", 9)
    assert progress.seed_at_hand("ohm") == 9
    wrong(progress, "ohm", 2, seed=7)
    assert progress.seed_at_hand("ohm") == 7
    assert progress.path is None or Progress(progress.path).seed_at_hand("ohm") == 7


# what it adds up to


def test_a_summary_tells_by_lesson_what_is_tried_right_and_met(progress):
    for exercise, slip in (("series", "adds-up"), ("series", "adds-up"), ("parallel", "halves")):
        wrong(progress, exercise, 3, slip=slip)
    right(progress, "series", 3)
    right(progress, "ohm", 2)
    record_try(progress, "lamp", 1, verdict="unread", answer="?", lesson=4)  # kept, and no try
    assert len(progress.tries()) == 6
    second, third = progress.summary().lessons
    assert (second.lesson, second.tried, second.right, second.tries) == (2, ("ohm",), ("ohm",), 1)
    assert (third.tried, third.right, third.tries) == (("series", "parallel"), ("series",), 4)
    assert third.objectives_met == ("find series",)
    assert progress.summary().slips == (("adds up", 2), ("halves", 1))
    assert repr(progress.summary()).splitlines() == [
        "2 of 3 questions right, 5 tries.",
        "Lesson 2: 1 of 1 right, 1 try, 1 objective met: find ohm.",
        "Lesson 3: 1 of 2 right, 4 tries, 1 objective met: find series.",
        "Most frequent slips: adds up (2 times); halves (1 time).",
    ]


def test_a_right_answer_after_the_worked_one_was_shown_does_not_make_it_right(progress):
    assert str(progress.summary()) == "Nothing tried yet."
    right(progress, "ohm", 2, worked_shown=True)
    assert progress.summary().lessons[0].right == ()
    right(progress, "ohm", 2, seed=2)
    assert progress.summary().lessons[0].right == ("ohm",)


# what to do next


def test_what_comes_next_is_the_next_that_is_not_right_yet(progress):
    assert progress.suggestion(KNOWN).words == "Begin with lesson 2. Its first exercise is “ohm”."
    wrong(progress, "ohm", 2, slip="halves-it")
    wrong(progress, "ohm", 2, slip="halves-it")  # typed twice, which is no slip that came back
    assert (
        progress.suggestion(KNOWN).words == "Go on with exercise “ohm” of lesson 2: not right yet."
    )
    right(progress, "ohm", 2)
    assert progress.suggestion(KNOWN).words == "Go on to lesson 3. Its first exercise is “series”."
    right(progress, "series", 3)
    assert progress.suggestion(KNOWN).words == "Next is exercise “parallel” of lesson 3."
    right(progress, "parallel", 3)
    right(progress, "settings", 4)
    assert progress.suggestion(KNOWN).words.startswith("You have every exercise right.")


def test_who_begins_in_the_middle_is_not_sent_back_before_the_lesson_is_done(progress):
    right(progress, "series", 3)
    assert progress.suggestion(KNOWN).words == "Next is exercise “parallel” of lesson 3."
    wrong(progress, "parallel", 3)
    assert (
        progress.suggestion(KNOWN).words
        == "Go on with exercise “parallel” of lesson 3: not right yet."
    )
    right(progress, "parallel", 3)
    right(progress, "settings", 4)
    assert (
        progress.suggestion(KNOWN).words == "Lesson 2 is still to do. Its first exercise is “ohm”."
    )


def test_a_slip_that_came_back_comes_first_until_the_exercise_is_right(progress):
    wrong(progress, "ohm", 2, slip="halves-it")
    right(progress, "ohm", 2)
    wrong(progress, "series", 3, slip="halves-it")
    assert progress.suggestion(KNOWN).words == (
        "Try exercise “series” of lesson 3 again, with new numbers: the slip “halves it” came back "
        "there."
    )
    right(progress, "series", 3, seed=2)
    assert progress.suggestion(KNOWN).words == "Next is exercise “parallel” of lesson 3."


# where it is kept


@pytest.fixture
def anew(monkeypatch):
    """`progress_here` as in a new process."""
    monkeypatch.delenv("HEATER_PROGRESS", raising=False)
    progress_here.cache_clear()
    yield
    progress_here.cache_clear()


@pytest.mark.usefixtures("anew")
def test_it_is_kept_in_the_folder_that_the_start_command_has_marked(tmp_path, monkeypatch):
    (tmp_path / ".heater-workbook.json").write_text("{}")
    (tmp_path / "sub").mkdir()
    monkeypatch.chdir(tmp_path / "sub")
    assert progress_here().path == tmp_path / "progress.jsonl"
    right(progress_here(), "ohm", 2)
    assert (tmp_path / "progress.jsonl").is_file()


def test_the_marking_file_is_the_one_that_the_start_command_writes():
    from lessonlib.progress.progress import _FOLDER_MARK
    from lessonlib.start.record import NAME

    assert _FOLDER_MARK == NAME


@pytest.mark.usefixtures("anew")
def test_elsewhere_nothing_is_left_behind(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    right(progress_here(), "ohm", 2)
    assert progress_here().path is None
    assert len(progress_here().tries()) == 1
    assert list(tmp_path.iterdir()) == []
    assert progress_here().note == ""


@pytest.mark.usefixtures("anew")
def test_the_environment_may_name_the_file(tmp_path, monkeypatch):
    monkeypatch.setenv("HEATER_PROGRESS", str(tmp_path / "a b?#.jsonl"))
    right(progress_here(), "ohm", 2)
    assert [each.name for each in tmp_path.iterdir() if each.name[0] != "."] == ["a b?#.jsonl"]


@pytest.mark.usefixtures("anew")
def test_looking_without_recording_makes_no_file(tmp_path, monkeypatch):
    monkeypatch.setenv("HEATER_PROGRESS", str(tmp_path / "progress.jsonl"))
    assert progress_here().summary().lessons == ()
    assert progress_here().prediction("first") is None
    assert os.listdir(tmp_path) == []


@pytest.mark.usefixtures("anew")
@pytest.mark.parametrize("named", [None, "p.jsonl"])
def test_a_current_folder_that_is_gone_leaves_it_in_memory(tmp_path, monkeypatch, named):
    gone = tmp_path / "gone"
    gone.mkdir()
    monkeypatch.chdir(gone)
    gone.rmdir()
    if named:
        monkeypatch.setenv("HEATER_PROGRESS", named)
    right(progress_here(), "ohm", 2)
    assert len(progress_here().tries()) == 1
    assert ("p.jsonl cannot be written in" in progress_here().note) == bool(named)
