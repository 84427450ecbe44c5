"""What there is to say about a typed number: what was read, and the most useful general check.

The check looks at the kind of quantity, the unit, the sign, the power of ten and the size. No words
hold the right answer.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from lessonlib.errors import AnswerError, shown
from lessonlib.questions.reading import Reading, Unit, Unread, find_unit, read_quantity, written
from lessonlib.questions.units import units_of, with_prefix
from lessonlib.questions.words import typed

_MOST_TIMES = 10
"""Above it, a bare number that answers for per cent is no share as it stands."""


@dataclass(frozen=True)
class NumberQuestion:
    """Asks for one quantity: `answer` in `unit`. `tolerance` is a share of the value (of 1 `unit`
    where the value is zero)."""

    answer: float
    unit: Unit | None
    tolerance: float

    def fits(self, value: float, target: float) -> bool:
        """Whether `value` is `target` within the tolerance."""
        return abs(value - target) <= self.tolerance * (abs(target) or 1.0)


def number_question(answer: float, unit: str, tolerance: float) -> NumberQuestion:
    """The question, checked. Raises `AnswerError` for an unknown unit or tolerance."""
    asked = find_unit(unit) if unit else None
    if unit and asked is None:
        raise AnswerError(
            f"found the unit {shown(unit)}. Accepted: one the number reader knows, such as "
            '"W", "V", "A", "Ω", or "" for a bare number. Use one of these.'
        )
    if not 0 < tolerance < 1:
        raise AnswerError(
            f"found the tolerance {shown(tolerance)}. Accepted: a share above 0 and below 1. "
            "Use 0.02 for two per cent."
        )
    return NumberQuestion(answer, asked, tolerance)


def read_answer(question: NumberQuestion, given: object) -> Reading | Unread:
    """What `given` says, whatever it is."""
    text = typed(given)
    if text is None:
        unit = " and its unit" if question.unit else ""
        return Unread(f"I cannot read {shown(given)}. Write one number{unit}.")
    return read_quantity(text, question.unit)


def meanings(question: NumberQuestion, reading: Reading) -> tuple[float, ...]:
    """What a reading of the right kind can mean, in the question's unit, the likeliest first."""
    size = question.unit.size if question.unit else 1.0
    if reading.unit is not None:
        return tuple(value * reading.unit.size / size for value in reading.values)
    if question.unit is None or question.unit.kind != "ratio":
        return reading.values
    # a bare 0.25 is a share as it stands, a bare 25 is meant in per cent; 1.21 can be either
    if abs(reading.values[0]) > _MOST_TIMES:
        return reading.values
    values = [scaled for value in reading.values for scaled in (value / size, value)]
    return tuple(values if abs(reading.values[0]) <= 1 else reversed(values))


def _is_kind(given: Unit, asked: Unit | None) -> bool:
    """Whether a quantity in `given` can answer a question that asks for `asked`. A pressure in
    plain bar is a gauge pressure unless an absolute one was asked for, as everywhere here."""
    kinds = (given.kind, asked.kind if asked else "ratio")
    return kinds[0] == kinds[1] or kinds in (
        ("gauge pressure", "pressure"),
        ("pressure", "gauge pressure"),
        ("pressure", "absolute pressure"),
    )


def wrong_kind_words(asked: Unit | None, reading: Reading) -> str:
    """What to say when the unit typed measures something else; empty when it does not."""
    given = reading.unit
    if given is None or _is_kind(given, asked):
        return ""
    wanted = (
        f"{_article(asked.kind)}, in {asked.symbol}" if asked else "a bare number, without a unit"
    )
    if given.symbol == "K" and asked is not None and asked.kind == "temperature":
        # 593 K is a temperature too, but nobody says so on the bench
        return f"Here K counts differences; the question asks for {wanted}."
    said = f"That is {_article(given.kind)}; the question asks for {wanted}."
    if given.symbol == "K" and asked is not None and with_prefix("k", asked):
        said += " K alone is the kelvin; kilo is a small k, written before the unit."
    return said


def wrong_unit_words(question: NumberQuestion, reading: Reading) -> str:
    """What to say when the number typed would be right in another unit of its kind. A missing unit
    is as good as a wrong one only for times: elsewhere the units are powers of ten apart."""
    asked = question.unit
    given = reading.unit or (asked if asked is not None and asked.kind == "time" else None)
    if given is None or asked is None or not question.answer:
        return ""
    for value in reading.values:
        for other in units_of(given.kind):
            if question.fits(value * other.size / asked.size, question.answer):
                way = "large" if given.size > other.size else "small"
                times = written(max(given.size / other.size, other.size / given.size))
                return (
                    f"The number fits, the unit does not: in {given.symbol} it is {times} times "
                    f"too {way}. Which unit belongs to your number?"
                )
    return ""


def _article(kind: str) -> str:
    return f"an {kind}" if kind[0] in "aeiou" else f"a {kind}"


def seen_words(question: NumberQuestion, reading: Reading, value: float) -> str:
    """What was typed, and the same in the question's unit where that is another."""
    symbol = question.unit.symbol if question.unit else ""
    if reading.fahrenheit:
        return f"{written(value * 1.8 + 32, '°F')}, that is {written(value, symbol)}"
    if reading.unit is None or reading.unit.symbol == symbol:
        return written(value, symbol)
    factor = question.unit.size / reading.unit.size if question.unit else 1 / reading.unit.size
    return f"{written(value * factor, reading.unit.symbol)}, that is {written(value, symbol)}"


def unit_left_out(question: NumberQuestion, reading: Reading) -> str:
    """What to add to a wrong number that came without its unit: it may have been meant in another.
    A right one needs no such words."""
    if reading.unit is not None or question.unit is None or question.unit.kind == "ratio":
        return ""
    return f", taking {question.unit.symbol} for the unit that you left out"


def comma_words(reading: Reading) -> str:
    """That both meanings of a comma were tried, where there are two."""
    if len(reading.values) < 2:
        return ""
    return "The comma can also group thousands; read like that it does not fit either."


def general_words(question: NumberQuestion, value: float) -> str:
    """The most useful general check of a wrong value that no slip explains."""
    answer = question.answer
    if answer and value and question.fits(-value, answer):
        return "The size fits, the sign does not."
    if answer and value and (answer > 0) == (value > 0):
        power = round(math.log10(abs(value)) - math.log10(abs(answer)))
        if 0 < abs(power) <= 12 and question.fits(value / 10.0**power, answer):
            times = written(10.0 ** abs(power))
            way = "large" if power > 0 else "small"
            return (
                f"The digits fit, but the value is {times} times too {way}. "
                "Look at the decimal mark and at milli, kilo and mega."
            )
    if answer and math.isclose(value, float(f"{answer:.1e}")):
        return "That is close, but rounded too far. Keep three figures."
    way = "large" if value > answer else "small"
    return f"That is too {way}."
