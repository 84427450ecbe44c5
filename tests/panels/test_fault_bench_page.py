"""A saved fault bench in Chromium, opened from disk: faults found by mouse, keyboard and touch.

Every test here also fails on a console message, a page error, or any network request.
"""

from __future__ import annotations

import pytest

from lessonlib import fault_bench, load_appliance
from lessonlib.safety import ONE_LINE, UNPLUGGED
from tests.page.notebook import still as still
from tests.page.notebook import still_notebook as still_notebook
from tests.panels.conftest import PHONE

pytestmark = pytest.mark.browser


def bench_with(name, fault, level=1):
    """A bench whose hidden fault has these words."""
    bench = fault_bench(load_appliance(name), level=level)
    while str(bench.fault) != fault:
        bench.seed += 1
    return bench


def click(page, *names):
    for name in names:
        page.get_by_role("button", name=name, exact=True).click()


def lines(page):
    """The tests taken, as they are listed."""
    return page.get_by_role("list", name="Your tests").locator("li").all_text_contents()


def call_it(page, words):
    page.get_by_label("The fault is").select_option(label=words)
    page.get_by_role("button", name="Name it").click()


def focused(page):
    return page.evaluate("document.activeElement.getAttribute('aria-label')")


def test_a_fault_is_found_with_the_mouse_and_stands_beside_the_plan(open_page):
    opened = open_page(bench_with("tea-urn", "E1 open"))
    page = opened.page
    display = page.locator(".hcb-display")
    assert display.text_content() == "– – –"
    reply = page.locator(".hck-reply")
    click(page, "Which test next?")
    assert reply.text_content() == (
        "Next test, at the plug: L to N, S1 off.It splits the 7 that are left into 4 groups."
    )
    click(page, "plug pin L", "plug pin N")
    assert display.text_content() == "OL"
    assert reply.text_content() == ""  # what was advised before this test
    opened.press("S1")
    assert display.text_content().startswith("44.")  # 230 V squared over 1200 W
    first, second = lines(page)
    assert first == "L to N, S1 off: OL, rules out 5 of 7, 2 left"
    assert second.startswith("L to N, S1 on: 44.")
    assert "rules out" in second
    click(page, "plug pin L, red probe here")  # picked up again
    assert display.text_content() == "– – –"
    said = page.get_by_role("status").first
    assert said.text_content().endswith("Black on N. Put the red probe (+) on a point.")
    click(page, "Which test next?")
    assert reply.text_content() == "Only one fault of the list fits your readings: name it."
    call_it(page, "E1 open")
    told = reply.text_content()
    assert "Right: it is E1 open." in told
    assert "You took 2 tests; the plan takes 2" in told
    assert "In hindsight, test 2 alone would have told as much." in told
    plan = page.locator(".hcb-plan li").all_text_contents()
    assert plan[0].startswith("at the plug: L to N, S1 off: OL, 2 left")
    ruled = page.locator(".hcb-log details").first
    ruled.locator("summary").click()
    assert "E2 open" in ruled.text_content()


def test_a_fault_is_found_with_the_keyboard_alone(open_page):
    opened = open_page(bench_with("tea-urn", "E2 at boost: wire off", level=2))
    page, press = opened.page, opened.page.keyboard.press
    while focused(page) != "plug pin L":
        press("Tab")
    press("Enter")
    said = page.get_by_role("status").first
    assert said.text_content() == "Red on L. Put the black probe (−) on a point."
    while focused(page) != "plug pin N":
        press("ArrowRight")
    press("Enter")
    assert said.text_content().startswith("Test 1: L to N, S1 off: 13")
    while not (focused(page) or "").startswith("S1, off"):
        press("Shift+Tab")
    press("Enter")
    assert said.text_content().startswith("S1 on. Test 2: L to N, S1 on: 13")
    while not (focused(page) or "").startswith("plug pin"):
        press("Tab")
    for probe, name in (("r", "E2 at boost"), ("b", "boost")):
        press("Home")
        while (focused(page) or "").split(",")[0] != name:
            press("ArrowRight")
        press(probe)
    assert lines(page)[2].startswith("E2 at boost to N, S1 on: 44.")  # E2 alone
    assert said.text_content().startswith("Test 4: E2 at boost to boost, S1 on: 17")
    assert said.text_content().endswith(", 1 left.")
    choice = page.get_by_label("The fault is")
    while not choice.evaluate("node => node === document.activeElement"):
        press("Tab")
    page.keyboard.type("E2 at boost: wire")
    assert choice.evaluate("node => node.selectedOptions[0].text") == "E2 at boost: wire off"
    press("Tab")
    press("Enter")
    reply = page.locator(".hck-reply")
    assert "Right: it is E2 at boost: wire off." in reply.text_content()
    assert reply.evaluate("node => node === document.activeElement")


@pytest.mark.parametrize(("name", "part"), [("bottle-warmer", "S1"), ("pie-cabinet", "S2")])
def test_a_press_on_the_middle_of_either_throw_turns_a_change_over_switch(open_page, name, part):
    opened = open_page(fault_bench(load_appliance(name)))
    for contact in (1, 2):
        before = opened.text(f'.hc-position[data-part="{part}"]')
        opened.press(part, contact)
        assert opened.text(f'.hc-position[data-part="{part}"]') != before


def test_a_wrong_name_is_answered_with_the_reading_against_it(open_page):
    opened = open_page(bench_with("tea-urn", "E1 open"))
    page = opened.page
    reply = page.locator(".hck-reply")
    page.get_by_role("button", name="Name it").click()
    assert reply.text_content() == "?Choose a fault first."
    call_it(page, "E2 open")
    assert "No reading of yours rules it out" in reply.text_content()
    assert "7 of the list still fit" in reply.text_content()
    click(page, "plug pin L", "plug pin N")
    call_it(page, "E2 open")
    assert (
        "Test 1 speaks against it: L to N, S1 off showed OL, and with that fault it would be "
        "about 132.3\u00a0Ω." in reply.text_content()
    )
    call_it(page, "E1 open")
    assert "Named before: E2 open; E2 open." in reply.text_content()
    assert "possible: partly luck" in reply.text_content()


def test_with_its_wires_off_a_part_is_measured_alone(open_page):
    opened = open_page(bench_with("wallpaper-steamer", "H1 shorted"))
    page = opened.page
    page.get_by_label("Wires off").select_option("E1")
    page.get_by_role("button", name="plug pin L", exact=True).click(force=True)
    said = page.get_by_role("status").first
    assert said.text_content().startswith("With E1 unhooked, measure at its own ends.")
    seen = []
    page.get_by_role("button", name="E1 at top", exact=True).focus()
    for _ in range(3):
        seen.append(focused(page))
        page.keyboard.press("ArrowRight")
    assert seen == ["E1 at top", "E1 at bottom", "case"]
    click(page, "E1 at top", "E1 at bottom")
    assert lines(page)[0].startswith("E1 at top to E1 at bottom, with E1 unhooked, S1 off: 26.")
    assert page.get_by_label("Wires off").input_value() == "E1"


def test_the_diode_range_tells_which_way_a_diode_is_fitted(open_page):
    opened = open_page(bench_with("wax-melter", "D1 reversed"))
    page = opened.page
    anode, cathode = "D1 at fed", "D1 at heat"
    page.get_by_label("Wires off").select_option("D1")
    page.get_by_label("Range").select_option("diode test")
    click(page, anode, cathode)
    assert page.locator(".hcb-display").text_content() == "OL"
    click(page, f"{anode}, red probe here", f"{cathode}, black probe here", cathode, anode)
    assert page.locator(".hcb-display").text_content().startswith("0.59")
    assert lines(page)[-1].startswith("diode range, red lead first, ")


def test_the_hidden_fault_stands_nowhere_before_the_end(open_page):
    """What is seen and what is read out is the same for two faults, but for the seed."""
    pages = [open_page(bench_with("tea-urn", fault)) for fault in ("E1 open", "E2 shorted")]
    for opened in pages:
        opened.page.get_by_label("Seed").evaluate("node => node.removeAttribute('value')")
    without_ids = "node => node.outerHTML.replaceAll(/hck-[0-9]+-[a-z0-9]+/g, '')"
    first, second = (opened.page.locator("#panel").evaluate(without_ids) for opened in pages)
    assert first == second
    live = pages[0].live
    assert live.fault.part not in repr(live)


def test_another_fault_a_seed_of_ones_own_and_show_me(open_page):
    urn = load_appliance("tea-urn")
    opened = open_page(fault_bench(urn, seed=4))
    page = opened.page
    click(page, "plug pin L", "plug pin N")
    click(page, "Another fault")
    assert (lines(page), page.get_by_label("Seed").input_value()) == ([], "5")
    page.get_by_label("Seed").fill("x")
    page.get_by_label("Seed").press("Enter")
    said = page.get_by_role("status").first
    assert said.text_content() == 'Found the seed "x"; accepted: a whole number from 0 to 999999.'
    page.get_by_label("Seed").fill("77")
    page.get_by_label("Seed").press("Enter")
    click(page, "Show me")
    hidden = fault_bench(urn, seed=77).fault
    assert page.locator(".hck-reply").text_content().startswith(f"It is {hidden}.")
    assert page.locator(".hcb-plan li").count() >= 1


def test_what_was_done_is_kept_in_the_model_and_a_page_saved_half_way_goes_on_there(
    still, open_page
):
    live = bench_with("tea-urn", "E1 open")
    still.draw(live)
    click(still.page, "plug pin L", "plug pin N")
    live.taken = still.get("taken")
    assert live.taken == [[0, "Ω", 0, 0, 1]]
    assert lines(open_page(live).page) == ["L to N, S1 off: OL, rules out 5 of 7, 2 left"]


@pytest.mark.parametrize("name", ["plate-warmer", "hot-trolley"])
def test_nothing_overflows_a_phone_and_fingers_place_the_probes(open_page, name):
    opened = open_page(fault_bench(load_appliance(name)), viewport=PHONE, touch=True)
    page = opened.page
    assert page.evaluate("document.documentElement.scrollWidth") == PHONE["width"]
    page.locator(".hcp-scroll").evaluate("node => node.scrollTo(0, 0)")
    drawn = page.locator("svg.hc-schematic").bounding_box()
    for hit in page.locator(".hcb-hit").all():
        assert hit.bounding_box()["x"] + 24 <= drawn["x"] + drawn["width"]
        assert hit.bounding_box()["width"] >= 23.9  # px: WCAG 2.2, 2.5.8 target size: 24
    for pin in ("plug pin L", "plug pin N"):
        page.get_by_role("button", name=pin, exact=True).tap()
    assert len(lines(page)) == 1


def test_it_fits_a_laptops_screen_and_always_shows_the_caution(open_page):
    opened = open_page(
        fault_bench(load_appliance("tea-urn")), viewport={"width": 1280, "height": 640}
    )
    assert opened.page.evaluate("document.documentElement.scrollHeight") <= 640
    assert opened.page.get_by_text(f"{ONE_LINE} {UNPLUGGED}").is_visible()
