"""Question files: what is read, what is worked out, and that nothing in them is ever run."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lessonlib.appliance.bundled import load_appliance, workbook_folder
from lessonlib.circuit.solution import solve
from lessonlib.errors import AnswerError
from lessonlib.questions.answers import (
    CellTable,
    Choice,
    CircuitFile,
    Number,
    OneSetting,
    Order,
    Points,
)
from lessonlib.questions.arithmetic import work_out
from lessonlib.questions.content import read_entries
from lessonlib.questions.content_template import template_of
from lessonlib.questions.content_words import filled
from lessonlib.questions.exercise import Exercise
from lessonlib.questions.marking import mark
from lessonlib.questions.prediction import prediction_of

HEAD = "# Lesson 2\n\n## some-name\n"


def entry(data: str, rest: str = "What is it?", kind: str = "check") -> object:
    """The only entry of a file with these indented lines of data."""
    lines = "\n".join(f"    {line}" for line in data.splitlines())
    return read_entries(f"{HEAD}{kind}\n\n{lines}\n\n{rest}\n", "own.md")[0]


def made(data: str, rest: str = "What is it?", seed: int = 0) -> Exercise:
    """The question that it makes."""
    return template_of(entry(data, rest)).draw(seed)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("(400 + 1200) / 230", 1600 / 230),
        ("2 ** 3 - -1", 9),
        ("max(1, 2) + min(3, 4) + round(2.6) + abs(-1) + floor(1.9) + ceil(1.1)", 12),
        ("sqrt(2) * 230", 230 * 2**0.5),
        ("'more' if a > 1 else 'less'", "more"),
        ("not (a == 2 and b != 3) or a in (5, 6)", True),
        ("1 < a < 3", True),
        ("a % 2", 0),
    ],
)
def test_arithmetic_is_worked_out(text: str, value: object) -> None:
    assert work_out(text, {"a": 2, "b": 3}) == value


def test_a_dot_reads_what_the_solver_and_the_file_say() -> None:
    urn = load_appliance("tea-urn")
    names = {"circuit": urn, "now": solve(urn, {"S1": "on"})}
    assert work_out("circuit.E2.power_W", names) == 1200
    assert work_out("circuit.supply.voltage_V", names) == 230
    assert work_out("now.part.E2.power_W", names) == pytest.approx(1200, rel=1e-12)
    assert work_out("now.node.boost.condition", names) == "live"


@pytest.mark.parametrize(
    "text",
    [
        "__import__('os').system('true')",
        "circuit.__class__",
        "circuit.part('E1')",
        "now.batch.network.appliance.of_type",
        "[x for x in (1, 2)]",
        "'a'.upper()",
        "'a' * 9999999",
        "a[0]",
        "{1: 2}",
        "9 ** 9 ** 9",
        "((((9.0 ** 12) ** 12) ** 12) ** 12)",
        "1e15 * 10",
        "1 / 0",
        "sqrt(-1)",
        "1 + 'a'",
        "nobody",
        "max()",
        "(" * 300,
        "1" * 401,
        "",
    ],
)
def test_what_is_no_arithmetic_is_refused_in_words(text: str) -> None:
    urn = load_appliance("tea-urn")
    with pytest.raises(AnswerError, match=r"found|there is|is not|beyond|words"):
        work_out(text, {"a": 2, "circuit": urn, "now": solve(urn)})


@given(st.text(max_size=60))
def test_no_text_does_anything_but_have_a_value_or_an_error(text: str) -> None:
    try:
        found = work_out(text, {"a": 2.0})
    except AnswerError:
        return
    assert isinstance(found, int | float | str | tuple | bool)


def test_gaps_are_filled_with_numbers_units_and_words() -> None:
    names = {"v": 207.0, "i": 5.2163, "on": True, "names": ("fed", "top"), "none": ()}
    said = filled("{v} V, {i: A}, {i / 2:.1f}, {on}, {names}, {none}, {'a' if on else 'b'}", names)
    assert said == "207 V, 5.2163 A, 2.6, yes, fed, top, none, a"


@pytest.mark.parametrize("text", ["{", "}", "{v", "{v:x}", "{v: A", "{nobody}", "{v:9999d}"])
def test_a_gap_that_cannot_be_filled_says_so(text: str) -> None:
    with pytest.raises(AnswerError, match=r"bracket|Accepted"):
        filled(text, {"v": 207.0})


def test_lines_of_data_draw_solve_and_name_values() -> None:
    data = """\
a = from 10 to 20 by 10
b, c = one of (1, 2), (3, 4)
where = one of off, on
circuit = tea-urn, E1.power_W = 300 + a, at S1 {where}
other = at S1 on, fault E2 open, plug reversed, supply 115 V
word = by where: off -> cold; on -> hot
answer = other.power_W in W, within 1 %, because it is read off"""
    exercise = made(data, "{a}, {b}, {c}, {where}, {word}, {now.power_W: W}, {other.reversed_plug}")
    a, b, c, where, word, power, reversed_plug = exercise.text.split(", ")
    assert a in ("10", "20")
    assert (b, c) in (("1", "2"), ("3", "4"))
    assert (where, word) in (("off", "cold"), ("on", "hot"))
    keep_W = 300 + int(a)
    assert power == f"{keep_W + 1200 * (where == 'on')} W"
    assert reversed_plug == "yes"
    assert isinstance(exercise.answer, Number)
    assert exercise.answer.value == pytest.approx(keep_W / 4, rel=1e-9)
    assert exercise.answer.tolerance == 0.01
    assert exercise.appliance is not None
    assert exercise.setting == {"S1": where}


def test_every_kind_of_answer_can_be_written() -> None:
    urn = "circuit = tea-urn, at S1 on\n"
    option = made(f'{urn}answer = option "{{now.power_W: W}}"', 'Q?\n- half = "800 W"\n  Say: No.')
    assert isinstance(option.answer, Choice)
    assert option.answer.value == "1600 W"
    assert set(option.answer.options) == {"1600 W", "800 W"}
    assert mark(option, "800 W").reply.endswith("No.")
    setting = made(f"{urn}answer = setting S1 on", "Q?\n- off = S1 off\n  Say: No.")
    assert isinstance(setting.answer, OneSetting)
    assert mark(setting, "S1 off").slip == "off"
    points = made(f"{urn}answer = live points of boost, N", "Q?\n- dead = none\n  Say: No.")
    assert isinstance(points.answer, Points)
    assert points.answer.value == {"boost"}
    assert mark(points, "none").slip == "dead"
    order = made('answer = order "a"; "b"; "c"', 'Q?\n- late = "b"; "a"; "c"\n  Say: No.')
    assert isinstance(order.answer, Order)
    assert mark(order, ["b", "a", "c"]).slip == "late"


def test_a_table_is_given_row_by_row_and_a_slip_names_the_rows_that_differ() -> None:
    data = """\
circuit = tea-urn
high = at S1 on
answer = table E1 in W, current in A; S1 off: 400, now.current_A; S1 on: 400, high.current_A"""
    exercise = made(data, "Q?\n- half = S1 on: same, high.current_A / 2\n  Say: No.")
    assert isinstance(exercise.answer, CellTable)
    assert exercise.answer.rows == ("S1 off", "S1 on")
    assert exercise.answer.columns == (("E1", "W"), ("current", "A"))
    (off, on), (slip,) = exercise.answer.value, exercise.slips
    assert on == (400, pytest.approx(1600 / 230, rel=1e-6))
    assert slip.value == (off, (400, pytest.approx(800 / 230, rel=1e-6)))


KETTLE = """\
```toml kettle
title = "Kettle"
supply.voltage_V = 230
switch = [{ name = "S1", positions = ["off", "on"], contacts = [
  { between = ["L", "fed"], closed_in = ["on"] }] }]
element = [{ name = "E1", between = ["fed", "N"], power_W = 900, voltage_V = 230 }]
lamp = [{ name = "H1", between = ["fed", "N"], power_W = 1, voltage_V = 230 }]
```
"""


def test_a_circuit_of_the_file_is_changed_rewired_and_asked_for() -> None:
    data = """\
circuit = kettle, title = Pot, E1.power_W = 500, without H1, at S1 on
answer = file, judged by off is dead, positions"""
    slips = """\
- in-neutral = E1.between = L-end, S1.contacts = (end-N at on)
  Say: No.
- at-off = S1.contacts = (L-fed at off)
  Say: No."""
    exercise = made(data, f"{{now.power_W: W}}?\n{slips}\n\n{KETTLE}")
    answer = exercise.answer
    assert isinstance(answer, CircuitFile)
    assert exercise.text == "500 W?"
    assert exercise.appliance is None  # its drawing would be the answer
    assert answer.start_text == 'title = "Pot"\n\n[supply]\nvoltage_V = 230\n'
    assert answer.must == ("off is dead", "positions")
    assert [part.name for part in answer.value.parts] == ["S1", "E1"]
    neutral, at_off = (slip.value for slip in exercise.slips)
    assert neutral.part("E1").rungs == (("L", "end"),)
    assert at_off.part("S1").contacts[0].closed_in == ("off",)


def test_a_slip_can_be_what_the_answer_would_be_with_another_value() -> None:
    data = """\
burnt = one of E1, E2
circuit = tea-urn, at S1 on, fault {burnt} open
answer = option "{now.power_W:.0f} W\""""
    slips = """\
- first = with burnt = E1
  Say: That is with {then.burnt} open, {then.now.power_W: W}, not {burnt}.
- second = with burnt = E2
  Say: That is with {then.burnt} open, {then.now.power_W: W}, not {burnt}.
- only-with-e1 = "3 W"
  If: burnt == "E1"
  Say: No."""
    by_answer = {one.answer.value: one for one in (made(data, f"Q?\n{slips}", s) for s in range(9))}
    assert [slip.name for slip in by_answer["1200 W"].slips] == ["second", "only-with-e1"]
    assert by_answer["1200 W"].slips[0].why == "That is with E2 open, 400 W, not E1."
    assert [slip.name for slip in by_answer["400 W"].slips] == ["first"]


def test_points_orders_and_readings_of_an_ohmmeter() -> None:
    data = """\
circuit = tea-urn, at S1 off
shown = ohms from L to N at S1 off
none = ohms from L to boost at S1 off, fault E1 open
live = live points of boost, L
answer = points L of L, boost, N"""
    exercise = made(data, "{shown:.1f}, {none}, {live}?\n- but = live but L\n  Say: No.")
    assert exercise.text == "132.2, OL, L?"
    assert exercise.answer.value == {"L"}
    assert exercise.slips[0].value == frozenset()
    steps = made(
        'pull = "pull the plug"\nlook = "look"\nanswer = order {pull}; {look}; measure',
        "Q?\n> earlier before later: {earlier} is first.\n> pull before look: It is live before.",
    )
    assert isinstance(steps.answer, Order)
    assert steps.answer.reasons == {
        ("pull the plug", "look"): "It is live before.",
        ("pull the plug", "measure"): "pull the plug is first.",
        ("look", "measure"): "look is first.",
    }


def test_options_may_come_in_an_order_of_their_own_and_words_out_of_words_above() -> None:
    data = """\
knob = "low, high"
at = one of {knob}
shown = off, low, high in any order
answer = option "{at}" from shown"""
    seen = [made(data, "At {at}, of {shown}?", seed) for seed in range(9)]
    assert {one.answer.value for one in seen} == {"low", "high"}
    for one in seen:
        assert isinstance(one.answer, Choice)
        assert f"of {', '.join(one.answer.options)}?" in one.text


def test_a_prediction_has_options_and_one_that_is_true() -> None:
    file = (
        f"{HEAD}prediction\n\n    circuit = tea-urn\n\nWhat does it draw?\n\n"
        "- nothing\n  Why: It is off.\n- [x] {now.power_W: W}\n  Why: E1 has no switch.\n"
    )
    found = prediction_of(read_entries(file)[0])
    assert found.truth == "400 W"
    assert found.thoughts == {"nothing": "It is off.", "400 W": "E1 has no switch."}


@pytest.mark.parametrize(
    ("file", "says"),
    [
        ("check\n", "line 1: found .check."),
        ("# Lesson two\n", "Accepted: a heading such as # Lesson 2"),
        ("# Lesson 2\n## A b\ncheck\n", "line 2, A b: found that name"),
        ("# Lesson 2\n## a\ncheck\n## a\ncheck\n", "the name 'a' twice"),
        ("# Lesson 2\n## a\ncheck\n\n    1 + 1\n", "line 5, a: found '1 \\+ 1'"),
        ("# Lesson 2\n## a\ncheck\n\n    try = 1\n", "line 5, a: found 'try = 1'"),
        ("# Lesson 2\n## a\ncheck\n\nQ?\n? hint\n\nmore text\n", "after the slips"),
        ("# Lesson 2\n## a\nnew circit: x\n", "line 3, a: found .*circit.*mean new circuit"),
        ("# Lesson 2\n## a\nsame circuit\n", "each with an objective after a colon"),
        ("# Lesson 2\n## a\ncheck\n\nQ?\n> a then b: x\n", "Accepted: two steps"),
    ],
)
def test_a_file_in_another_form_says_where_and_what(file: str, says: str) -> None:
    with pytest.raises(AnswerError, match=says):
        read_entries(file, "own.md")


@pytest.mark.parametrize(
    ("data", "rest", "says"),
    [
        ("", "Q?", "found no answer"),
        ("numbers = python", "Q?", "only in the workbook's own files"),
        ("answer = nobody in W", "Q?", "line 6, some-name: .*there is no 'nobody'"),
        ("circuit = tea-urm\nanswer = 1 in W", "Q?", "tea-ur"),
        ("circuit = tea-urn, E1.power = 3\nanswer = 1 in W", "Q?", "power"),
        ("circuit = tea-urn, at S1 up\nanswer = 1 in W", "Q?", "has no position 'up'"),
        ("x = at S1 on\nanswer = 1 in W", "Q?", "found no circuit to solve"),
        ("a = from 1 to 1e15 by 0\nanswer = a in W", "Q?", "cannot be used here"),
        ("a, b = one of (1, 2, 3)\nanswer = a in W", "Q?", "Accepted: 2 values"),
        ("a = one of x, y\nw = by a: z -> q\nanswer = 1 in W", "Q?", "Add this case"),
        ("answer = 1 in bananas", "Q?", "bananas"),
        ("answer = 1 in W", "Q?\n- s = 2\n  When: x", "found no Why and no Try"),
        ("answer = 1 in W", "{x} Q?", "there is no 'x'"),
        ("circuit = tea-urn, E9.between = L-N\nanswer = 1 in W", "Q?", "no part 'E9'"),
        ("circuit = tea-urn, E1.between = LN\nanswer = 1 in W", "Q?", "E1 between 'LN'"),
        ("circuit = tea-urn\nanswer = live points of top", "Q?", "the point 'top'"),
        ("answer = table a in W; x: 1, 2", "Q?", "Accepted: 1 values"),
        ("answer = table a in W; x: 1", "Q?\n- s = y: 2\n  Say: No.", "the row 'y'"),
        ("circuit = tea-urn\nanswer = table a in W; x: now", "Q?", "Accepted: a number"),
        ("answer = 1 in W", "Q?\n- s = 'a'\n  Say: No.", "Accepted: a number"),
        ("circuit = tea-urn\nstart = 'x'\nanswer = file, judged by lamps", "Q?", "found start"),
        ("answer = 1 in W", "Q?\n- s = with v = 2\n  Say: No.", "Accepted: a name of a line"),
        ("answer = 1 in W", "Q?\n- s = 1.001\n  Say: No.", "for the answer and .* for s.*apart"),
        ("circuit = tea-urn\n" + "n = at S1 on\n" * 30 + "answer = 1 in W", "Q?", "more than 20"),
    ],
)
def test_data_that_cannot_be_used_says_where_and_why(data: str, rest: str, says: str) -> None:
    with pytest.raises(AnswerError, match=says) as caught:
        made(data, rest)
    assert "own.md, line" in str(caught.value)


def test_each_tolerance_in_a_question_file_has_its_reason_beside_it() -> None:
    files = sorted((workbook_folder() / "questions").glob("*.md"))
    text = " ".join(" ".join(file.read_text("utf-8").split()) for file in files)
    within = r", within [0-9.]+ %(?:, safe (?:above|below)(?: \([^)]+\))?)?"
    assert set(re.findall(f"{within}(.{{10}})", text)) == {", because "}
