"""The forms in a real Chromium, with the real Python side behind them."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from lessonlib import load_appliance
from lessonlib.workbench.description import Description, describe
from lessonlib.workbench.readings import own_readings
from lessonlib.workbench.readings_view import ReadingsView
from tests.page.notebook import MARKUP, Notebook, begin, notebook

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def _notebook(browser: Any) -> Iterator[Notebook]:
    with notebook(browser, width=1000) as found:
        yield found


@pytest.fixture
def book(
    _notebook: Notebook, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Iterator[Notebook]:
    monkeypatch.chdir(tmp_path)
    yield from begin(_notebook)


@pytest.fixture
def still(browser: Any) -> Iterator[Notebook]:
    """A notebook in which time stands still, for a form that nobody answers."""
    with notebook(browser, clock=False) as found:
        yield from begin(found)


@pytest.fixture
def page(book: Notebook) -> Any:
    return book.page


def shown(book: Notebook, name: str | None = None) -> Description:
    """A description on the page."""
    description = describe(name)
    description._repr_mimebundle_()
    assert description._view is not None
    book.live(description._view.form)
    return description


def text_box(book: Notebook) -> Any:
    return book.page.get_by_label("The file's text")


def tab_to(book: Notebook, label: str) -> None:
    """Press Tab until the field or button of that label has the focus."""
    for _ in range(60):
        book.page.keyboard.press("Tab")
        if book.focused() == label:
            return
    raise AssertionError(f"no Tab leads to {label}")


def test_an_appliance_is_described_by_keyboard_alone(book: Notebook, page: Any) -> None:
    made = shown(book)
    assert page.get_by_label("Add a part").input_value() == ""
    tab_to(book, "Add a part")
    page.keyboard.type("heating")
    for label, typed in [
        ("from node", "L"),
        ("to node", "N"),
        ("power (W)", "0.3 kW"),
        ("voltage (V)", "230"),
    ]:
        tab_to(book, label)
        page.keyboard.insert_text(typed)
    page.keyboard.press("Enter")
    book.wait_for("Added E1, heating element.")
    book.wait_for("The text can be read.")
    book.wait_for("At most it draws 300 W (1.3 A).")
    assert made.appliance.part("E1").power_W == 300  # type: ignore[attr-defined]
    # the focus is where the next part begins
    assert book.focused() == "Add a part"
    page.keyboard.type("switch")
    tab_to(book, "from node")
    page.keyboard.insert_text("L")
    tab_to(book, "to node")
    page.keyboard.insert_text("x")
    tab_to(book, "on")
    page.keyboard.press("Space")
    tab_to(book, "Add")
    page.keyboard.press("Enter")
    book.wait_for("Added S1, switch.")
    book.wait_for("node 'x' used only once")
    assert 'contacts = [{ between = ["L", "x"], closed_in = ["on"] }]' in made.text
    # Tab, and nothing else, has left the forms: a notebook acts upon every key that reaches it
    assert set(page.evaluate("reached")) <= {"Tab"}


def test_existing_nodes_are_offered_and_the_next_name_is_proposed(
    book: Notebook, page: Any
) -> None:
    shown(book, "tea-urn")
    page.get_by_label("Add a part").select_option("element")
    assert page.get_by_label("name", exact=True).input_value() == "E3"
    offered = page.locator("datalist option").evaluate_all("all => all.map((each) => each.value)")
    assert offered == ["L", "N", "PE", "boost"]
    assert page.get_by_label("from node").get_attribute("list")


def test_a_switch_has_as_many_positions_and_contacts_as_are_filled_in(
    book: Notebook, page: Any
) -> None:
    made = shown(book, "tea-urn")
    book.press("Change S1")
    page.get_by_label("position 3").fill("both")
    page.get_by_label("position 4").wait_for()
    book.press("Another contact")
    second = page.get_by_role("group", name="contact 2")
    second.get_by_label("from node").fill("boost")
    second.get_by_label("to node").fill("N")
    second.get_by_label("both").check()
    book.press("Apply")
    book.wait_for("Changed: S1.")
    switch = made.appliance.part("S1")
    assert switch.positions == ("off", "on", "both")
    assert [contact.closed_in for contact in switch.contacts] == [("on",), ("both",)]


def test_a_renamed_position_keeps_its_ticks_and_stays_the_start(book: Notebook, page: Any) -> None:
    made = shown(book)
    text_box(book).fill(
        'title = "t"\n[supply]\nvoltage_V = 230\n[[element]]\nname = "E1"\n'
        'between = ["a", "N"]\nresistance_ohm = 50\n[[switch]]\nname = "S1"\n'
        'positions = ["off", "low", "on"]\nstart = "low"\n'
        'contacts = [{ between = ["L", "a"], closed_in = ["low", "on"] }]\n'
    )
    book.press("Change S1")
    page.get_by_label("position 2").fill("")
    page.get_by_label("position 2").press_sequentially("half")
    book.press("Apply")
    book.wait_for("Changed: S1.")
    switch = made.appliance.part("S1")
    assert (switch.positions, switch.start) == (("off", "half", "on"), "half")
    assert switch.contacts[0].closed_in == ("half", "on")


def test_a_point_is_renamed_wherever_it_is_used(book: Notebook, page: Any) -> None:
    made = shown(book, "tea-urn")
    assert page.get_by_label("Rename point").locator("option").all_inner_texts() == ["boost"]
    page.get_by_label("to", exact=True).fill("after S1")
    page.keyboard.press("Enter")
    book.wait_for("boost is now called after S1.")
    assert made.text.count('"after S1"') == 2
    assert page.get_by_label("Rename point").locator("option").all_inner_texts() == ["after S1"]
    assert page.get_by_label("to", exact=True).input_value() == ""


def test_a_step_takes_what_was_just_typed_and_is_undone_and_done_again(
    book: Notebook, page: Any
) -> None:
    made = shown(book, "tea-urn")
    redo = page.get_by_role("button", name="Redo")
    assert redo.get_attribute("aria-disabled") == "true"
    area = text_box(book)
    area.evaluate("node => { node.value += '# last'; node.dispatchEvent(new Event('input')); }")
    book.press("Remove S1")
    book.wait_for("Removed S1.")
    assert area.input_value() == made.text
    assert "# last" in made.text
    book.press("Undo")
    book.wait_for("Undone.")
    assert "S1" in area.input_value()
    assert area.input_value().endswith("# last")
    book.press("Redo")
    book.wait_for("Done again.")
    assert "S1" not in made.text
    assert redo.get_attribute("aria-disabled") == "true"


def test_the_name_to_save_under_follows_the_appliance_until_one_is_typed(
    book: Notebook, page: Any
) -> None:
    made = shown(book)
    box = page.get_by_label("Save as")
    assert box.input_value() == "my-appliance"
    text_box(book).fill(describe("tea-urn").text)
    book.wait_for("At most it draws 1600 W")
    assert box.input_value() == "six-litre-tea-urn"
    box.fill("mine")
    text_box(book).fill(made.text.replace("Six-litre tea urn", "Urn"))
    book.wait_for("Not saved yet.")
    page.wait_for_function("() => model.get('save_as') === 'urn'")
    assert box.input_value() == "mine"
    book.press("Save")
    book.wait_for("Saved as appliances/mine.toml.")
    # another one, begun anew, is not saved over it
    page.get_by_label("Start from").select_option("")
    book.press("Open")
    book.wait_for("Started anew.")
    assert box.input_value() == "my-appliance"
    page.get_by_label("Start from").select_option("wax-melter")
    book.press("Open")
    book.wait_for("Opened wax-melter.")
    assert box.input_value() == "wax-melter-2"
    for _ in range(2):
        book.press("Undo")
    page.wait_for_function("() => model.get('steps_forward') === 2")
    assert box.input_value() == "mine"
    box.fill("my-appliance")
    book.press("Save")
    book.wait_for("Saved as appliances/my-appliance.toml.")


def test_what_it_does_at_its_worst_stands_under_the_text(book: Notebook, page: Any) -> None:
    shown(book, "curtain-steamer")
    book.wait_for("✓ The text can be read.")
    lines = page.locator(".hcw-findings li")
    assert lines.all_inner_texts() == [
        "▲ Nothing heats at S1 off, but E1 is live.",
        "At most it draws 1601 W (6.96 A) at S1 on.",
    ]
    text_box(book).fill("title = ")
    book.wait_for("1 problem")
    assert lines.count() == 0


def test_a_file_that_is_not_valid_toml_says_so_when_a_part_is_added(
    book: Notebook, page: Any
) -> None:
    Path("broken.toml").write_text("title = ", "utf-8")
    shown(book, "broken.toml")
    book.wait_for("nothing can be added or changed here")
    page.get_by_label("Add a part").select_option("element")
    book.press("Add")
    book.wait_for("found that line 1 is not valid TOML")


def test_while_typing_problems_come_and_go_and_no_character_is_lost(
    book: Notebook, page: Any
) -> None:
    made = shown(book, "tea-urn")
    before = made.text
    area = text_box(book)
    area.focus()
    page.keyboard.press("Control+End")
    page.keyboard.type('[[lamp]]\nname = "H1"', delay=20)
    book.wait_for("not up to date".capitalize())
    book.wait_for("add a line: between")
    page.keyboard.type('\nbetween = ["L", "N"]\nresistance_ohm = 52900\n', delay=20)
    book.wait_for("The text can be read.")
    end = '[[lamp]]\nname = "H1"\nbetween = ["L", "N"]\nresistance_ohm = 52900\n'
    assert area.input_value() == made.text == before + end
    assert page.evaluate("document.activeElement.tagName") == "TEXTAREA"
    assert page.locator(".hcw-stale").is_hidden()


def test_fields_that_cannot_be_read_stay_filled_in(book: Notebook, page: Any) -> None:
    shown(book, "tea-urn")
    page.get_by_label("Add a part").select_option("element")
    page.get_by_label("from node").fill("L")
    page.get_by_label("power (W)").fill("much")
    book.press("Add")
    book.wait_for("Nothing was changed yet.")
    assert page.get_by_label("power (W)").input_value() == "much"
    assert page.get_by_label("from node").input_value() == "L"


def test_a_save_over_a_file_takes_a_second_press(book: Notebook, page: Any) -> None:
    made = shown(book, "tea-urn")
    path = Path("appliances/my-urn.toml")
    path.parent.mkdir()
    path.write_text("# mine", "utf-8")
    text_box(book).fill(f"{made.text}# changed")
    page.get_by_label("Save as").fill("my-urn")
    page.keyboard.press("Enter")
    book.wait_for("is there already")
    assert path.read_text("utf-8") == "# mine"
    book.press("Replace my-urn, keep the earlier one")
    book.wait_for("Saved as appliances/my-urn.toml.")
    assert path.read_text("utf-8") == made.text
    assert page.get_by_role("button", name="Replace my-urn").count() == 0
    assert page.evaluate("sessionStorage.length") == 0  # so it is not offered again


def test_an_unsaved_text_is_offered_again_when_the_kernel_was_lost(
    book: Notebook, page: Any
) -> None:
    shown(book)
    mine = 'title = "Mine"\n'
    text_box(book).fill(mine)
    book.wait_for("[supply]")
    # a new kernel knows nothing of it
    again = describe()
    again._repr_mimebundle_()
    assert again._view is not None
    book.live(again._view.form)
    assert text_box(book).input_value() == again.text != mine
    book.press("Restore it")
    page.wait_for_function("() => model.get('heard') === 1")
    assert text_box(book).input_value() == again.text == mine
    assert page.get_by_text("This browser has kept").is_hidden()


def test_without_a_kernel_the_text_stays_is_not_overwritten_while_typing_and_it_says_so(
    still: Notebook,
) -> None:
    description = describe("tea-urn")
    description._repr_mimebundle_()
    still.draw(description._view.form)  # type: ignore[union-attr]
    text_box(still).fill("# mine")
    still.take(text="# from another cell")
    assert text_box(still).input_value() == "# mine"
    still.page.clock.fast_forward(400)  # it has been sent
    assert still.get("asked") == 1
    still.take(text="# from another cell")
    assert text_box(still).input_value() == "# from another cell"
    text_box(still).fill("# mine")
    still.press("Save")
    still.page.clock.fast_forward(5100)
    assert still.page.get_by_text("Python has not answered yet.").is_visible()
    assert text_box(still).input_value() == "# mine"
    still.page.evaluate("stop()")
    assert still.page.evaluate("model.count()") == 0


def test_nothing_typed_or_named_is_read_as_markup(book: Notebook, page: Any) -> None:
    made = shown(book, "tea-urn")
    odd = made.text.replace('"boost"', f'"{MARKUP}"').replace('name = "E2"', f'name = "{MARKUP}2"')
    text_box(book).fill(odd.replace("Six-litre tea urn", MARKUP))
    page.get_by_role("button", name=f"Change {MARKUP}2").wait_for()
    assert made.problems == ()
    page.get_by_role("button", name=f"Change {MARKUP}2").click()
    text_box(book).fill(odd.replace("power_W = 400", f'"{MARKUP}" = 1'))
    book.wait_for("an unknown key")
    assert page.evaluate("window.hit") is None
    assert page.locator(".hcw img").count() == 0


@pytest.mark.parametrize("width", [400, 1000])
def test_nothing_sticks_out_of_the_page(book: Notebook, page: Any, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 900})
    shown(book, "hot-trolley")
    page.get_by_label("Add a part").select_option("switch")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    small = page.locator(".hcw button:visible, .hcw select:visible").evaluate_all(
        "all => all.filter((node) => node.getBoundingClientRect().height < 44).length"
    )
    assert small == 0


def test_readings_are_judged_as_they_are_typed(book: Notebook, page: Any) -> None:
    mine = own_readings(load_appliance("tea-urn"))
    book.live(ReadingsView(mine))
    page.get_by_label("the meter shows").fill("131.5")
    book.wait_for("Agrees. You read 132 Ω ± 1.6 Ω; by the file 132 Ω.")
    book.press("Another reading")
    assert book.focused() == "What"
    second = page.get_by_role("group", name="Reading 2")
    second.get_by_label("What").select_option("power")
    second.get_by_label("S1 at").select_option("on")
    second.get_by_label("the meter shows").fill("1180 W")
    second.get_by_label("volts on the same meter").fill("228")
    book.wait_for("would fit: E1 open")
    assert [reading.value for reading in mine.readings] == [131.5, 1180]
    page.get_by_role("button", name="Remove reading 1").click()
    page.wait_for_function("() => model.get('replies').length === 1")
    assert [reading.value for reading in mine.readings] == [1180]
    assert page.get_by_role("group", name="Reading 1").get_by_text("E1 open").is_visible()


def test_the_accuracy_of_a_meter_counts_at_once(book: Notebook, page: Any) -> None:
    book.live(ReadingsView(own_readings(load_appliance("tea-urn"))))
    page.get_by_label("the meter shows").fill("131.5")
    book.wait_for("± 1.6 Ω")
    page.get_by_text("How good your meters are").click()
    page.get_by_role("group", name="ohmmeter").get_by_label("± % of the reading").fill("0.5")
    book.wait_for("± 0.96 Ω")


def test_readings_come_back_in_a_second_view_and_after_a_lost_kernel(
    book: Notebook, page: Any
) -> None:
    urn = load_appliance("tea-urn")
    book.live(ReadingsView(own_readings(urn)))
    page.get_by_label("the meter shows").fill("131.5")
    book.wait_for("Agrees.")
    page.evaluate("document.body.replaceChildren(); view()")
    assert page.get_by_label("the meter shows").input_value() == "131.5"
    assert page.get_by_text("Agrees.").is_visible()
    book.draw(ReadingsView(own_readings(urn)))
    assert page.get_by_label("the meter shows").input_value() == "131.5"
    assert book.get("asked") == 1  # judged at once
