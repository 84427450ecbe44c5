"""The form for rewiring on paper: what it makes of what is typed, and in a real Chromium."""

from __future__ import annotations

from typing import Any

import pytest

from lessonlib import load_appliance
from lessonlib.workbench.rewire_form import _START, OwnRewirings, RewireView, own_rewirings
from tests.page.notebook import MARKUP, Notebook
from tests.page.notebook import book as book
from tests.page.notebook import notebook as notebook

LONG = {"elements": ["400", "700", "1000"], "wanted": ["off", "254", "412", "550", "1700"],
        "diode": True, "either": True}  # fmt: skip
"""A search of some thousand wirings and more."""


def asked(own: OwnRewirings | None = None, **given: Any) -> OwnRewirings:
    own = own or own_rewirings()
    own.begin(_START | given)
    while own.running:
        own.go_on()
    return own


def test_elements_and_powers_are_read_as_people_write_them() -> None:
    own = asked(elements=["0,5 kW", "1000 W at 240 V", "52.9 ohm"],
                wanted=["Off", "eco: 500 W", "1 kW"])  # fmt: skip
    assert own.missing == ()
    assert own.found is not None
    ohms = [round(part.resistance_ohm, 1) for part in own.found.stock.elements]
    assert ohms == [105.8, 57.6, 52.9]
    assert [each.name for each in own.found.wanted] == ["off", "eco", "1000 W"]


def test_what_cannot_be_read_is_named_by_its_place() -> None:
    own = asked(elements=["500 W", "a lot"], wanted=["off", "warm"], volts="x", fuse="hot")
    assert [line.split(":")[0] for line in own.missing] == [
        "Element 2", "Position 2", "Mains voltage", "Thermal fuse",
    ]  # fmt: skip
    assert own.found is None
    assert asked(elements=[]).missing[0].startswith("found the elements []")


@pytest.mark.parametrize("text", ["-5", "1e400", "nan", MARKUP, "9" * 5000, " at ", ":"])
def test_no_text_raises(text: str) -> None:
    given = dict.fromkeys(("volts", "fuse", "tolerance"), text)
    own = asked(elements=[text], wanted=[text, text], **given)
    assert own.missing
    assert own.found is None


def test_the_parts_of_an_appliance_need_no_typing() -> None:
    own = asked(own_rewirings(load_appliance("garment-steamer")), wanted=["off", "high"],
                elements=["nonsense"])  # fmt: skip
    assert own.found is not None
    assert len(own.found)


def test_a_search_goes_on_turn_by_turn_and_can_be_stopped() -> None:
    own = own_rewirings()
    own.begin(_START | LONG)
    assert own.running
    assert "after about" in own.beforehand
    own.go_on(0.0)
    assert own.running
    assert own.progress is not None
    own.stop()
    assert not own.running
    assert own.found is not None
    assert own.found.stopped


@pytest.mark.browser
def test_a_search_by_keyboard_shows_its_wirings(book: Notebook) -> None:
    view = book.live(RewireView(own_rewirings()))
    book.page.get_by_label("element 2").focus()
    book.page.keyboard.press("Control+A")
    book.page.keyboard.insert_text("900")
    book.page.keyboard.press("Enter")
    book.page.get_by_role("heading", name="Wiring 1, drawn at both, 1400 W").wait_for()
    assert "Found: 1 wiring with a switch of 2 contacts" in book.said()
    assert book.page.get_by_text("licensed person").first.is_visible()
    assert not book.page.get_by_role("button", name="Stop").is_visible()
    assert view.running is False


@pytest.mark.browser
def test_a_long_search_is_stopped_by_its_button(book: Notebook) -> None:
    view = RewireView(own_rewirings())
    view.given = _START | LONG
    book.live(view)
    book.press("Search")
    book.page.get_by_role("button", name="Stop").focus()
    book.page.keyboard.press("Enter")
    book.wait_for("The search was stopped")
    assert book.focused() == "Search"


@pytest.mark.browser
def test_what_was_typed_is_there_again_when_the_cell_is_run_again(book: Notebook) -> None:
    book.live(RewireView(own_rewirings()))
    book.page.get_by_label("position 1").fill("eco: 300 W")
    book.live(RewireView(own_rewirings()))
    assert book.page.get_by_label("position 1").input_value() == "eco: 300 W"
    book.page.evaluate("model.fire('comm_live_update')")
    assert book.page.get_by_text("the cells above must run again").is_visible()
