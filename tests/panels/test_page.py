"""The saved page in a real Chromium, opened from disk: the same ES module as in a notebook.

Every test here also fails on a console message, a page error, or any network request.
"""

from __future__ import annotations

import pytest

from lessonlib import load_appliance, panel, solve
from lessonlib.appliance.settings import settings
from lessonlib.circuit.live import live_words
from lessonlib.panels import data as panel_data_module
from lessonlib.quantities import format_quantity
from lessonlib.safety import ONE_LINE
from tests.panels.appliances import MARKUP, many_switches, markup_everywhere, potential_of, texts_of
from tests.panels.conftest import PHONE

pytestmark = pytest.mark.browser


def assert_shows(opened, now):
    """Everything on the page that is a value is the solver's value."""
    if now.short is None:
        assert opened.text(".hcp-power") == format_quantity(now.power_W, "W")
        assert opened.text(".hcp-current") == format_quantity(now.current_A, "A")
        assert opened.text(".hcp-short") == ""
    else:
        assert opened.text(".hcp-short") == f"short circuit: {now.short}"
        assert not opened.page.locator(".hcp-power").is_visible()
    words = live_words(now.appliance, now.live)
    assert opened.text(".hcp-live") == f"Live ends: {words}"
    cells = opened.cells()
    for part in now.appliance.parts:
        readings = now.part[part.name].contacts
        for number, reading in enumerate(readings, 1):
            assert cells[part.path_name(number)][:3] == texts_of(reading)
    for node in now.node.values():
        assert cells[node.name] == [node.condition, potential_of(node)]


def focused(opened):
    return opened.page.evaluate("document.activeElement.getAttribute('aria-label')")


def test_a_click_on_the_switch_in_the_drawing_shows_the_solvers_numbers(open_page):
    opened = open_page(load_appliance("tea-urn"))
    assert_shows(opened, solve(opened.live.appliance))
    drawn = opened.page.locator(".hc-reading").all_text_contents()
    assert drawn == ["230 V1.74 A400 W", "", "230 V"]  # E1, E2, S1: no zeros
    assert opened.contact("S1").locator("title").text_content().endswith("230 V, no current")
    opened.press("S1")
    assert_shows(opened, solve(opened.live.appliance, {"S1": "on"}))
    live = opened.page.locator('svg [data-node="boost"]')
    assert live.get_attribute("data-condition") == "live"
    assert live.locator(".hc-node-condition").text_content() == "live"
    assert opened.text('.hc-position[data-part="S1"]') == "on"
    assert opened.contact("S1").get_attribute("data-state") == "closed"
    reading = opened.page.locator('.hc-reading[data-part="E2"]')
    assert reading.locator('[data-quantity="power"]').text_content() == "1200 W"
    opened.press("S1")
    assert_shows(opened, solve(opened.live.appliance))


@pytest.mark.parametrize("name", ["wax-melter", "towel-rail", "pie-cabinet"])
def test_every_setting_of_the_switches_is_reached_by_clicks_and_shown(open_page, name):
    appliance = load_appliance(name)
    opened = open_page(appliance)
    for setting in settings(appliance):
        for part in appliance.switches:
            for _ in part.positions:
                if opened.text(f'.hc-position[data-part="{part.name}"]') == setting[part.name]:
                    break
                opened.press(part.name)
        assert_shows(opened, solve(appliance, setting))


def test_live_regions_say_what_changed_and_what_is_live_by_place(open_page):
    opened = open_page(load_appliance("tea-urn"))
    said, line = opened.page.get_by_role("status"), opened.page.locator(".hcp-live")
    assert said.get_attribute("aria-live") == line.get_attribute("aria-live") == "polite"
    assert line.get_attribute("aria-atomic") == "true"  # announced as a whole
    assert line.text_content() == "Live ends: E1 and S1 at L"
    opened.press("S1")
    assert said.text_content() == "S1 on: 1600 W, 6.96 A; boost live"
    assert line.text_content() == "Live ends: E1 at L; E2 at boost; S1 at both ends"
    opened.page.get_by_label("Supply voltage").select_option("253 V (+10 %)")
    now = solve(opened.live.appliance, {"S1": "on"}, supply_voltage_V=253)
    power, current = format_quantity(now.power_W, "W"), format_quantity(now.current_A, "A")
    assert said.text_content() == f"supply 253 V (+10 %): {power}, {current}"


def test_a_switch_is_flipped_round_by_enter_and_space_and_both_ways_by_arrow_keys(open_page):
    opened = open_page(load_appliance("towel-rail"))
    opened.page.keyboard.press("Tab")
    help_text = "Press for the next, arrow keys for both ways"
    assert focused(opened) == f"S1.1 to S1.4, off. {help_text}"
    seen = []
    keys = ("ArrowLeft", *["ArrowRight"] * 4, "ArrowDown", "ArrowUp", "Enter", "Space")
    for key in keys:
        opened.page.keyboard.press(key)
        seen.append(opened.text('.hc-position[data-part="S1"]'))
    assert seen == ["off", "low", "medium", "high", "high", "medium", "high", "off", "low"]
    assert focused(opened) == f"S1.1 to S1.4, low. {help_text}"
    assert_shows(opened, solve(opened.live.appliance, {"S1": "low"}))


def test_fault_supply_and_plug_are_chosen_with_plain_controls(open_page):
    opened = open_page(load_appliance("wallpaper-steamer"))
    page, fuse = opened.page, opened.button("F1")
    acts = "F1 thermal fuse, automatic, closed. Press to change"
    assert fuse.get_attribute("aria-label") == acts
    page.get_by_label("Supply voltage").select_option("207 V (−10 %)")
    page.get_by_label("Plug").select_option(index=1)
    opened.press("F1")
    opened.press("S1")
    moved = {"S1": "on", "F1": "open"}
    supply = {"supply_voltage_V": 207, "reversed_plug": True}
    assert_shows(opened, solve(opened.live.appliance, moved, **supply))
    page.get_by_label("Fault").select_option("F1 welded")
    now = solve(opened.live.appliance, moved, fault="F1 welded", **supply)
    assert now.power_W > 1000  # a welded fuse does not open
    assert_shows(opened, now)
    assert opened.contact("F1").get_attribute("data-state") == "closed"
    assert opened.text('svg [data-part="F1"] .hcp-fault') == "welded"
    assert opened.cells()["F1"][3] == "thermal fuse, closed, fault: welded"


def test_a_contact_that_does_not_make_and_a_short_circuit(open_page):
    opened = open_page(load_appliance("tea-urn"))
    fault = opened.page.get_by_label("Fault")
    fault.select_option("S1 not making")
    opened.press("S1")
    assert opened.contact("S1").get_attribute("data-state") == "open"
    assert opened.text('.hc-position[data-part="S1"]') == "on"
    assert_shows(opened, solve(opened.live.appliance, {"S1": "on"}, fault="S1 not making"))
    fault.select_option("E2 shorted")
    now = solve(opened.live.appliance, {"S1": "on"}, fault="E2 shorted")
    assert now.short is not None
    assert_shows(opened, now)
    svg = opened.page.locator("svg.hc-schematic")
    assert svg.get_attribute("data-short") == "true"
    readings = opened.page.locator(".hc-reading [data-quantity]").all_text_contents()
    assert set(readings) == {"–"}
    opened.press("S1")
    assert svg.get_attribute("data-short") is None
    assert opened.text(".hcp-short") == ""


def test_the_page_opens_as_the_panel_stood_and_radio_buttons_follow_the_drawing(open_page):
    live = panel(load_appliance("towel-rail"), {"S1": "low"}, faults=["E1 open"])
    live.fault = 1
    opened = open_page(live)
    assert_shows(opened, solve(live.appliance, {"S1": "low"}, fault="E1 open"))
    assert opened.page.get_by_label("Fault").input_value() == "E1 open"
    opened.page.get_by_role("radio", name="medium").check()
    assert_shows(opened, solve(live.appliance, {"S1": "medium"}, fault="E1 open"))
    opened.press("S1")
    assert opened.page.get_by_role("radio", name="high").is_checked()


def test_a_setting_that_was_not_stored_says_so_and_shows_no_numbers(open_page, monkeypatch):
    monkeypatch.setattr(panel_data_module, "MOST_ROWS", 3)
    opened = open_page(many_switches(4), faults=False)
    opened.press("S1")
    assert_shows(opened, solve(opened.live.appliance, {"S1": "on"}))
    opened.page.clock.install()
    opened.press("S2")
    opened.page.clock.run_for(1600)
    said = opened.page.get_by_role("status")
    assert "This setting was not stored" in said.text_content()
    assert opened.text(".hcp-power") == "–"
    assert opened.cells()["E1"] == ["–", "–", "–", "heating element"]
    assert opened.cells()["n1"] == ["–", "–"]
    assert opened.contact("S2").get_attribute("data-state") == "closed"
    opened.press("S2")
    assert_shows(opened, solve(opened.live.appliance, {"S1": "on"}))
    assert said.text_content() == "as before: 0 W, 0 A"


def test_names_that_hold_markup_show_as_text(open_page):
    appliance = markup_everywhere()
    opened = open_page(appliance)
    page = opened.page
    assert page.title() == MARKUP
    assert page.get_by_role("heading", level=1).text_content() == MARKUP
    assert page.locator("img, svg b, svg script").count() == 0
    button = page.locator("svg [role=button]")
    button.click()
    assert button.get_attribute("aria-label").startswith("S<1>, $on & 'so'.")
    assert opened.cells()['E"1"</text>'][2] == "1000 W"
    assert opened.cells()["</g><b>a & b</b>"][0] == "live"


@pytest.mark.parametrize("name", ["wallpaper-steamer", "towel-rail"])
def test_nothing_overflows_a_phone_and_a_finger_flips_a_switch(open_page, name):
    opened = open_page(load_appliance(name), viewport=PHONE, touch=True)
    page = opened.page
    assert page.evaluate("document.documentElement.scrollWidth") == PHONE["width"]
    assert page.get_by_text(ONE_LINE).is_visible()
    sizes = page.locator("svg text:not(:empty)").evaluate_all(
        "all => all.map(t => parseFloat(getComputedStyle(t).fontSize) * t.getScreenCTM().a)"
    )
    assert min(sizes) >= 8.99  # px
    # a press counts on all of a contact, its readings too
    boxes = [target.bounding_box() for target in page.locator("svg .hc-touch").all()]
    # px: WCAG 2.2, 2.5.5 target size (enhanced)
    assert min(min(box["width"], box["height"]) for box in boxes) >= 44
    before = opened.text('.hc-position[data-part="S1"]')
    page.locator('[data-part="S1"] .hc-hit').first.tap()
    assert opened.text('.hc-position[data-part="S1"]') != before


def test_all_of_a_wide_drawing_can_be_reached_on_a_phone(open_page):
    opened = open_page(load_appliance("hot-trolley"), viewport=PHONE)
    far = opened.page.locator('svg [data-node="N"] .hc-node-name')
    assert far.bounding_box()["x"] > PHONE["width"]
    far.scroll_into_view_if_needed()
    box = far.bounding_box()
    assert box["x"] >= 0
    assert box["x"] + box["width"] <= PHONE["width"]


def test_a_long_name_does_not_widen_a_phone_page(open_page):
    appliance = many_switches(2)
    long = type(appliance)("x" * 300, "y" * 300, appliance.supply, appliance.parts)
    opened = open_page(long, viewport=PHONE)
    assert opened.page.evaluate("document.documentElement.scrollWidth") == PHONE["width"]


def test_a_switch_in_the_drawing_is_called_what_is_written_beside_it_and_comes_first(open_page):
    opened = open_page(load_appliance("bottle-warmer"))
    button = opened.button("S1")
    assert button.text_content() == ""  # a name that adds to it would hide it from voice control
    contact = opened.contact("S1")
    written = [contact.locator(f".hc-{kind}").text_content() for kind in ("part-name", "position")]
    assert written == ["S1.1", "off"]
    assert button.get_attribute("aria-label").startswith("S1.1 to S1.3, off.")
    opened.page.keyboard.press("Tab")
    assert button.evaluate("node => node === document.activeElement")
    opened.page.keyboard.press("Tab")
    positions = opened.page.get_by_role("group", name="S1", exact=True)
    assert positions.get_by_role("radio", name="off").is_checked()
    assert positions.locator(":focus").count() == 1


def test_the_blade_of_a_change_over_switch_is_where_its_contacts_are(open_page):
    opened = open_page(load_appliance("plate-warmer"))
    page = opened.page

    def blades():
        return page.locator(".hc-when-closed, .hc-rest").evaluate_all(
            "all => all.filter(one => getComputedStyle(one).display !== 'none').length"
        ), opened.page.locator(".hc-rest").get_attribute("data-state")

    assert blades() == (1, "open")  # off, between the contacts
    opened.press("S1", contact=2)
    assert blades() == (1, "closed")
    page.get_by_label("Fault").select_option("S1.1 welded")
    assert blades() == (2, "closed")  # both ways


def test_the_table_says_why_a_voltage_has_no_number(open_page):
    opened = open_page(load_appliance("wallpaper-steamer"))
    why = opened.page.get_by_text("no fixed voltage: an end of the part floats")
    assert opened.cells()["S1.1"][0] == "–"
    assert why.is_visible()
    opened.press("S1")
    assert not why.is_visible()
