"""Predictions and short checks, in plain code and through their widget."""

import json
import subprocess
import sys

import pytest

from lessonlib import check, predict, recall
from lessonlib.errors import AnswerError, shown
from lessonlib.exercises.reply import Reply

OPTIONS = {
    "a half": "Power follows the voltage.",
    "a quarter": "Voltage and current both halve.",
    "nothing": "It needs its full voltage to start.",
}


@pytest.fixture
def prediction():
    return predict("half voltage", "What is left at half the voltage?", OPTIONS)


@pytest.fixture
def power():
    return check(
        "power",
        "What does the element give?",
        100,
        "W",
        slips={200: "That is the share of the voltage.", "0.8 kW": "That divides the wrong way."},
        hint="Find the current first.",
        worked="0.5 A through 400 Ω.",
    )


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
    assert recall(prediction, truth="a quarter").splitlines() == [
        "You said: a half. The thought behind it: Power follows the voltage.",
        "It turned out: a quarter. The reason: Voltage and current both halve.",
        "The thoughts behind the other answers:",
        "- nothing: It needs its full voltage to start.",
    ]


def test_recall_of_a_right_choice_says_so_without_repeating_it(prediction):
    prediction.choose("a quarter")
    lines = recall(prediction, truth="a quarter").splitlines()
    assert lines[1] == "That is how it turned out."
    assert [line for line in lines if "a quarter" in line] == lines[:1]


def test_recall_without_a_choice_says_what_to_do_and_still_explains_every_option(prediction):
    said = recall(prediction, truth="a quarter")
    assert said.startswith("You have not chosen yet: go back to the question")
    assert all(option in said and thought in said for option, thought in OPTIONS.items())


def test_recall_of_something_else_names_what_it_wants():
    with pytest.raises(AnswerError, match=r"found 5.*what predict\(\.\.\.\) returned"):
        recall(5)


def test_recall_refuses_a_truth_that_is_no_option(prediction):
    with pytest.raises(AnswerError, match="found 'a third'"):
        recall(prediction, truth="a third")


def test_a_prediction_needs_two_options():
    with pytest.raises(AnswerError, match="found 1 option"):
        predict("lone", "Well?", {"yes": "it is"})


# checks with a number


@pytest.mark.parametrize(
    "typed", ["100 W", "0,1 kW", "100", "101.9 W", "100000 mW", "P = 100 watts"]
)
def test_a_right_answer_in_any_unit_of_the_kind_is_right(power, typed):
    assert power.try_answer(typed).startswith("Right: ")
    assert power.solved


def test_a_right_answer_is_followed_by_the_worked_answer(power):
    assert power.try_answer("100 W").splitlines() == ["Right: 100 W.", "0.5 A through 400 Ω."]


def test_an_answer_beyond_the_tolerance_is_not_right(power):
    power.try_answer("102.5 W")
    assert not power.solved


def test_a_missing_unit_is_taken_and_mentioned_where_the_number_is_wrong(power):
    assert "taking W for the unit that you left out" in power.try_answer("130")
    assert power.try_answer("100").startswith("Right: 100 W.\n")


@pytest.mark.parametrize("typed", ["200 W", "0.2 kW", "201"])
def test_a_slip_is_named_with_what_was_read(power, typed):
    said = power.try_answer(typed)
    assert said.startswith("Not right yet. I read ")
    assert said.endswith("That is the share of the voltage.")


def test_a_slip_may_be_given_as_text_in_another_unit(power):
    assert power.try_answer("800 W").endswith("That divides the wrong way.")


def test_what_was_typed_is_shown_in_its_own_unit_and_in_the_one_asked_for(power):
    assert "I read 0.2 kW, that is 200 W." in power.try_answer("0.2 kW")


def test_another_kind_of_quantity_is_named(power):
    said = power.try_answer("0.5 A")
    assert said.endswith("I read 0.5 A. That is a current; the question asks for a power, in W.")


def test_energy_is_not_taken_for_power(power):
    assert "That is an energy" in power.try_answer("0.1 kWh")


def test_a_power_of_ten_gets_a_look_at_the_prefix(power):
    assert "1000 times too small" in power.try_answer("0.1 W")
    assert "10 times too large" in power.try_answer("1 kW")


def test_a_wrong_sign_is_named(power):
    assert "the sign does not" in power.try_answer("-100 W")


def test_any_other_wrong_answer_gets_its_direction_and_the_hint(power):
    said = power.try_answer("130 W")
    assert said == "Not right yet. I read 130 W. That is too large. Find the current first."
    assert "too small" in power.try_answer("30 W")


def test_either_meaning_of_a_comma_may_be_the_right_one():
    kettle = check("kettle", "Power?", 1200, "W")
    assert kettle.try_answer("1,200 W").startswith("Right: 1200 W")
    current = check("current", "Current?", 1.739, "A")
    assert current.try_answer("1,739 A").startswith("Right: 1.739 A")


def test_no_wrong_or_unread_answer_gives_the_right_one_away():
    # 137 stands in no text of this question, so any 137 in a reply comes from the answer itself
    secret = check("secret", "Power?", 137, "W", slips={50: "Half of it."}, worked="It is 137 W.")
    for typed in ["1 W", "50 W", "1.37 W", "-137", "5 A", "", "x", "1e3 W"]:
        assert "137" not in secret.try_answer(typed).replace(f"I read {typed}", "").replace(
            "-137 W", ""
        ).replace("1.37 W", "")


def test_the_worked_answer_is_offered_after_the_third_try_and_not_before(power):
    for left in (3, 2, 1):
        assert f"after {left} more" in power.worked_answer()
        said = power.try_answer("30 W")
        assert ("worked answer" in said) == (left == 1)
    assert power.worked_answer().splitlines() == ["Answer: 100 W.", "0.5 A through 400 Ω."]


def test_what_cannot_be_read_is_no_try(power):
    for typed in ("", "tenth", "100 furlongs", "9**9"):
        power.try_answer(typed)
    assert power.tries == 0


def test_zero_can_be_the_answer():
    dead = check("dead", "Power when off?", 0, "W")
    assert dead.try_answer("0 W").startswith("Right")
    assert not dead.try_answer("5 W").startswith("Right")


def test_a_share_can_be_given_in_per_cent():
    share = check("share", "Which share of the power is left?", 0.25)
    assert share.try_answer("25 %").startswith("Right")
    assert share.try_answer("0.25").startswith("Right")


@pytest.mark.parametrize("typed", ["1/4", "0.25", "25", "25 %", "0.25 times"])
def test_a_share_asked_for_in_per_cent_may_be_a_bare_number_or_a_fraction(typed):
    share = check("share", "Which share of the power is left?", 25, "%")
    assert share.try_answer(typed).startswith("Right: ")
    assert share.solved


def test_a_wrong_bare_share_is_read_the_likelier_way():
    share = check("share", "Which share of the power is left?", 25, "%")
    assert share.try_answer("3") == "Not right yet. I read 3 %. That is too small."
    assert share.try_answer("0.6") == "Not right yet. I read 60 %. That is too large."


# a question built wrongly


def test_a_slip_within_the_tolerance_of_the_answer_is_refused():
    with pytest.raises(AnswerError, match=r"found 100 and 103, which a tolerance of 0\.02"):
        check("close", "Power?", 100, "W", slips={103: "near"})


def test_two_slips_that_cannot_be_told_apart_are_refused():
    with pytest.raises(AnswerError, match=r"'0\.2 kW' and 201"):
        check("close", "Power?", 100, "W", slips={"0.2 kW": "one", 201: "other"})


@pytest.mark.parametrize("answer", ["5 A", "x", float("nan"), True, None])
def test_an_answer_that_is_no_value_in_the_unit_is_refused(answer):
    with pytest.raises(AnswerError, match="Accepted: a number"):
        check("bad", "Power?", answer, "W")


def test_an_unknown_unit_is_refused():
    with pytest.raises(AnswerError, match="found the unit 'furlong'"):
        check("bad", "How far?", 1, "furlong")


@pytest.mark.parametrize("tolerance", [0, -1, 1, float("nan")])
def test_a_tolerance_that_is_no_share_is_refused(tolerance):
    with pytest.raises(AnswerError, match="found the tolerance"):
        check("bad", "Power?", 1, "W", tolerance=tolerance)


# checks with options


@pytest.fixture
def choice():
    return check(
        "part",
        "Which part?",
        "the fuse",
        options={"the fuse": "It is open.", "the lamp": "A lamp out proves nothing: open S1."},
    )


def test_a_chosen_option_gets_its_own_reply(choice):
    assert choice.try_answer("the lamp").startswith("Not right yet. You chose: the lamp.")
    assert choice.try_answer(1) == "Right: the fuse. It is open."
    assert choice.solved


def test_an_answer_that_is_no_option_is_no_try(choice):
    assert choice.try_answer("the plug") == (
        "That is none of the options. They are: the fuse; the lamp."
    )
    assert choice.tries == 0


def test_the_right_option_must_be_one_of_the_options():
    with pytest.raises(AnswerError, match="found the answer 'the plug'"):
        check("part", "Which part?", "the plug", options={"a": "", "b": ""})


# shown as text, in a notebook, and through the widget


def test_a_question_reads_as_text_and_is_the_same_every_time(prediction, power, choice):
    assert repr(prediction).splitlines() == [
        "What is left at half the voltage?",
        "  1. a half",
        "  2. a quarter",
        "  3. nothing",
        "Your choice: .choose(1), .choose(2), ...",
    ]
    assert repr(power) == 'What does the element give?\nYour answer: .try_answer("... W")'
    assert "0x" not in repr(choice)


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


@pytest.mark.parametrize(
    "given",
    [None, True, [], {"a": 1}, object(), b"100 W", 10**5000, float("nan"), "\ud800", "x" * 10**6],
    ids=lambda given: shown(given, 20),
)
def test_whatever_is_given_to_a_check_is_no_try_and_is_told_in_few_words(power, choice, given):
    for question in (power, choice):
        said = question.try_answer(given)
        assert (said.verdict, question.tries) == ("unread", 0)
        assert 10 < len(said) < 200


def test_a_reply_tells_its_verdict(power, choice):
    assert [power.try_answer(typed).verdict for typed in ("much", "5 W", "100 W")] == [
        "unread",
        "wrong",
        "right",
    ]
    assert choice.try_answer("the lamp").verdict == "wrong"
    assert power.worked_answer().verdict == ""


def test_a_reply_escapes_markup_in_a_notebook():
    html = Reply("<script>x</script>\n- <b>item</b>")._repr_html_()
    assert "<script>" not in html
    assert "<li>&lt;b&gt;item&lt;/b&gt;</li>" in html


def test_choosing_in_the_widget_records_the_prediction(prediction):
    prediction._repr_mimebundle_()
    view = prediction._view
    view.set_state({"chosen": 1, "asked": 1})
    assert prediction.choice == "a quarter"
    assert view.feedback.startswith("Noted: a quarter.")
    assert view.heard == 1


def test_choosing_in_code_shows_in_the_widget(prediction):
    prediction._repr_mimebundle_()
    prediction.choose("nothing")
    assert prediction._view.chosen == 2


def test_typing_in_the_widget_gives_the_reply_of_plain_code(power):
    power._repr_mimebundle_()
    view = power._view
    view.set_state({"typed": "0.2 kW", "asked": 1})
    assert "share of the voltage" in view.feedback
    assert power.tries == 1
    assert not view.offered


def test_the_widget_offers_the_worked_answer_after_the_third_try(power):
    power._repr_mimebundle_()
    view = power._view
    for turn in (1, 2, 3):
        view.set_state({"typed": f"{turn} W", "asked": turn})
    assert view.offered
    view.set_state({"wanted": 1})
    assert view.feedback.startswith("Answer: 100 W.")


def test_the_widget_gets_the_verdict_and_the_answer_that_it_is_about(power):
    power._repr_mimebundle_()
    view = power._view
    for turn, (typed, verdict) in enumerate((("much", "unread"), ("5 W", "wrong")), start=1):
        view.set_state({"typed": typed, "asked": turn})
        assert (view.verdict, view.answered) == (verdict, typed)
    for turn in (3, 4):
        view.set_state({"typed": "6 W", "asked": turn})
    view.set_state({"wanted": 1})
    assert view.verdict == ""


def test_the_widget_knows_the_choice_that_its_words_are_about(prediction):
    prediction._repr_mimebundle_()
    assert prediction._view.answered == ""
    prediction.choose("nothing")
    assert prediction._view.answered == "nothing"
    prediction._view.set_state({"chosen": 0, "asked": 1})
    assert prediction._view.answered == prediction.options[0]


def test_the_widget_offers_nothing_more_after_a_right_answer(power):
    power._repr_mimebundle_()
    view = power._view
    view.set_state({"typed": "100 W", "asked": 1})
    assert "0.5 A through 400 Ω." in view.feedback
    assert not view.offered


def test_pressing_check_with_nothing_chosen_is_no_try(choice):
    choice._repr_mimebundle_()
    choice._view.set_state({"asked": 1})
    assert choice._view.feedback == "Choose one of the options first."
    assert choice.tries == 0


def test_a_hostile_answer_is_only_text(power):
    power._repr_mimebundle_()
    view = power._view
    view.set_state({"typed": "<img src=x onerror=alert(1)>", "asked": 1})
    assert power.tries == 0
    json.dumps(view.get_state(["feedback", "typed"]))


def test_asking_in_plain_code_loads_no_widgets():
    code = (
        "import sys; from lessonlib import check, predict, recall\n"
        "p = predict('n', 'q', {'a': 'x', 'b': 'y'}); p.choose(1); print(recall(p))\n"
        "check('n', 'q', 1, 'W').try_answer('1 W')\n"
        "print([m for m in ('anywidget', 'ipywidgets', 'IPython') if m in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", code], capture_output=True, text=True, check=True
    )
    assert done.stdout.splitlines()[-1] == "[]"
