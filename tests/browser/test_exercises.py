"""Exercises and predictions in real JupyterLab: by keyboard, over reloads and restarts."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from lessonlib import exercise
from lessonlib.progress.progress import FILE_NAME, Progress
from lessonlib.questions.prediction import FROM_BEFORE
from tests.browser.lab import Lesson
from tests.browser.waiting import frames
from tests.questions.every_kind import CASES, Case

pytestmark = pytest.mark.browser

SETUP = "import sys; sys.path.insert(0, {!r})\nfrom tests.questions.every_kind import CASES"
SHOW = "CASES[{!r}].task()"
PREDICT = (
    "from lessonlib import recall\nfrom lessonlib.questions.prediction import Prediction\n"
    'options = {"a half": "It is cut.", "a quarter": "Twice."}\n'
    'half = Prediction("half", "What is left?", options, "a quarter")\nhalf'
)
IN_AN_ANSWER = "() => Boolean(document.activeElement.closest('.hcq-answer'))"
IN_THE_NOTEBOOK = ("number", "setting", "order", "file")
"""Kinds of answer that together take every key: letters, arrows, moves, lines. On a page of its own
each kind is worked through in `tests/questions`."""
KEY_NAMES = ("Tab", "Enter", "Space", "ArrowUp", "ArrowDown", "Control+a")


def in_front_of_the_first_field(lesson: Lesson, cell: Any = None) -> Any:
    """The form, with the focus so that one Tab leads to its first field."""
    form = (cell or lesson.page).locator("form:has(.hcq-standing)").first
    form.wait_for()
    form.scroll_into_view_if_needed()
    form.evaluate("node => { node.tabIndex = -1; node.focus(); }")
    return form


def type_keys(page: Any, keys: tuple[str, ...]) -> None:
    for key in keys:
        if key in KEY_NAMES:
            page.keyboard.press(key)
        else:
            page.keyboard.insert_text(key)


def wait_for(form: Any, text: str) -> None:
    form.get_by_text(text).first.wait_for()


def test_an_exercise_is_worked_through_by_keyboard_whatever_keys_it_takes(
    lesson: Lesson, checkout: Path
) -> None:
    shown = map(SHOW.format, IN_THE_NOTEBOOK)
    lesson.open_and_run("every kind.ipynb", SETUP.format(str(checkout)), *shown)
    cells = lesson.page.locator(".jp-Cell")
    count = cells.count()
    for number, kind in enumerate(IN_THE_NOTEBOOK, 1):
        presses = 2 if kind == "file" else 1
        work_through(lesson, cells.nth(number), CASES[kind], presses=presses)
    # no key has reached the notebook, where letters and arrows add, cut and change cells
    assert cells.count() == count


def work_through(lesson: Lesson, cell: Any, case: Case, *, presses: int) -> None:
    """Three wrong answers, hints, the worked answer, and new numbers, after so many presses."""
    page = lesson.page
    cell.scroll_into_view_if_needed()
    form = in_front_of_the_first_field(lesson, cell)
    type_keys(page, case.keys)
    wait_for(form, "This is what you get when this is thought.")
    check = form.get_by_role("button", name="Check")
    for standing in ("2 tries", "3 tries"):
        check.focus()
        page.keyboard.press("Enter")
        wait_for(form, standing)
    type_keys(page, ("Tab", "Enter"))
    wait_for(form, "First hint: Look at the supply.")
    type_keys(page, ("Tab", "Tab", "Enter"))  # past new numbers, to the worked answer
    wait_for(form, "Another line.")
    text = form.locator(".hcq-text").inner_text()
    for _ in range(presses):
        form.get_by_role("button", name="New numbers").focus()
        page.keyboard.press("Enter")
    wait_for(form, "Your tries start again.")
    assert form.locator(".hcq-text").inner_text() != text
    wait_for(form, "Not tried yet")
    tries = Progress(lesson.folder / FILE_NAME).tries(case.template.name)
    assert [(one.verdict, one.slip) for one in tries] == [("wrong", "known")] * 3


def drawn_without_the_focus(lesson: Lesson) -> None:
    lesson.page.locator("form.hcq").first.wait_for()
    frames(lesson.page, 70)
    assert not lesson.page.evaluate(IN_AN_ANSWER)


def test_what_is_typed_outlives_a_reload_and_a_prediction_a_restart_and_none_takes_the_focus(
    lesson: Lesson, checkout: Path
) -> None:
    """None takes the focus when all cells are run, or the notebook is opened."""
    cells = SETUP.format(str(checkout)), SHOW.format("number"), PREDICT, "recall(half)"
    lesson.open_and_run("kept.ipynb", *cells)
    drawn_without_the_focus(lesson)
    page = lesson.page
    predicted = page.locator("form.hcq").nth(1)
    predicted.get_by_label("a half").check()
    wait_for(predicted, "Noted: a half.")
    in_front_of_the_first_field(lesson)
    type_keys(page, ("Tab", "0.1"))
    lesson.save_with('"0.1"')

    page.reload()
    drawn_without_the_focus(lesson)
    form = in_front_of_the_first_field(lesson)
    box = form.get_by_role("textbox")
    assert box.input_value() == "0.1"
    type_keys(page, ("Tab", "Control+a", "200 W", "Enter"))
    wait_for(form, "1 try")

    lesson.menu("Kernel", "Restart Kernel and Run All Cells")
    page.locator(".jp-Dialog .jp-mod-accept").click()
    predicted = page.locator("form.hcq").nth(1)
    wait_for(predicted, FROM_BEFORE)
    assert predicted.get_by_label("a half").is_checked()
    recalled = page.locator("form.hcq").nth(2)
    recalled.get_by_role("radio", name="a half", checked=True).wait_for()
    recalled.get_by_role("button", name="Show how it turned out").click()
    wait_for(recalled, "You said: a half. The thought behind it: It is cut.")


def test_a_reply_about_the_live_picture_opens_it_and_it_is_there_the_next_day(
    lesson: Lesson,
) -> None:
    cell = 'exercise("urn-on-low-mains", seed=7)'
    asked = exercise("urn-on-low-mains", seed=7).exercise
    slip = next(each for each in asked.slips if "live picture" in each.attempt)
    lesson.open_and_run("live.ipynb", f"from lessonlib import exercise\n{cell}")
    page, form = lesson.page, lesson.page.locator("form.hcq")
    opens = form.get_by_role("button", name="Show the live picture")
    form.get_by_role("textbox").fill("1 kA")
    page.keyboard.press("Enter")
    wait_for(form, "Not right yet.")
    assert not opens.is_visible()
    form.get_by_role("textbox").fill(asked.answer.written(slip.value))
    page.keyboard.press("Enter")
    opens.focus()
    page.keyboard.press("Enter")
    page.locator(".hcq-live .hcp").wait_for()
    page.keyboard.press("Tab")
    switch = page.locator(".hcq-live .hcp .hc-hit:focus")
    switch.wait_for()
    was = switch.get_attribute("aria-label")
    page.keyboard.press("Enter")
    assert switch.get_attribute("aria-label") != was
    assert not opens.is_visible()
    with page.expect_response(lambda said: said.request.method == "PUT" and "live" in said.url):
        page.keyboard.press("Control+s")  # in a picture, too
    lesson.next_day()
    page.locator(".hcq-live .hcp .hc-hit").first.wait_for()
    assert not opens.is_visible()
