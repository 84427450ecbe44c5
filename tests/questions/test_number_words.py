"""What a typed number deserves to hear."""

import random

import pytest

from lessonlib.questions.answers import Number
from lessonlib.questions.exercise import Exercise, Slip
from lessonlib.questions.marking import Marked, mark
from lessonlib.questions.reply import WRONG
from tests.questions.test_reading import any_text


def heard(answer: float, unit: str, typed: str, slips=None) -> str:
    """The reply, without the words that a wrong answer's reply begins with."""
    marked = marking(answer, unit, typed, slips)
    assert marked.reply.startswith(WRONG) == (marked.verdict == "wrong")
    return marked.reply.removeprefix(f"{WRONG} ")


def marking(answer: float, unit: str, typed: str, slips=None) -> Marked:
    known = tuple(Slip(why, value, "", why, "") for value, why in (slips or {}).items())
    return mark(Exercise("", Number(answer, unit), known, (), ()), typed)


@pytest.mark.parametrize(
    ("answer", "unit", "typed", "seen"),
    [
        (1200, "W", "1.2 kW", "1.2 kW, that is 1200 W"),
        (1200, "W", "1,200 W", "1200 W"),
        (1.2, "A", "1,200 A", "1.2 A"),
        (1200, "W", "1.2k", "1.2 kW, that is 1200 W"),
        (52.9, "Ω", "52R9", "52.9 Ω"),
        (4700, "Ω", "4k7", "4.7 kΩ, that is 4700 Ω"),
        (47000, "Ω", "47K", "47 kΩ, that is 47000 Ω"),
        (4700, "W", "4k7 W", "4.7 kW, that is 4700 W"),
        (12.5, "min", "12 min 30 s", "750 s, that is 12.5 min"),
        (80, "K", "80 degrees", "80 K"),
        (50, "%", "½", "50 %"),
        (2, "bar", "2 bar(g)", "2 bar(g), that is 2 bar"),
        (3, "bar(a)", "3 bar", "3 bar, that is 3 bar(a)"),
        (0.6, "bar", "8.7 psi", "8.7 psi, that is 0.59984 bar"),
        (100, "°C", "212 °F", "212 °F, that is 100 °C"),
        (230, "V", "230 VAC", "230 V"),
        (0, "W", "nothing", "0 W"),
        (0, "A", "off", "0 A"),
        (0, "W", "0 W", "0 W"),
        (1.739, "A", "1,739 A", "1.739 A"),
        (100, "W", "100", "100 W"),
        (100, "W", "101.9 W", "101.9 W"),
        (100, "W", "0,1 kW", "0.1 kW, that is 100 W"),
        (100, "W", "100000 mW", "100000 mW, that is 100 W"),
        (100, "W", "P = 100 watts", "100 W"),
        (0.25, "", "25 %", "25 %, that is 0.25"),
        (0.25, "", "0.25", "0.25"),
        (25, "%", "1/4", "25 %"),
        (25, "%", "0.25", "25 %"),
        (25, "%", "25", "25 %"),
        (25, "%", "25 %", "25 %"),
        (25, "%", "0.25 times", "0.25 times, that is 25 %"),
    ],
)
def test_a_right_answer_hears_how_it_was_read(answer, unit, typed, seen):
    assert marking(answer, unit, typed) == Marked("right", f"Right: {seen}.")


def test_a_missing_unit_is_mentioned_only_where_the_number_is_wrong():
    assert heard(1200, "W", "1200") == "Right: 1200 W."
    said = "I read 1300 W, taking W for the unit that you left out."
    assert heard(1200, "W", "1300") == f"{said} That is too large."
    assert heard(1200, "W", "1300", {1300: "Not so."}) == f"{said} Not so."
    assert heard(25, "%", "0.5") == "I read 50 %. That is too large."


@pytest.mark.parametrize(
    ("answer", "unit", "typed", "seen", "in_unit"),
    [
        (1200, "W", "1200 kW", "1200 kW, that is 1200000 W", "in kW it is 1000 times too large"),
        (1200, "W", "1.2 W", "1.2 W", "in W it is 1000 times too small"),
        (1.2, "kW", "1200 kW", "1200 kW", "in kW it is 1000 times too large"),
        (12.5, "min", "12.5 h", "12.5 h, that is 750 min", "in h it is 60 times too large"),
        (52.9, "Ω", "52k9", "52.9 kΩ, that is 52900 Ω", "in kΩ it is 1000 times too large"),
        (25, "%", "25 times", "25 times, that is 2500 %", "in times it is 100 times too large"),
    ],
)
def test_a_number_that_would_fit_another_unit_of_its_kind_hears_that_the_unit_does_not_fit(
    answer, unit, typed, seen, in_unit
):
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
        (
            "W",
            "1200 VA",
            "I read 1200 VA. That is an apparent power; the question asks for a power",
        ),
        ("W", "R47", "I read 0.47 Ω. That is a resistance; the question asks for a power, in W."),
        ("bar", "2 bar(a)", "I read 2 bar(a). That is an absolute pressure; the question asks for"),
        ("bar(a)", "2 barg", "I read 2 bar(g). That is a gauge pressure; the question asks for an"),
        (
            "K",
            "80 °C",
            "I read 80 °C. That is a temperature; the question asks for a temperature d",
        ),
        ("W", "0.1 kWh", "I read 0.1 kWh. That is an energy; the question asks for a power, in W."),
        ("", "5 W", "I read 5 W. That is a power; the question asks for a bare number, without a"),
    ],
)
def test_a_unit_of_another_kind_is_named_with_both_kinds(unit, typed, said):
    assert marking(1200, unit, typed).verdict == "wrong"
    assert heard(1200, unit, typed).startswith(said)


def test_a_capital_k_alone_is_told_from_kilo_where_kilo_may_be_meant():
    advice = "K alone is the kelvin; kilo is a small k, written before the unit."
    assert heard(1200, "W", "1.2 K").endswith(advice)
    assert advice not in heard(1, "bar", "1.2 K")
    assert advice not in heard(1200, "W", "1.2 A")


def test_a_time_without_its_unit_that_fits_another_unit_hears_that():
    assert "in s it is 60 times too small" in heard(722, "s", "12.03")
    assert "in min it is 60 times too large" in heard(99.2, "min", "5952")
    assert "unit does not" not in heard(722, "s", "13")


def test_kelvins_in_place_of_degrees_are_not_called_wrong_as_a_temperature():
    assert heard(320, "°C", "593 K") == (
        "I read 593 K. Here K counts differences; the question asks for a temperature, in °C."
    )


def test_a_value_rounded_to_two_figures_hears_that_and_not_that_it_is_too_small():
    assert heard(1.7391, "A", "1.7 A").endswith(
        "That is close, but rounded too far. Keep three figures."
    )
    assert "too large" in heard(1.7391, "A", "2 A")
    assert "too small" in heard(1.7391, "A", "1.65 A")


def test_a_slip_comes_before_the_check_of_the_unit():
    slips = {1_200_000: "You multiplied twice."}
    assert heard(1200, "W", "1200 kW", slips).endswith("that is 1200000 W. You multiplied twice.")


def test_a_wrong_value_where_nothing_is_right_is_not_taken_for_a_wrong_unit():
    assert heard(0, "V", "5 V") == "I read 5 V. That is too large."


def test_values_a_whole_float_range_apart_are_compared():
    assert heard(1e-300, "s", "1e14 s").endswith(" s. That is too large.")


def test_both_meanings_of_a_comma_are_tried_and_mentioned_when_neither_fits():
    assert heard(7, "W", "1,200 W").startswith(
        "I read 1.2 W. The comma can also group thousands; read like that it does not fit either."
    )


def test_what_is_refused_is_unread_and_no_wrong_answer():
    for typed in ("", "tenth", "500-600 W", "230*5 W", "4R7 W", "5 furlongs", "12:30", "9**9"):
        assert marking(1200, "W", typed).verdict == "unread"


@pytest.mark.parametrize("typed", ["200 W", "0.2 kW", "201"])
def test_a_slip_is_named_within_its_tolerance_and_in_any_unit(typed):
    said = heard(100, "W", typed, {200: "It is halved twice.", 800: "The other way."})
    assert said.startswith("I read ")
    assert said.endswith("It is halved twice.")


def test_beyond_the_tolerance_a_number_hears_its_sign_its_power_of_ten_or_its_direction():
    assert heard(100, "W", "102.5 W") == "I read 102.5 W. That is too large."
    assert heard(100, "W", "30 W") == "I read 30 W. That is too small."
    assert heard(100, "W", "5 W") == "I read 5 W. That is too small."
    assert heard(0, "W", "5 W") == "I read 5 W. That is too large."
    assert heard(100, "W", "-100 W").endswith("The size fits, the sign does not.")
    assert "the value is 10 times too large" in heard(100, "W", "1 kW")
    assert "1000 times too small" in heard(100, "W", "0.1 W")


def test_a_wrong_bare_share_is_read_the_likelier_way():
    assert heard(25, "%", "3") == "I read 3 %. That is too small."
    assert heard(25, "%", "0.6") == "I read 60 %. That is too large."


def test_any_text_gets_a_reply_that_starts_with_its_reading_and_keeps_the_answer_back():
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
    for _ in range(20_000):
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
