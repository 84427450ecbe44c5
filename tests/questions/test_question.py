"""Predictions and short checks, in plain code and through their widget."""

import subprocess
import sys

import pytest

from lessonlib import check, predict, recall
from lessonlib.errors import AnswerError
from lessonlib.questions.question import Prediction
from lessonlib.questions.reply import Reply
from lessonlib.questions.task import Task

OPTIONS = {
    "a half": "Power follows the voltage.",
    "a quarter": "Voltage and current both halve.",
    "nothing": "It needs its full voltage to start.",
}


@pytest.fixture
def prediction():
    return Prediction("half voltage", "What is left at half the voltage?", OPTIONS, "a quarter")


# predictions


def test_a_prediction_is_recorded_and_not_marked(prediction):
    said = prediction.choose("a half")
    assert prediction.choice == "a half"
    assert said == "Noted: a half. You may change it until you have tried."


def test_a_later_choice_replaces_the_first_and_may_be_a_number(prediction):
    prediction.choose("A  half")
    prediction.choose(3)
    assert prediction.choice == "nothing"


def test_an_option_that_is_not_offered_is_refused_by_name(prediction):
    with pytest.raises(AnswerError, match=r"found 'all'.*'a half', 'a quarter', 'nothing'"):
        prediction.choose("all")


def test_recall_names_the_choice_its_thought_the_truth_and_the_other_thoughts(prediction):
    prediction.choose("a half")
    assert recall(prediction).splitlines() == [
        "You said: a half. The thought behind it: Power follows the voltage.",
        "It turned out: a quarter. The reason: Voltage and current both halve.",
        "The thoughts behind the other answers:",
        "- nothing: It needs its full voltage to start.",
    ]


def test_recall_of_a_right_choice_says_so_without_repeating_it(prediction):
    prediction.choose("a quarter")
    lines = recall(prediction).splitlines()
    assert lines[1] == "That is how it turned out."
    assert [line for line in lines if "a quarter" in line] == lines[:1]


def test_recall_without_a_choice_says_what_to_do_and_still_explains_every_option(prediction):
    said = recall(prediction)
    assert said.startswith("You have not chosen yet: go back to the question")
    assert all(option in said and thought in said for option, thought in OPTIONS.items())


def test_recall_of_something_else_names_what_it_wants():
    with pytest.raises(
        AnswerError, match=r"found 5.*the name of a prediction.*what predict\(\.\.\.\) returned"
    ):
        recall(5)


def test_a_truth_that_is_no_option_is_refused():
    with pytest.raises(AnswerError, match="found 'a third'"):
        Prediction("half voltage", "Well?", OPTIONS, "a third")


def test_recall_where_nothing_has_turned_out_yet_says_no_more_than_the_thoughts():
    asked = Prediction("half voltage", "Well?", OPTIONS)
    asked.choose("nothing")
    assert [line.partition(":")[0] for line in recall(asked).splitlines()] == [
        "You said",
        "The thoughts behind the other answers",
        "- a half",
        "- a quarter",
    ]


def test_a_prediction_needs_two_options():
    with pytest.raises(AnswerError, match="found 1 option"):
        Prediction("lone", "Well?", {"yes": "it is"})


# asked by name


def test_a_prediction_is_found_by_its_name_and_knows_how_it_turns_out():
    found = predict("half-voltage")
    assert found.truth in found.options
    found.choose(found.truth)
    assert recall("half-voltage") == recall(found)
    assert "That is how it turned out." in recall("half-voltage")


def test_a_check_is_found_by_its_name_and_is_a_task_with_one_set_of_numbers():
    asked = check("third")
    assert (type(asked), asked.seed, asked.template.grade) == (Task, 0, "check")
    assert asked.try_answer(asked.exercise.answer.written(asked.exercise.answer.value)).verdict == (
        "right"
    )


@pytest.mark.parametrize(
    ("ask", "kind", "name"),
    [
        (predict, "prediction", "half-voltage"),
        (recall, "prediction", "half-voltage"),
        (check, "check", "third"),
    ],
)
def test_a_name_that_no_question_has_says_which_there_are(ask, kind, name):
    with pytest.raises(AnswerError, match=f'found no {kind} .* Did you mean "{name}".*Accepted'):
        ask(f"{name}s")


# shown as text, in a notebook, and through the widget


def test_a_question_reads_as_text_and_is_the_same_every_time(prediction):
    assert repr(prediction).splitlines() == [
        "What is left at half the voltage?",
        "  1. a half",
        "  2. a quarter",
        "  3. nothing",
        "Your choice: .choose(1), .choose(2), ...",
    ]


def test_a_notebook_gets_the_text_beside_the_widget(prediction):
    bundle = prediction._repr_mimebundle_()
    assert bundle["text/plain"] == repr(prediction)
    assert bundle["application/vnd.jupyter.widget-view+json"]["model_id"]


def test_a_reply_shows_as_it_is_written():
    assert repr(Reply("one\n- two")) == "one\n- two"


def test_a_reply_has_a_sign_and_a_shape_for_each_verdict():
    shapes = set()
    for verdict, sign in (("right", "✓ "), ("wrong", "✗ "), ("unread", "? "), ("", None)):
        html = Reply("one\n- two\nthree", verdict)._repr_html_()
        assert html.count("<strong") == (sign is not None)
        assert sign is None or f'<p><strong aria-hidden="true">{sign}</strong>one</p>' in html
        shapes.add(html.partition("padding")[0])
    assert len(shapes) == 4


def test_a_reply_escapes_markup_in_a_notebook():
    html = Reply("<script>x</script>\n- <b>item</b>")._repr_html_()
    assert "<script>" not in html
    assert "<li>&lt;b&gt;item&lt;/b&gt;</li>" in html


def test_choosing_in_the_widget_records_the_prediction(prediction):
    prediction._repr_mimebundle_()
    view = prediction._view
    view.set_state({"given": "a quarter", "asked": 1})
    assert prediction.choice == "a quarter"
    assert view.feedback.startswith("Noted: a quarter.")
    assert view.heard == 1


def test_choosing_in_code_shows_in_the_widget(prediction):
    prediction._repr_mimebundle_()
    prediction.choose("nothing")
    assert prediction._view.given == "nothing"


def test_the_widget_knows_the_choice_that_its_words_are_about(prediction):
    prediction._repr_mimebundle_()
    assert prediction._view.answered is None
    prediction.choose("nothing")
    assert prediction._view.answered == "nothing"
    prediction._view.set_state({"given": prediction.options[0], "asked": 1})
    assert prediction._view.answered == prediction.options[0]


def test_asking_in_plain_code_loads_no_widgets():
    code = (
        "import sys; from lessonlib import check, predict, recall\n"
        "p = predict('half-voltage'); p.choose(1); print(recall(p))\n"
        "check('third').try_answer('1 W')\n"
        "print([m for m in ('anywidget', 'ipywidgets', 'IPython') if m in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", code], capture_output=True, text=True, check=True
    )
    assert done.stdout.splitlines()[-1] == "[]"
