"""The form for a spare part: what it makes of what is typed, and in a real Chromium."""

from __future__ import annotations

from typing import Any

import pytest

from lessonlib import load_appliance
from lessonlib.workbench.spare_form import _START, OwnSpare, SpareView, own_spare
from tests.page.notebook import MARKUP, Notebook
from tests.page.notebook import book as book
from tests.page.notebook import notebook as notebook


def take(**given: Any) -> OwnSpare:
    own = own_spare()
    own.take({**_START, **given})
    return own


def test_a_part_of_an_example_is_judged_by_what_is_typed() -> None:
    own = take(appliance="wax-melter", part="D1", typed={"rated_A": "3", "rated_V": "0.4 kV"})
    assert [field["key"] for field in own.form["fields"]][:2] == ["forward_drop_V", "rated_A"]
    assert own.found is not None
    assert own.found.good is None  # how it is cooled is not known
    assert {row.verdict for row in own.found.rows[1:]} == {"pass"}


def test_the_power_alone_is_enough_for_most_parts() -> None:
    # 1000 W at 230 V behind a diode: 1.957 A in the mean (check_values), 2.153 A at 253 V
    diode = take(watts="1 kW", part="diode", typed={"rated_A": "1"}).found
    assert diode is not None
    assert diode.good is False
    assert diode.rows[0].found == pytest.approx(2.153, abs=1e-3)
    cord = take(watts="2300", part="cord").found
    assert cord is not None
    assert cord.least.startswith("at least 0.75 mm² for 2 m")  # short: values in brackets
    assert take(watts="2300").parts[-1] == "plug fuse"
    assert "plug fuse" not in take(watts="1200", volts="120").parts


def test_a_thermal_fuse_needs_the_mark_of_the_one_fitted() -> None:
    given: dict[str, Any] = {"watts": "1500", "part": "thermal fuse"}
    assert take(**given).said.startswith("Type the mark of the one fitted")
    typed = {"opens_at_C": "152", "holds_C": "120", "rated_A": "10", "place_C": "110"}
    hotter, cooler = (take(**given, fitted_C=mark, typed=typed).found for mark in ("141", "152"))
    assert hotter is not None
    assert cooler is not None
    assert (hotter.good, cooler.good) == (False, True)


def test_what_cannot_be_read_is_named_and_nothing_is_judged() -> None:
    own = take(appliance="wax-melter", part="D1", typed={"rated_A": "many"}, mains="230 W")
    assert own.found is None
    assert set(own.wrong) == {"rated", "used on another mains"}
    assert take(appliance="nothing").said
    assert take(watts="0", part="cord").said.startswith("found 0 W")


@pytest.mark.parametrize("text", ["-5", "1e400", "nan", MARKUP, "9" * 5000])
def test_no_text_raises(text: str) -> None:
    for given in (
        {"appliance": text, "part": text},
        {"watts": text, "volts": text, "part": "cord"},
        {"appliance": "wax-melter", "part": "F1", "typed": {"place_C": text}, "mains": text},
    ):
        own = take(**given)
        assert own.found is None
        assert own.said or own.wrong


@pytest.mark.browser
def test_a_spare_is_judged_by_keyboard_alone(book: Notebook) -> None:
    own = own_spare(load_appliance("wax-melter"))
    book.live(SpareView(own))
    assert not book.page.get_by_label("appliance").is_visible()
    book.page.get_by_label("in place of").focus()
    book.page.keyboard.type("S1")
    book.page.get_by_label("rated (A)").wait_for()
    assert book.page.get_by_text("Good enough: current at least 6 A").is_visible()
    book.page.get_by_label("rated (A)").focus()
    book.page.keyboard.type("3")
    book.page.get_by_text("S1: no.").wait_for()
    assert book.page.get_by_label("rated (A)").evaluate("box => box === document.activeElement")
    book.page.keyboard.press("Backspace")
    book.page.keyboard.type("6")
    book.page.get_by_text("S1: yes, good enough.").wait_for()


@pytest.mark.browser
def test_what_was_typed_is_there_again_when_the_cell_is_run_again(book: Notebook) -> None:
    for _ in range(2):
        book.live(SpareView(own_spare()))
        if _ == 0:
            book.page.get_by_label("power on its plate (W)").fill("1000")
            book.page.get_by_label("in place of").select_option("diode")
            book.page.get_by_label("rated (V)").fill("200")
        book.page.get_by_text("358 V, at most 200 V").wait_for()
    assert book.page.get_by_label("rated (V)").input_value() == "200"
