"""The marking of an answer: right, a known slip, or wrong in another way, and what is said."""

from __future__ import annotations

import random
from collections.abc import Mapping

import pytest

from lessonlib.questions.answers import Choice, Number
from lessonlib.questions.exercise import Exercise, Slip
from lessonlib.questions.marking import Marked, mark
from lessonlib.questions.reply import WRONG
from tests.questions.test_reading import any_text

Slips = Mapping[float, str]

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
    answer=Number(100.0, "W"),
    slips=(HALVED, PRINTED),
    hints=("What does the current do?", "Half of a half."),
    worked=("(115 ÷ 230)² = 0.25", "0.25 × 400 W = 100 W"),
)


def test_a_slip_is_told_what_was_read_the_thought_why_it_fails_and_what_to_try() -> None:
    assert mark(QUARTER, "about half").verdict == "unread"  # which is no wrong answer
    marked = mark(QUARTER, "0.2 kW")
    assert (marked.verdict, marked.slip) == ("wrong", "halved-once")
    assert marked.reply == (
        "Not right yet. I read 0.2 kW, that is 200 W. This is what you get when the voltage is "
        "halved and the power with it. On 115 V the current is halved as well. Try: Set the supply "
        "in the panel to 115 V and read the current."
    )


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


def test_a_choice_is_marked_in_the_same_words() -> None:
    slip = Slip("half", "half", "power follows voltage once", "It does not.", "Try it out.")
    exercise = Exercise("", Choice("a quarter", ("half", "a quarter")), (slip,), ("", ""), ())
    assert mark(exercise, 2).reply == 'Right: "a quarter".'
    assert mark(exercise, "HALF").reply == (
        'Not right yet. You chose "half". This is what you get when power follows voltage '
        "once. It does not. Try: Try it out."
    )


# what is said about a number


def heard(answer: float, unit: str, typed: object, slips: Slips | None = None) -> str:
    """The reply, without the words that a wrong answer's reply begins with."""
    marked = marking(answer, unit, typed, slips)
    assert marked.reply.startswith(WRONG) == (marked.verdict == "wrong")
    return marked.reply.removeprefix(f"{WRONG} ")


def marking(answer: float, unit: str, typed: object, slips: Slips | None = None) -> Marked:
    known = tuple(Slip(why, value, "", why, "") for value, why in (slips or {}).items())
    return mark(Exercise("", Number(answer, unit), known, (), ()), typed)


@pytest.mark.parametrize(
    ("answer", "unit", "typed", "seen"),
    [
        (1200, "W", "1.2 kW", "1.2 kW, that is 1200 W"),
        (1200, "W", 1190.0, "1190 W"),
        (1200, "W", "1,200 W", "1200 W"),
        (1.2, "A", "1,200 A", "1.2 A"),
        (52.9, "Ω", "52R9", "52.9 Ω"),
        (4700, "Ω", "4k7", "4.7 kΩ, that is 4700 Ω"),
        (12.5, "min", "12 min 30 s", "750 s, that is 12.5 min"),
        (80, "K", "80 degrees", "80 K"),
        (50, "%", "½", "50 %"),
        (3, "bar(a)", "3 bar", "3 bar, that is 3 bar(a)"),
        (0.6, "bar", "8.7 psi", "8.7 psi, that is 0.59984 bar"),
        (230, "V", "230 VAC", "230 V"),
        (0, "W", "nothing", "0 W"),
        (0, "W", "zero", "0 W"),
        (0.25, "", "25 %", "25 %, that is 0.25"),
        (0.25, "", "0.25", "0.25"),
        (25, "%", "1/4", "25 %"),
        (25, "%", "0.25", "25 %"),
        (25, "%", "0.25 times", "0.25 times, that is 25 %"),
    ],
)
def test_a_right_answer_is_told_how_it_was_read(
    answer: float, unit: str, typed: object, seen: str
) -> None:
    assert marking(answer, unit, typed) == Marked("right", f"Right: {seen}.")


def test_a_missing_unit_is_mentioned_only_where_the_number_is_wrong() -> None:
    assert heard(1200, "W", "1200") == "Right: 1200 W."
    said = "I read 1300 W, taking W for the unit that you left out."
    assert heard(1200, "W", "1300") == f"{said} That is too large."
    assert heard(1200, "W", "1300", {1300: "Not so."}) == f"{said} Not so."
    slips = {1_200_000: "You multiplied twice."}  # which comes before the check of the unit
    assert heard(1200, "W", "1200 kW", slips).endswith("that is 1200000 W. You multiplied twice.")


@pytest.mark.parametrize(
    ("answer", "unit", "typed", "seen", "in_unit"),
    [
        (1200, "W", "1200 kW", "1200 kW, that is 1200000 W", "in kW it is 1000 times too large"),
        (1200, "W", "1.2 W", "1.2 W", "in W it is 1000 times too small"),
        (12.5, "min", "12.5 h", "12.5 h, that is 750 min", "in h it is 60 times too large"),
        (52.9, "Ω", "52k9", "52.9 kΩ, that is 52900 Ω", "in kΩ it is 1000 times too large"),
        (25, "%", "25 times", "25 times, that is 2500 %", "in times it is 100 times too large"),
    ],
)
def test_a_number_that_would_fit_another_unit_of_its_kind_hears_that_the_unit_does_not_fit(
    answer: float, unit: str, typed: str, seen: str, in_unit: str
) -> None:
    assert heard(answer, unit, typed) == (
        f"I read {seen}. The number fits, the unit does not: {in_unit}. "
        "Which unit belongs to your number?"
    )


@pytest.mark.parametrize(
    ("unit", "typed", "said"),
    [
        ("W", "1200 A", "I read 1200 A. That is a current; the question asks for a power, in W."),
        (
            "W",
            "1,200 A",
            "I read 1.2 A or 1200 A. That is a current; the question asks for a power",
        ),
        ("W", "R47", "I read 0.47 Ω. That is a resistance; the question asks for a power, in W."),
        ("bar", "2 bar(a)", "I read 2 bar(a). That is an absolute pressure; the question asks for"),
        ("bar(a)", "2 barg", "I read 2 bar(g). That is a gauge pressure; the question asks for an"),
        (
            "K",
            "80 °C",
            "I read 80 °C. That is a temperature; the question asks for a temperature d",
        ),
        ("", "5 W", "I read 5 W. That is a power; the question asks for a bare number, without a"),
    ],
)
def test_a_unit_of_another_kind_is_named_with_both_kinds(unit: str, typed: str, said: str) -> None:
    assert marking(1200, unit, typed).verdict == "wrong"
    assert heard(1200, unit, typed).startswith(said)


@pytest.mark.parametrize(
    ("answer", "unit", "typed", "said"),
    [
        (100, "W", 102.5, "I read 102.5 W, taking W for the unit that you left out. That is too"),
        (100, "W", "30 W", "I read 30 W. That is too small."),
        (0, "V", "5 V", "I read 5 V. That is too large."),
        (1e-300, "s", "1e14 s", " s. That is too large."),  # a whole float range apart
        (100, "W", "-100 W", "I read -100 W. The size fits, the sign does not."),
        (
            100,
            "W",
            "1 kW",
            "the value is 10 times too large. Look at the decimal mark and at milli",
        ),
        (100, "W", "0.1 W", "1000 times too small"),
        (1.7391, "A", "1.7 A", "That is close, but rounded too far. Keep three figures."),
        (1.7391, "A", "2 A", "I read 2 A. That is too large."),
        (25, "%", "3", "I read 3 %. That is too small."),  # a bare share, read the likelier way
        (25, "%", "0.6", "I read 60 %. That is too large."),
        (722, "s", "12.03", "in s it is 60 times too small"),
        (99.2, "min", "5952", "in min it is 60 times too large"),
        (722, "s", "13", "taking s for the unit that you left out. That is too small."),
        (1200, "W", "1.2 K", "K alone is the kelvin; kilo is a small k, written before the unit."),
        (7, "W", "1,200 W", "I read 1.2 W. The comma can also group thousands; read like that it"),
    ],
)
def test_a_wrong_number_hears_what_to_check_next(
    answer: float, unit: str, typed: str, said: str
) -> None:
    reply = heard(answer, unit, typed)
    assert said in reply
    assert reply.endswith(said) or not said.endswith(".")


def test_any_text_gets_a_reply_that_starts_with_its_reading_and_keeps_the_answer_back() -> None:
    draw = random.Random(3)
    questions = [
        (Exercise("", Number(answer, unit), (), (), ()), shown)
        for answer, unit, shown in (
            *((6173.5, "W", "6173"), (0.00061735, "A", "61735"), (-61.735, "°C", "61.735")),
            *((61.735, "%", "61.735"), (0, "V", None), (6173500, "Ω", "6173"), (1e-300, "s", None)),
            *((61735, "", "6173"), (6.1735, "bar", "6.1735"), (617.35, "min", "617.35")),
        )
    ]
    verdicts = set()
    for _ in range(5_000):
        question, answer = draw.choice(questions)
        typed = any_text(draw)
        marked = mark(question, typed)
        verdicts.add(marked.verdict)
        start = {"right": "Right: ", "wrong": f"{WRONG} I read ", "unread": ""}[marked.verdict]
        assert marked.reply.startswith(start), repr(typed)
        assert marked.reply, repr(typed)
        if marked.verdict != "right" and answer:
            assert answer not in marked.reply, repr(typed)
    assert verdicts == {"right", "wrong", "unread"}
