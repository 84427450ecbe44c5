"""Answers of several parts, a file apart: settings, points, tables and orders."""

from __future__ import annotations

import pytest

from lessonlib.errors import AnswerError
from lessonlib.questions.answers import Order
from lessonlib.questions.reading import Unread
from tests.questions.test_answers import ORDER, POINTS, ROTARY, SETTING, TABLE, read, refused

# A setting


@pytest.mark.parametrize(
    "typed",
    [
        "S1 on, S2 simmer",
        "s2 = Simmer, s1=ON",
        "S1:on,S2: simmer.",
        "S1 is on and S2 at simmer.",
        "S1 on S2 simmer",
        "on, simmer",
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
        ("S1 on, S2 boil, s1 off", "One switch is named twice."),
        ("S1 on, S2 boil, S1 off", "One switch is named twice."),
        ("S3 on, S1 on", "Name each switch, as in: S1 off"),
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
        "".join(map(str, numbers)),
        "".join(letters),
        letters,
        ", ".join(letters),
        ". ".join(letters).lower() + ".",
        " → ".join(letters),
        "\n".join(f"{letter})" for letter in letters),
        "\n".join(ORDER.value).upper(),
        "; ".join(ORDER.value),
    ):
        assert ORDER.right(read(ORDER, typed)), typed
    parts = Order(("P1", "H2", "S1"))
    assert read(parts, "P1, H2, S1") == parts.value


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("1, 2, 3", "You gave 3 of the 4."),
        ("1, 2, 3, 3", "You gave 3 of the 4, some of them twice."),
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
