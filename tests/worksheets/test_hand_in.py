"""The button that hands in: one file, with all that marking needs, whatever the kind of answer."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from lessonlib import exercise, hand_in, mark_worksheet, set_worksheet
from lessonlib.progress.progress import progress_here
from lessonlib.questions.bank import templates
from lessonlib.worksheets.hand_in import NONE_YET
from lessonlib.worksheets.setting import HANDED_IN


def test_what_is_handed_in_is_marked_right_for_every_kind_of_answer(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    of_kind = {each.draw(77).answer.kind: each.name for each in templates()}
    names = list(of_kind.values())
    assert len(names) >= 7
    of = set_worksheet(names, ["Ada Long"], tmp_path / "class", seed=77)
    (one,) = of.trainees
    monkeypatch.chdir(of.folder / HANDED_IN)
    button = hand_in(of.worksheet.code, one.key, one.numbers)
    assert button.write() == NONE_YET
    for name in names:
        task = exercise(name, seed=one.numbers)
        task.try_answer("nonsense")
        task.try_answer(task.exercise.answer.written(task.exercise.answer.value))
    assert button.write().startswith(f"Written: answers Ada Long {of.worksheet.code}.json")
    marks = mark_worksheet(of.folder)
    assert [each.outcome for each in marks.sheets[0].results] == ["right"] * len(names)
    assert marks.accounts[0].said == "marked, for Ada Long"


def test_answers_with_other_numbers_are_practice_and_stay_at_home(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    exercise("urn-on-low-mains", seed=991).try_answer("1 A")
    exercise("urn-on-low-mains", seed=992).try_answer("2 A")
    hand_in("12345678", "Ada", 992).write()
    (file,) = tmp_path.glob("*.json")
    assert [one["answer"] for one in json.loads(file.read_text("utf-8"))["tries"]] == ["2 A"]
    assert progress_here().tries("urn-on-low-mains")


def test_a_folder_that_cannot_be_written_to_says_what_to_do(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    exercise("urn-on-low-mains", seed=993).try_answer("1 A")
    (tmp_path / "answers Ada 12345678.json").mkdir()
    assert "cannot be written" in hand_in("12345678", "Ada", 993).write()
