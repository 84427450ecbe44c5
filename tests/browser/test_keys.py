"""One key leads through a lesson, in real JupyterLab."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from lessonlib.progress.progress import FILE_NAME, Progress
from tests.browser.lab import Lesson, Text
from tests.browser.test_exercises import PREDICT, SETUP, SHOW, drawn_without_the_focus, wait_for
from tests.questions.every_kind import CASES

pytestmark = pytest.mark.browser

SELECTED = "number => document.querySelectorAll('.jp-Notebook .jp-Cell')[number] === " + (
    "document.activeElement"
)
AT_THE_PICTURE = """number => {
    const picture = document.activeElement.closest('.hcp');
    const cell = document.querySelectorAll('.jp-Notebook .jp-Cell')[number];
    const above = document.querySelector('.jp-Toolbar').getBoundingClientRect().bottom;
    return picture && cell.contains(picture) && picture.getBoundingClientRect().top >= above - 1;
}"""
IN_THE_ANSWER = """number => document.querySelectorAll('.jp-Notebook .jp-Cell')[number]
    .contains(document.activeElement.closest('.hcq-answer'))
    && document.activeElement.closest('.hcq-answer') !== null"""


def on(lesson: Lesson) -> None:
    lesson.page.keyboard.press("Shift+Enter")


def selected(lesson: Lesson, number: int) -> None:
    """Wait until this cell, counted from 0, is the selected one, and has the focus itself."""
    lesson.page.wait_for_function(SELECTED, arg=number)


def answering(lesson: Lesson, number: int) -> None:
    """Wait until the focus is in the answer of the question that this cell shows."""
    lesson.page.wait_for_function(IN_THE_ANSWER, arg=number)


def begin(lesson: Lesson, name: str, *cells: str) -> None:
    """A notebook of these cells, with its first one run and the second one selected."""
    lesson.write(name, *cells)
    lesson.open(name)
    lesson.page.locator(".jp-Cell").first.locator(".jp-InputPrompt").click()
    on(lesson)
    selected(lesson, 1)
    lesson.idle()


def cells_of(lesson: Lesson) -> list[dict[str, Any]]:
    lesson.save()
    cells = json.loads(lesson.file.read_text("utf-8"))["cells"]
    return [cell | {"source": "".join(cell["source"])} for cell in cells]


def test_shift_enter_alone_leads_through_every_kind_of_question_and_the_cursor_is_in_its_answer(
    lesson: Lesson, checkout: Path
) -> None:
    before = len(Progress(lesson.folder / FILE_NAME).tries())  # other tests have tried things here
    cells: list[str] = [SETUP.format(str(checkout))]
    for kind in CASES:
        cells += [Text("Read this first."), SHOW.format(kind)]
    cells += [PREDICT, Text("The end.")]
    begin(lesson, "on.ipynb", *cells)
    for number in range(1, len(cells) - 1):
        selected(lesson, number)
        on(lesson)
        if not isinstance(cells[number], Text):
            answering(lesson, number)
            on(lesson)
    selected(lesson, len(cells) - 1)
    after = cells_of(lesson)
    assert [cell["source"] for cell in after] == cells
    counts = [cell["execution_count"] for cell in after if cell["cell_type"] == "code"]
    assert counts == list(range(1, len(counts) + 1))  # each was run once
    on(lesson)
    assert len(Progress(lesson.folder / FILE_NAME).tries()) == before


def test_what_is_typed_after_shift_enter_goes_into_the_blank_and_next_leads_on(
    lesson: Lesson, checkout: Path
) -> None:
    cells = SETUP.format(str(checkout)), SHOW.format("number"), Text("And then?"), Text("On.")
    begin(lesson, "typed.ipynb", *cells)
    on(lesson)
    answering(lesson, 1)
    keyboard, form = lesson.page.keyboard, lesson.page.locator("form.hcq")
    keyboard.type("1200 100 ohm")  # all of them keys that the notebook has a use for
    box = form.get_by_role("textbox")
    assert box.input_value() == "1200 100 ohm"
    assert not form.get_by_role("button", name="Next").is_visible()
    box.fill("0.1 kW")
    keyboard.press("Escape")
    selected(lesson, 1)
    box.focus()
    keyboard.press("Enter")
    wait_for(form, "Right: 0.1 kW")
    form.get_by_role("button", name="Next").click()
    selected(lesson, 2)
    assert [cell["cell_type"] for cell in cells_of(lesson)] == ["code", "code", *["markdown"] * 2]
    # run once more: a question takes no focus from a person who has gone on
    lesson.page.locator(".jp-Cell").nth(1).locator(".jp-InputPrompt").click()
    on(lesson)
    on(lesson)
    drawn_without_the_focus(lesson)
    selected(lesson, 3)


def test_a_live_picture_stays_in_view_once_run_and_shift_enter_leaves_it_as_it_is(
    lesson: Lesson,
) -> None:
    panels = "from lessonlib import *\nrail = load_appliance('towel-rail')", "panel(rail)"
    begin(lesson, "picture.ipynb", *panels, "heating_panel(load_appliance('garment-steamer'))", "1")
    for number in (1, 2):
        on(lesson)
        lesson.page.wait_for_function(AT_THE_PICTURE, arg=number)
        on(lesson)
        selected(lesson, number + 1)
        cell = lesson.page.locator(".jp-Cell").nth(number)
        switch = cell.locator('.hc-contact [role="button"]').first
        switch.wait_for()
        label = switch.get_attribute("aria-label")
        for inside in (switch, cell.locator("button:visible, input:visible").first):
            inside.focus()
            on(lesson)
            selected(lesson, number + 1)
        assert switch.get_attribute("aria-label") == label
        switch.focus()
        lesson.page.keyboard.press("Escape")
        selected(lesson, number)
        lesson.page.locator(".jp-Cell").nth(number + 1).focus()
    counts = [cell["execution_count"] for cell in cells_of(lesson)]
    assert counts == [1, 2, 3, None]
