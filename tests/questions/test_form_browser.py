"""Each kind of exercise in a real Chromium: keyboard, screen reader, phone, and the
real Python side behind them, or nobody."""

from __future__ import annotations

from typing import Any

import pytest

from lessonlib.questions.form import FormView
from tests.page.notebook import WIDTH, Notebook
from tests.page.notebook import book as book
from tests.page.notebook import notebook as notebook
from tests.page.notebook import still as still
from tests.page.notebook import still_notebook as still_notebook
from tests.questions.every_kind import CASES, Case

pytestmark = pytest.mark.browser

every_kind = pytest.mark.parametrize("case", CASES.values(), ids=CASES.keys())
KEY_NAMES = ("Tab", "Enter", "Space", "ArrowUp", "ArrowDown", "Control+a")


def number() -> FormView:
    return FormView(CASES["number"].task())


def type_keys(book: Notebook, keys: tuple[str, ...]) -> None:
    for key in keys:
        if key in KEY_NAMES:
            book.page.keyboard.press(key)
        else:
            book.page.keyboard.insert_text(key)


def answer_wrong(book: Notebook, case: Case) -> FormView:
    """Answer the exercise by keyboard, with what matches its slip."""
    view = book.live(FormView(case.task()))
    type_keys(book, case.keys)
    book.wait_for("1 try")
    return view


def fill_in(book: Notebook, given: Any) -> None:
    """Fill in what was filled in elsewhere, as in a second view."""
    book.take(given=given)
    book.page.evaluate("model.set('given', model.get('given'))")


# every kind of exercise


@every_kind
def test_it_is_answered_by_keyboard_alone_and_its_reply_is_old_once_the_answer_is_another(
    book: Notebook, case: Case
) -> None:
    view = answer_wrong(book, case)
    assert "This is what you get when this is thought." in book.said()
    assert view.given == case.wrong
    # Tab, and nothing else, has left the form: a notebook acts upon every key that reaches it
    assert set(book.page.evaluate("reached")) <= {"Tab"}
    assert book.said().startswith("✗Not right yet.")
    fill_in(book, case.right)
    assert book.said().startswith("You have changed your answer since this reply.")
    assert "✗" not in book.said()
    fill_in(book, case.wrong)
    assert book.said().startswith("✗Not right yet.")
    fill_in(book, case.right)
    book.press("Check")
    book.wait_for("Right: ")
    assert book.said().startswith("✓Right: ")
    standing = book.page.locator(".hcq-standing").inner_text()
    assert standing == "✓Solved, 2 tries · numbers of set 1"


def test_a_reply_that_would_stand_below_the_window_comes_into_view(book: Notebook) -> None:
    book.page.set_viewport_size({"width": WIDTH, "height": 300})
    answer_wrong(book, CASES["number"])
    place = book.status().bounding_box()
    assert place["y"] + place["height"] <= 301


@pytest.mark.parametrize("kind", ["number", "file"])
def test_hints_the_worked_answer_and_new_numbers_by_keyboard(book: Notebook, kind: str) -> None:
    case = CASES[kind]
    view = answer_wrong(book, case)
    page = book.page
    offer = page.get_by_role("button", name="Show the worked answer")
    assert offer.count() == 0
    check = page.get_by_role("button", name="Check")
    for standing in ("2 tries", "3 tries"):
        check.focus()
        page.keyboard.press("Enter")
        book.wait_for(standing)
    # onward from Check: hint, new numbers, worked answer
    for hint in ("First hint: Look at the supply.", "Second hint: Look at the elements."):
        check.focus()
        type_keys(book, ("Tab", "Enter"))
        book.wait_for(hint)
    assert "this is thought" in book.said()  # still in sight beside the hints
    assert page.get_by_role("button", name="No more hints").get_attribute("aria-disabled") == "true"
    type_keys(book, ("Tab", "Tab", "Enter"))
    book.wait_for("Another line.")
    book.wait_for("Answer:")
    if kind == "file":  # which keeps its lines
        answer = view._task.exercise.answer
        assert page.locator("pre.hcq-given-file").inner_text() == answer.written(answer.value)
    text = page.locator(".hcq-text")
    before = text.inner_text()
    for _ in range(2 if kind == "file" else 1):
        page.get_by_role("button", name="New numbers").focus()
        page.keyboard.press("Enter")
    book.wait_for("New numbers: set 2.")
    lines = "\n".join(text.locator("p").all_inner_texts())
    assert lines.replace("\u00a0", " ") == view.text
    assert "\u00a0V." in lines  # a number and its unit stay on one line
    assert text.inner_text() != before
    assert page.get_by_text("Not tried yet").is_visible()
    assert page.get_by_role("button", name="First hint").is_visible()
    assert offer.count() == 0
    assert book.focused() == "New numbers"


FILLED_IN = """() => [...document.querySelectorAll("form")].map((form) =>
    [...form.querySelectorAll("input, textarea, .hcq-item")].map((node) =>
        node.type === "radio" || node.type === "checkbox" ? node.checked
            : node.value ?? node.textContent))"""


@every_kind
def test_what_is_filled_in_shows_in_a_second_view_and_outlives_view_cell_and_kernel(
    book: Notebook, case: Case
) -> None:
    answer_wrong(book, case)
    page = book.page
    page.evaluate("void view()")  # its result would be called
    first, second = page.evaluate(FILLED_IN)
    assert any(first)
    assert second == first
    page.evaluate("document.body.replaceChildren(); void view()")
    assert page.evaluate(FILLED_IN) == [first]
    # the cell is run again: a new model, which has heard of nothing
    book.draw(FormView(case.task()))
    assert book.get("given") == case.wrong
    assert page.evaluate(FILLED_IN) == [first]


@every_kind
def test_it_fits_a_narrow_screen_and_a_finger(book: Notebook, case: Case) -> None:
    book.page.set_viewport_size({"width": 320, "height": 800})  # WCAG 2.2, criterion 1.4.10
    book.live(FormView(case.task()))
    # a drawing that has to scroll takes a Tab of its own, so begin in the field
    book.page.locator(".hcq-answer").locator("input, textarea, button").first.focus()
    type_keys(book, case.keys[1:])
    book.wait_for("1 try")
    assert book.page.evaluate("document.documentElement.scrollWidth") == 320
    assert_large_enough(book, 4)


def assert_large_enough(book: Notebook, least: int) -> None:
    targets = book.page.locator("button:visible, .hck-option, .hck-input").all()
    assert len(targets) >= least
    # 44 px: the least height that WCAG 2.2, criterion 2.5.5, asks of a target
    assert min(target.bounding_box()["height"] for target in targets) >= 44


# an exercise


def test_what_was_solved_is_not_filled_in_again(book: Notebook) -> None:
    book.live(number())
    book.page.get_by_role("textbox").fill("100 W")
    book.press("Check")
    book.wait_for("Right: ")
    book.draw(number())
    assert book.page.get_by_role("textbox").input_value() == ""


def test_a_screen_reader_is_told_what_each_field_is(book: Notebook) -> None:
    page = book.page
    book.live(number())
    box = page.get_by_role("textbox", name="Your answer, with its unit (W)")
    described = box.evaluate(
        "node => document.getElementById(node.getAttribute('aria-describedby')).innerText"
    )
    assert described.startswith("A question for number")
    assert page.get_by_role("img", name="Six-litre tea urn").count() == 1
    assert page.get_by_role("status").count() == 3
    book.live(FormView(CASES["table"].task()))
    table = page.get_by_role("table", name="Fill in every cell")
    for row in ("S1 off", "S1 on"):
        assert table.get_by_role("rowheader", name=row).count() == 1
        for column in ("power (W)", "current (A)"):
            assert table.get_by_role("textbox", name=f"{row} {column}").count() == 1
    book.live(FormView(CASES["setting"].task()))
    switch = page.get_by_role("group", name="Your setting").get_by_role("group", name="S1")
    assert switch.get_by_role("radio").count() == 4
    assert switch.get_by_role("radio", name="low", exact=True).count() == 1


def test_none_of_the_points_and_one_of_them_exclude_each_other(book: Notebook) -> None:
    view = book.live(FormView(CASES["points"].task()))
    none, boost = book.page.get_by_label("none of them"), book.page.get_by_label("boost")
    boost.check()
    none.check()
    assert not boost.is_checked()
    assert book.get("given") == ["none"]
    book.press("Check")
    book.wait_for("Right: ")
    boost.check()
    assert not none.is_checked()
    assert book.said().startswith("You have changed your answer since this reply.")
    book.press("Check")
    book.wait_for("You named boost.")
    assert view.given == ["boost"]
    boost.uncheck()
    assert book.get("given") is None


def test_each_move_is_announced_and_keeps_focus_and_letters(book: Notebook) -> None:
    view = book.live(FormView(CASES["order"].task()))
    page = book.page
    letters = page.locator(".hcq-row .hcq-letter")
    assert page.get_by_role("list").get_by_role("listitem").count() == 3
    assert letters.all_inner_texts() == ["A.", "B.", "C."]
    book.press("Check")  # the order as offered can be an answer
    book.wait_for("1 try")
    assert view.given == ["Prove dead", "Pull the plug", "Measure"]
    news = page.locator(".hck-unseen")
    assert news.get_attribute("aria-live") == "polite"
    down, up = (
        page.get_by_role("button", name=f"Move {way}: Prove dead") for way in ("down", "up")
    )
    down.focus()
    for said in ("is now 2 of 3", "is now 3 of 3", "is already last"):
        page.keyboard.press("Enter")
        assert news.text_content() == f"Prove dead {said}."
    assert down.evaluate("node => node === document.activeElement")
    assert down.get_attribute("aria-disabled") == "true"
    up.focus()
    page.keyboard.press("Enter")
    assert news.text_content() == "Prove dead is now 2 of 3."
    assert up.evaluate("node => node === document.activeElement")
    assert letters.all_inner_texts() == ["B.", "A.", "C."]
    book.press("Check")
    book.wait_for("the order B, A, C")


def test_a_file_keeps_its_lines_tab_leaves_it_and_it_says_where_it_is_drawn(book: Notebook) -> None:
    book.live(FormView(CASES["file"].task()))
    area = book.page.get_by_role("textbox", name="Your circuit file")
    assert area.input_value() == 'title = "Rail"\n'
    assert area.get_attribute("wrap") == "off"
    assert "monospace" in area.evaluate("node => getComputedStyle(node).fontFamily")
    area.focus()
    book.page.keyboard.press("Tab")
    assert book.focused() == "Check"
    area.focus()
    book.page.keyboard.press("Control+End")
    type_keys(book, ("[supply]", "Enter", "voltage_V = 230"))
    assert area.input_value() == 'title = "Rail"\n[supply]\nvoltage_V = 230'
    assert book.page.get_by_text("Double-click bench.ipynb").is_visible()


def test_a_file_to_begin_with_is_judged_as_it_stands_and_what_is_wrong_is_no_try(
    book: Notebook,
) -> None:
    view = book.live(FormView(CASES["file"].task()))
    book.press("Check")
    book.wait_for("your file: [supply]")
    assert (view.given, view._task.tries) == ('title = "Rail"\n', 0)
    book.page.get_by_role("textbox").fill('title = "Rail"\n[supply]\n')
    book.press("Check")
    book.wait_for("your file: [supply] voltage_V")
    assert view._task.tries == 0
    book.page.get_by_role("textbox").fill('title = "Rail"\n')
    book.press("New numbers")  # nothing of the learner's own would be lost
    book.wait_for("set 2.")


def test_new_numbers_clear_a_file_only_when_asked_twice(book: Notebook) -> None:
    view = book.live(FormView(CASES["file"].task()))
    book.page.get_by_role("textbox").fill("my work")
    book.press("New numbers")
    assert "Press New numbers again" in book.said()
    assert view.new_wanted == 0
    book.press("New numbers")
    book.wait_for("set 2.")
    assert book.page.get_by_role("textbox").input_value() == 'title = "Rail"\n'
