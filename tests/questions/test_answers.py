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


# A setting


@pytest.mark.parametrize(
    "typed",
    [
        "S1 on, S2 simmer",
        "s2 = Simmer, s1=ON",
        "S1:on,S2: simmer.",
        {"S1": "on", "S2": "simmer"},
        {"s1": " On", "S2": "SIMMER"},
    ],
)
def test_a_setting_is_read_as_people_write_it(typed: object) -> None:
    assert SETTING.right(read(SETTING, typed))
    assert ROTARY.right(read(ROTARY, "high"))  # one switch needs no name
    assert not ROTARY.right(read(ROTARY, "S1 medium"))


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("S1 on", "Give the position of S2 as well."),
        ({"S1": "on", "S2": ""}, "Give the position of S2 as well."),
        ({}, "Give the position of S1 and S2."),
        ("S1 on, S2 stew", "S2 has no position 'stew'. Its positions are: simmer, boil."),
        ({"S1": "on", "S9": "on"}, "'S9' is not asked for. Give the position of S1 and S2."),
        ("S1 on, S2 boil, s1 off", "S1 has no position 'off'"),
        ("on", "Name each switch, as in: S1 off"),
        (["S1", "on"], "I cannot read ['S1', 'on']."),
        ({"S1": "1", "S2": "simmer"}, "S1 has no position '1'."),
    ],
)
def test_a_setting_that_is_not_whole_says_what_is_missing(typed: object, said: str) -> None:
    assert said in refused(SETTING, typed)


# Points


@pytest.mark.parametrize(
    "typed",
    [
        "L, boost",
        "boost and l",
        "1, 3",
        ["boost", "L"],
    ],
)
def test_points_are_read_from_a_text_or_a_list(typed: object) -> None:
    assert POINTS.right(read(POINTS, typed))


def test_none_and_all_are_answers() -> None:
    for typed in ("none", "None.", ["none"], "nothing", "none of them"):
        assert read(POINTS, typed) == frozenset()
    assert read(POINTS, "heater end and L") == {"heater end", "L"}
    for typed in ("all", "All of them."):
        assert read(POINTS, typed) == frozenset(POINTS.points)
    assert POINTS.written(frozenset()) == "none"
    assert POINTS.seen(frozenset()) == '"none"'
    assert POINTS.seen(frozenset({"boost", "L", "N"})) == "L, N and boost"  # as in the question


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("L, boots", "I know no point 'boots'. The points are: L, N, boost, heater end."),
        ("none, L", "which do you mean?"),
        ([], "Nothing is chosen yet"),
        ("", "Nothing is given yet"),
        (" , ;", "Nothing is chosen yet"),
        ("L, " * 13, "That is too many names."),
        (["L"] * 5000, "That is too many names."),
        (3.5, "I know no point '3.5'"),
    ],
)
def test_points_that_are_not_there_are_named(typed: object, said: str) -> None:
    assert said in refused(POINTS, typed)


def test_a_wrong_set_of_points_is_told_whether_too_few_or_too_many() -> None:
    assert POINTS.general(frozenset({"L"})).endswith("there, but there are more.")
    assert "No point is missing, but" in POINTS.general(frozenset({"L", "boost", "N"}))
    assert "some are missing. Take" in POINTS.general(frozenset({"N"}))


# A table


def test_a_table_is_read_cell_by_cell() -> None:
    for typed in (
        [["400 W", "1.74 A"], ["1.6 kW", "6.96 A"]],
        "400 W; 1.74 A\n1.6 kW; 6.96 A",
        "400\t1.74\n1600\t6.96",
        [[400, 1.739], [1600, 6.957]],
        TABLE.written(TABLE.value),
    ):
        assert TABLE.right(read(TABLE, typed)), typed
    in_words = [["None", "off"], ["1600 W each", "7 amps"]]
    assert read(TABLE, in_words) == ((0.0, 0.0), (1600.0, 7.0))


def test_a_wrong_table_says_which_cells_do_not_fit_and_not_what_they_should_be() -> None:
    typed = [["400 W", "1.74 A"], ["1600 W", "5.2 A"]]
    value = read(TABLE, typed)
    assert not TABLE.right(value)
    assert TABLE.seen(value) == ("3 of 4 cells are right. Not these: S1 on, current: 5.2 A")
    assert TABLE.general(value) == "Start with S1 on, current. That is too small."
    value = read(TABLE, "400 W; 230 V\n1600 W; 7 A")  # another kind of quantity in a cell
    assert "S1 off, current: 230 V" in TABLE.seen(value)
    assert TABLE.general(value).startswith("Start with S1 off, current. That is a voltage")
    assert not TABLE.same(value, TABLE.value)
    value = read(TABLE, [["400 kW", "1.74 A"], ["1600 W", "6.96 A"]])
    assert "S1 off, power: 400000 W" in TABLE.seen(value)
    assert "The number fits, the unit does not: in kW" in TABLE.general(value)


def test_commas_are_meant_in_the_same_way_all_over_a_table() -> None:
    values = TABLE.read([["400", "1,739"], ["1,600", "6,957"]])
    assert not isinstance(values, Unread)
    assert [value[1] for value in values] == [(1.6, 6.957), (1600.0, 6957.0)]


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ([["400 W", ""], ["1600 W", "7 A"]], "S1 off, current: Nothing is typed"),
        ([["400 W"], ["1600 W"]], "I need 2 rows of 2 cells: S1 off, S1 on."),
        ("400 W", "I need 2 rows"),
        ("400 W 1.74 A\n1600 W 7 A", "S1 off, S1 on. Put a semicolon between two cells."),
        ([["-", "0 A"], ["1600 W", "7 A"]], "S1 off, power: Write 0 if you mean nothing."),
        ("", "Nothing is given yet"),
        ([["400 W", {}], ["1600 W", "7 A"]], "S1 off, current: I cannot read {}"),
    ],
)
def test_a_table_that_is_not_whole_says_where(typed: object, said: str) -> None:
    assert said in refused(TABLE, typed)


# An order


def test_things_are_offered_in_an_order_that_is_never_the_right_one() -> None:
    assert sorted(ORDER.offered) == sorted(ORDER.value)
    for right in (ORDER.offered, tuple(reversed(ORDER.offered)), ORDER.value):
        assert Order(right).offered != right
        assert sorted(Order(right).offered) == sorted(right)


def test_an_order_is_read_by_letters_numbers_or_names() -> None:
    letters = ["ABCD"[ORDER.offered.index(item)] for item in ORDER.value]
    numbers = [ORDER.offered.index(item) + 1 for item in ORDER.value]
    for typed in (
        list(ORDER.value),
        numbers,
        ", ".join(map(str, numbers)),
        letters,
        ", ".join(letters),
        ". ".join(letters).lower() + ".",
        " → ".join(letters),
        "\n".join(f"{letter})" for letter in letters),
        "\n".join(ORDER.value).upper(),
        "; ".join(ORDER.value),
    ):
        assert ORDER.right(read(ORDER, typed)), typed


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("1, 2, 3", "You gave 3 of the 4."),
        ("1, 2, 3, 3", "You gave 3 of the 4."),
        ("A, B, C, Z", "'Z' is none of the 4 to put in order. Give their letters, in your order"),
        ("1, 2, 3, 7", "'7' is none of the 4 to put in order"),
        ([], "You gave 0 of the 4."),
        ("", "Nothing is given yet"),
        ({"a": 1}, "I cannot read"),
    ],
)
def test_an_order_that_is_not_whole_says_so(typed: object, said: str) -> None:
    assert said in refused(ORDER, typed)


def test_a_wrong_order_is_told_how_far_it_is_right() -> None:
    a, b, c, d = ORDER.value
    assert ORDER.general((b, a, c, d)).startswith("What you put first does not come first.")
    assert ORDER.general((a, c, b, d)).startswith("The first one is in place.")
    assert ORDER.general((a, b, d, c)).startswith("The first 2 are in place.")
    assert ORDER.seen(ORDER.offered) == "the order A, B, C, D"


def test_a_wrong_order_hears_the_reason_for_the_first_pair_that_is_the_wrong_way_round() -> None:
    a, b, c, d = ORDER.value
    reasons = {(a, c): "Opened on the plug, it is live inside.", (b, c): "Hot parts burn."}
    order = Order(ORDER.value, reasons)
    assert order.general((c, a, b, d)) == f'You put "{c}" before "{a}". {reasons[a, c]}'
    assert order.general((a, c, b, d)) == (
        f'The first one is in place. You put "{c}" before "{b}". Hot parts burn.'
    )
    assert order.general((b, a, c, d)) == ORDER.general((b, a, c, d))


@pytest.mark.parametrize(
    "pair", [("open it", "unplug it"), ("unplug it", "have tea"), ("unplug it", "unplug it")]
)
def test_a_reason_is_for_two_of_the_things_in_their_right_order(pair: tuple[str, str]) -> None:
    with pytest.raises(AnswerError, match="Accepted: two of the things, the earlier one first"):
        Order(ORDER.value, reasons={pair: "So."})
    with pytest.raises(AnswerError, match="at least two different things"):
        Order(("a", "a"))


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
