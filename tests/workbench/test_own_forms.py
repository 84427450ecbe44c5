"""The forms for lugs, a spare part and rewiring: what they make of what is typed, and what they
have in common, in a real Chromium too."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from lessonlib import load_appliance, own_lugs, own_readings, own_rewirings, own_spare
from lessonlib.workbench import rewire_form
from tests.page.notebook import MARKUP, Notebook
from tests.page.notebook import book as book
from tests.page.notebook import notebook as notebook

URN = load_appliance("tea-urn")
LONG = {
    "elements": ["400", "700", "1000"],
    "wanted": ["off", "254", "412", "550", "1700"],
    "diode": True,
    "either": True,
}
"""A search of some thousand wirings and more."""


def ask(own: Any, act: str = "", **given: Any) -> Any:
    """The form, after that was typed into it and a button pressed."""
    own.set_state({"given": own.given | given, "act": act, "asked": own.asked + 1})
    assert own.heard == own.asked
    return own


def places(own: Any) -> list[str]:
    """The fields that could not be read."""
    assert own.found is None
    return [line.split(":")[0] for line in own.missing]


class TestLugs:
    def test_ohms_are_read_as_people_write_them_up_to_the_number_of_lugs(self) -> None:
        typed = {"1–2": "189", "2–3": "0.0524 k", "1–3": "241,4 ohm", "1–case": "OL", "3–4": "5"}
        found = ask(own_lugs(), count=3, typed=typed).found
        assert [round(element.resistance_ohm) for element in found.elements] == [189, 52]
        assert found.leaks == ()

    def test_what_cannot_be_read_is_named_by_its_place_and_the_rest_counts(self) -> None:
        typed = {"1–2": "189", "2–3": "a lot"}
        assert places(ask(own_lugs(), typed=typed, leads="x")) == ["2–3", "Leads"]
        assert ask(own_lugs(), typed=typed).found is not None
        empty = ask(own_lugs())
        assert (places(empty), repr(empty)) == ([], "Element block: no readings yet")

    @pytest.mark.browser
    def test_a_block_is_entered_by_keyboard_and_its_elements_appear(self, book: Notebook) -> None:
        own = book.live(own_lugs())
        book.page.get_by_label("number of lugs").select_option("3")
        book.page.get_by_label("Ohms between 1 and 2").focus()
        for text in ("189", "241.4", "OL", "52.4"):  # 1–2, 1–3, 1–case, 2–3
            book.page.keyboard.insert_text(text)
            book.page.keyboard.press("Tab")
        book.page.get_by_text("2 elements.").wait_for()
        row = book.page.get_by_role("row", name="2 and 3 52.4 Ω 1010 W high")
        room = "cell => parseFloat(getComputedStyle(cell).paddingRight)"
        assert row.locator("td").first.evaluate(room) > 8  # its columns stand apart
        assert book.page.get_by_role("img", name="1 to 2 189 Ω, 280 W").count() == 1
        assert 'name = "E2"' in (book.page.locator("pre").text_content() or "")
        assert own.found is not None


class TestSpare:
    def test_a_part_of_an_example_is_judged_by_what_is_typed(self) -> None:
        typed = {"rated_A": "3", "rated_V": "0.4 kV"}
        own = ask(own_spare(), appliance="wax-melter", part="D1", typed=typed)
        assert [field["key"] for field in own.form["fields"]][:2] == ["forward_drop_V", "rated_A"]
        assert own.found.good is None  # how it is cooled is not known
        assert {row.verdict for row in own.found.rows[1:]} == {"pass"}

    def test_the_power_alone_is_enough_for_most_parts(self) -> None:
        # 1000 W at 230 V behind a diode: 1.957 A in the mean (check_values), 2.153 A at 253 V
        diode = ask(own_spare(), watts="1 kW", part="diode", typed={"rated_A": "1"}).found
        assert diode.good is False
        assert diode.rows[0].found == pytest.approx(2.153, abs=1e-3)
        own = ask(own_spare(), watts="2300", part="cord")
        assert own.found.least.startswith("at least 0.75 mm² for 2 m")  # short: values in brackets
        assert own.parts[-1] == "plug fuse"
        assert "plug fuse" not in ask(own, watts="1200", volts="120").parts

    def test_a_thermal_fuse_needs_the_mark_of_the_one_fitted(self) -> None:
        own = ask(own_spare(), watts="1500", part="thermal fuse")
        assert own.reply.startswith("Type the mark of the one fitted")
        typed = {"opens_at_C": "152", "holds_C": "120", "rated_A": "10", "place_C": "110"}
        assert ask(own, fitted_C="141", typed=typed).found.good is False
        assert ask(own, fitted_C="152").found.good is True

    def test_what_cannot_be_read_is_named_and_nothing_is_judged(self) -> None:
        given = {"appliance": "wax-melter", "part": "D1", "typed": {"rated_A": "many"}}
        wrong = ask(own_spare(), **given, mains="230 W")
        assert places(wrong) == ["rated", "used on another mains"]
        assert ask(own_spare(), appliance="nothing").reply.startswith("found no appliance")
        assert ask(own_spare(), watts="0", part="cord").reply.startswith("found 0 W")

    @pytest.mark.browser
    def test_half_of_a_marking_leaves_its_fields_and_another_part_begins_with_empty_ones(
        self, book: Notebook
    ) -> None:
        book.live(own_spare(load_appliance("tea-urn")))
        part, power = book.page.get_by_label("in place of"), book.page.get_by_label("power (W)")
        part.select_option("E1")
        power.fill("500")
        book.wait_for("accepted: power_W together with voltage_V")
        book.page.get_by_label("voltage (V)", exact=True).fill("230")
        book.wait_for("E1: no.")
        part.select_option("E2")
        book.wait_for("E2: cannot tell.")
        assert power.input_value() == ""

    @pytest.mark.browser
    def test_a_spare_is_judged_by_keyboard_alone(self, book: Notebook) -> None:
        book.live(own_spare(load_appliance("wax-melter")))
        rated, keyboard = book.page.get_by_label("rated (A)"), book.page.keyboard
        assert not book.page.get_by_label("appliance").is_visible()
        book.page.get_by_label("in place of").focus()
        keyboard.type("S1")
        rated.wait_for()
        book.wait_for("Good enough: current at least 6 A")
        rated.focus()
        keyboard.type("3")
        book.wait_for("S1: no.")
        assert rated.evaluate("box => box === document.activeElement")
        keyboard.press("Backspace")
        keyboard.type("6")
        book.wait_for("S1: yes, good enough.")


class TestRewiring:
    def search(self, own: Any, **given: Any) -> Any:
        ask(own, "begin", **given)
        while own.running:
            ask(own, "on")
        return own

    def test_elements_and_powers_are_read_as_people_write_them(self) -> None:
        elements = ["0,5 kW", "1000 W at 240 V", "52.9 ohm"]
        own = self.search(own_rewirings(), elements=elements, wanted=["Off", "eco: 500 W", "1 kW"])
        ohms = [round(part.resistance_ohm, 1) for part in own.found.stock.elements]
        assert ohms == [105.8, 57.6, 52.9]
        assert [each.name for each in own.found.wanted] == ["off", "eco", "1000 W"]

    def test_what_cannot_be_read_is_named_by_its_place(self) -> None:
        given = {"elements": ["500 W", "a lot"], "wanted": ["off", "warm"], "fuse": "hot"}
        own = self.search(own_rewirings(), **given, volts="x")
        assert places(own) == ["Element 2", "Position 2", "Mains voltage", "Thermal fuse"]
        own = self.search(own_rewirings(), elements=[])
        assert own.reply.startswith("found the elements []")

    def test_the_parts_of_an_appliance_need_no_typing(self) -> None:
        steamer = own_rewirings(load_appliance("garment-steamer"))
        assert len(self.search(steamer, wanted=["off", "high"], elements=["nonsense"]).found)

    def test_a_search_goes_on_turn_by_turn_and_can_be_stopped(
        self, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.setattr(rewire_form, "TURN_S", 0.0)
        own = ask(own_rewirings(), "begin", **LONG)
        assert own.running
        assert "after about" in own.reply
        ask(own, "on")
        assert (own.running, own.found) == (True, None)
        assert "1 contact: " in own.progress
        ask(own, "stop")
        assert not own.running
        assert own.found.stopped
        assert "The search was stopped" in own.reply

    @pytest.mark.browser
    def test_a_search_by_keyboard_shows_its_wirings(self, book: Notebook) -> None:
        own = book.live(own_rewirings())
        book.page.get_by_label("element 2").focus()
        book.page.keyboard.press("Control+A")
        book.page.keyboard.insert_text("900")
        book.page.keyboard.press("Enter")
        book.page.get_by_role("heading", name="Wiring 1, drawn at both, 1400 W").wait_for()
        assert "Found: 1 wiring with a switch of 2 contacts" in book.said()
        assert book.page.get_by_text("licensed person").first.is_visible()
        assert not book.page.get_by_role("button", name="Stop").is_visible()
        assert not own.running

    @pytest.mark.browser
    def test_a_long_search_is_stopped_by_its_button(self, book: Notebook) -> None:
        own = own_rewirings()
        own.given = own.given | LONG
        book.live(own)
        book.press("Search")
        book.page.get_by_role("button", name="Stop").focus()
        book.page.keyboard.press("Enter")
        book.wait_for("The search was stopped")
        assert book.focused() == "Search"


@pytest.mark.parametrize("text", ["-5", "1e400", "nan", MARKUP, "9" * 5000, " at ", ":"])
def test_no_text_raises(text: str) -> None:
    fuse = {"appliance": "wax-melter", "part": "F1", "typed": {"place_C": text}, "mains": text}
    alone = dict.fromkeys(("volts", "fuse", "tolerance"), text)
    for own, given in (
        (own_lugs(), {"typed": {"1–2": text}, "volts": text}),
        (own_spare(), {"appliance": text, "part": text}),
        (own_spare(), {"watts": text, "volts": text, "part": "cord"}),
        (own_spare(), fuse),
        (own_rewirings(), {"elements": [text], "wanted": [text, text], **alone}),
    ):
        ask(own, "begin", **given)
        assert own.found is None
        assert own.reply


@pytest.mark.browser
@pytest.mark.parametrize(
    ("make", "label", "typed", "said"),
    [
        (own_lugs, "Ohms between 1 and 2", "60", "1 element."),
        (own_spare, "power on its plate (W)", "0", "found 0 W"),
        (own_rewirings, "position 1", "eco: 300 W", ""),
        (lambda: own_readings(URN), "the meter shows (Ω, or OL)", "131.5", "Agrees."),
    ],
)
def test_what_was_typed_is_there_again_in_a_second_view_and_after_a_lost_kernel(
    book: Notebook, make: Callable[[], Any], label: str, typed: str, said: str
) -> None:
    def stands() -> None:
        assert book.page.get_by_label(label, exact=True).input_value() == typed
        book.wait_for(said)

    book.live(make())
    book.page.get_by_label(label, exact=True).fill(typed)
    book.wait_for(said)
    book.page.evaluate("document.body.replaceChildren(); view()")
    stands()
    book.live(make())
    stands()
    book.page.evaluate("model.fire('comm_live_update')")
    assert book.page.get_by_text("the cells above must run again").is_visible()
