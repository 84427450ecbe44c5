"""The start page in real JupyterLab: it shows by itself how far one is, today and the next day."""

from __future__ import annotations

from typing import Any

import pytest

from lessonlib import lesson_list
from lessonlib.progress.progress import FILE_NAME, Progress
from lessonlib.progress.records import Try
from lessonlib.questions.bank import templates
from lessonlib.start.notebook import START_PAGE
from tests.browser.lab import RUN_MS, Lesson

pytestmark = pytest.mark.browser

FIRST, SECOND = templates(7)[:2]
IN_SEVEN = "Continue where you left off: 7."
SHOWN = f"""() => [...document.querySelectorAll('.hw-start-page .jp-OutputArea-output')]
    .some((output) => output.textContent.includes({IN_SEVEN!r}))"""
ONE_LEFT_OR_ASKED = """() => document.querySelector('.jp-Dialog')
    || document.querySelectorAll('.jp-NotebookPanel').length === 1"""

OTHER_IS_IDLE = """() => {
    const shownOne = '.jp-NotebookPanel:not(.lm-mod-hidden):not(.hw-start-page)';
    const other = document.querySelector(shownOne);
    const kernel = other?.querySelector('.jp-Toolbar-kernelName')?.textContent;
    const shown = other?.querySelector('.jp-Notebook-ExecutionIndicator')?.dataset.status;
    return /Python/.test(kernel) && shown === 'idle';
}"""


def settled(lesson: Lesson) -> None:
    """Wait until the page has brought up everything, and saved it."""
    lesson.page.locator('.hw-start-page[aria-busy="false"]').wait_for(timeout=RUN_MS)
    lesson.idle()


def back(lesson: Lesson) -> None:
    """Close the page that was opened from the start page, which then is in front again; not before
    its kernel has started, as JupyterLab itself would fail at that."""
    lesson.page.wait_for_function(OTHER_IS_IDLE, timeout=RUN_MS)
    lesson.menu("File", "Close Tab")
    lesson.page.wait_for_function(ONE_LEFT_OR_ASKED, timeout=RUN_MS)
    if lesson.page.locator(".jp-Dialog").count():
        lesson.page.locator(".jp-Dialog").get_by_role("button", name="Discard").click()


def begin(lesson: Lesson) -> None:
    """Some work in lesson 7, done elsewhere."""
    Progress(lesson.folder / FILE_NAME).record(
        Try(FIRST.name, 7, FIRST.objective, 1, "wrong", None, "1", False)
    )


def button(lesson: Lesson, words: str) -> Any:
    return lesson.page.get_by_role("button", name=words, exact=True).first


def spoken(name: str) -> str:
    return name.replace("-", " ").capitalize()


def test_it_shows_by_itself_without_code_how_far_one_is_and_again_on_coming_back(
    lesson: Lesson,
) -> None:
    page = lesson.page
    lesson.open(START_PAGE, by_address=True)
    links = page.locator(".hw-start-page .jp-OutputArea-output a")
    # while the page runs its cells anew there are none for a moment
    links.nth(len(lesson_list().lessons)).wait_for(timeout=RUN_MS)
    settled(lesson)
    assert links.count() == 1 + len(lesson_list().lessons)
    assert page.locator(".jp-CodeCell .jp-Cell-inputWrapper >> visible=true").count() == 0
    # a lesson opens in a tab of its own; what was done there shows on the way back
    links.nth(1).click()
    first = page.locator(".jp-NotebookPanel:not(.lm-mod-hidden) h1", has_text="1. ")
    first.wait_for(timeout=RUN_MS)
    begin(lesson)
    back(lesson)
    page.wait_for_function(SHOWN, timeout=RUN_MS)
    settled(lesson)


def test_by_keyboard_an_exercise_opens_below_its_button_and_then_the_next(lesson: Lesson) -> None:
    page = lesson.page
    begin(lesson)
    lesson.open(START_PAGE, by_address=True)
    page.wait_for_function(SHOWN, timeout=RUN_MS)
    opening = button(lesson, spoken(FIRST.name))
    opening.wait_for(timeout=RUN_MS)
    opening.focus()
    page.keyboard.press("Enter")
    forms = page.locator("form:has(.hcq-standing)")
    forms.first.wait_for(timeout=RUN_MS)
    # the focus stays, and what opened is the next thing that it comes to
    assert page.evaluate("document.activeElement.textContent") == f"Close: {spoken(FIRST.name)}"
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.closest('form') !== null")
    button(lesson, f"Next: {spoken(SECOND.name)}").focus()
    page.keyboard.press("Enter")
    forms.nth(1).wait_for(timeout=RUN_MS)
    # an open exercise stays open when one looks at another page and comes back
    lesson.write("elsewhere.ipynb", "1")
    lesson.menu("File", "Open from Path")
    page.locator(".jp-Dialog input").fill("elsewhere.ipynb")
    page.keyboard.press("Enter")
    page.locator(".lm-TabBar-tab.lm-mod-current", has_text="elsewhere").wait_for(timeout=RUN_MS)
    back(lesson)
    forms.nth(1).wait_for(timeout=RUN_MS)
    settled(lesson)


def test_the_next_day_it_shows_the_state_of_then_without_a_question(lesson: Lesson) -> None:
    page = lesson.page
    lesson.open(START_PAGE, by_address=True)
    page.locator(".hw-start-page .jp-OutputArea-output a").first.wait_for(timeout=RUN_MS)
    settled(lesson)
    lesson.shut_down_kernel()
    begin(lesson)
    lesson.open(START_PAGE, by_address=True)
    page.wait_for_function(SHOWN, timeout=RUN_MS)
    button(lesson, spoken(FIRST.name)).wait_for(timeout=RUN_MS)
    assert page.locator(".jp-Dialog").count() == 0
    settled(lesson)


def test_on_a_narrow_screen_the_file_list_is_folded(lesson: Lesson) -> None:
    page = lesson.page
    wide = page.viewport_size
    lesson.open(START_PAGE, by_address=True)
    files = page.locator(".jp-DirListing")
    files.wait_for(timeout=RUN_MS)
    for name in files.locator(".jp-DirListing-itemText").all():
        assert name.evaluate("node => node.scrollWidth <= node.clientWidth"), name.inner_text()
    page.set_viewport_size({"width": 420, "height": 1000})
    lesson.open(START_PAGE, by_address=True)
    files.wait_for(state="hidden", timeout=RUN_MS)
    settled(lesson)
    page.set_viewport_size(wide)
