"""What a reply to an exercise hears."""

from __future__ import annotations

import pytest

from lessonlib.questions.answers import Choice, Number
from lessonlib.questions.exercise import Exercise, Slip
from lessonlib.questions.marking import mark

HALVED = Slip(
    "halved-once",
    200.0,
    thought="the voltage is halved and the power with it",
    why="On 115 V the current is halved as well.",
    attempt="Set the supply in the panel to 115 V and read the current.",
)
PRINTED = Slip(
    "printed",
    400.0,
    thought="the marking is taken to hold on any voltage",
    why="It holds at 230 V.",
    attempt="Set the supply in the panel to 115 V and read the power.",
)
QUARTER = Exercise(
    text="A 400 W, 230 V element on 115 V: which power?",
    answer=Number(100.0, "W", because="2 % for rounding on the way"),
    slips=(HALVED, PRINTED),
    hints=("What does the current do?", "Half of a half."),
    worked=("(115 ÷ 230)² = 0.25", "0.25 × 400 W = 100 W"),
)


def test_a_right_answer_is_told_how_it_was_read() -> None:
    marked = mark(QUARTER, "0.1 kW")
    assert (marked.verdict, marked.slip) == ("right", None)
    assert marked.reply == "Right: 0.1 kW, that is 100 W."


def test_a_slip_is_told_what_was_read_the_thought_why_it_fails_and_what_to_try() -> None:
    marked = mark(QUARTER, "0.2 kW")
    assert (marked.verdict, marked.slip) == ("wrong", "halved-once")
    assert marked.reply == (
        "Not right yet. I read 0.2 kW, that is 200 W. This is what you get when the voltage is "
        "halved and the power with it. On 115 V the current is halved as well. Try: Set the supply "
        "in the panel to 115 V and read the current."
    )


def test_a_wrong_number_that_no_slip_explains_gets_a_general_check() -> None:
    marked = mark(QUARTER, "150 W")
    assert (marked.verdict, marked.slip) == ("wrong", None)
    assert marked.reply == "Not right yet. I read 150 W. That is too large."


def test_the_right_meaning_of_an_ambiguous_comma_comes_before_a_slips() -> None:
    kilo = Exercise("", Number(1.2, "kW"), (Slip("large", 1200.0, "t", "W.", "A."),), ("", ""), ())
    assert mark(kilo, "1,200 kW").verdict == "right"
    assert mark(kilo, "1200 kW").slip == "large"
    thousands = Exercise("", Number(7.0, "kW"), kilo.slips, ("", ""), ())
    assert mark(thousands, "1,200").slip == "large"
    assert mark(thousands, "3,400 kW").reply == (
        "Not right yet. I read 3.4 kW. The comma can also group thousands; read like that it does "
        "not fit either. That is too small."
    )


def test_another_kind_of_quantity_is_a_try_that_matches_no_slip() -> None:
    marked = mark(QUARTER, "200 V")
    assert (marked.verdict, marked.slip) == ("wrong", None)
    assert marked.reply == (
        "Not right yet. I read 200 V. That is a voltage; the question asks for a power, in W."
    )


@pytest.mark.parametrize("given", ["", None, "about half", "100 W; DROP TABLE", "<b>100</b>"])
def test_what_cannot_be_read_is_no_wrong_answer(given: object) -> None:
    marked = mark(QUARTER, given)
    assert (marked.verdict, marked.slip) == ("unread", None)


def test_no_wrong_reply_holds_the_right_answer() -> None:
    for given in ("200 W", "400 W", "150 W", "-100 W", "100 kW", "1 W", "100 A"):
        reply = mark(QUARTER, given).reply
        said = reply.partition("I read ")[2].partition(".")[2]
        assert "100 W" not in said, reply


def test_a_choice_is_marked_in_the_same_words() -> None:
    slip = Slip("half", "half", "power follows voltage once", "It does not.", "Try it out.")
    exercise = Exercise("", Choice("a quarter", ("half", "a quarter")), (slip,), ("", ""), ())
    assert mark(exercise, 2).reply == 'Right: "a quarter".'
    assert mark(exercise, "HALF").reply == (
        'Not right yet. You chose "half". This is what you get when power follows voltage '
        "once. It does not. Try: Try it out."
    )
