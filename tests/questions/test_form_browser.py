"""The form of each kind of exercise in a real Chromium, with the real Python side behind it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from lessonlib.appliance.reader import read_appliance
from lessonlib.questions.answers import Choice
from lessonlib.questions.exercise import Exercise, Slip, Template
from lessonlib.questions.form import FormView
from lessonlib.questions.task import Task
from lessonlib.questions.view import QuestionView
from tests.questions.every_kind import CASES, Case
from tests.questions.page_model import draw, draw_live, own_state

pytestmark = pytest.mark.browser

every_kind = pytest.mark.parametrize("case", CASES.values(), ids=CASES.keys())
KEY_NAMES = ("Tab", "Enter", "Space", "ArrowUp", "ArrowDown", "Control+a")
REPLY_MS = 5000
MARKUP = "<img src=x onerror='window.hit=1'>"


@pytest.fixture
def page(browser: Any) -> Iterator[Any]:
    context = browser.new_context(viewport={"width": 900, "height": 900})
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


def live(page: Any, case: Case) -> FormView:
    view = FormView(case.task())
    draw_live(page, view)
    return view


def type_keys(page: Any, keys: tuple[str, ...]) -> None:
    for key in keys:
        if key in KEY_NAMES:
            page.keyboard.press(key)
        else:
            page.keyboard.insert_text(key)


def press(page: Any, name: str) -> None:
    page.get_by_role("button", name=name).click()


def said(page: Any) -> Any:
    """The region that holds the reply to the last answer."""
    return page.get_by_role("status").nth(0)


def text(page: Any) -> str:
    """The exercise's own text."""
    return "\n".join(page.locator(".hcx-text p").all_inner_texts())


def wait_for(page: Any, text: str) -> None:
    page.get_by_text(text, exact=False).first.wait_for(timeout=REPLY_MS)


@every_kind
def test_an_exercise_is_answered_by_keyboard_alone(page: Any, case: Case) -> None:
    view = live(page, case)
    type_keys(page, case.keys)
    wait_for(page, "This is what you get when this is thought.")
    assert view.given == case.wrong
    assert page.get_by_text("One try").is_visible()
    # Tab, and nothing else, has left the form: a notebook acts upon every key that reaches it
    assert set(page.evaluate("reached")) <= {"Tab"}


@every_kind
def test_hints_the_worked_answer_and_new_numbers_by_keyboard(page: Any, case: Case) -> None:
    view = live(page, case)
    type_keys(page, case.keys)
    wait_for(page, "One try")
    offer = page.get_by_role("button", name="Show the worked answer")
    assert offer.count() == 0
    check = page.get_by_role("button", name="Check")
    for standing in ("Two tries", "Three tries"):
        check.focus()
        page.keyboard.press("Enter")
        wait_for(page, standing)
    # onward from Check: hint, new numbers, worked answer
    for hint in ("First hint: Look at the supply.", "Second hint: Look at the elements."):
        check.focus()
        type_keys(page, ("Tab", "Enter"))
        wait_for(page, hint)
    assert "this is thought" in said(page).inner_text()  # still in sight beside the hints
    assert page.get_by_role("button", name="No more hints").get_attribute("aria-disabled") == "true"
    type_keys(page, ("Tab", "Tab", "Enter"))
    wait_for(page, "Another line.")
    wait_for(page, "Answer: ")
    before = text(page)
    for _ in range(2 if case.template.name == "test-file" else 1):
        page.get_by_role("button", name="New numbers").focus()
        page.keyboard.press("Enter")
    wait_for(page, "New numbers: set 2.")
    assert text(page) == view.text != before
    assert page.get_by_text("Not tried yet").is_visible()
    assert page.get_by_role("button", name="First hint").is_visible()
    assert offer.count() == 0
    assert page.evaluate("document.activeElement.textContent") == "New numbers"


@every_kind
def test_a_right_answer_is_told_in_words_and_by_a_sign(page: Any, case: Case) -> None:
    view = live(page, case)
    page.evaluate("given => model.take({ given })", case.right(view._task.exercise))
    page.evaluate("model.set('given', model.get('given'))")
    press(page, "Check")
    wait_for(page, "Right: ")
    assert said(page).inner_text().startswith("✓Right: ")
    assert page.locator(".hcx-standing").inner_text() == "✓Solved, one try · numbers of set 1"


@every_kind
def test_what_is_filled_in_shows_in_a_second_view_and_after_drawing_anew(
    page: Any, case: Case
) -> None:
    live(page, case)
    page.evaluate("void view()")  # its result would be called
    type_keys(page, case.keys)
    wait_for(page, "One try")
    filled = """() => [...document.querySelectorAll("form")].map((form) =>
        [...form.querySelectorAll("input, textarea, .hcx-item")].map((node) =>
            node.type === "radio" || node.type === "checkbox" ? node.checked
                : node.value ?? node.textContent))"""
    first, second = page.evaluate(filled)
    assert any(first)
    assert second == first
    page.evaluate("document.body.replaceChildren(); void view()")
    assert page.evaluate(filled) == [first]


@every_kind
def test_what_is_filled_in_outlives_the_kernel_and_the_cell(page: Any, case: Case) -> None:
    live(page, case)
    type_keys(page, case.keys)
    wait_for(page, "One try")
    kept = page.evaluate("model.get('given')")
    # the cell is run again: a new model, which has heard of nothing
    page.evaluate("delete window.python")
    draw(page, FormView, own_state(FormView(case.task())))
    assert page.evaluate("model.get('given')") == kept == case.wrong


def test_what_was_solved_is_not_filled_in_again(page: Any) -> None:
    live(page, CASES["number"])
    page.get_by_role("textbox").fill("100 W")
    press(page, "Check")
    wait_for(page, "Right: ")
    page.evaluate("delete window.python")
    draw(page, FormView, own_state(FormView(CASES["number"].task())))
    assert page.get_by_role("textbox").input_value() == ""


def without_python(page: Any, case: Case, **state: Any) -> None:
    page.clock.install(time=0)
    page.clock.pause_at(1000)  # from here on time passes only when a test says so
    draw(page, FormView, own_state(FormView(case.task())) | state)


@pytest.mark.parametrize("button", ["Check", "First hint", "New numbers", "Show the worked answer"])
def test_without_an_answer_from_python_it_says_so_and_keeps_what_is_filled_in(
    page: Any, button: str
) -> None:
    without_python(page, CASES["number"], offered=True)
    page.get_by_role("textbox").fill("0.1 kW")
    press(page, button)
    page.clock.fast_forward(4900)
    assert said(page).inner_text() == ""
    page.clock.fast_forward(200)
    assert said(page).inner_text().startswith("Python has not answered yet. If the kernel is st")
    assert said(page).inner_text().endswith("What you filled in is kept.")
    assert page.get_by_role("textbox").input_value() == "0.1 kW"
    page.evaluate("model.take({ heard: model.get('asked') + model.get('hint_wanted') })")
    if button in ("Check", "First hint"):
        assert "has not answered" not in said(page).inner_text()


def test_what_is_typed_reaches_python_before_any_button_is_pressed(page: Any) -> None:
    without_python(page, CASES["number"])
    page.get_by_role("textbox").press_sequentially("0.1")
    assert page.evaluate("model.saves") == 0
    page.clock.fast_forward(400)
    assert page.evaluate("[model.saves, model.get('given')]") == [1, "0.1"]


def test_what_is_typed_last_reaches_python_though_the_view_is_closed(page: Any) -> None:
    without_python(page, CASES["number"])
    page.get_by_role("textbox").press_sequentially("0.1")
    page.evaluate("stop()")
    assert page.evaluate("[model.saves, model.get('given')]") == [1, "0.1"]


def test_a_closed_view_leaves_nothing_behind(page: Any) -> None:
    without_python(page, CASES["number"])
    press(page, "Check")
    assert page.evaluate("model.count()") > 0
    page.evaluate("stop()")
    assert page.evaluate("model.count()") == 0
    page.clock.fast_forward(10_000)
    assert said(page).inner_text() == ""


@pytest.mark.parametrize("kind", ["number", "file"])
def test_a_megabyte_is_not_sent_and_told_about(page: Any, kind: str) -> None:
    view = live(page, CASES[kind])
    box = page.get_by_role("textbox")
    box.focus()
    box.evaluate(
        """node => {
            node.value = "9".repeat(1_000_000);
            node.dispatchEvent(new InputEvent("input", { bubbles: true }));
        }"""
    )
    press(page, "Check")
    assert said(page).inner_text().startswith("That is 1000002 characters long")
    assert (view.asked, view.given) == (0, None)
    box.fill("100 W")
    assert said(page).inner_text() == ""
    press(page, "Check")
    wait_for(page, "Right: " if kind == "number" else "problem")


@pytest.mark.parametrize("typed", [MARKUP, "🔥🔌 ⚡", "'; DROP TABLE try; --"])
@pytest.mark.parametrize("kind", ["number", "table", "file"])
def test_whatever_is_typed_is_only_text_and_gets_an_answer(
    page: Any, kind: str, typed: str
) -> None:
    view = live(page, CASES[kind])
    for box in page.get_by_role("textbox").all():
        box.fill(typed)
    press(page, "Check")
    page.wait_for_function("() => document.querySelector('[role=status]').textContent.length > 20")
    assert page.locator("img").count() == 0
    assert view._task.tries == 0
    assert page.evaluate("window.hit") is None


def test_no_text_of_an_exercise_or_a_drawing_is_ever_taken_for_markup(page: Any) -> None:
    circuit = read_appliance(
        "title = '''TITLE <b>&\"'''\n[supply]\nvoltage_V = 230\n[[element]]\nname = 'E1'\n"
        "between = ['L', 'N']\npower_W = 100\nvoltage_V = 230\n".replace("TITLE", MARKUP)
    )

    def make(_: object) -> Exercise:
        slip = Slip(MARKUP, "other", MARKUP, MARKUP, MARKUP)
        answer = Choice(MARKUP, (MARKUP, "other"))
        return Exercise(MARKUP, answer, (slip,), (MARKUP, MARKUP), (MARKUP,), circuit)

    view = FormView(Task(Template(MARKUP, 2, "same circuit", MARKUP, make), 1))
    draw_live(page, view)
    page.get_by_label("other").check()
    press(page, "Check")
    press(page, "First hint")
    wait_for(page, "First hint: <img")
    assert page.locator("img").count() == 0
    assert MARKUP in page.locator(".hcx-text").inner_text()
    assert MARKUP in page.locator("svg.hc-schematic").get_attribute("aria-label")
    assert page.evaluate("window.hit") is None


def test_a_screen_reader_is_told_what_each_field_is(page: Any) -> None:
    live(page, CASES["number"])
    box = page.get_by_role("textbox", name="Your answer, with its unit (W)")
    described = box.evaluate(
        "node => document.getElementById(node.getAttribute('aria-describedby')).innerText"
    )
    assert described.startswith("A question for number")
    assert page.get_by_role("img", name="Six-litre tea urn").count() == 1
    live_regions = page.get_by_role("status")
    assert live_regions.count() == 3


def test_the_cells_of_a_table_have_the_names_of_row_and_column(page: Any) -> None:
    live(page, CASES["table"])
    table = page.get_by_role("table", name="Fill in every cell")
    for row in ("S1 off", "S1 on"):
        assert table.get_by_role("rowheader", name=row).count() == 1
        for column in ("power (W)", "current (A)"):
            assert table.get_by_role("textbox", name=f"{row} {column}").count() == 1


def test_switches_are_named_groups_of_their_positions(page: Any) -> None:
    live(page, CASES["setting"])
    group = page.get_by_role("group", name="S1")
    assert group.get_by_role("radio").count() == 4
    assert group.get_by_role("radio", name="low", exact=True).count() == 1


def test_none_of_the_points_and_one_of_them_exclude_each_other(page: Any) -> None:
    live(page, CASES["points"])
    none, boost = page.get_by_label("none of them"), page.get_by_label("boost")
    boost.check()
    none.check()
    assert not boost.is_checked()
    assert page.evaluate("model.get('given')") == ["none"]
    boost.check()
    assert not none.is_checked()
    boost.uncheck()
    assert page.evaluate("model.get('given')") is None


def test_a_point_ticked_after_none_is_what_is_judged(page: Any) -> None:
    view = live(page, CASES["points"])
    page.get_by_label("none of them").check()
    press(page, "Check")
    wait_for(page, "Right: ")
    page.get_by_label("boost").check()
    assert said(page).inner_text().startswith("You have changed your answer since this reply.")
    press(page, "Check")
    wait_for(page, "You named boost.")
    assert view.given == ["boost"]
    assert "changed" not in said(page).inner_text()


@every_kind
def test_a_reply_is_marked_as_old_once_the_answer_is_another(page: Any, case: Case) -> None:
    live(page, case)
    type_keys(page, case.keys)
    wait_for(page, "This is what you get when this is thought.")
    assert said(page).inner_text().startswith("✗Not right yet.")
    # what was filled in elsewhere, as in a second view
    page.evaluate("given => model.take({ given })", case.right(case.task().exercise))
    assert said(page).inner_text().startswith("You have changed your answer since this reply.")
    assert "✗" not in said(page).inner_text()
    page.evaluate("given => model.take({ given })", case.wrong)
    assert said(page).inner_text().startswith("✗Not right yet.")


SHAPE = """region => {
    const { borderLeftStyle, borderLeftWidth, borderRightWidth } = getComputedStyle(region);
    return [borderLeftStyle, borderLeftWidth, borderRightWidth];
}"""


def test_each_verdict_has_a_sign_and_a_shape_of_its_own_and_none_once_it_is_old(page: Any) -> None:
    without_python(page, CASES["number"])
    box, region = page.get_by_role("textbox"), said(page)
    box.fill("100 W")
    seen = []
    for verdict in ("right", "wrong", "unread", ""):
        reply = {"feedback": "The words.", "verdict": verdict, "answered": "100 W"}
        page.evaluate("reply => model.take(reply)", reply)
        seen.append((region.inner_text(), *region.evaluate(SHAPE)))
    assert [text.replace("The words.", "") for text, *_ in seen] == ["✓", "✗", "?", ""]
    assert len({tuple(shape) for _, *shape in seen}) == 4
    page.evaluate("model.take({ verdict: 'right' })")
    box.fill("90 W")
    assert region.evaluate(SHAPE) == ["dotted", "4px", "0px"]
    box.fill("100 W")
    assert region.inner_text() == "✓The words."


def test_the_same_reply_again_is_announced_again(page: Any) -> None:
    live(page, CASES["number"])
    press(page, "Check")
    wait_for(page, "Nothing is filled in yet.")
    first = said(page).locator("p").element_handle()
    press(page, "Check")
    page.wait_for_function("node => !node.isConnected", arg=first)  # written anew
    assert said(page).inner_text().startswith("?Nothing is filled in yet.")


def test_letters_stay_with_the_things_that_are_put_in_order(page: Any) -> None:
    live(page, CASES["order"])
    rows = page.locator(".hcx-row")
    assert rows.locator(".hcx-letter").all_inner_texts() == ["A.", "B.", "C."]
    page.get_by_role("button", name="Move down: Prove dead").click()
    assert rows.locator(".hcx-letter").all_inner_texts() == ["B.", "A.", "C."]
    press(page, "Check")
    wait_for(page, "the order B, A, C")


def test_the_worked_answer_is_offered_in_words_only_before_it_was_shown(page: Any) -> None:
    live(page, CASES["number"])
    offer = page.get_by_role("button", name="Show the worked answer")
    for turn, typed in enumerate(("1 W", "2 W", "3 W", "100 W", "4 W"), start=1):
        page.get_by_role("textbox").fill(typed)
        press(page, "Check")
        wait_for(page, "Right: " if typed == "100 W" else f"I read {typed}")
        assert ("You may look at the worked answer" in said(page).inner_text()) == (turn == 3)
        assert offer.is_visible() == (turn in (3, 5))


def test_each_move_is_announced_and_keeps_the_focus(page: Any) -> None:
    live(page, CASES["order"])
    news = page.locator(".hcx-unseen")
    assert news.get_attribute("aria-live") == "polite"
    button = page.get_by_role("button", name="Move down: Prove dead")
    button.focus()
    page.keyboard.press("Enter")
    assert news.text_content() == "Prove dead is now 2 of 3."
    page.keyboard.press("Enter")
    page.keyboard.press("Enter")
    assert news.text_content() == "Prove dead is already last."
    assert button.evaluate("node => node === document.activeElement")
    assert button.get_attribute("aria-disabled") == "true"
    up = page.get_by_role("button", name="Move up: Prove dead")
    up.focus()
    page.keyboard.press("Enter")
    assert news.text_content() == "Prove dead is now 2 of 3."
    assert up.evaluate("node => node === document.activeElement")
    assert page.get_by_role("list").get_by_role("listitem").count() == 3


def test_the_order_as_offered_can_be_an_answer(page: Any) -> None:
    view = live(page, CASES["order"])
    press(page, "Check")
    wait_for(page, "One try")
    assert view.given == ["Prove dead", "Pull the plug", "Measure"]


def test_a_file_keeps_its_lines_and_tab_leaves_it(page: Any) -> None:
    live(page, CASES["file"])
    area = page.get_by_role("textbox", name="Your circuit file")
    assert area.input_value() == 'title = "Rail"\n'
    assert area.get_attribute("wrap") == "off"
    assert "monospace" in area.evaluate("node => getComputedStyle(node).fontFamily")
    area.focus()
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Check"
    area.focus()
    page.keyboard.press("Control+End")
    type_keys(page, ("[supply]", "Enter", "voltage_V = 230"))
    assert area.input_value() == 'title = "Rail"\n[supply]\nvoltage_V = 230'


def test_a_file_comes_with_the_cell_that_draws_it(page: Any) -> None:
    live(page, CASES["file"])
    code = page.locator("pre.hcx-drawing-code").inner_text()
    assert code == 'from lessonlib import panel, read_appliance\npanel(read_appliance("""\n"""))'


def test_what_is_wrong_with_a_file_is_said_and_is_no_try(page: Any) -> None:
    view = live(page, CASES["file"])
    page.get_by_role("textbox").fill('title = "Rail"\n[supply]\n')
    press(page, "Check")
    wait_for(page, "your file: [supply] voltage_V")
    assert view._task.tries == 0


def test_a_file_as_the_worked_answer_keeps_its_lines(page: Any) -> None:
    view = live(page, CASES["file"])
    view._task.tries = 3
    page.get_by_role("textbox").fill("[supply]")
    press(page, "Check")
    press(page, "Show the worked answer")
    wait_for(page, "Another line.")
    answer = view._task.exercise.answer
    assert page.locator("pre.hcx-given-file").inner_text() == answer.written(answer.value)


def test_a_file_to_begin_with_is_judged_as_it_stands(page: Any) -> None:
    view = live(page, CASES["file"])
    press(page, "Check")
    wait_for(page, "your file: [supply]")
    assert (view.given, view._task.tries) == ('title = "Rail"\n', 0)
    press(page, "New numbers")  # nothing of the learner's own would be lost
    wait_for(page, "set 2.")


def test_new_numbers_clear_a_file_only_when_asked_twice(page: Any) -> None:
    view = live(page, CASES["file"])
    page.get_by_role("textbox").fill("my work")
    press(page, "New numbers")
    assert "Press New numbers again" in said(page).inner_text()
    assert view.new_wanted == 0
    press(page, "New numbers")
    wait_for(page, "set 2.")
    assert page.get_by_role("textbox").input_value() == 'title = "Rail"\n'


@every_kind
def test_it_fits_a_narrow_screen(page: Any, case: Case) -> None:
    page.set_viewport_size({"width": 320, "height": 800})  # WCAG 2.2, criterion 1.4.10
    live(page, case)
    page.add_style_tag(content=QuestionView._css)  # as where a question stands below it
    # a drawing that has to scroll takes a Tab of its own, so begin in the field
    page.locator(".hcx-answer").locator("input, textarea, button").first.focus()
    type_keys(page, case.keys[1:])
    wait_for(page, "One try")
    assert page.evaluate("document.documentElement.scrollWidth") == 320


@every_kind
def test_everything_to_press_is_large_enough_for_a_finger(page: Any, case: Case) -> None:
    live(page, case)
    targets = page.locator("button:visible, .hcq-option, .hcq-input").all()
    assert len(targets) >= 4
    # 44 px: the least height that WCAG 2.2, criterion 2.5.5, asks of a target
    assert min(target.bounding_box()["height"] for target in targets) >= 44
