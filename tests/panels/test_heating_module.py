"""The heating run's ES module with a model that answers, as in a notebook with a running kernel."""

from __future__ import annotations

import pytest

from lessonlib import heat_up, load_appliance
from lessonlib.panels.heating import HeatingPanel, heating_panel
from tests.page.notebook import Notebook
from tests.page.notebook import still as still
from tests.page.notebook import still_notebook as still_notebook
from tests.panels.test_heating_engine import STATE

pytestmark = pytest.mark.browser


@pytest.fixture
def live() -> HeatingPanel:
    faults = ["P1 welded", "P1 not making"]
    return heating_panel(load_appliance("garment-steamer"), faults=faults, speed=300)


@pytest.fixture
def book(still: Notebook, live: HeatingPanel) -> Notebook:
    """The panel in a page whose model and clock the test plays."""
    still.draw(live)
    return still


def flip(book: Notebook) -> None:
    book.page.locator('.hc-contact[data-part="S1"] .hc-hit').first.click()


def play(book: Notebook, milliseconds: int) -> None:
    """Let time pass, in which it plays."""
    book.page.clock.run_for(milliseconds)


def test_what_is_told_to_the_model_is_what_python_computes_from_it(
    book: Notebook, live: HeatingPanel
) -> None:
    flip(book)
    book.press("Start")
    play(book, 700)
    flip(book)
    play(book, 200)
    book.press("Pause")
    time_s, moves = book.get("time_s"), book.get("moves")
    assert [move[1:] for move in moves] == [["S1", "on"], ["S1", "off"]]
    assert 0 == moves[0][0] < moves[1][0] < time_s
    schedule = [(at_s / 60, {part: position}) for at_s, part, position in moves]
    same = heat_up(live.appliance, minutes=time_s / 60, schedule=schedule)
    # as in the engine's tests; times go through minutes and back, which costs one more bit
    assert book.get("temperature_C") == pytest.approx(same.temperature_C(same.end_s), rel=STATE)
    assert book.get("positions") == same.setting(same.end_s)


def test_what_is_live_by_place_follows_the_switch(book: Notebook) -> None:
    line = book.page.locator(".hcp-live")
    assert line.text_content() == "Live ends: only the switch, S1 at L"
    flip(book)
    live = "S1 and F1 at both ends; E1 at top; H1 and H2 at fed"
    assert line.text_content() == f"Live ends: {live}"
    # it changes several times a second in a fast run: only what has happened is announced
    assert line.get_attribute("aria-live") is None


def test_while_it_plays_it_tells_the_model_twice_a_second(book: Notebook) -> None:
    book.press("Start")
    play(book, 300)
    before = book.page.evaluate("model.saves")
    play(book, 2000)
    assert 2 <= book.page.evaluate("model.saves") - before <= 4


def test_a_fault_is_told_with_the_new_start_and_what_it_holds(book: Notebook) -> None:
    flip(book)
    book.press("Next event")
    fault = book.page.get_by_label("Fault")
    fault.select_option("P1 welded")
    told = [book.get(name) for name in ("fault", "time_s", "moves")]
    assert told == ["P1 welded", 0, [[0, "S1", "on"]]]
    flip(book)
    fault.select_option("P1 not making")
    assert book.get("positions") == {"S1": "off", "F1": "closed", "P1": "open"}


def test_a_view_that_is_taken_away_tells_how_far_it_is_and_stops(book: Notebook) -> None:
    book.press("Start")
    play(book, 200)
    book.page.evaluate("stop()")
    time_s = book.get("time_s")
    assert time_s >= 30
    play(book, 300)
    assert book.get("time_s") == time_s


def test_a_long_wait_between_frames_is_a_pause(book: Notebook) -> None:
    book.press("Start")
    play(book, 20)  # a first frame, since which time counts
    before = book.get("time_s")
    book.page.clock.fast_forward(3_600_000)  # an hour with the tab hidden
    book.press("Pause")
    assert 0 < book.get("time_s") - before <= 75 + 300 * 0.02  # a quarter of a second, 300 times
