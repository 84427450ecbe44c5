"""A prediction in a real browser: keyboard, screen reader, phone, and no kernel."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from lessonlib.questions.view import QuestionView
from tests.questions.page_model import draw

pytestmark = pytest.mark.browser

PREDICTION: dict[str, Any] = {
    "question": "What is left?",
    "options": ["a half", "a quarter", "nothing"],
    "chosen": -1,
    "asked": 0,
    "heard": 0,
    "feedback": "",
    "answered": "",
}


@pytest.fixture
def page(browser: Any) -> Iterator[Any]:
    page = browser.new_page(viewport={"width": 360, "height": 640})
    page.clock.install(time=0)
    page.clock.pause_at(1000)  # from here on time passes only when a test says so
    yield page
    page.close()


def show(page: Any, state: dict[str, Any]) -> None:
    draw(page, QuestionView, state)


def say(page: Any, text: str) -> None:
    """A reply from Python, to what is chosen now."""
    page.evaluate(
        """feedback => {
            const answered = model.get("options")[model.get("chosen")] ?? "";
            model.take({ feedback, answered, heard: model.get("asked") });
        }""",
        text,
    )


def test_a_screen_reader_finds_the_question_as_the_name_of_its_options(page: Any) -> None:
    show(page, PREDICTION)
    group = page.get_by_role("group", name="What is left?")
    assert group.get_by_role("radio").count() == 3
    assert group.get_by_role("radio", name="a quarter").is_visible()


def test_nothing_is_chosen_until_somebody_chooses(page: Any) -> None:
    show(page, PREDICTION)
    assert page.locator("input:checked").count() == 0


def test_arrow_keys_choose_and_stay_in_the_question(page: Any) -> None:
    show(page, PREDICTION)
    page.keyboard.press("Tab")
    page.keyboard.press("Space")
    page.keyboard.press("ArrowDown")
    assert page.evaluate("[model.get('chosen'), model.get('asked')]") == [1, 2]
    assert page.evaluate("reached") == ["Tab"]


def test_replies_change_inside_one_live_region(page: Any) -> None:
    show(page, PREDICTION)
    region = page.get_by_role("status").element_handle()
    for text in ("First reply.", "Second reply."):
        say(page, text)
        assert region.inner_text() == text
        assert region.evaluate("node => node.isConnected && node.ariaLive") == "polite"


def test_a_choice_that_was_changed_says_so_until_it_is_noted(page: Any) -> None:
    show(page, PREDICTION)
    region = page.get_by_role("status")
    page.get_by_role("radio", name="a half").check()
    assert region.inner_text() == ""
    say(page, "Noted: a half.")
    page.get_by_role("radio", name="nothing").check()
    assert region.inner_text().startswith("You have chosen something else since.")
    say(page, "Noted: nothing.")
    assert region.inner_text() == "Noted: nothing."
    page.get_by_role("radio", name="a half").check()
    page.clock.fast_forward(5100)
    page.get_by_role("radio", name="nothing").check()
    assert region.inner_text().startswith("Python has not answered yet.")


def test_the_same_reply_again_is_announced_again(page: Any) -> None:
    show(page, PREDICTION)
    page.get_by_label("a half").check()
    say(page, "Noted.")
    first = page.get_by_role("status").locator("p").element_handle()
    page.get_by_label("nothing").check()
    say(page, "Noted.")
    assert not first.evaluate("node => node.isConnected")  # written anew
    assert page.get_by_role("status").inner_text() == "Noted."


def test_lines_become_paragraphs_and_list_items(page: Any) -> None:
    show(page, PREDICTION)
    say(page, "One.\n- two\n- three")
    status = page.get_by_role("status")
    assert status.locator("p").all_inner_texts() == ["One."]
    assert status.get_by_role("listitem").all_inner_texts() == ["two", "three"]


def test_no_text_is_ever_taken_for_markup(page: Any) -> None:
    markup = "<img src=x onerror='window.hit=1'>"
    show(page, PREDICTION | {"question": markup, "options": [markup, "other"]})
    say(page, markup)
    assert page.locator("img").count() == 0
    assert page.get_by_role("status").inner_text() == markup


def test_without_an_answer_from_python_it_says_so(page: Any) -> None:
    show(page, PREDICTION)
    page.get_by_label("a half").check()
    page.clock.fast_forward(4900)
    assert page.get_by_role("status").inner_text() == ""
    page.clock.fast_forward(200)
    assert "Python has not answered yet" in page.get_by_role("status").inner_text()


def test_an_answer_from_python_stops_the_waiting(page: Any) -> None:
    show(page, PREDICTION)
    page.get_by_label("a half").check()
    say(page, "Noted.")
    page.clock.fast_forward(10_000)
    assert page.get_by_role("status").inner_text() == "Noted."


def test_a_closed_view_leaves_nothing_behind(page: Any) -> None:
    show(page, PREDICTION)
    page.get_by_label("a half").check()
    assert page.evaluate("model.count()") > 0
    page.evaluate("stop()")
    assert page.evaluate("model.count()") == 0
    page.clock.fast_forward(10_000)
    assert page.get_by_role("status").inner_text() == ""


def test_long_texts_fit_a_phone(page: Any) -> None:
    long = "A rather long text that goes on and on about elements and switches. " * 3
    show(page, PREDICTION | {"question": long, "options": [long, "Donaudampfschifffahrt" * 4]})
    say(page, long)
    assert page.evaluate("document.documentElement.scrollWidth") == 360


def test_everything_to_press_is_large_enough_for_a_finger(page: Any) -> None:
    show(page, PREDICTION)
    targets = page.locator(".hcq-option").all()
    assert len(targets) >= 3
    # 44 px: the least height that WCAG 2.2, criterion 2.5.5, asks of a target
    assert min(target.bounding_box()["height"] for target in targets) >= 44
