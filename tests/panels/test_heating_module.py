"""The heating run's ES module with a model that answers, as in a notebook with a running kernel."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from lessonlib import heat_up, load_appliance
from lessonlib.panels.heating import HeatingPanel, heating_panel
from tests.panels.test_heating_engine import STATE
from tests.panels.test_module import SHOW

pytestmark = pytest.mark.browser


@pytest.fixture
def shown(browser: Any) -> Iterator[tuple[HeatingPanel, Any]]:
    """A heating panel in a page whose model the test plays."""
    faults = ["P1 welded", "P1 not making"]
    live = heating_panel(load_appliance("garment-steamer"), faults=faults, speed=300)
    page = browser.new_page()
    names = ("table", "moves", "time_s", "temperature_C", "positions", "speed", "running")
    state = {**{name: getattr(live, name) for name in names}, "fault": None}
    page.evaluate(SHOW, [HeatingPanel._esm, state])
    yield live, page
    page.close()


def press(page: Any, name: str) -> None:
    page.get_by_role("button", name=name, exact=True).click()


def flip(page: Any) -> None:
    page.locator('.hc-contact[data-part="S1"] .hc-hit').first.click()


def state_of(page: Any, *names: str) -> list[Any]:
    return list(page.evaluate("names => names.map((name) => state[name])", list(names)))


def test_what_is_told_to_the_model_is_what_python_computes_from_it(shown: Any) -> None:
    live, page = shown
    flip(page)
    press(page, "Start")
    page.wait_for_timeout(700)
    flip(page)
    page.wait_for_timeout(200)
    press(page, "Pause")
    time_s, temperature_C, positions, moves = state_of(
        page, "time_s", "temperature_C", "positions", "moves"
    )
    assert [move[1:] for move in moves] == [["S1", "on"], ["S1", "off"]]
    assert 0 == moves[0][0] < moves[1][0] < time_s
    schedule = [(at_s / 60, {part: position}) for at_s, part, position in moves]
    same = heat_up(live.appliance, minutes=time_s / 60, schedule=schedule)
    # as in the engine's tests; times go through minutes and back, which costs one more bit
    assert temperature_C == pytest.approx(same.temperature_C(same.end_s), rel=STATE)
    assert positions == same.setting(same.end_s)


def test_what_is_live_by_place_follows_the_switch(shown: Any) -> None:
    _, page = shown
    line = page.locator(".hcp-live")
    assert line.text_content() == "Live ends: only the switch, S1 at L"
    flip(page)
    live = "S1 and F1 at both ends; E1 at top; H1 and H2 at fed"
    assert line.text_content() == f"Live ends: {live}"
    # it changes several times a second in a fast run: only what has happened is announced
    assert line.get_attribute("aria-live") is None


def test_while_it_plays_it_tells_the_model_twice_a_second(shown: Any) -> None:
    _, page = shown
    press(page, "Start")
    page.wait_for_timeout(300)
    assert state_of(page, "running") == [True]
    before = page.evaluate("sent.length")
    page.wait_for_timeout(2000)
    told = page.evaluate("sent.length") - before
    press(page, "Pause")
    assert state_of(page, "running") == [False]
    assert 2 <= told <= 4


def test_it_goes_where_python_puts_it(shown: Any) -> None:
    live, page = shown
    live.flip("S1", "on")
    live.run_to(minutes=8)
    names = ("moves", "time_s", "temperature_C", "positions")
    page.evaluate(
        """told => {
            Object.assign(state, told);
            for (const name of Object.keys(told)) fire('change:' + name);
        }""",
        {name: getattr(live, name) for name in names},
    )
    numbers = page.locator(".hcp-numbers strong").all_text_contents()
    assert numbers[:2] == ["8 min 00 s", f"{live.temperature_C:.1f} °C"]
    listed = page.locator(".hcp-happened li span:last-child").all_text_contents()
    assert listed == [event.what for event in reversed(live.events)]


def test_it_pauses_when_python_says_so(shown: Any) -> None:
    _, page = shown
    press(page, "Start")
    page.wait_for_timeout(200)
    page.evaluate("state.running = false; fire('change:running')")
    assert page.get_by_role("button", name="Go on", exact=True).is_visible()


def test_a_fault_is_told_with_the_new_start(shown: Any) -> None:
    _, page = shown
    flip(page)
    press(page, "Next event")
    page.get_by_label("Fault").select_option("P1 welded")
    assert state_of(page, "fault", "time_s", "moves") == ["P1 welded", 0, [[0, "S1", "on"]]]


def test_a_contact_that_its_fault_holds_is_told_as_it_is_held(shown: Any) -> None:
    _, page = shown
    page.get_by_label("Fault").select_option("P1 not making")
    assert state_of(page, "positions") == [{"S1": "off", "F1": "closed", "P1": "open"}]


def test_a_view_that_is_taken_away_stops_and_hears_nothing_more(shown: Any) -> None:
    _, page = shown
    press(page, "Start")
    page.wait_for_timeout(200)
    page.evaluate("stop()")
    assert state_of(page, "running") == [False]
    assert page.evaluate("hearers.length") == 0
    time_s = state_of(page, "time_s")
    page.wait_for_timeout(300)
    assert state_of(page, "time_s") == time_s


def test_a_long_wait_between_frames_is_a_pause(shown: Any) -> None:
    _, page = shown
    page.evaluate("window.requestAnimationFrame = (done) => { window.done = done; return 1; }")
    press(page, "Start")
    page.evaluate("done(performance.now() + 3_600_000)")  # an hour with the tab hidden
    press(page, "Pause")
    assert state_of(page, "time_s") == [75]  # a quarter of a second, 300 times as fast
