"""The form for readings between lugs: what it makes of what is typed, and in a real Chromium."""

from __future__ import annotations

import pytest

from lessonlib.workbench.lug_form import CASE, LugView, OwnLugs, own_lugs
from tests.page.notebook import MARKUP, Notebook
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
    assert any(line.startswith("2–3: ") for line in own.missing)
    assert any(line.startswith("Leads: ") for line in own.missing)
    assert own.found is None
    assert take({"1–2": "189", "2–3": "a lot"}).found is not None


@pytest.mark.parametrize("text", ["-5", "1e400", "nan", MARKUP, "9" * 5000])
def test_no_text_raises(text: str) -> None:
    own = take({"1–2": text}, volts=text)
    assert own.missing
    assert own.found is None


def test_nothing_typed_is_nothing_said() -> None:
    own = take({})
    assert (own.found, own.missing) == (None, ())
    assert repr(own) == "Element block: no readings yet"


@pytest.mark.browser
def test_a_block_is_entered_by_keyboard_and_its_elements_appear(book: Notebook) -> None:
    own = own_lugs()
    book.live(LugView(own))
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


@pytest.mark.browser
def test_a_restarted_kernel_is_said_with_the_way_on(book: Notebook) -> None:
    book.live(LugView(own_lugs()))
    book.page.evaluate("model.fire('comm_live_update')")
    assert book.page.get_by_text("the cells above must run again").is_visible()


@pytest.mark.browser
def test_what_was_typed_is_there_again_when_the_cell_is_run_again(book: Notebook) -> None:
    book.live(LugView(own_lugs()))
    book.page.get_by_label("Ohms between 1 and 2").fill("60")
    book.page.get_by_text("1 element.").wait_for()
    book.live(LugView(own_lugs()))
    assert book.page.get_by_label("Ohms between 1 and 2").input_value() == "60"
    book.page.get_by_text("1 element.").wait_for()
