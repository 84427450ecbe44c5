"""The kinds of answer, a file apart: what is read, what is right, what is said."""

from __future__ import annotations

import json
import math
from typing import Any, Literal

import pytest
from hypothesis import given as over
from hypothesis import strategies as st

from lessonlib.appliance.bundled import load_appliance
from lessonlib.errors import AnswerError, shown
from lessonlib.questions.answers import (
    Answer,
    CellTable,
    Choice,
    CircuitFile,
    Number,
    OneSetting,
    Order,
    Points,
)
from lessonlib.questions.reading import Unread

POWER = Number(1200.0, "W")
CHOICE = Choice("a quarter", ("a half", "a quarter", "the same"))
SETTING = OneSetting(load_appliance("soup-kettle"), {"S1": "on", "S2": "simmer"})
ROTARY = OneSetting(load_appliance("towel-rail"), {"S1": "high"})
POINTS = Points(frozenset({"L", "boost"}), ("L", "N", "boost", "heater end"))
TABLE = CellTable(
    rows=("S1 off", "S1 on"),
    columns=(("power", "W"), ("current", "A")),
    value=((400.0, 1.739), (1600.0, 6.957)),
)
ORDER = Order(("unplug it", "wait until it is cold", "open it", "measure"))
FILE = CircuitFile(load_appliance("tea-urn"))

EVERY: list[Answer] = [POWER, CHOICE, SETTING, ROTARY, POINTS, TABLE, ORDER, FILE]


def read(answer: Answer, given: object) -> Any:
    """The one value that `given` is read as."""
    values = answer.read(given)
    assert not isinstance(values, Unread), values
    assert len(values) == 1
    return values[0]


def refused(answer: Answer, given: object) -> str:
    values = answer.read(given)
    assert isinstance(values, Unread), values
    return values.reason


# A number


@pytest.mark.parametrize("typed", ["OL", "open", "∞", "Open circuit.", "ＯＬ"])
def test_a_meter_that_finds_no_way_through_shows_ol(typed: str) -> None:
    reading, through = Number(math.inf, "Ω"), Number(52.9, "Ω")
    assert reading.right(read(reading, typed))
    assert reading.written(math.inf) == "OL"
    value = read(reading, "52.9 Ω")
    assert not reading.right(value)
    assert "does anything join them?" in reading.general(value)
    value = read(through, typed)
    assert not through.right(value)
    assert through.seen(value) == "OL"
    assert "no way through" in through.general(value)
    assert isinstance(POWER.read(typed), Unread)


@pytest.mark.parametrize(
    ("bad", "found"),
    [
        *(({"tolerance": share}, "found the tolerance") for share in (0, -1, 1, math.nan)),
        ({"unit": "furlong"}, "found the unit 'furlong'"),
    ],
)
def test_a_number_that_cannot_be_asked_for_is_refused(bad: dict[str, Any], found: str) -> None:
    with pytest.raises(AnswerError, match=found):
        Number(**{"value": 1.0, "unit": "W", **bad})


MARK = Number(140.0, "°C", tolerance=0.01, safe_side="above")


def test_a_safe_side_keeps_the_tolerance_and_the_other_has_none() -> None:
    mirrored = Number(-140.0, "°C", tolerance=0.01, safe_side="below")
    for typed in ("140 °C", "140.4 °C", "141.3 °C", "139.99 °C", "138.6 °C", "142 °C"):
        is_right = typed.startswith(("140", "141"))
        assert MARK.right(read(MARK, typed)) == is_right
        assert mirrored.right(read(mirrored, f"-{typed}")) == is_right
    zero = Number(0.0, "V")  # its tolerance is a share of 1 V
    assert zero.right(read(zero, "0.01 V"))
    assert not zero.right(read(zero, "0.1 V"))


@pytest.mark.parametrize(
    ("value", "side", "rounded", "cut"),
    [
        (1.7391, "below", ("1.74 A", "1.7391 A", "1740 mA"), ("1.75 A", "1.7392 A")),
        (1.7434, "above", ("1.74 A", "1.743 A", "1.7434 A"), ("1.7 A", "1.73 A", "1.742 A")),
        (0.01004, "above", ("10.0 mA", "0.01 A"), ("9.99 mA",)),
    ],
)
def test_on_the_other_side_rounding_to_three_figures_or_more_is_right_and_cutting_off_is_not(
    value: float, side: Literal["above", "below"], rounded: tuple[str, ...], cut: tuple[str, ...]
) -> None:
    current = Number(value, "A", safe_side=side)
    for typed in (*rounded, *cut):
        assert current.right(read(current, typed)) == (typed in rounded), typed


def test_a_value_on_the_unsafe_side_hears_that_it_is_close_and_why_it_does_not_count() -> None:
    close = "That is close, but on the unsafe side: a little "
    assert MARK.general(139.0) == f"{close}above is all right, a little below is not."
    too_thin = "A cord for 16 A does not carry 16.2 A."
    rating = Number(16.0, "A", safe_side="below", unsafe_because=too_thin)
    assert rating.general(16.2) == f"{close}below is all right, a little above is not. {too_thin}"
    assert MARK.general(120.0) == "That is too small."
    assert rating.general(20.0) == "That is too large."
    assert MARK.same(129.0, 130.0)  # a slip is met on either side of its own value
    assert MARK.same(131.0, 130.0)


# A choice


AMPERES = Choice("10 A", ("5 A", "10 A", "2 A"))


@pytest.mark.parametrize(
    ("answer", "typed", "option"),
    [
        (CHOICE, "A  QUARTER.", "a quarter"),
        (CHOICE, "2.", "a quarter"),
        (CHOICE, '"a quarter"', "a quarter"),
        (AMPERES, 2, "10 A"),
        (AMPERES, "3", "2 A"),
        (Choice("1", ("2", "1", "3")), "1", "1"),  # as a figure before its number
    ],
)
def test_an_option_is_read_whatever_its_case_or_by_its_number(
    answer: Choice, typed: object, option: str
) -> None:
    assert read(answer, typed) == option


@pytest.mark.parametrize(
    ("answer", "typed", "said"),
    [
        (CHOICE, "an eighth", "none of the options. They are: a half; a quarter; the same."),
        (CHOICE, "4", "That is none"),
        (CHOICE, "", "Nothing is given yet"),
        (AMPERES, "2", '"2" fits more than one option: 10 A; 2 A. Write more.'),
    ],
)
def test_what_is_no_option_or_several_is_told_which(answer: Choice, typed: str, said: str) -> None:
    assert said in refused(answer, typed)
    with pytest.raises(AnswerError, match="one of at least two different options"):
        Choice("a", ("b", "c"))


# All kinds


@pytest.mark.parametrize("answer", EVERY, ids=lambda answer: answer.kind)
def test_the_right_answer_is_right_as_it_is_written(answer: Answer) -> None:
    assert answer.right(read(answer, answer.written(answer.value)))


@pytest.mark.parametrize("answer", EVERY, ids=lambda answer: answer.kind)
def test_the_form_is_json_and_has_not_the_answer(answer: Answer) -> None:
    form = answer.form()
    assert json.loads(json.dumps(form)) == form
    assert form["kind"] == answer.kind
    for right in ("1200", "1.739", "[[element]]"):
        assert right not in json.dumps(form)


HOSTILE = [
    *(
        "<script>alert(1)</script>",
        "<img src=x onerror=alert(1)>",
        "__import__('os').system('true')",
    ),
    *("🔥🫖", "\0", "\ud800", "x" * 1_000_000, "S1 " * 600, "9" * 2000),
    "S1 on" + " " * 1950 + "x",  # what once took a pattern seconds
    *(", " * 1000, "; " * 1000, "1 " * 975 + "x", "(" * 2000, "[" * 2000),
    "\ufdfa" * 1900,  # eighteen times as long when normalised
    *(float("nan"), float("inf"), 10**400, 10**5000, True, b"1200 W", object()),
    *([["1"] * 1000] * 1000, {"S1": {"S1": "on"}}, [None], ["none", None]),
]


@pytest.mark.parametrize("answer", EVERY, ids=lambda answer: answer.kind)
@pytest.mark.parametrize("given", HOSTILE, ids=lambda given: shown(given, 20))
def test_bad_input_is_no_try_and_is_told_in_few_words(answer: Answer, given: object) -> None:
    reason = refused(answer, given)
    assert reason.strip()
    assert len(reason) < 700


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(),
    lambda inner: st.lists(inner, max_size=5) | st.dictionaries(st.text(max_size=5), inner),
    max_leaves=8,
)


@over(JSON)
def test_nothing_that_a_browser_can_send_raises(given: object) -> None:
    for answer in EVERY:
        values = answer.read(given)
        if isinstance(values, Unread):
            assert values.reason
        else:
            for value in values:
                answer.right(value)
                assert answer.seen(value)
