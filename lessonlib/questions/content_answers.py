"""The answer of a question and the values of its slips, from their lines:

    answer = now.current_A in A, within 2 %, because the slips are 6 % apart
    answer = lowest_C in °C, within 1 %, safe above (A lower mark opens at the boil.)
    answer = option "{now.power_W: W}" · option "{found}" from shown      (all options, in order)
    answer = setting S1 low
    answer = live points of fed, top in before · points {found} of fed, top
    answer = order "a"; "b"
    answer = table E1 in W, current in A; low: low.power_W, low.current_A; high: 500, 2.17
    answer = file, judged by off is dead, positions      (it begins as `start = circuit`, as the
                                    circuit of a name, or with title and supply)

A slip's value is of the same kind: arithmetic, words, a setting, points (`none` and `all`, or `live
but top`), an order, the rows of a table that differ (`low: same, 2.17`), changes of the circuit
(`E1.between = fed-N`). Or it is `with plug = reversed`: the answer that the question would have if
that name had another value; the slip's texts read what follows as in `{then.now.power_W: W}`. A
slip that is right in this draw is left out, save for a number and a file.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Any

from lessonlib.appliance.file_text import file_text
from lessonlib.appliance.parts import Appliance
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
from lessonlib.questions.arithmetic import work_out
from lessonlib.questions.content_circuit import changed
from lessonlib.questions.content_lines import Lines
from lessonlib.questions.content_words import filled, split

# the reason of a tolerance is for who reads the file
_ANSWER = re.compile(
    r"(?P<what>.+?)(?:, within (?P<percent>[0-9.]+) %)?"
    r"(?:, safe (?P<safe>above|below)(?: \((?P<unsafe>[^)]+)\))?)?(?:, because .+)?"
)


@dataclass(frozen=True)
class Asked:
    """What the right answer is, how the value of a slip is read from its words, and how the answer
    is made, which may take the values of all slips."""

    right: Any
    read: Callable[[str], Any]
    made: Callable[[Sequence[Any]], Answer]


def asked(lines: Lines) -> Asked:
    """What the line `answer = ...` asks for."""
    assert lines.answer is not None
    found = _ANSWER.fullmatch(lines.answer[1])
    assert found is not None  # every text fits: the first group takes what is left
    more: dict[str, Any] = {}
    if found["percent"]:
        more["tolerance"] = round(float(found["percent"]) / 100, 9)
    if found["safe"]:
        more |= {"safe_side": found["safe"], "unsafe_because": found["unsafe"] or ""}
    kind, _, rest = found["what"].partition(" ")
    match kind:
        case "option":
            return _choice(lines, rest)
        case "order":
            return _order(lines, rest)
        case "setting":
            return _setting(lines, rest)
        case "points" | "live" if " of " in rest:
            return _points(lines, found["what"])
        case "table":
            return _table(lines, rest, more)
        case "file,":
            return _file(lines, rest)
    value, _, unit = found["what"].partition(" in ")
    right = _number(lines, value)
    return Asked(
        right,
        lambda text: _number(lines, text),
        lambda _: Number(right, unit, **more),
    )


def _number(lines: Lines, text: str) -> float:
    found = work_out(text, lines.names)
    if isinstance(found, bool) or not isinstance(found, int | float):
        raise AnswerError(
            f"found {shown(found)} for {shown(text)}. Accepted: a number. Name one of its values, "
            "as in now.power_W."
        )
    return found


def _choice(lines: Lines, rest: str) -> Asked:
    said, _, name = rest.rpartition(" from ")
    listed = lines.names.get(name)
    right = lines.words(said if isinstance(listed, tuple) else rest)

    def made(slips: Sequence[Any]) -> Choice:
        if isinstance(listed, tuple):
            return Choice(right, listed)
        options = slips if right in slips else [right, *slips]
        return Choice(right, tuple(lines.draw.shuffled(options)))

    return Asked(right, lines.words, made)


def _order(lines: Lines, rest: str) -> Asked:
    def read(text: str) -> tuple[str, ...]:
        named = lines.names.get(text.strip())
        if isinstance(named, tuple):
            return named
        return tuple(lines.words(piece) for piece in text.split(";"))

    right = read(rest)
    told: dict[tuple[str, str], str] = {}
    for (one, other), why in lines.entry.reasons.items():
        if (one, other) == ("{earlier}", "{later}"):
            for earlier, later in combinations(right, 2):
                names = {"earlier": earlier, "later": later}
                told[earlier, later] = filled(why, lines.names | names)
        else:
            told[lines.words(one), lines.words(other)] = why
    return Asked(right, read, lambda _: Order(right, told))


def _setting(lines: Lines, rest: str) -> Asked:
    circuit = lines.needed_circuit()

    def read(text: str) -> dict[str, str]:
        pairs = (piece.partition(" ") for piece in split(lines.words(text)))
        return {name: position for name, _, position in pairs}

    right = read(rest)
    return Asked(right, read, lambda _: OneSetting(circuit, right))


def _points(lines: Lines, what: str) -> Asked:
    if what.startswith("points "):
        some, _, of = what.removeprefix("points ").partition(" of ")
        points = tuple(split(lines.words(of)))
    else:
        points, live = lines.points(what)
        some = ", ".join(live)

    def read(text: str) -> frozenset[str]:
        said = lines.words(text)
        if said.startswith("live but "):
            return right - {*split(said.removeprefix("live but "))}
        named = points if said == "all" else split(said)
        return frozenset(named) - {"none"}

    right: frozenset[str] = frozenset()
    right = read(some)
    return Asked(right, read, lambda _: Points(right, points))


def _table(lines: Lines, text: str, more: Mapping[str, Any]) -> Asked:
    head, *rows = text.split(";")
    named = (each.partition(" in ") for each in split(head))
    columns = tuple((name.strip(), unit.strip()) for name, _, unit in named)
    right: dict[str, tuple[float, ...]] = {}

    def row(text: str) -> tuple[str, tuple[float, ...]]:
        label, _, cells = text.partition(":")
        label, pieces = lines.words(label), split(cells)
        same = right.get(label, (0.0,) * len(columns))
        if len(pieces) != len(columns):
            raise AnswerError(
                f"found the row {shown(cells.strip())}. Accepted: {len(columns)} values, one for "
                "each column. Write same for one that stays."
            )
        return label, tuple(
            same[place] if each == "same" else round(_number(lines, each), 9)
            for place, each in enumerate(pieces)
        )

    for each in rows:
        right |= dict([row(each)])

    def read(text: str) -> tuple[tuple[float, ...], ...]:
        changed = dict(map(row, text.split(";")))
        for label in changed.keys() - right.keys():
            raise AnswerError(
                f"found the row {shown(label)}. Accepted: {', '.join(right)}. Spell it the same."
            )
        return tuple((right | changed).values())

    values = tuple(right.values())
    return Asked(values, read, lambda _: CellTable(tuple(right), columns, values, **more))


def _file(lines: Lines, rest: str) -> Asked:
    circuit = lines.needed_circuit()
    must: Any = tuple(split(rest.removeprefix("judged by ")))
    start = lines.names.get("start")
    text = f'title = "{circuit.title}"\n\n[supply]\nvoltage_V = {circuit.supply.voltage_V:g}\n'
    if isinstance(start, Appliance):
        text = file_text(start)
    elif start is not None:
        if start not in lines.entry.circuits:
            raise AnswerError(
                f"found start = {shown(start)}. Accepted: circuit, or the name of one in this "
                f"file: {', '.join(lines.entry.circuits) or 'there is none'}. Use one of these."
            )
        text = lines.entry.circuits[start]
    return Asked(
        circuit,
        lambda text: changed(circuit, split(text), lines.names),
        lambda _: CircuitFile(circuit, text, must),
    )
