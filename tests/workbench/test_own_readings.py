"""Readings as they are typed: read by the number reader, judged against the file, and by a real
Chromium with the real Python side behind it."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lessonlib import diagnose, load_appliance, resistance
from lessonlib.errors import ReadingError
from lessonlib.meter.readings import (
    CurrentReading,
    DiodeReading,
    PowerReading,
    ResistanceReading,
)
from lessonlib.workbench.description import describe
from lessonlib.workbench.reading_rows import judged_row, last_step, read_row
from lessonlib.workbench.readings import OwnReadings, own_readings
from tests.page.notebook import Notebook
from tests.page.notebook import book as book
from tests.page.notebook import notebook as notebook
from tests.workbench.hands import tab_to

URN = load_appliance("tea-urn")
OFF, ON = {"S1": "off"}, {"S1": "on"}
METERS = {
    "ohmmeter": {"percent": "1", "digits": "3"},
    "energy meter": {"percent": "2", "digits": "2"},
}


def row(kind: str, shown: str, volts: str = "", S1: str = "off", **leads: str) -> dict[str, Any]:
    ends = {"red": "L", "black": "N", "unhooked": "", **leads}
    return {"kind": kind, "shown": shown, "volts": volts, "setting": {"S1": S1}, **ends}


INSIDE = {"red": "E2 at boost", "black": "case", "unhooked": "E2"}


@pytest.mark.parametrize(
    ("typed", "reading"),
    [
        (row("resistance", "131.5"), ResistanceReading(red="L", black="N", ohm=131.5, setting=OFF)),
        (row("diode", "0.552", **INSIDE), DiodeReading(volts=0.552, setting=OFF, **INSIDE)),
        (
            row("power", "1580 W", "229 V", "on"),
            PowerReading(power_W=1580, supply_voltage_V=229, setting=ON),
        ),
        (row("current", "6.95 A", S1="on"), CurrentReading(current_A=6.95, setting=ON)),
        *(
            (row(kind, text), reading)
            for text in ("OL", "ol", "open", "∞")
            for kind, reading in (
                ("resistance", ResistanceReading(red="L", black="N", ohm=None, setting=OFF)),
                ("diode", DiodeReading(red="L", black="N", volts=None, setting=OFF)),
            )
        ),
    ],
)
def test_a_row_is_the_reading_that_plain_code_would_make(
    typed: dict[str, Any], reading: object
) -> None:
    assert read_row(typed, METERS) == reading


@pytest.mark.parametrize(
    ("text", "unit", "step"),
    [
        ("66.80 ohm", "Ω", 0.01),
        ("67", "Ω", 1),
        ("1.2 kW", "W", 100),
        ("4k7", "Ω", 100),
        ("0,45 A", "A", 0.01),
        ("1.2e3", "W", None),
        ("OL", "Ω", None),
    ],
)
def test_one_step_of_the_last_digit_follows_from_what_is_typed(
    text: str, unit: str, step: float | None
) -> None:
    assert last_step(text, unit) == (None if step is None else pytest.approx(step, rel=1e-9))


def test_fewer_digits_typed_are_a_wider_tolerance() -> None:
    found = [read_row(row("resistance", text), METERS).tolerance for text in ("132.0", "132")]
    # 1 % of 132 and three steps, of 0.1 and of 1
    assert found == [pytest.approx(1.62, rel=1e-9), pytest.approx(4.32, rel=1e-9)]


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        (row("resistance", ""), "What the meter showed: Nothing is typed yet."),
        (row("resistance", "12 V"), "Give it in Ω."),
        (row("power", "-5"), "Leave out the minus sign."),
        (row("power", "200000"), "accepted: a number from 0 to 100000 W"),
        (row("power", "400", "400"), "If it is higher, pull the plug"),
        (row("resistance", "12", unhooked="X"), "found 'X' unhooked; accepted: a part"),
        (row("resistance", "12", black="L"), "both leads on L"),
        (row("resistance", "12", S1="half"), "no position 'half'"),
        (row("power", "400", "much"), "Supply voltage: "),
        (row("resistance", "12", percent="good"), "Percent of the ohmmeter: "),
    ],
)
def test_a_row_that_cannot_be_judged_says_what_it_needs(typed: dict[str, Any], said: str) -> None:
    percent = typed.pop("percent", "1")
    meters = {**METERS, "ohmmeter": {**METERS["ohmmeter"], "percent": percent}}
    judged = judged_row(URN, typed, meters)
    assert isinstance(judged, str)
    assert said in judged


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from(["resistance", "diode", "power", "current"]), st.text(max_size=70), st.text()
)
def test_no_text_raises(kind: str, shown: str, volts: str) -> None:
    assert judged_row(URN, row(kind, shown, volts), METERS)


def typed_into(view: OwnReadings, *rows: dict[str, Any], pairs: bool = False) -> None:
    given = {**view.given, "rows": list(rows), "pairs": pairs}
    view.set_state({"given": given, "asked": view.asked + 1})
    assert view.heard == view.asked


def test_the_form_judges_its_rows_alone_and_together() -> None:
    view = own_readings(URN)
    assert repr(view) == "Six-litre tea urn: no readings yet"
    off, on = row("resistance", "131.5"), row("resistance", "131.5", S1="on")
    typed_into(view, off, row("power", ""), on)
    assert [reply["sign"] for reply in view.replies] == ["✓", "…", "✗"]
    assert view.replies[0]["head"] == "Agrees. You read 132 Ω ± 1.6 Ω; by the file 132 Ω."
    wrong = view.replies[2]
    assert wrong["head"].endswith("by the file 33.1 Ω, and with nothing wrong 27.2 to 37.7 Ω.")
    assert wrong["lines"] == ["S1 at off would give it too: is that how it was?"]
    assert len(view.readings) == 2
    assert view.found == diagnose(URN, view.readings)
    assert repr(view) == str(view.found)
    assert view.told["said"] == list(view.found.told)
    assert view.told["said"][0].startswith("It is one of 9: E2 open; S1 not making")
    assert [head for head, _ in view.told["folded"]] == ["ruled out"]
    typed_into(view)
    assert (view.readings, view.found, view.told["rows"]) == ((), None, [])


@pytest.mark.parametrize("name", ["tea-urn", "wax-melter", "garment-steamer", "pie-cabinet"])
def test_the_next_test_is_a_row_of_the_form_from_the_first_on(name: str) -> None:
    view = own_readings(load_appliance(name))
    rows: list[dict[str, Any]] = []
    while view.told["test"] and len(rows) < 4:
        test = view.told["test"]
        assert {test["red"], test["black"]} <= set(view.points)
        assert test["unhooked"] in ("", *view.loose)
        rows.append({**test, "shown": "OL"})
        typed_into(view, *rows)
        assert len(view.readings) == len(rows)
    assert rows


def test_two_faults_are_tried_where_no_single_one_agrees_and_only_if_asked() -> None:
    view = own_readings(URN)
    rows = row("resistance", "OL"), row("resistance", "OL", red="PE", black="case")
    typed_into(view, *rows)
    assert view.told["alone"]
    assert view.told["said"][0].startswith("Nothing modelled explains these readings.")
    shown: list[str] = []
    view.observe(lambda change: shown.append(change.new), "reply")
    typed_into(view, *rows, pairs=True)
    assert shown == ["Trying two faults together: 100 % done.", ""]
    assert not view.told["alone"]
    assert all("and earth wire off" in words for _, words in view.told["rows"])


def test_what_leads_may_add_is_asked_about() -> None:
    view = own_readings(URN)
    assert view.given["meters"] == METERS
    typed_into(view, row("resistance", "1.1", black="boost", S1="on"))
    assert "Touch the leads together" in view.replies[0]["lines"][0]


def test_anything_but_an_appliance_is_refused() -> None:
    with pytest.raises(ReadingError, match="found 'tea-urn'"):
        own_readings("tea-urn")  # type: ignore[arg-type]


@pytest.mark.browser
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


@pytest.mark.browser
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


@pytest.mark.browser
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


@pytest.mark.browser
def test_a_row_asks_for_what_its_kind_needs_and_keeps_the_focus(book: Notebook) -> None:
    book.live(own_readings(URN))
    page, unhooked = book.page, book.page.get_by_label("unhooked")
    assert not unhooked.is_visible()
    page.get_by_label("black lead on").select_option("E2 at boost")
    unhooked.select_option("E2")
    page.get_by_label("black lead on").select_option("N")
    assert unhooked.is_visible()  # it counts, so it shows
    tab_to(book, "What")
    page.keyboard.press("ArrowDown")
    assert page.get_by_label("the meter shows (V, or OL)").count() == 1
    page.keyboard.press("ArrowDown")
    assert book.focused() == "What"
    assert page.get_by_label("the meter shows (W)").count() == 1
    assert page.get_by_label("red lead on").count() == 0


@pytest.mark.browser
def test_a_kept_reading_fits_the_switches_as_they_are_called_now(book: Notebook) -> None:
    book.live(own_readings(URN))
    book.page.get_by_label("the meter shows").fill("131.5")
    book.wait_for("Agrees.")
    now = describe("tea-urn")
    now.text = now.text.replace('"S1"', '"Main"')
    again = book.live(own_readings(now.appliance))
    book.wait_for("Agrees.")
    assert book.page.get_by_label("Main at").input_value() == "off"
    assert again.readings[0].setting == {"Main": "off"}
