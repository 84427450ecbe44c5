"""A view without Python behind it, as in a notebook that was opened again, says how to go on."""

from __future__ import annotations

from typing import Any

import pytest

from lessonlib.questions.chooser import CutOffLine
from lessonlib.questions.form import FormView
from tests.page.notebook import Notebook
from tests.page.notebook import book as book
from tests.page.notebook import notebook as notebook
from tests.questions.every_kind import CASES
from tests.questions.test_form_browser import number
from tests.questions.test_prediction_browser import asked

pytestmark = pytest.mark.browser

WORDS = "This is as you left it. To go on, the cells above must run again:"
OPENED_AGAIN = "() => { document.body.className = 'jp-Cell jupyter-widgets-disconnected'; }"
RESTARTED = "() => { document.body.className = 'jp-Cell'; model.fire('comm_live_update'); }"


def cut_off(book: Notebook, view: Any, how: str = OPENED_AGAIN) -> Any:
    """Draw it, and take the kernel away as JupyterLab does; returns the button that goes on."""
    book.draw(view)
    line = book.page.get_by_text(WORDS)
    assert not line.is_visible()
    book.page.evaluate(how)
    assert line.is_visible()
    return book.page.get_by_role("button", name="Set up and go on")


def unbroken(book: Notebook) -> str:
    """The question on the page, whose units stay with their numbers."""
    return str(book.page.locator(".hcq-text").inner_text()).replace("\u00a0", " ")


@pytest.mark.parametrize("kind", ["number", "file"])
def test_a_form_keeps_what_it_shows_and_has_one_way_on(book: Notebook, kind: str) -> None:
    task = CASES[kind].task()
    go_on = cut_off(book, FormView(task))
    assert task.exercise.text.split("\n")[0] in unbroken(book)
    assert go_on.get_attribute("aria-describedby")
    names = book.page.get_by_role("button").all_inner_texts()
    assert not {"Check", "First hint", "New numbers"} & set(names)
    mark = "() => getComputedStyle(document.body, '::before').display"
    assert book.page.evaluate(mark) == "none"  # JupyterLab's sign of a broken widget


@pytest.mark.parametrize("how", [OPENED_AGAIN, RESTARTED])
def test_enter_leads_to_the_way_on_and_what_is_typed_is_kept(book: Notebook, how: str) -> None:
    go_on = cut_off(book, number(), how)
    box = book.page.get_by_role("textbox")
    box.fill("0.1 kW")
    box.press("Enter")
    assert go_on.evaluate("node => node === document.activeElement")
    assert book.get("asked") == 0
    book.draw(number())
    assert book.page.get_by_role("textbox").input_value() == "0.1 kW"


def test_a_prediction_that_nobody_would_record_is_not_shown_as_made(book: Notebook) -> None:
    go_on = cut_off(book, asked())
    book.page.get_by_label("a half").click()
    assert book.page.locator("input:checked").count() == 0
    assert go_on.evaluate("node => node === document.activeElement")
    assert (book.get("asked"), book.get("given")) == (0, None)


def test_a_list_of_plain_buttons_has_the_same_line(book: Notebook) -> None:
    assert cut_off(book, CutOffLine()).is_visible()


def test_each_notebook_keeps_what_was_typed_in_it(book: Notebook) -> None:
    for path in ("one.ipynb", "two.ipynb"):
        book.draw(number(), path=path)
        assert book.page.get_by_role("textbox").input_value() == ""
        book.page.get_by_role("textbox").fill(path)
    for path in ("one.ipynb", "two.ipynb"):
        book.draw(number(), path=path)
        assert book.page.get_by_role("textbox").input_value() == path
