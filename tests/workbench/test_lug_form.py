"""The form for readings between lugs: what it makes of what is typed, and in a real Chromium."""

from __future__ import annotations

import pytest

from lessonlib.workbench.lug_form import CASE, OwnLugs, own_lugs
from tests.page.notebook import Notebook
from tests.page.notebook import book as book
from tests.page.notebook import notebook as notebook


def take(typed: dict[str, str], count: int = 3, volts: str = "230", leads: str = "") -> OwnLugs:
    own = own_lugs()
    own.take({"count": count, "volts": volts, "leads": leads, "typed": typed})
    return own


def test_the_way_people_write_ohms_is_read() -> None:
    found = take({"1–2": "189", "2–3": "0.0524 k", "1–3": "241,4 ohm", f"1–{CASE}": "OL"}).found
    assert found is not None
    assert [round(element.resistance_ohm) for element in found.elements] == [189, 52]
    assert found.leaks == ()


def test_what_is_typed_beyond_the_number_of_lugs_does_not_count() -> None:
    found = take({"1–2": "189", "3–4": "50"}, count=2).found
    assert found is not None
    assert len(found.elements) == 1


def test_what_cannot_be_read_is_named_by_its_place_and_the_rest_counts() -> None:
    own = take({"1–2": "189", "2–3": "a lot"}, leads="x")
    assert [line.split(":")[0] for line in own.missing] == ["2–3", "Leads"]
    assert own.found is None
    assert take({"1–2": "189", "2–3": "a lot"}).found is not None


def test_nothing_typed_is_nothing_said() -> None:
    own = take({})
    assert (own.found, own.missing) == (None, [])
    assert repr(own) == "Element block: no readings yet"


@pytest.mark.browser
def test_a_block_is_entered_by_keyboard_and_its_elements_appear(book: Notebook) -> None:
    own = book.live(own_lugs())
    book.page.get_by_label("number of lugs").select_option("3")
    book.page.get_by_label("Ohms between 1 and 2").focus()
    for text in ("189", "241.4", "OL", "52.4"):  # 1–2, 1–3, 1–case, 2–3
        book.page.keyboard.insert_text(text)
        book.page.keyboard.press("Tab")
    book.page.get_by_text("2 elements.").wait_for()
    assert book.page.get_by_role("row", name="2 and 3 52.4 Ω 1010 W high").count() == 1
    assert book.page.get_by_role("img", name="1 to 2 189 Ω, 280 W").count() == 1
    assert 'name = "E2"' in (book.page.locator("pre").text_content() or "")
    assert own.found is not None
