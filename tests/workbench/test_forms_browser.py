"""The form of a description in a real Chromium, with the real Python side behind it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from lessonlib.workbench.description import Description, describe
from tests.page.notebook import MARKUP, Notebook
from tests.page.notebook import book as book
from tests.page.notebook import notebook as notebook
from tests.page.notebook import still as still
from tests.page.notebook import still_notebook as still_notebook
from tests.workbench.hands import Shown, field, fill_in, save_another, tab_to

pytestmark = pytest.mark.browser


@pytest.fixture(autouse=True)
def _folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def shown(book: Notebook, name: str | None = None, text: str | None = None) -> Description:
    """A description on the page."""
    form = Shown(name)
    if text is not None:
        form.type(text)
    book.live(form.form)
    return form.description


def text_box(book: Notebook) -> Any:
    return book.page.get_by_label("Text of the file")


def said_at(field: Any) -> str:
    """What a screen reader says about a field that is marked as wrong."""
    assert field.get_attribute("aria-invalid") == "true"
    words = "node => document.getElementById(node.getAttribute('aria-describedby')).textContent"
    return str(field.evaluate(words))


def test_an_appliance_is_described_by_keyboard_alone(book: Notebook) -> None:
    made, keyboard = shown(book), book.page.keyboard
    assert field(book, "Add a part").input_value() == ""
    tab_to(book, "Add a part")
    keyboard.type("heating")
    typed = {"from point": "L", "to point": "N", "power (W)": "0.3 kW", "voltage (V)": "230"}
    fill_in(book, **typed)
    keyboard.press("Enter")
    book.wait_for("Added E1, heating element.")
    book.wait_for("The description is complete.")
    book.wait_for("It draws at most 300 W (1.3 A): 230 V.")
    assert made.appliance.part("E1").power_W == 300  # type: ignore[attr-defined]
    assert book.focused() == "Add a part"  # where the next part begins
    keyboard.type("switch")
    fill_in(book, **{"from point": "L", "to point": "x"})
    for label, key in (("on", "Space"), ("Add", "Enter")):
        tab_to(book, label)
        keyboard.press(key)
    book.wait_for("Added S1, switch.")
    book.wait_for("Switch S1: Nothing else is joined to x yet.")
    assert book.page.locator(".hcw-standing").inner_text() == "… Not complete yet"
    assert 'contacts = [{ between = ["L", "x"], closed_in = ["on"] }]' in made.text
    # Tab, and nothing else, has left the forms: a notebook acts upon every key that reaches it
    assert set(book.page.evaluate("reached")) <= {"Tab"}


def test_nodes_and_the_next_name_are_proposed_and_what_cannot_be_read_stays_filled_in(
    book: Notebook,
) -> None:
    shown(book, "tea-urn")
    field(book, "Add a part").select_option("element")
    assert field(book, "name").input_value() == "E3"
    offered = book.page.locator("datalist option")
    values = offered.evaluate_all("all => all.map((each) => each.value)")
    assert values == ["L", "N", "PE", "boost"]
    assert field(book, "from point").get_attribute("list")
    field(book, "from point").fill("L")
    assert field(book, "voltage (V)").input_value() == "230"  # that of the supply
    power = field(book, "power (W)")
    power.fill("much")
    book.press("Add")
    book.wait_for("Nothing was changed yet.")
    assert (power.input_value(), field(book, "from point").input_value()) == ("much", "L")
    assert book.focused() == "power (W)"
    assert said_at(power).startswith("I see no number")
    power.fill("500")
    assert power.get_attribute("aria-invalid") is None
    book.press("Add")
    book.page.get_by_text("It needs a second end.").wait_for()
    assert book.focused() == "to point"
    assert said_at(field(book, "to point")).endswith("Choose the point where it goes.")


def test_a_problem_opens_its_field_and_a_value_is_filled_in_when_asked_for(book: Notebook) -> None:
    shown(book, text=describe("tea-urn").text.replace("power_W = 400\n", ""))
    book.wait_for("Heating element E1: Give its power too.")
    book.page.locator(".hcw-problems").get_by_role("button", name="Change E1").click()
    assert book.focused() == "power (W)"
    assert said_at(field(book, "power (W)")) == "Give its power too."
    field(book, "Add a part").select_option("pressure_switch")
    book.press("Suggest: closes at")
    book.wait_for("Type that first.")
    field(book, "opens at (bar(g)) *").fill("0.6")
    book.press("Suggest: closes at")
    book.wait_for("three quarters of the opening pressure")
    assert field(book, "closes at (bar(g)) *").input_value() == "0.45"


def test_everything_is_shown_below_by_keyboard_and_told(book: Notebook) -> None:
    shown(book, "tea-urn")
    button = book.page.get_by_role("button", name="Every setting")
    tab_to(book, "Every setting")
    assert button.get_attribute("aria-expanded") == "false"
    book.page.keyboard.press("Enter")
    book.wait_for("Every setting: shown below.")
    assert (button.get_attribute("aria-expanded"), book.focused()) == ("true", "Every setting")
    assert book.page.get_by_role("cell", name="1600 W").is_visible()
    assert book.page.get_by_role("status").filter(has_text="shown below").count() == 1
    text_box(book).fill(describe("tea-urn").text.replace("1200", "1500"))
    book.page.get_by_role("cell", name="1900 W").wait_for()
    text_box(book).fill("title = ")
    book.page.locator(".hcw-stale").nth(1).wait_for()  # it says that it is of the text before
    book.press("Every setting")
    book.wait_for("Every setting: closed.")
    assert book.page.get_by_role("cell", name="1900 W").count() == 0


def test_the_page_to_print_is_written_and_opened_by_a_link(book: Notebook) -> None:
    shown(book, "tea-urn")
    book.press("Page to print")
    book.press("Write it as PDF and as a web page")
    link = book.page.get_by_role("link", name="Open six-litre-tea-urn-sheet.html")
    link.wait_for()
    assert book.focused() == "Open six-litre-tea-urn-sheet.pdf"  # the button has gone
    text = link.evaluate("async (node) => (await fetch(node.href)).text()")
    assert text == Path("six-litre-tea-urn-sheet.html").read_text("utf-8")


def test_a_switch_has_as_many_positions_and_contacts_as_are_filled_in(book: Notebook) -> None:
    text = describe("tea-urn").text.replace('["off", "on"]', '["off", "on"]\nstart = "on"')
    made = shown(book, text=text)
    book.press("Change S1")
    field(book, "position 2").fill("")
    field(book, "position 2").press_sequentially("half")  # it keeps its ticks, and stays the start
    field(book, "position 3").fill("both")
    field(book, "position 4").wait_for()
    book.press("Add a contact")
    second = book.page.get_by_role("group", name="contact 2")
    second.get_by_label("from point").fill("boost")
    second.get_by_label("to point").fill("N")
    second.get_by_label("both").check()
    book.press("Apply")
    book.wait_for("Changed: S1.")
    switch = made.appliance.part("S1")
    assert (switch.positions, switch.start) == (("off", "half", "both"), "half")
    assert [contact.closed_in for contact in switch.contacts] == [("half",), ("both",)]


def test_a_step_takes_what_was_just_typed_and_is_undone_and_done_again(book: Notebook) -> None:
    made = shown(book, "tea-urn")
    redo = book.page.get_by_role("button", name="Redo")
    assert redo.get_attribute("aria-disabled") == "true"
    points = field(book, "Rename point").locator("option")
    field(book, "to").fill("after S1")
    book.page.keyboard.press("Enter")
    book.wait_for("boost is now called after S1.")
    assert points.all_inner_texts() == ["after S1"]
    assert field(book, "to").input_value() == ""
    area = text_box(book)
    area.evaluate("node => { node.value += '# last'; node.dispatchEvent(new Event('input')); }")
    book.press("Remove S1")
    book.wait_for("Removed S1.")
    assert book.focused() == "Add a part"  # its row has gone
    assert area.input_value() == made.text
    assert "# last" in made.text
    book.press("Undo")
    book.wait_for("Undone.")
    assert "S1" in area.input_value()
    assert area.input_value().endswith("# last")
    book.press("Redo")
    book.wait_for("Redone.")
    assert 'name = "S1"' not in made.text
    assert redo.get_attribute("aria-disabled") == "true"


def test_the_name_to_save_under_follows_the_appliance_until_one_is_typed(book: Notebook) -> None:
    made, box = shown(book), field(book, "Save as")
    text_box(book).fill(describe("tea-urn").text)
    book.wait_for("It draws at most 1600 W")
    assert box.input_value() == "six-litre-tea-urn"
    box.fill("mine")
    text_box(book).fill(made.text.replace("Six-litre tea urn", "Urn"))
    book.page.wait_for_function("() => model.get('save_as') === 'urn'")
    assert box.input_value() == "mine"
    book.press("Save")
    book.wait_for("Saved as appliances/mine.toml.")
    field(book, "Start from").select_option("")
    book.press("Open")  # another one, begun anew, is not saved over it
    book.wait_for("Started a new one.")
    assert box.input_value() == "my-appliance"
    book.press("Undo")
    book.page.wait_for_function("() => model.get('steps_forward') === 1")
    assert box.input_value() == "mine"


def test_while_typing_problems_come_and_go_and_no_character_is_lost(book: Notebook) -> None:
    made, area = shown(book, "curtain-steamer"), text_box(book)
    lines = book.page.locator(".hcw-remarks li")
    assert lines.all_inner_texts() == [
        "▲ S1 off – nothing heats, but these stay live: F1, E1, P1, H1 and H2 at both ends; S1 at "
        "return. Have a switch fitted that cuts both conductors.",
        "It draws at most 1601 W (6.96 A): S1 on, 230 V.",
    ]
    before = made.text
    area.focus()
    book.page.keyboard.press("Control+End")
    book.page.keyboard.type('[[lamp]]\nname = "H9"')
    book.wait_for("Not up to date")
    book.wait_for("add a line: between")
    assert lines.count() == 0
    book.page.keyboard.type('\nbetween = ["L", "N"]\nresistance_ohm = 52900\n')
    book.wait_for("✓ The description is complete.")
    end = '[[lamp]]\nname = "H9"\nbetween = ["L", "N"]\nresistance_ohm = 52900\n'
    assert area.input_value() == made.text == before + end
    assert book.page.evaluate("document.activeElement.tagName") == "TEXTAREA"
    assert book.page.locator(".hcw-stale:visible").count() == 0
    area.fill("title = ")
    book.wait_for("nothing can be added or changed here")
    field(book, "Add a part").select_option("element")
    book.press("Add")
    book.wait_for("found that line 1 is not valid TOML")


def test_a_save_over_a_file_takes_a_second_press_and_what_is_saved_is_not_kept_twice(
    book: Notebook,
) -> None:
    made = shown(book, "tea-urn")
    save_another("my-urn")
    text_box(book).fill(f"{made.text}# changed")
    assert book.page.evaluate("sessionStorage.length") == 1
    field(book, "Save as").fill("my-urn")
    book.page.keyboard.press("Enter")
    book.wait_for("already exists")
    assert describe("my-urn").text != made.text
    book.press("Replace my-urn and keep the old one")
    book.wait_for("Saved as appliances/my-urn.toml.")
    assert describe("my-urn").text == made.text
    assert book.page.get_by_role("button", name="Replace my-urn").count() == 0
    assert book.page.evaluate("sessionStorage.length") == 0


def test_an_unsaved_text_is_offered_again_when_the_kernel_was_lost(book: Notebook) -> None:
    shown(book)
    mine = 'title = "Mine"\n'
    text_box(book).fill(mine)
    book.wait_for("[supply]")
    again = shown(book)  # a new kernel knows nothing of it
    assert text_box(book).input_value() == again.text != mine
    book.press("Restore it")
    book.page.wait_for_function("() => model.get('heard') === 1")
    assert text_box(book).input_value() == again.text == mine
    assert not book.page.get_by_text("Your browser kept").is_visible()


def test_without_a_kernel_the_text_stays_is_not_overwritten_while_typing_and_it_says_so(
    still: Notebook,
) -> None:
    still.draw(Shown("tea-urn").form)
    area, clock = text_box(still), still.page.clock
    area.fill("# mine")
    still.take(text="# from another cell")
    assert area.input_value() == "# mine"
    clock.fast_forward(400)  # it has been sent
    assert still.get("asked") == 1
    still.take(text="# from another cell")
    assert area.input_value() == "# from another cell"
    area.fill("# mine")
    still.press("Save")
    still.press("Save")  # a second press changes nothing while the first is waited for
    assert still.get("asked") == 2
    clock.fast_forward(5100)
    assert still.page.get_by_text("Python has not answered yet.").is_visible()
    assert area.input_value() == "# mine"
    still.page.evaluate("stop()")
    assert still.page.evaluate("model.count()") == 0


def test_nothing_typed_or_named_is_read_as_markup(book: Notebook) -> None:
    made = shown(book, "tea-urn")
    odd = made.text.replace('"boost"', f'"{MARKUP}"').replace('name = "E2"', f'name = "{MARKUP}2"')
    text_box(book).fill(odd.replace("Six-litre tea urn", MARKUP))
    change = book.page.get_by_role("button", name=f"Change {MARKUP}2")
    change.wait_for()
    assert made.problems == ()
    change.click()
    text_box(book).fill(odd.replace("power_W = 400", f'"{MARKUP}" = 1'))
    book.wait_for("an unknown key")
    assert book.page.evaluate("window.hit") is None
    assert book.page.locator(".hcw img").count() == 0


def test_nothing_sticks_out_of_the_page(book: Notebook) -> None:
    shown(book, "hot-trolley")
    field(book, "Add a part").select_option("switch")
    for width in (400, 1000):
        book.page.set_viewport_size({"width": width, "height": 900})
        assert book.page.evaluate("document.documentElement.scrollWidth") <= width
        small = book.page.locator(".hcw button:visible, .hcw select:visible").evaluate_all(
            "all => all.filter((node) => node.getBoundingClientRect().height < 44).length"
        )
        assert small == 0
