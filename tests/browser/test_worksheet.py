"""A worksheet in real JupyterLab: opened from the first page, answered, handed in, marked."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from lessonlib import mark_worksheet
from lessonlib.worksheets.setting import HANDED_IN, HANDED_OUT
from tests.browser.lab import RUN_MS, Lesson
from tests.worksheets.a_class import EXERCISES, a_class, right, slip

pytestmark = pytest.mark.browser


def test_a_worksheet_is_answered_handed_in_and_marked(lesson: Lesson, tmp_path: Path) -> None:
    of = a_class(tmp_path / "class", ["Ada Long"])
    (ada,) = of.trainees
    name = f"{ada.file}.ipynb"
    shutil.copy(of.folder / HANDED_OUT / name, lesson.folder / name)
    lesson.open(name)
    assert lesson.run_all() == []
    page, first = lesson.page, EXERCISES[0]
    page.get_by_role("button", name="Hand in").click()
    page.get_by_text("Nothing to hand in yet").wait_for(timeout=RUN_MS)
    form = page.locator("form.hcq").first
    for answer, reply in ((slip(first, 0, ada)[0], "Not right yet."), (right(first, ada), "Right")):
        form.get_by_role("textbox").fill(answer)
        page.keyboard.press("Enter")
        form.get_by_text(reply).first.wait_for(timeout=RUN_MS)
    hand_in = page.get_by_role("button", name="Hand in")
    hand_in.focus()
    page.keyboard.press("Enter")
    page.get_by_text(f"Written: answers Ada Long {of.worksheet.code}.json").wait_for(timeout=RUN_MS)
    lesson.save()
    (written,) = lesson.folder.glob("answers *.json")
    shutil.copy(written, of.folder / HANDED_IN / written.name)
    # the saved notebook alone says the same
    shutil.copy(lesson.file, of.folder / HANDED_IN / name)
    marks = mark_worksheet(of.folder)
    result = marks.sheets[0].results[0]
    assert (result.outcome, result.tries) == ("right", 2)
    assert result.slips == (slip(first, 0, ada)[1],)
    (of.folder / HANDED_IN / written.name).unlink()
    assert mark_worksheet(of.folder).sheets[0].results[0].outcome == "right"
