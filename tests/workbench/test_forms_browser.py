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
from tests.questions.page_model import draw, draw_live, own_state

pytestmark = pytest.mark.browser

REPLY_MS = 5000
MARKUP = "<img src=x onerror='window.hit=1'>"


@pytest.fixture
def page(browser: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Any]:
    monkeypatch.chdir(tmp_path)
    context = browser.new_context(viewport={"width": 1000, "height": 900})
    page = context.new_page()
    # an address, since a page without one may keep nothing
    page.route(
        "**/*", lambda route: route.fulfill(body="<!doctype html>", content_type="text/html")
    )
    page.goto("http://workbook.example/")
    errors: list[str] = []
    page.on("pageerror", lambda error: errors.append(str(error)))
    yield page
    context.close()
    assert errors == []


def shown(page: Any, name: str | None = None) -> Description:
    """A description on the page."""
    description = describe(name)
    description._repr_mimebundle_()
    assert description._view is not None
    draw_live(page, description._view.form)
    return description


def wait_for(page: Any, text: str) -> None:
    page.get_by_text(text, exact=False).first.wait_for(timeout=REPLY_MS)


def text_box(page: Any) -> Any:
    return page.get_by_label("The file's text")


def press(page: Any, name: str) -> None:
    page.get_by_role("button", name=name, exact=True).click()


def tab_to(page: Any, label: str) -> None:
    """Press Tab until the field or button of that label has the focus."""
    for _ in range(60):
        page.keyboard.press("Tab")
        found = page.evaluate(
            "() => { const node = document.activeElement;"
            " return node.getAttribute('aria-label') || node.labels?.[0]?.textContent"
            " || node.textContent; }"
        )
        if found == label:
            return
    raise AssertionError(f"no Tab leads to {label}")


def test_an_appliance_is_described_by_keyboard_alone(page: Any) -> None:
    made = shown(page)
    assert page.get_by_label("Add a part").input_value() == ""
    tab_to(page, "Add a part")
    page.keyboard.type("heating")
    for label, typed in [
        ("from node", "L"),
        ("to node", "N"),
        ("power (W)", "0.3 kW"),
        ("voltage (V)", "230"),
    ]:
        tab_to(page, label)
        page.keyboard.insert_text(typed)
    page.keyboard.press("Enter")
    wait_for(page, "Added E1, heating element.")
    wait_for(page, "The text can be read.")
    wait_for(page, "At most it draws 300 W (1.3 A).")
    assert made.appliance.part("E1").power_W == 300  # type: ignore[attr-defined]
    # the focus is where the next part begins
    assert page.evaluate("document.activeElement.labels[0].textContent") == "Add a part"
    page.keyboard.type("switch")
    tab_to(page, "from node")
    page.keyboard.insert_text("L")
    tab_to(page, "to node")
    page.keyboard.insert_text("x")
    tab_to(page, "on")
    page.keyboard.press("Space")
    tab_to(page, "Add")
    page.keyboard.press("Enter")
    wait_for(page, "Added S1, switch.")
    wait_for(page, "node 'x' used only once")
    assert 'contacts = [{ between = ["L", "x"], closed_in = ["on"] }]' in made.text
    # Tab, and nothing else, has left the forms: a notebook acts upon every key that reaches it
    assert set(page.evaluate("reached")) <= {"Tab"}


def test_existing_nodes_are_offered_and_the_next_name_is_proposed(page: Any) -> None:
    shown(page, "tea-urn")
    page.get_by_label("Add a part").select_option("element")
    assert page.get_by_label("name", exact=True).input_value() == "E3"
    offered = page.locator("datalist option").evaluate_all("all => all.map((each) => each.value)")
    assert offered == ["L", "N", "PE", "boost"]
    assert page.get_by_label("from node").get_attribute("list")


def test_a_switch_has_as_many_positions_and_contacts_as_are_filled_in(page: Any) -> None:
    made = shown(page, "tea-urn")
    press(page, "Change S1")
    page.get_by_label("position 3").fill("both")
    page.get_by_label("position 4").wait_for()
    press(page, "Another contact")
    second = page.get_by_role("group", name="contact 2")
    second.get_by_label("from node").fill("boost")
    second.get_by_label("to node").fill("N")
    second.get_by_label("both").check()
    press(page, "Apply")
    wait_for(page, "Changed: S1.")
    switch = made.appliance.part("S1")
    assert switch.positions == ("off", "on", "both")
    assert [contact.closed_in for contact in switch.contacts] == [("on",), ("both",)]


def test_a_renamed_position_keeps_its_ticks_and_stays_the_start(page: Any) -> None:
    made = shown(page)
    text_box(page).fill(
        'title = "t"\n[supply]\nvoltage_V = 230\n[[element]]\nname = "E1"\n'
        'between = ["a", "N"]\nresistance_ohm = 50\n[[switch]]\nname = "S1"\n'
        'positions = ["off", "low", "on"]\nstart = "low"\n'
        'contacts = [{ between = ["L", "a"], closed_in = ["low", "on"] }]\n'
    )
    press(page, "Change S1")
    page.get_by_label("position 2").fill("")
    page.get_by_label("position 2").press_sequentially("half")
    press(page, "Apply")
    wait_for(page, "Changed: S1.")
    switch = made.appliance.part("S1")
    assert (switch.positions, switch.start) == (("off", "half", "on"), "half")
    assert switch.contacts[0].closed_in == ("half", "on")


def test_a_point_is_renamed_wherever_it_is_used(page: Any) -> None:
    made = shown(page, "tea-urn")
    assert page.get_by_label("Rename point").locator("option").all_inner_texts() == ["boost"]
    page.get_by_label("to", exact=True).fill("after S1")
    page.keyboard.press("Enter")
    wait_for(page, "boost is now called after S1.")
    assert made.text.count('"after S1"') == 2
    assert page.get_by_label("Rename point").locator("option").all_inner_texts() == ["after S1"]
    assert page.get_by_label("to", exact=True).input_value() == ""


def test_an_undone_step_is_done_again(page: Any) -> None:
    made = shown(page, "tea-urn")
    assert page.get_by_role("button", name="Redo").get_attribute("aria-disabled") == "true"
    press(page, "Remove S1")
    wait_for(page, "Removed S1.")
    press(page, "Undo")
    wait_for(page, "Undone.")
    press(page, "Redo")
    wait_for(page, "Done again.")
    assert "S1" not in made.text
    assert page.get_by_role("button", name="Redo").get_attribute("aria-disabled") == "true"


def test_the_name_to_save_under_follows_the_appliance_until_one_is_typed(page: Any) -> None:
    made = shown(page)
    box = page.get_by_label("Save as")
    assert box.input_value() == "my-appliance"
    text_box(page).fill(describe("tea-urn").text)
    wait_for(page, "At most it draws 1600 W")
    assert box.input_value() == "six-litre-tea-urn"
    box.fill("mine")
    text_box(page).fill(made.text.replace("Six-litre tea urn", "Urn"))
    wait_for(page, "Not saved yet.")
    page.wait_for_function("() => model.get('save_as') === 'urn'")
    assert box.input_value() == "mine"
    press(page, "Save")
    wait_for(page, "Saved as appliances/mine.toml.")
    # another one, begun anew, is not saved over it
    page.get_by_label("Start from").select_option("")
    press(page, "Open")
    wait_for(page, "Started anew.")
    assert box.input_value() == "my-appliance"
    page.get_by_label("Start from").select_option("wax-melter")
    press(page, "Open")
    wait_for(page, "Opened wax-melter.")
    assert box.input_value() == "wax-melter-2"
    for _ in range(2):
        press(page, "Undo")
    page.wait_for_function("() => model.get('steps_forward') === 2")
    assert box.input_value() == "mine"
    box.fill("my-appliance")
    press(page, "Save")
    wait_for(page, "Saved as appliances/my-appliance.toml.")


def test_what_it_does_at_its_worst_stands_under_the_text(page: Any) -> None:
    shown(page, "curtain-steamer")
    wait_for(page, "✓ The text can be read.")
    lines = page.locator(".hcw-findings li")
    assert lines.all_inner_texts() == [
        "▲ Nothing heats at S1 off, but E1 is live.",
        "At most it draws 1601 W (6.96 A) at S1 on.",
    ]
    text_box(page).fill("title = ")
    wait_for(page, "1 problem")
    assert lines.count() == 0


def test_a_file_that_is_not_valid_toml_says_so_when_a_part_is_added(page: Any) -> None:
    Path("broken.toml").write_text("title = ", "utf-8")
    shown(page, "broken.toml")
    wait_for(page, "nothing can be added or changed here")
    page.get_by_label("Add a part").select_option("element")
    press(page, "Add")
    wait_for(page, "found that line 1 is not valid TOML")


def test_while_typing_problems_come_and_go_and_no_character_is_lost(page: Any) -> None:
    made = shown(page, "tea-urn")
    before = made.text
    area = text_box(page)
    area.focus()
    page.keyboard.press("Control+End")
    page.keyboard.type('[[lamp]]\nname = "H1"', delay=20)
    wait_for(page, "not up to date".capitalize())
    wait_for(page, "add a line: between")
    page.keyboard.type('\nbetween = ["L", "N"]\nresistance_ohm = 52900\n', delay=20)
    wait_for(page, "The text can be read.")
    end = '[[lamp]]\nname = "H1"\nbetween = ["L", "N"]\nresistance_ohm = 52900\n'
    assert area.input_value() == made.text == before + end
    assert page.evaluate("document.activeElement.tagName") == "TEXTAREA"
    assert page.locator(".hcw-stale").is_hidden()


def test_what_was_typed_but_not_yet_sent_is_in_before_a_step(page: Any) -> None:
    made = shown(page, "tea-urn")
    area = text_box(page)
    area.evaluate("node => { node.value += '# last'; node.dispatchEvent(new Event('input')); }")
    press(page, "Remove S1")
    wait_for(page, "Removed S1.")
    assert "# last" in made.text
    assert area.input_value() == made.text
    press(page, "Undo")
    wait_for(page, "Undone.")
    assert "S1" in area.input_value()
    assert area.input_value().endswith("# last")


def test_fields_that_cannot_be_read_stay_filled_in(page: Any) -> None:
    shown(page, "tea-urn")
    page.get_by_label("Add a part").select_option("element")
    page.get_by_label("from node").fill("L")
    page.get_by_label("power (W)").fill("much")
    press(page, "Add")
    wait_for(page, "Nothing was changed yet.")
    assert page.get_by_label("power (W)").input_value() == "much"
    assert page.get_by_label("from node").input_value() == "L"


def test_a_save_over_a_file_takes_a_second_press(page: Any) -> None:
    made = shown(page, "tea-urn")
    path = Path("appliances/my-urn.toml")
    path.parent.mkdir()
    path.write_text("# mine", "utf-8")
    page.get_by_label("Save as").fill("my-urn")
    page.keyboard.press("Enter")
    wait_for(page, "is there already")
    assert path.read_text("utf-8") == "# mine"
    press(page, "Replace my-urn, keep the earlier one")
    wait_for(page, "Saved as appliances/my-urn.toml.")
    assert path.read_text("utf-8") == made.text
    assert page.get_by_role("button", name="Replace my-urn").count() == 0


def test_an_unsaved_text_is_offered_again_when_the_kernel_was_lost(page: Any) -> None:
    shown(page)
    mine = 'title = "Mine"\n'
    text_box(page).fill(mine)
    wait_for(page, "[supply]")
    # a new kernel knows nothing of it
    again = describe()
    again._repr_mimebundle_()
    assert again._view is not None
    form = again._view.form

    def python(changes: dict[str, Any]) -> dict[str, Any]:
        form.set_state(changes)
        return own_state(form)

    page.expose_function("other", python)
    draw(page, form, own_state(form))
    page.evaluate("() => { window.python = window.other; }")
    assert text_box(page).input_value() == again.text != mine
    press(page, "Restore it")
    page.wait_for_function("() => model.get('heard') === 1")
    assert text_box(page).input_value() == again.text == mine
    assert page.get_by_text("This browser has kept").is_hidden()


def test_a_saved_text_is_not_offered_again(page: Any) -> None:
    made = shown(page)
    text_box(page).fill("# mine")
    page.get_by_label("Save as").fill("mine")
    press(page, "Save")
    wait_for(page, "Saved as")
    assert page.evaluate("sessionStorage.length") == 0
    assert text_box(page).input_value() == made.text == "# mine"


def test_what_is_being_typed_is_not_overwritten_from_elsewhere(page: Any) -> None:
    shown(page, "tea-urn")
    page.evaluate("window.python = undefined")
    text_box(page).fill("# mine")
    page.evaluate("model.take({ text: '# from another cell' })")
    assert text_box(page).input_value() == "# mine"
    page.wait_for_function("() => model.get('asked') === 1")
    page.evaluate("model.take({ text: '# from another cell' })")
    assert text_box(page).input_value() == "# from another cell"


def test_a_dead_kernel_is_told_and_the_text_stays(page: Any) -> None:
    shown(page, "tea-urn")
    page.evaluate("window.python = undefined")
    text_box(page).fill("# mine")
    press(page, "Save")
    page.get_by_text("Python has not answered yet.").wait_for(timeout=7000)
    assert text_box(page).input_value() == "# mine"


def test_nothing_typed_or_named_is_read_as_markup(page: Any) -> None:
    made = shown(page, "tea-urn")
    odd = made.text.replace('"boost"', f'"{MARKUP}"').replace('name = "E2"', f'name = "{MARKUP}2"')
    text_box(page).fill(odd.replace("Six-litre tea urn", MARKUP))
    page.get_by_role("button", name=f"Change {MARKUP}2").wait_for()
    assert made.problems == ()
    page.get_by_role("button", name=f"Change {MARKUP}2").click()
    text_box(page).fill(odd.replace("power_W = 400", f'"{MARKUP}" = 1'))
    wait_for(page, "an unknown key")
    assert page.evaluate("window.hit") is None
    assert page.locator(".hcw img").count() == 0


@pytest.mark.parametrize("width", [400, 1000])
def test_nothing_sticks_out_of_the_page(page: Any, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 900})
    shown(page, "hot-trolley")
    page.get_by_label("Add a part").select_option("switch")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    small = page.locator(".hcw button:visible, .hcw select:visible").evaluate_all(
        "all => all.filter((node) => node.getBoundingClientRect().height < 44).length"
    )
    assert small == 0


def test_a_closed_view_leaves_no_listener(page: Any) -> None:
    shown(page, "tea-urn")
    page.evaluate("stop()")
    assert page.evaluate("model.count()") == 0


def test_readings_are_judged_as_they_are_typed(page: Any) -> None:
    mine = own_readings(load_appliance("tea-urn"))
    draw_live(page, ReadingsView(mine))
    page.get_by_label("the meter shows").fill("131.5")
    wait_for(page, "Agrees. You read 132 Ω ± 1.6 Ω; by the file 132 Ω.")
    press(page, "Another reading")
    assert page.evaluate("document.activeElement.labels[0].textContent") == "What"
    second = page.get_by_role("group", name="Reading 2")
    second.get_by_label("What").select_option("power")
    second.get_by_label("S1 at").select_option("on")
    second.get_by_label("the meter shows").fill("1180 W")
    second.get_by_label("volts on the same meter").fill("228")
    wait_for(page, "would fit: E1 open")
    assert [reading.value for reading in mine.readings] == [131.5, 1180]
    page.get_by_role("button", name="Remove reading 1").click()
    page.wait_for_function("() => model.get('replies').length === 1")
    assert [reading.value for reading in mine.readings] == [1180]
    assert page.get_by_role("group", name="Reading 1").get_by_text("E1 open").is_visible()


def test_the_accuracy_of_a_meter_counts_at_once(page: Any) -> None:
    draw_live(page, ReadingsView(own_readings(load_appliance("tea-urn"))))
    page.get_by_label("the meter shows").fill("131.5")
    wait_for(page, "± 1.6 Ω")
    page.get_by_text("How good your meters are").click()
    page.get_by_role("group", name="ohmmeter").get_by_label("± % of the reading").fill("0.5")
    wait_for(page, "± 0.96 Ω")


def test_readings_come_back_in_a_second_view_and_after_a_lost_kernel(page: Any) -> None:
    urn = load_appliance("tea-urn")
    draw_live(page, ReadingsView(own_readings(urn)))
    page.get_by_label("the meter shows").fill("131.5")
    wait_for(page, "Agrees.")
    page.evaluate("document.body.replaceChildren(); view()")
    assert page.get_by_label("the meter shows").input_value() == "131.5"
    assert page.get_by_text("Agrees.").is_visible()
    fresh = ReadingsView(own_readings(urn))
    draw(page, fresh, own_state(fresh))
    assert page.get_by_label("the meter shows").input_value() == "131.5"
    assert page.evaluate("model.get('asked')") == 1  # judged at once
