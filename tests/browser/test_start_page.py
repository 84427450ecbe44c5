"""The start page in real JupyterLab: it shows by itself how far one is, today and the next day."""

from __future__ import annotations

from typing import Any

import pytest

from lessonlib import lesson_list
from lessonlib.progress.progress import FILE_NAME, Progress
from lessonlib.progress.records import Try
from lessonlib.questions.bank import templates
from lessonlib.start.notebook import START_PAGE
from tests.browser.lab import Lesson
from tests.browser.test_accessible import check_lesson

pytestmark = pytest.mark.browser

FIRST, SECOND = templates(7)[:2]
SHOWN = """lesson => [...document.querySelectorAll('.hw-start-page .jp-OutputArea-output')]
    .some((output) => output.textContent.includes(`Continue where you left off: ${lesson}.`))"""
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
    lesson.page.locator('.hw-start-page[aria-busy="false"]').wait_for()
    lesson.idle()


def back(lesson: Lesson) -> None:
    """Close the page that was opened from the start page, which then is in front again; not before
    its kernel has started, as JupyterLab itself would fail at that."""
    lesson.page.wait_for_function(OTHER_IS_IDLE)
    lesson.menu("File", "Close Tab")
    lesson.page.wait_for_function(ONE_LEFT_OR_ASKED)
    if lesson.page.locator(".jp-Dialog").count():
        lesson.page.locator(".jp-Dialog").get_by_role("button", name="Discard").click()


def begin(lesson: Lesson, number: int) -> None:
    """Some work in this lesson, done elsewhere."""
    first = templates(number)[0]
    Progress(lesson.folder / FILE_NAME).record(
        Try(first.name, number, first.objective, 1, "wrong", None, "1", False)
    )


def shows(lesson: Lesson, number: int) -> None:
    """Wait until the page sends the person on to this lesson."""
    lesson.page.wait_for_function(SHOWN, arg=number)


def button(lesson: Lesson, words: str) -> Any:
    return lesson.page.get_by_role("button", name=words, exact=True).first


def spoken(name: str) -> str:
    return name.replace("-", " ").capitalize()


def test_it_shows_by_itself_without_code_how_far_one_is_and_again_on_coming_back(
    lesson: Lesson,
) -> None:
    """On coming back from a lesson, and the next day, which it does without a question."""
    page = lesson.page
    lesson.open(START_PAGE, by_address=True)
    links = page.locator(".hw-start-page .jp-OutputArea-output a")
    # while the page runs its cells anew there are none for a moment
    links.nth(len(lesson_list().lessons)).wait_for()
    settled(lesson)
    assert links.count() == 1 + len(lesson_list().lessons)
    assert page.locator(".jp-CodeCell .jp-Cell-inputWrapper >> visible=true").count() == 0
    check_lesson(page)
    for name in page.locator(".jp-DirListing .jp-DirListing-itemText").all():
        assert name.evaluate("node => node.scrollWidth <= node.clientWidth"), name.inner_text()
    # a lesson opens in a tab of its own; what was done there shows on the way back
    links.nth(1).click()
    first = page.locator(".jp-NotebookPanel:not(.lm-mod-hidden) h1", has_text="1. ")
    first.wait_for()
    begin(lesson, 7)
    back(lesson)
    shows(lesson, 7)
    settled(lesson)
    # the next day, on a narrow screen, where the file list is folded
    lesson.shut_down_kernel()
    begin(lesson, 8)
    wide = page.viewport_size
    page.set_viewport_size({"width": 420, "height": 1000})
    lesson.open(START_PAGE, by_address=True)
    shows(lesson, 8)
    button(lesson, spoken(templates(8)[0].name)).wait_for()
    assert page.locator(".jp-Dialog").count() == 0
    page.locator(".jp-DirListing").wait_for(state="hidden")
    settled(lesson)
    page.set_viewport_size(wide)


def test_by_keyboard_an_exercise_opens_below_its_button_and_then_the_next(lesson: Lesson) -> None:
    page = lesson.page
    begin(lesson, 7)
    lesson.open(START_PAGE, by_address=True)
    shows(lesson, 7)
    opening = button(lesson, spoken(FIRST.name))
    opening.wait_for()
    opening.focus()
    page.keyboard.press("Enter")
    forms = page.locator("form:has(.hcq-standing)")
    forms.first.wait_for()
    # the focus stays, and what opened is the next thing that it comes to
    assert page.evaluate("document.activeElement.textContent") == f"Close: {spoken(FIRST.name)}"
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.closest('form') !== null")
    button(lesson, f"Next: {spoken(SECOND.name)}").focus()
    page.keyboard.press("Enter")
    forms.nth(1).wait_for()
    # an open exercise stays open when one looks at another page and comes back
    lesson.write("elsewhere.ipynb", "1")
    lesson.menu("File", "Open from Path")
    page.locator(".jp-Dialog input").fill("elsewhere.ipynb")
    page.keyboard.press("Enter")
    page.locator(".lm-TabBar-tab.lm-mod-current", has_text="elsewhere").wait_for()
    back(lesson)
    forms.nth(1).wait_for()
    settled(lesson)
