"""Predictions in a real Chromium, and what they share with exercises: replies, signs, and nobody
who answers."""

from __future__ import annotations

import pytest

from lessonlib import recall
from lessonlib.appliance.reader import read_appliance
from lessonlib.questions.answers import Choice
from lessonlib.questions.exercise import Exercise, Slip, Template
from lessonlib.questions.form import FormView
from lessonlib.questions.prediction import Prediction
from lessonlib.questions.task import Task
from lessonlib.questions.view import CHOOSE_FIRST, QuestionView, prediction_view, recollection_view
from tests.page.notebook import MARKUP, Notebook
from tests.page.notebook import book as book
from tests.page.notebook import notebook as notebook
from tests.page.notebook import still as still
from tests.page.notebook import still_notebook as still_notebook
from tests.questions.test_form_browser import assert_large_enough, number, type_keys

pytestmark = pytest.mark.browser

OPTIONS = ("a half", "a quarter", "nothing")


def asked(question: str = "What is left?", options: tuple[str, ...] = OPTIONS) -> QuestionView:
    """The view of a prediction."""
    thoughts = dict.fromkeys(options, "A thought.")
    return prediction_view(Prediction("left", question, thoughts, options[0]))


# a prediction


def test_long_texts_of_a_prediction_fit_a_phone_and_a_finger(book: Notebook) -> None:
    long = "A rather long text that goes on and on about elements and switches. " * 3
    book.page.set_viewport_size({"width": 360, "height": 640})
    book.live(asked(long, (long, "Donaudampfschifffahrt" * 4)))
    book.page.get_by_role("radio").first.check()
    book.wait_for("Noted: ")
    assert book.page.evaluate("document.documentElement.scrollWidth") == 360
    assert_large_enough(book, 2)


# what both have


@pytest.mark.parametrize("is_prediction", [True, False])
def test_no_text_is_ever_taken_for_markup(book: Notebook, is_prediction: bool) -> None:
    circuit = read_appliance(
        "title = '''TITLE <b>&\"'''\n[supply]\nvoltage_V = 230\n[[element]]\nname = 'E1'\n"
        "between = ['L', 'N']\npower_W = 100\nvoltage_V = 230\n".replace("TITLE", MARKUP)
    )

    def make(_: object) -> Exercise:
        slip = Slip(MARKUP, "other", MARKUP, MARKUP, MARKUP)
        answer = Choice(MARKUP, (MARKUP, "other"))
        return Exercise(MARKUP, answer, (slip,), (MARKUP, MARKUP), (MARKUP,), circuit)

    page = book.page
    if is_prediction:
        book.live(asked(MARKUP, (MARKUP, "other")))
        page.get_by_label(MARKUP).check()
        book.wait_for("Noted: <img")
        assert page.get_by_role("group", name=MARKUP).count() == 1
    else:
        book.live(FormView(Task(Template(MARKUP, 2, "same circuit", MARKUP, make), 1)))
        page.get_by_label("other").check()
        book.press("Check")
        book.press("First hint")
        book.wait_for("First hint: <img")
        assert MARKUP in page.locator(".hcq-text").inner_text()
        assert MARKUP in page.locator("svg.hc-schematic").get_attribute("aria-label")
    assert page.locator("img").count() == 0
    assert page.evaluate("window.hit") is None


def test_without_an_answer_to_a_prediction_it_says_so(still: Notebook) -> None:
    still.draw(asked())
    still.page.get_by_label("a half").check()
    still.page.clock.fast_forward(4900)
    assert still.said() == ""
    still.page.clock.fast_forward(200)
    assert still.said().startswith("Python has not answered yet")
    still.page.get_by_role("radio", name="nothing").check()
    assert still.said().startswith("Python has not answered yet")
    still.take(feedback="Noted.", answered="nothing", heard=2)
    still.page.clock.fast_forward(10_000)
    assert still.said() == "Noted."


@pytest.mark.parametrize("button", ["Check", "New numbers"])
def test_without_an_answer_to_an_exercise_it_says_so_and_keeps_what_is_filled_in(
    still: Notebook, button: str
) -> None:
    still.draw(number(), offered=True)
    still.page.get_by_role("textbox").fill("0.1 kW")
    still.press(button)
    still.page.clock.fast_forward(4900)
    assert still.said() == ""
    still.page.clock.fast_forward(200)
    assert still.said().startswith(
        "Python has not answered yet. If it was stopped or restarted, choose Run All Above"
    )
    assert still.said().endswith("What you filled in is kept.")
    assert still.page.get_by_role("textbox").input_value() == "0.1 kW"
    if button == "Check":
        still.take(heard=1)
        assert "has not answered" not in still.said()


def test_a_closed_view_leaves_nothing_behind(still: Notebook) -> None:
    still.draw(number())
    still.page.get_by_role("textbox").press_sequentially("0.1")
    assert still.page.evaluate("model.saves") == 0
    still.page.clock.fast_forward(400)  # what is typed reaches Python before a button is pressed
    assert still.page.evaluate("[model.saves, model.get('given')]") == [1, "0.1"]
    still.press("Check")
    assert still.page.evaluate("model.count()") > 0
    still.page.evaluate("stop()")
    assert still.page.evaluate("model.count()") == 0
    still.page.clock.fast_forward(10_000)
    assert still.said() == ""


def test_the_same_reply_again_is_written_anew_so_that_it_is_announced(still: Notebook) -> None:
    for view, again in ((asked(), {"given": "a half"}), (number(), {})):
        still.draw(view)
        still.take(feedback="The words.", answered="a half", **again)
        first = still.status().locator("p").element_handle()
        still.page.evaluate("model.set('asked', 1)")
        still.take(heard=1)
        assert not first.evaluate("node => node.isConnected")
        assert still.said() == "The words."


def test_replies_change_inside_one_live_region_as_paragraphs_and_lists(still: Notebook) -> None:
    still.draw(number())
    region = still.status().element_handle()
    for text in ("First reply.", "One.\n- two\n- three"):
        still.take(feedback=text)
        assert region.evaluate("node => node.isConnected && node.ariaLive") == "polite"
    assert still.status().locator("p").all_inner_texts() == ["One."]
    assert still.status().get_by_role("listitem").all_inner_texts() == ["two", "three"]


SHAPE = """region => {
    const { borderLeftStyle, borderLeftWidth, borderRightWidth } = getComputedStyle(region);
    return [borderLeftStyle, borderLeftWidth, borderRightWidth];
}"""


def test_each_verdict_has_a_sign_and_a_shape_of_its_own_and_none_once_it_is_old(
    still: Notebook,
) -> None:
    still.draw(number())
    box, region = still.page.get_by_role("textbox"), still.status()
    box.fill("100 W")
    seen = []
    for verdict in ("right", "wrong", "unread", ""):
        still.take(feedback="The words.", verdict=verdict, answered="100 W")
        seen.append((region.inner_text(), *region.evaluate(SHAPE)))
    assert [text.replace("The words.", "") for text, *_ in seen] == ["✓", "✗", "?", ""]
    assert len({tuple(shape) for _, *shape in seen}) == 4
    still.take(verdict="right")
    box.fill("90 W")
    assert region.evaluate(SHAPE) == ["dotted", "4px", "0px"]
    box.fill("100 W")
    assert region.inner_text() == "✓The words."


def test_a_prediction_is_a_named_group_of_options_answered_with_the_choice_alone(
    book: Notebook,
) -> None:
    view = book.live(asked())
    group = book.page.get_by_role("group", name="What is left?")
    assert group.get_by_role("radio").count() == 3
    assert book.page.locator("input:checked").count() == 0
    assert book.page.get_by_role("button").count() == 0
    type_keys(book, ("Tab", "Space", "ArrowDown"))  # arrow keys choose, and stay in the question
    book.wait_for("Noted: a quarter.")
    assert (view.given, view.asked) == ("a quarter", 2)
    assert book.page.evaluate("reached") == ["Tab"]
    assert book.page.evaluate("sessionStorage.length") == 0  # progress keeps it


def test_a_choice_that_was_changed_says_so_until_it_is_noted(still: Notebook) -> None:
    still.draw(asked())
    still.page.get_by_role("radio", name="a half").check()
    assert still.said() == ""
    still.take(feedback="Noted: a half.", answered="a half", heard=1)
    still.page.get_by_role("radio", name="nothing").check()
    assert still.said().startswith("You have chosen something else since.")
    still.take(feedback="Noted: nothing.", answered="nothing", heard=2)
    assert still.said() == "Noted: nothing."


def test_a_recollection_asks_for_a_choice_and_a_reason_by_keyboard_before_it_tells_the_outcome(
    book: Notebook,
) -> None:
    thoughts = {"a half": "It is cut.", "a quarter": "Both halve."}
    recalled = recall(Prediction("left", "What is left?", thoughts, "a quarter", ["Half of it."]))
    view = book.live(recollection_view(recalled))
    type_keys(book, ("Tab", "Tab", "It is cut up.", "Enter"))
    book.wait_for(CHOOSE_FIRST)
    book.page.get_by_label("Your own reason (you may leave it empty)").press("Shift+Tab")
    type_keys(book, ("Space", "Enter"))
    book.wait_for("Your own reason: It is cut up.")
    assert "It turned out: a quarter." in book.said()
    assert "Half of it." in book.said()
    assert view.given == {"choice": "a half", "reason": "It is cut up."}
    book.page.get_by_label("a quarter").check()
    assert book.said().startswith("You have changed your answer since this reply.")
