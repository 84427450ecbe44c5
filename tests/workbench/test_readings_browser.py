"""The form for readings in a real Chromium, with the real Python side behind it."""

from __future__ import annotations

import pytest

from lessonlib import load_appliance, resistance
from lessonlib.workbench.readings import own_readings
from tests.page.notebook import Notebook
from tests.page.notebook import book as book
from tests.page.notebook import notebook as notebook
from tests.workbench.hands import tab_to

pytestmark = pytest.mark.browser

URN = load_appliance("tea-urn")


def test_readings_are_judged_as_they_are_typed(book: Notebook) -> None:
    mine, page = book.live(own_readings(URN)), book.page
    page.get_by_label("the meter shows").fill("131.5")
    book.wait_for("Agrees. You read 132 Ω ± 1.6 Ω; by the file 132 Ω.")
    page.get_by_text("Accuracy of your meters").click()
    page.get_by_role("group", name="ohmmeter").get_by_label("± % of the reading").fill("0.5")
    book.wait_for("± 0.96 Ω")
    book.press("Another reading")
    assert book.focused() == "What"
    second = page.get_by_role("group", name="Reading 2")
    second.get_by_label("What").select_option("power")
    second.get_by_label("S1 at").select_option("on")
    second.get_by_label("the meter shows").fill("1180 W")
    second.get_by_label("volts on the same meter").fill("228")
    book.wait_for("Off, 25 % low.")
    assert [reading.value for reading in mine.readings] == [131.5, 1180]
    page.get_by_role("button", name="Remove reading 1").click()
    page.wait_for_function("() => model.get('replies').length === 1")
    assert [reading.value for reading in mine.readings] == [1180]
    assert page.get_by_role("group", name="Reading 1").get_by_text("Off, 25 % low.").is_visible()
    assert "E1 open" in page.locator(".hcw-conclusion").inner_text()


def test_three_readings_by_keyboard_lead_to_an_open_element(book: Notebook) -> None:
    mine, keys = book.live(own_readings(URN)), book.page.keyboard
    for number in (2, 3, 4):
        test = mine.next_test  # the form starts with the first, and puts each other in
        assert test is not None
        if number == 2:
            tab_to(book, "the meter shows (Ω, or OL)")
        shown = resistance(URN, test.setting, red=test.red, black=test.black, fault="E2 open").ohm
        keys.type("OL" if shown is None else f"{shown:.1f}")
        put_in = f"Put this test in as reading {number}"
        book.page.get_by_role("button", name=put_in).wait_for()
        tab_to(book, put_in)
        if number < 4:
            keys.press("Enter")
            assert book.focused() == "the meter shows (Ω, or OL)"
    assert mine.found is not None
    assert mine.found.suspects[0].words == "E2 open"
    said = book.page.locator(".hcw-conclusion").inner_text()
    assert "It is one of 3: E2 open; E2 at boost: wire off; E2 at N: wire off." in said
    assert "Next test, case open: E2 at boost to E2 at N, S1 off." in said


def test_wires_can_be_unhooked_once_a_lead_is_inside(book: Notebook) -> None:
    book.live(own_readings(URN))
    unhooked = book.page.get_by_label("unhooked")
    assert not unhooked.is_visible()
    book.page.get_by_label("black lead on").select_option("E2 at boost")
    unhooked.select_option("E2")
    book.page.get_by_label("black lead on").select_option("N")
    assert unhooked.is_visible()  # it counts, so it shows


def test_two_faults_are_tried_at_the_press_of_a_button(book: Notebook) -> None:
    mine = book.live(own_readings(URN))
    book.take(reply="Trying two faults together: 40 % done.")
    book.wait_for("40 % done")
    book.page.get_by_label("the meter shows").fill("OL")
    book.press("Another reading")
    second = book.page.get_by_role("group", name="Reading 2")
    second.get_by_label("red lead on").select_option("PE")
    second.get_by_label("black lead on").select_option("case")
    second.get_by_label("the meter shows").fill("OL")
    book.press("Try two faults together")
    book.wait_for("and earth wire off")
    assert "% done" not in book.page.inner_text("body")
    assert mine.found is not None
    assert all(len(each.faults) == 2 for each in mine.found.suspects)


def test_another_kind_of_reading_keeps_the_focus_and_asks_for_other_things(book: Notebook) -> None:
    book.live(own_readings(URN))
    tab_to(book, "What")
    book.page.keyboard.press("ArrowDown")
    assert book.page.get_by_label("the meter shows (V, or OL)").count() == 1
    assert book.page.get_by_label("red lead on").count() == 1
    book.page.keyboard.press("ArrowDown")
    assert book.focused() == "What"
    assert book.page.get_by_label("the meter shows (W)").count() == 1
    assert book.page.get_by_label("red lead on").count() == 0
