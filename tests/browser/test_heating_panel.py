"""The heating run as a person plays it on a saved page.

Every test of the page also fails on a console message, a page error, or any network request.
"""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from lessonlib import heat_up, load_appliance
from lessonlib.heat.result import clock
from lessonlib.panels.heating import HeatingPanel, heating_panel
from lessonlib.safety import ONE_LINE
from tests.browser.heating_run import Run
from tests.browser.waiting import frames
from tests.heat.kettles import bare_and_guarded, fuse, kettle
from tests.panels.conftest import PHONE, Open, Opened
from tests.panels.conftest import open_page as open_page

pytestmark = pytest.mark.browser


def opened_run(opened: Opened) -> Run:
    return Run(opened.page, opened.page.locator(".hcp"))


@pytest.fixture
def steamer() -> HeatingPanel:
    return heating_panel(
        load_appliance("garment-steamer"), {"S1": "on"}, faults=["P1 welded"], speed=300
    )


def test_it_plays_and_the_pressure_switch_opens_by_itself(
    open_page: Open, steamer: HeatingPanel
) -> None:
    run = opened_run(open_page(steamer))
    assert (run.temperature_C, run.number("Power when started")) == (20, "1501 W")
    run.press("Start")
    run.wait_for("P1 opens")
    run.press("Pause")
    assert run.number("Power drawn") in ("1501 W", "0.5 W")
    expected = heat_up(steamer.appliance, {"S1": "on"}, minutes=60)
    opens = expected.events[0]
    assert run.events[0] == (clock(opens.time_s), opens.what)
    assert run.number("Water left") == "1.20 kg"
    shut = len([what for _, what in run.events if what.startswith("P1 closes")])
    assert run.contact("P1") == ("open" if len(run.events) > 2 * shut else "closed")


def test_a_switch_flips_while_it_runs_and_it_cools_from_then_on_save_for_a_pause(
    open_page: Open, steamer: HeatingPanel
) -> None:
    steamer.speed = 60
    run = opened_run(open_page(steamer))
    run.press("Start")
    run.wait_until("now > 20")
    run.flip("S1")
    run.wait_for("S1 turned to off")
    run.press("Pause")
    hot = run.temperature_C
    assert 20 < hot < 116
    assert run.number("Power drawn") == "0 W"
    assert run.contact("S1") == "open"
    held = run.number("Time")
    frames(run.page)
    assert (run.number("Time"), run.temperature_C) == (held, hot)
    run.press("Go on")
    run.wait_until(f"now < {hot}")


def test_steps_go_from_event_to_event_and_end_with_the_run(
    open_page: Open, steamer: HeatingPanel
) -> None:
    run = opened_run(open_page(steamer))
    run.page.get_by_label("Fault").select_option("P1 welded")
    expected = heat_up(steamer.appliance, {"S1": "on"}, minutes=60, fault="P1 welded").events
    for number, event in enumerate(expected[:4]):
        run.press("Next event")
        assert run.events[number] == (clock(event.time_s), event.what)
        assert run.number("Temperature") == f"{event.temperature_C:.1f} °C"
    assert run.contact("F1") == "open"
    assert "F1 thermal fuse: open, stays open" in run.within.locator(".hcp-acting").inner_text()
    assert "closed, held there by its fault" in run.within.locator(".hcp-acting").inner_text()
    for _ in range(40):
        if run.number("Time") == "60 min 00 s":
            break
        run.press("Next event")
    assert run.page.get_by_role("button", name="Go on", exact=True).is_disabled()
    run.press("Start over")
    assert (run.number("Time"), run.temperature_C, run.events) == ("0 s", 20, [])
    assert run.page.get_by_role("button", name="Start", exact=True).is_enabled()
    assert run.number("Power when started") == "1501 W"


def test_flips_of_one_moment_act_together(open_page: Open) -> None:
    melter = load_appliance("wax-melter")
    run = opened_run(open_page(heating_panel(melter, {"S1": "on", "S2": "full"})))
    run.press("Next event")
    assert [what for _, what in run.events] == ["the water boils at 100.0 °C"]
    run.flip("S1")
    run.flip("S1")
    what = [what for _, what in run.events][1:]
    assert what == ["S1 turned to off", "S1 turned to on"]


def test_a_vessel_that_bursts_says_so_and_ends_the_run(open_page: Open) -> None:
    sealed = kettle(2000, water_kg=0.5, sealed=True)
    run = opened_run(open_page(heating_panel(sealed)))
    run.press("Next event")
    ((_, what),) = run.events
    assert what == "the vessel bursts, here or long before: the model stops at 10 bar gauge"
    assert run.number("Gauge pressure") == "10.00 bar"
    for button in ("Go on", "Next event"):
        assert run.within.get_by_role("button", name=button, exact=True).is_disabled()


def test_over_dry_steam_the_list_of_contacts_names_no_temperature_of_wet_steam(
    open_page: Open,
) -> None:
    live = heating_panel(bare_and_guarded(2.2, 1.8))
    assert live.table["contacts"][0][0]["closes_at"] == "1.8 bar gauge (131.3 °C)"
    live.time_s = 1200
    run = opened_run(open_page(live))
    assert run.number("Water left") == "0.00 kg"
    assert "open, closes at 1.8 bar gauge" in run.within.locator(".hcp-acting").inner_text()
    assert "131.3" not in run.within.locator(".hcp-acting").inner_text()


def test_a_short_circuit_ends_the_heating_and_shows_its_path(open_page: Open) -> None:
    live = heating_panel(load_appliance("tea-urn"), faults=["E2 shorted"])
    run = opened_run(open_page(live))
    run.page.get_by_label("Fault").select_option("E2 shorted")
    run.press("Start")
    run.wait_until("now > 20")
    assert run.number("Power drawn") == "400 W"
    run.flip("S1")
    run.wait_for("the circuit's own protection opens, nothing is on")
    run.press("Pause")
    assert run.number("Power drawn") == "0 W"
    assert run.within.locator("svg.hc-schematic").get_attribute("data-short") == "true"
    run.flip("S1")  # it stays tripped
    assert run.number("Power drawn") == "0 W"
    readings = run.within.locator(".hc-reading [data-quantity]").all_text_contents()
    assert set(readings) == {"–"}


def test_a_resettable_fuse_is_reset_by_a_press_but_not_opened(open_page: Open) -> None:
    appliance = kettle(1000, fuse(60, resettable=True), water_kg=0.5, loss_W_per_K=4)
    run = opened_run(open_page(heating_panel(appliance, speed=300)))
    run.flip("F1")  # closed: a press opens nothing
    assert run.contact("F1") == "closed"
    run.press("Next event")
    assert run.contact("F1") == "open"
    label = run.within.locator('.hc-contact[data-part="F1"] .hc-hit').get_attribute("aria-label")
    assert label == "F1 thermal fuse, open. Press to reset"
    run.press("Go on")
    run.wait_until("now < 60")
    run.press("Pause")
    run.flip("F1")
    assert run.events[-1][1] == "F1 reset by hand"
    assert run.contact("F1") == "closed"


def test_a_reset_while_it_is_too_hot_is_seen_to_fail_at_once_also_at_rest(
    open_page: Open,
) -> None:
    live = heating_panel(kettle(1000, fuse(60, resettable=True), water_kg=0.5))
    live.time_s = 600  # without losses it stays as hot as it was
    run = opened_run(open_page(live))
    run.flip("F1")
    what = [what for _, what in run.events][1:]
    assert what[0] == "F1 reset by hand"
    assert what[1].startswith("F1 opens again at once")
    assert run.contact("F1") == "open"


def test_contacts_that_act_by_themselves_are_no_buttons(
    open_page: Open, steamer: HeatingPanel
) -> None:
    opened = open_page(steamer)
    buttons = opened.page.locator("svg [role=button]")
    names = buttons.evaluate_all(
        "found => found.map((button) => button.closest('.hc-contact').dataset.part)"
    )
    assert names == ["S1"]
    run = opened_run(opened)
    run.flip("P1")
    assert run.contact("P1") == "closed"


def test_everything_works_from_the_keyboard(open_page: Open, steamer: HeatingPanel) -> None:
    run = opened_run(open_page(steamer))
    keys = run.page.keyboard
    keys.press("Tab")
    keys.press("Space")
    run.wait_until("now > 20")
    keys.press("Enter")
    assert run.page.get_by_role("button", name="Go on", exact=True).is_visible()
    run.within.locator("svg [role=button]").focus()
    keys.press("Enter")
    assert run.contact("S1") == "open"
    run.within.get_by_role("radio", name="on", exact=True).check()
    assert run.contact("S1") == "closed"


def test_a_screen_reader_hears_of_events_now_and_then_and_can_name_everything(
    open_page: Open, steamer: HeatingPanel
) -> None:
    run = opened_run(open_page(steamer))
    run.page.evaluate(
        """() => {
            window.heard = [];
            const said = document.querySelector('.hcp-said');
            const tell = () => heard.push([performance.now(), said.textContent]);
            new MutationObserver(tell).observe(said, { childList: true });
        }"""
    )
    run.page.clock.install()
    run.press("Start")
    run.page.clock.run_for(13_000)
    assert run.page.get_by_text("The 60 minutes of this run are over").is_visible()
    heard = run.page.evaluate("heard")
    assert any("P1 opens" in text for _, text in heard)
    told = [at for at, text in heard if "over" not in text]
    gaps = [later - sooner for sooner, later in pairwise(told)]
    # at most one in 2.5 s of twelve seconds and more, and what is left over when it ends
    assert min(gaps[:-1]) > 2400
    assert len(told) < len(run.events) / 2
    pictures = run.within.locator(".hcp-plot")
    label = pictures.first.get_attribute("aria-label")
    assert re.match(r"Temperature over 60 min 00 s: from 20\.0 °C to 11\d\.\d °C", label)
    assert [pictures.nth(i).get_attribute("role") for i in (0, 1)] == ["img", "img"]
    assert run.page.get_by_text(ONE_LINE).is_visible()


def test_who_asked_for_less_motion_sees_steps(
    browser: Any, steamer: HeatingPanel, tmp_path: Path
) -> None:
    context = browser.new_context(reduced_motion="reduce")
    page = context.new_page()
    page.goto(steamer.save(tmp_path / "calm.html").as_uri())
    page.evaluate(
        """() => {
            window.changes = [];
            const time = document.querySelector('.hcp-numbers strong');
            const note = () => changes.push(performance.now());
            new MutationObserver(note).observe(time, { childList: true });
        }"""
    )
    run = Run(page, page.locator(".hcp"))
    page.clock.install()
    run.press("Start")
    page.clock.run_for(5_000)
    changes = page.evaluate("changes")
    assert len(changes) > 2
    assert min(later - sooner for sooner, later in pairwise(changes)) > 950  # ms: one a second
    context.close()


def test_nothing_overflows_a_phone_and_a_finger_can_play(
    open_page: Open, steamer: HeatingPanel
) -> None:
    opened = open_page(steamer, viewport=PHONE, touch=True)
    assert opened.page.evaluate("document.documentElement.scrollWidth") == PHONE["width"]
    boxes = [box.bounding_box() for box in opened.page.locator(".hck-button").all()]
    assert min(box["height"] for box in boxes) >= 44  # px: WCAG 2.2, 2.5.5
    run = opened_run(opened)
    opened.page.get_by_role("button", name="Start", exact=True).tap()
    opened.page.locator('[data-part="S1"] .hc-hit').tap()
    run.wait_for("S1 turned to off")


@pytest.mark.parametrize("name", ["garment-steamer", "wallpaper-steamer", "punch-warmer"])
def test_start_readings_drawing_curves_and_contacts_fit_one_screen_of_a_laptop(
    open_page: Open, name: str
) -> None:
    # 1280 by 720 with JupyterLab's bars and side bar taken off
    live = heating_panel(load_appliance(name))
    opened = open_page(live, viewport={"width": 930, "height": 640})
    top = opened.page.locator(".hcp-heating").bounding_box()["y"]
    for part in (".hcp-start", ".hcp-numbers", "svg", ".hcp-strip >> nth=-1", ".hcp-acting"):
        box = opened.page.locator(part).first.bounding_box()
        assert box["y"] + box["height"] - top < 640, part


def test_the_words_of_marks_stand_right_of_the_curves_and_clear_of_each_other(
    open_page: Open, steamer: HeatingPanel
) -> None:
    steamer.time_s = 3600
    page = open_page(steamer, viewport={"width": 950, "height": 900}).page
    told = []
    for strip in page.locator(".hcp-plot").all():
        words = strip.locator(".hcp-marks > span")
        told += [text.replace("\u00a0", " ") for text in words.all_text_contents()]
        boxes = [word.bounding_box() for word in words.all()]
        curve = strip.locator(".hcp-curve").bounding_box()
        assert min(box["x"] for box in boxes) > curve["x"] + curve["width"]
        for one, other in pairwise(boxes):
            assert other["y"] - one["y"] >= 12  # px: the height of its letters
    assert told == ["F1 192", "valve 139", "P1 110.6–113.5", "valve 2.5", "P1 0.45–0.6"]


def test_the_times_of_two_curves_one_below_the_other_stand_in_line(
    open_page: Open, steamer: HeatingPanel
) -> None:
    page = open_page(steamer, viewport=PHONE).page
    boxes = [plot.bounding_box() for plot in page.locator(".hcp-plot svg").all()]
    assert boxes[0]["y"] < boxes[1]["y"]
    assert {(box["x"], box["width"]) for box in boxes} == {(boxes[0]["x"], boxes[0]["width"])}


def test_the_page_goes_on_from_where_the_panel_stood(open_page: Open) -> None:
    live = heating_panel(load_appliance("garment-steamer"), faults=["P1 welded"])
    live.fault, live.moves, live.time_s = "P1 welded", [[0, "S1", "on"]], 1200
    on = [(0, {"S1": "on"})]
    same = heat_up(live.appliance, minutes=20, schedule=on, fault="P1 welded")
    run = opened_run(open_page(live))
    assert run.events == [(clock(event.time_s), event.what) for event in same.events]
    assert run.number("Time") == "20 min 00 s"
    assert run.number("Water left") == f"{same.water_kg(1200):.2f} kg"
