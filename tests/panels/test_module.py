"""The ES module with a model that answers, as in a notebook with a running kernel."""

from __future__ import annotations

import pytest

from lessonlib.panels import data as panel_data_module
from lessonlib.panels.data import read_key, row_of
from lessonlib.panels.widget import LivePicture, panel
from tests.panels.appliances import many_switches

pytestmark = pytest.mark.browser

SHOW = """async ([source, state]) => {
  const url = URL.createObjectURL(new Blob([source], { type: 'text/javascript' }));
  const module = await import(url);
  const hearers = [];
  window.sent = [];
  window.fire = (event, ...values) =>
    hearers.filter(([name]) => name === event).forEach(([, hear]) => hear(...values));
  window.hearers = hearers;
  window.state = state;
  const model = {
    get: (name) => state[name],
    set: (name, value) => { state[name] = value; window.fire('change:' + name); },
    save_changes: () => window.sent.push('saved'),
    send: (message) => window.sent.push(message),
    on: (name, hear) => hearers.push([name, hear]),
    off: (name, hear) =>
      hearers.splice(hearers.findIndex(([n, h]) => n === name && h === hear), 1),
  };
  window.stop = module.default.render({ model, el: document.body });
}"""


@pytest.fixture
def shown(browser, monkeypatch):
    """A panel with two rows stored, in a page whose model the test plays."""
    monkeypatch.setattr(panel_data_module, "MOST_ROWS", 2)
    live = panel(many_switches(2), faults=False, voltages=[230])
    page = browser.new_page()
    state = {name: getattr(live.picture, name) for name in live.picture.position_names}
    state |= {"voltage": 0, "plug": 0, "fault": 0, "table": live.picture.table}
    page.evaluate(SHOW, [LivePicture._esm, state])
    yield live, page
    page.close()


def answer(live, key):
    chosen = read_key(live._offer, key)
    return {"key": key, "row": row_of(live._offer.solve(chosen))}


def test_a_flip_is_saved_to_the_model(shown):
    _, page = shown
    page.locator("svg [role=button] .hc-hit").first.click()
    assert page.evaluate("[state.position_0, sent]") == [1, ["saved"]]


def test_a_change_in_the_model_is_shown(shown):
    _, page = shown
    page.evaluate("state.position_0 = 1; fire('change:position_0')")
    assert page.locator(".hc-position").first.text_content() == "on"


def test_a_missing_row_is_asked_for_once_and_shown_when_it_comes(shown):
    live, page = shown
    page.evaluate("state.position_0 = state.position_1 = 1; fire('change:position_0')")
    page.evaluate("fire('change:position_1')")
    assert page.evaluate("sent") == [{"ask": "0,0,0,1,1"}]
    assert page.locator(".hcp-power").text_content() == "–"
    assert page.locator(".hcp-live").text_content() == "Live ends: –"
    page.evaluate("message => fire('msg:custom', message)", answer(live, "0,0,0,1,1"))
    assert page.locator(".hcp-power").text_content() == "1000 W"
    live = page.locator(".hcp-live").text_content()
    assert live == "Live ends: S1 and S2 at both ends; E1 at fed"
    said = page.get_by_role("status")
    assert said.text_content() == "S1 on, S2 on: 1000 W, 4.35 A; n1, fed live"
    page.wait_for_timeout(1700)  # longer than the wait for an answer
    assert said.text_content().endswith("n1, fed live")


def test_an_answer_that_comes_too_late_does_not_show_in_another_setting(shown):
    live, page = shown
    page.evaluate("state.position_0 = state.position_1 = 1; fire('change:position_0')")
    page.evaluate("state.position_0 = state.position_1 = 0; fire('change:position_0')")
    page.evaluate("message => fire('msg:custom', message)", answer(live, "0,0,0,1,1"))
    assert page.locator(".hcp-power").text_content() == "0 W"


def test_without_an_answer_it_says_what_to_do(shown):
    _, page = shown
    page.evaluate("state.position_0 = state.position_1 = 1; fire('change:position_0')")
    page.get_by_role("status").get_by_text(
        "This setting was not stored; start the kernel and run this cell to compute it."
    ).wait_for(timeout=5000)


def test_a_view_that_is_taken_away_hears_nothing_more(shown):
    _, page = shown
    assert page.evaluate("hearers.length") == 6  # three circumstances, two positions, messages
    page.evaluate("stop()")
    assert page.evaluate("hearers.length") == 0


def test_it_has_no_controls_of_its_own_where_the_notebook_has_some(shown):
    _, page = shown
    assert page.locator("input").count() == 0
    assert page.locator(".hcp-title").text_content() == "Many switches"
