"""The form for rewiring on paper: what it makes of what is typed, and in a real Chromium."""

from __future__ import annotations

from typing import Any

import pytest

from lessonlib import load_appliance
from lessonlib.workbench import rewire_form
from lessonlib.workbench.rewire_form import OwnRewirings, own_rewirings
from tests.page.notebook import Notebook
from tests.page.notebook import book as book
from tests.page.notebook import notebook as notebook

LONG = {
    "elements": ["400", "700", "1000"],
    "wanted": ["off", "254", "412", "550", "1700"],
    "diode": True,
    "either": True,
}
"""A search of some thousand wirings and more."""


def press(own: OwnRewirings, act: str, **given: Any) -> None:
    own.set_state({"given": own.given | given, "act": act, "asked": own.asked + 1})
    assert own.heard == own.asked


def asked(own: OwnRewirings | None = None, **given: Any) -> OwnRewirings:
    own = own or own_rewirings()
    press(own, "begin", **given)
    while own.running:
        press(own, "on")
    return own


def test_elements_and_powers_are_read_as_people_write_them() -> None:
    own = asked(
        elements=["0,5 kW", "1000 W at 240 V", "52.9 ohm"], wanted=["Off", "eco: 500 W", "1 kW"]
    )
    assert own.missing == []
    assert own.found is not None
    ohms = [round(part.resistance_ohm, 1) for part in own.found.stock.elements]
    assert ohms == [105.8, 57.6, 52.9]
    assert [each.name for each in own.found.wanted] == ["off", "eco", "1000 W"]


def test_what_cannot_be_read_is_named_by_its_place() -> None:
    own = asked(elements=["500 W", "a lot"], wanted=["off", "warm"], volts="x", fuse="hot")
    places = ["Element 2", "Position 2", "Mains voltage", "Thermal fuse"]
    assert [line.split(":")[0] for line in own.missing] == places
    assert own.found is None
    assert asked(elements=[]).reply.startswith("found the elements []")


def test_the_parts_of_an_appliance_need_no_typing() -> None:
    steamer = own_rewirings(load_appliance("garment-steamer"))
    own = asked(steamer, wanted=["off", "high"], elements=["nonsense"])
    assert own.found is not None
    assert len(own.found)


def test_a_search_goes_on_turn_by_turn_and_can_be_stopped(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(rewire_form, "TURN_S", 0.0)
    own = own_rewirings()
    press(own, "begin", **LONG)
    assert own.running
    assert "after about" in own.reply
    press(own, "on")
    assert (own.running, own.found) == (True, None)
    assert "1 contact: " in own.progress
    press(own, "stop")
    assert not own.running
    assert own.found is not None
    assert own.found.stopped
    assert "The search was stopped" in own.reply


@pytest.mark.browser
def test_a_search_by_keyboard_shows_its_wirings(book: Notebook) -> None:
    view = book.live(own_rewirings())
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
    view = own_rewirings()
    view.given = view.given | LONG
    book.live(view)
    book.press("Search")
    book.page.get_by_role("button", name="Stop").focus()
    book.page.keyboard.press("Enter")
    book.wait_for("The search was stopped")
    assert book.focused() == "Search"
