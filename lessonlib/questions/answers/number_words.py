"""What there is to say about a typed number: what was read, and what to check next.

The check looks at the kind of quantity, the unit, the sign, the power of ten and the size. No words
hold the right answer.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from lessonlib.questions.reading import TypedQuantity, Unit, written
from lessonlib.questions.units import units_of, with_prefix

if TYPE_CHECKING:
    from lessonlib.questions.answers.number import Number

_MOST_TIMES = 10
"""Above it, a bare number that answers for per cent is no share as it stands."""

# a pressure in plain bar is a gauge pressure unless an absolute one was asked for
_ALSO_ANSWERS = {
    ("gauge pressure", "pressure"),
    ("pressure", "gauge pressure"),
    ("pressure", "absolute pressure"),
}


class TypedNumber(float):
    """A number in the unit asked for, which keeps the `quantity` it was typed as. It is nan where
    that is another kind of quantity."""

    quantity: TypedQuantity

    def __new__(cls, value: float, quantity: TypedQuantity) -> TypedNumber:
        """The number with its quantity."""
        number = super().__new__(cls, value)
        number.quantity = quantity
        return number


def meanings(asked: Unit | None, quantity: TypedQuantity) -> tuple[float, ...]:
    """What a quantity can mean in the unit asked for, the likeliest first."""
    if wrong_kind_words(asked, quantity):
        return (math.nan,)
    size = asked.size if asked else 1.0
    if quantity.unit is not None:
        return tuple(value * quantity.unit.size / size for value in quantity.values)
    if asked is None or asked.kind != "ratio":
        return quantity.values
    # a bare 0.25 is a share as it stands, a bare 25 is meant in per cent; 1.21 can be either
    if abs(quantity.values[0]) > _MOST_TIMES:
        return quantity.values
    values = [scaled for value in quantity.values for scaled in (value / size, value)]
    return tuple(values if abs(quantity.values[0]) <= 1 else reversed(values))


def wrong_kind_words(asked: Unit | None, quantity: TypedQuantity) -> str:
    """What to say when the unit typed measures something else; empty when it does not."""
    given = quantity.unit
    wanted_kind = asked.kind if asked else "ratio"
    if given is None or given.kind == wanted_kind or (given.kind, wanted_kind) in _ALSO_ANSWERS:
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


def wrong_unit_words(number: Number, quantity: TypedQuantity) -> str:
    """What to say when the number typed would be right in another unit of its kind. A missing unit
    is as good as a wrong one only for times: elsewhere the units are powers of ten apart."""
    asked = number.asked
    given = quantity.unit or (asked if asked is not None and asked.kind == "time" else None)
    if given is None or asked is None or not number.value:
        return ""
    for value in quantity.values:
        for other in units_of(given.kind):
            if number.same(value * other.size / asked.size, number.value):
                way = "large" if given.size > other.size else "small"
                times = written(max(given.size / other.size, other.size / given.size))
                return (
                    f"The number fits, the unit does not: in {given.symbol} it is {times} times "
                    f"too {way}. Which unit belongs to your number?"
                )
    return ""


def _article(kind: str) -> str:
    return f"an {kind}" if kind[0] in "aeiou" else f"a {kind}"


def seen_words(number: Number, value: TypedNumber) -> str:
    """What was typed, and the same in the unit asked for where that is another. A wrong number that
    came without its unit may have been meant in another; a right one needs no such words."""
    quantity, asked = value.quantity, number.asked
    symbol = asked.symbol if asked else ""
    if math.isnan(value):
        unit = quantity.unit.symbol if quantity.unit else symbol
        return " or ".join(written(each, unit) for each in quantity.values)
    here = written(value, symbol)
    if quantity.fahrenheit:
        return f"{written(value * 1.8 + 32, '°F')}, that is {here}"
    if quantity.unit is not None and quantity.unit.symbol != symbol:
        factor = (asked.size if asked else 1) / quantity.unit.size
        return f"{written(value * factor, quantity.unit.symbol)}, that is {here}"
    if quantity.unit is None and asked and asked.kind != "ratio" and not number.right(value):
        return f"{here}, taking {symbol} for the unit that you left out"
    return here


def comma_words(quantity: TypedQuantity) -> str:
    """That both meanings of a comma were tried, where there are two."""
    if len(quantity.values) < 2:
        return ""
    return "The comma can also group thousands; read like that it does not fit either."


def general_words(number: Number, value: float) -> str:
    """What to check in a wrong value that no slip explains, the most telling first."""
    answer = number.value
    if answer and value and number.same(-value, answer):
        return "The size fits, the sign does not."
    if answer and value and (answer > 0) == (value > 0):
        power = round(math.log10(abs(value)) - math.log10(abs(answer)))
        if 0 < abs(power) <= 12 and number.same(value / 10.0**power, answer):
            times = written(10.0 ** abs(power))
            way = "large" if power > 0 else "small"
            return (
                f"The digits fit, but the value is {times} times too {way}. "
                "Look at the decimal mark and at milli, kilo and mega."
            )
    if answer and math.isclose(value, float(f"{answer:.1e}")):
        return "That is close, but rounded too far. Keep three figures."
    return f"That is too {'large' if value > answer else 'small'}."
