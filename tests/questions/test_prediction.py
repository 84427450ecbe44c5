"""Predictions, and checks by name, in plain code and through their widget; what was predicted is
kept, and comes back when its cell is run again."""

import subprocess
import sys

import pytest

from lessonlib import check, predict, recall
from lessonlib.errors import AnswerError
from lessonlib.progress.progress import PLACE, progress_here
from lessonlib.questions.prediction import FROM_BEFORE, Prediction
from lessonlib.questions.reply import Reply
from lessonlib.questions.task import Task
from lessonlib.questions.view import CHOOSE_FIRST

OPTIONS = {
    "a half": "Power follows the voltage.",
    "a quarter": "Voltage and current both halve.",
    "nothing": "It needs its full voltage to start.",
}


def ask():
    return Prediction("half-voltage", "What is left at half the voltage?", OPTIONS, "a quarter")


@pytest.fixture
def prediction():
    return ask()


# predictions


def test_a_prediction_is_recorded_and_not_marked_and_a_later_choice_replaces_it(prediction):
    said = prediction.choose("A  half")
    assert prediction.choice == "a half"
    assert said == "Noted: a half. You may change it until you have tried."
    prediction.choose(3)
    assert prediction.choice == "nothing"


def test_an_option_that_is_not_offered_is_refused_by_name(prediction):
    with pytest.raises(AnswerError, match=r"found 'all'.*'a half', 'a quarter', 'nothing'"):
        prediction.choose("all")


def test_recall_names_the_choice_its_thought_the_truth_and_the_other_thoughts(prediction):
    prediction.choose("a half")
    assert recall(prediction).show().splitlines() == [
        "You said: a half. The thought behind it: Power follows the voltage.",
        "It turned out: a quarter. The reason: Voltage and current both halve.",
        "The thoughts behind the other answers:",
        "- nothing: It needs its full voltage to start.",
    ]


def test_recall_tells_no_thought_and_no_outcome_before_there_is_a_choice(prediction):
    prediction.outcome = ("Half of a half.",)
    with pytest.raises(AnswerError, match=r"found no choice.*'a half'.*\.show\(1\)"):
        recall(prediction).show()
    shown = str(recall(prediction)._repr_mimebundle_()) + repr(recall(prediction))
    assert not any(thought in shown for thought in (*OPTIONS.values(), "Half of a half."))
    lines = recall(prediction).show(1, " It sounds right. ").splitlines()
    assert prediction.choice == "a half"
    assert lines[1] == "Your own reason: It sounds right."
    assert lines[3] == "Half of a half."


def test_the_widget_of_recall_asks_for_a_choice_and_then_shows_the_outcome(prediction):
    recalled = recall(prediction)
    recalled._repr_mimebundle_()
    view = recalled._view
    view.set_state({"given": {"choice": None, "reason": "Hm."}, "asked": 1})
    assert (view.feedback, view.heard, view.solved) == (CHOOSE_FIRST, 1, False)
    view.set_state({"given": {"choice": "a half", "reason": "Hm."}, "asked": 2})
    assert view.feedback == recalled.show(reason="Hm.")
    assert (view.heard, view.solved) == (2, True)


def test_the_widget_of_recall_knows_a_choice_made_above_after_it_was_shown(prediction):
    recalled = recall(ask())
    recalled._repr_mimebundle_()
    prediction.choose("nothing")
    recalled._view.set_state({"asked": 1})
    assert recalled._view.feedback.startswith("You said: nothing.")
    assert recalled._view.given["choice"] == "nothing"


# asked by name


def test_a_prediction_is_found_by_its_name_and_knows_how_it_turns_out():
    found = predict("half-voltage")
    assert found.truth in found.options
    found.choose(found.truth)
    assert recall("half-voltage").show() == recall(found).show()
    lines = recall(found).show().splitlines()
    assert lines[1] == "That is how it turned out."
    assert not any("It turned out" in line for line in lines)


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


def test_a_reply_has_a_sign_and_a_shape_for_each_verdict():
    shapes = set()
    for verdict, sign in (("right", "✓ "), ("wrong", "✗ "), ("unread", "? "), ("", None)):
        html = Reply("one\n- two\nthree", verdict)._repr_html_()
        assert html.count("<strong") == (sign is not None)
        assert sign is None or f'<p><strong aria-hidden="true">{sign}</strong>one</p>' in html
        shapes.add(html.partition("padding")[0])
    assert len(shapes) == 4


def test_a_reply_escapes_markup_in_a_notebook():
    reply = Reply("<script>x</script>\n- <b>item</b>")
    html = reply._repr_html_()
    assert repr(reply) == str(reply)
    assert "<script>" not in html
    assert "<li>&lt;b&gt;item&lt;/b&gt;</li>" in html


def test_it_reads_as_text_and_choosing_in_its_widget_records_it(prediction):
    assert repr(prediction).splitlines() == [
        "What is left at half the voltage?",
        "  1. a half",
        "  2. a quarter",
        "  3. nothing",
        "Your choice: .choose(1), .choose(2), ...",
    ]
    assert prediction._repr_mimebundle_()["text/plain"] == repr(prediction)
    view = prediction._view
    assert view.answered is None
    view.set_state({"given": "a quarter", "asked": 1})
    assert (prediction.choice, view.answered, view.heard) == ("a quarter", "a quarter", 1)
    assert view.feedback.startswith("Noted: a quarter.")
    prediction.choose("nothing")  # in code, which shows in the widget
    assert (view.given, view.answered) == ("nothing", "nothing")


def test_asking_in_plain_code_loads_no_widgets():
    code = (
        "import sys; from lessonlib import check, predict, recall\n"
        "p = predict('half-voltage'); p.choose(1); print(recall(p).show())\n"
        "check('third').try_answer('1 W')\n"
        "print([m for m in ('anywidget', 'ipywidgets', 'IPython') if m in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", code], capture_output=True, text=True, check=True
    )
    assert done.stdout.splitlines()[-1] == "[]"


# kept


def restart():
    """Forget all that a kernel forgets when it is started again."""
    progress_here.cache_clear()


@pytest.fixture
def kept(tmp_path, monkeypatch):
    """A trainee's place for progress, as against a checkout, where there is none."""
    place = tmp_path / "progress.jsonl"
    monkeypatch.setenv(PLACE, str(place))
    restart()
    return place


@pytest.mark.usefixtures("kept")
def test_a_prediction_from_before_says_so_until_it_is_changed():
    first = ask()
    first._repr_mimebundle_()
    first._view.set_state(
        {"given": "a quarter", "asked": 1}
    )  # a choice in the widget is kept as well
    restart()
    again = ask()
    again._repr_mimebundle_()
    assert (again._view.given, again._view.feedback) == ("a quarter", FROM_BEFORE)
    assert f"a quarter: {FROM_BEFORE}" in repr(again).splitlines()
    said = again.choose("a half")
    assert again._view.feedback == said
    assert FROM_BEFORE not in repr(again)
    restart()
    assert ask().choice == "a half"
    other = Prediction("half-voltage", "What is left?", {"a third": "x", "nothing": "y"}, "nothing")
    assert (other.choice, other.note) == (None, "")  # the earlier one is no longer offered


@pytest.mark.usefixtures("kept")
def test_a_reason_of_ones_own_comes_back_after_a_restart():
    reason = "It sounds right. " * 17 + "So."  # nearly as long as its box takes
    recall(ask()).show("a half", reason)
    restart()
    again = recall(ask())
    again._repr_mimebundle_()
    assert again._view.given == {"choice": "a half", "reason": reason}
    assert "Your own reason" not in again.show()  # shown beside the others once it is given again
    restart()
    assert ask().reason == reason


def test_in_a_checkout_nothing_is_kept_beyond_the_process():
    ask().choose("a half")
    assert progress_here().path is None
    restart()
    fresh = ask()
    assert fresh.choice is None
    assert FROM_BEFORE not in repr(fresh)
