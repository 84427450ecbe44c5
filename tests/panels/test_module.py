"""The ES module with a model that answers, as in a notebook with a running kernel."""

from __future__ import annotations

import pytest

from lessonlib import panel, solve
from lessonlib.panels import data as panel_data_module
from lessonlib.panels.data import row_of
from tests.page.notebook import still as still
from tests.page.notebook import still_notebook as still_notebook
from tests.panels.appliances import many_switches

pytestmark = pytest.mark.browser


@pytest.fixture
def book(still, monkeypatch):
    """A panel with two rows stored, in a page whose model and clock the test plays."""
    monkeypatch.setattr(panel_data_module, "MOST_ROWS", 2)
    still.draw(panel(many_switches(2), faults=False, voltages=[230]))
    return still


def answer(book):
    row = row_of(solve(many_switches(2), {"S1": "on", "S2": "on"}))
    message = {"key": "0,0,0,1,1", "row": row}
    book.page.evaluate("message => model.fire('msg:custom', message)", message)


def power(book):
    return book.page.locator(".hcp-power").text_content()


def test_a_flip_is_saved_to_the_model_and_a_change_in_the_model_is_shown(book):
    assert book.page.locator(".hcp-title").text_content() == "Many switches"
    book.page.locator("svg [role=button]").first.click()
    assert book.page.evaluate("[model.state.position_0, model.saves]") == [1, 1]
    book.take(position_0=0)
    assert book.page.locator(".hc-position").first.text_content() == "off"


def test_a_missing_row_is_asked_for_once_and_shown_when_it_comes(book):
    book.take(position_0=1, position_1=1)
    assert book.page.evaluate("model.sent") == [{"ask": [0, 0, 0, 1, 1]}]
    assert power(book) == "–"
    assert book.page.locator(".hcp-live").text_content() == "Live ends: –"
    answer(book)
    assert power(book) == "1000 W"
    live = book.page.locator(".hcp-live").text_content()
    assert live == "Live ends: S1 and S2 at both ends; E1 at fed"
    book.page.clock.fast_forward(10_000)  # longer than the wait for an answer
    assert book.said() == "S1 on, S2 on: 1000 W, 4.35 A; n1, fed live"


def test_an_answer_that_comes_too_late_does_not_show_in_another_setting(book):
    book.take(position_0=1, position_1=1)
    book.take(position_0=0, position_1=0)
    answer(book)
    assert power(book) == "0 W"


def test_without_an_answer_it_says_what_to_do(book):
    book.take(position_0=1, position_1=1)
    book.page.clock.fast_forward(1600)
    assert book.said() == (
        "This setting was not stored. To compute it, choose Run All Above Selected Cell "
        "in the menu Run, then run this cell."
    )


def test_a_view_that_is_taken_away_hears_nothing_more(book):
    # three circumstances, two positions, messages
    assert book.page.evaluate("model.count()") == 6
    book.page.evaluate("stop()")
    assert book.page.evaluate("model.count()") == 0
