"""The form for a spare part: what it makes of what is typed, and in a real Chromium."""

from __future__ import annotations

from typing import Any

import pytest

from lessonlib import load_appliance
from lessonlib.workbench.spare_form import OwnSpare, own_spare
from tests.page.notebook import Notebook
from tests.page.notebook import book as book
from tests.page.notebook import notebook as notebook


def take(**given: Any) -> OwnSpare:
    own = own_spare()
    own.set_state({"given": {**own.given, **given}, "asked": 1})
    assert own.heard == 1
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
    assert take(**given).reply.startswith("Type the mark of the one fitted")
    typed = {"opens_at_C": "152", "holds_C": "120", "rated_A": "10", "place_C": "110"}
    hotter, cooler = (take(**given, fitted_C=mark, typed=typed).found for mark in ("141", "152"))
    assert hotter is not None
    assert cooler is not None
    assert (hotter.good, cooler.good) == (False, True)


def test_what_cannot_be_read_is_named_and_nothing_is_judged() -> None:
    own = take(appliance="wax-melter", part="D1", typed={"rated_A": "many"}, mains="230 W")
    assert own.found is None
    assert [line.split(":")[0] for line in own.missing] == ["rated", "used on another mains"]
    assert take(appliance="nothing").reply.startswith("found no appliance")
    assert take(watts="0", part="cord").reply.startswith("found 0 W")


@pytest.mark.browser
def test_a_spare_is_judged_by_keyboard_alone(book: Notebook) -> None:
    book.live(own_spare(load_appliance("wax-melter")))
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
