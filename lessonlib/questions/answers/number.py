"""A quantity with its unit, or what a meter shows; and what there is to say about a wrong one."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, ClassVar, Literal

from lessonlib.errors import AnswerError, shown
from lessonlib.questions.answers.answer import Answer, in_code
from lessonlib.questions.names import typed
from lessonlib.questions.numerals import plain
from lessonlib.questions.reading import (
    TypedQuantity,
    Unit,
    Unread,
    find_unit,
    read_quantity,
    written,
)
from lessonlib.questions.units import units_of, with_prefix

OPEN = "OL"
"""What a meter shows where there is no way through: an infinite resistance."""
_OPEN_WORDS = {"ol", "o.l", "0l", "open", "open circuit", "infinite", "infinity", "∞", "overload"}

_MOST_TIMES = 10
"""Above it, a bare number that answers for per cent is no share as it stands."""

# a pressure in plain bar is a gauge pressure unless an absolute one was asked for
_ALSO_ANSWERS = {
    ("gauge pressure", "pressure"),
    ("pressure", "gauge pressure"),
    ("pressure", "absolute pressure"),
}

Side = Literal["either", "above", "below"]


class TypedNumber(float):
    """A number in the unit asked for, which keeps the `quantity` it was typed as. It is nan where
    that is another kind of quantity."""

    quantity: TypedQuantity

    def __new__(cls, value: float, quantity: TypedQuantity) -> TypedNumber:
        """The number with its quantity."""
        number = super().__new__(cls, value)
        number.quantity = quantity
        return number


@dataclass(frozen=True)
class Number(Answer):
    """`value` in `unit`, as the number reader spells it; "" for a bare number.

    `tolerance` is a share of the value (of 1 `unit` where the value is zero). An infinite
    resistance is what a meter shows as OL.

    `safe_side` is the side on which being a little off does no harm, as "above" for the lowest
    mark with which a fuse stays closed. The tolerance holds on that side alone; on the other only
    `value` itself is right, rounded to three figures or more. `unsafe_because` is a sentence on
    what goes wrong on the other side: "A fuse marked lower can open at the boil." Where parts come
    in steps, the tolerance must not reach the next step.
    """

    kind: ClassVar[str] = "number"
    value: float
    unit: str
    tolerance: float = 0.02  # more than rounding to three figures on the way takes away
    safe_side: Side = "either"
    unsafe_because: str = ""

    def __post_init__(self) -> None:
        if self.unit and self.asked is None:
            raise AnswerError(
                f"found the unit {shown(self.unit)}. Accepted: one the number reader knows, such "
                'as "W", "V", "A", "Ω", or "" for a bare number. Use one of these.'
            )
        if not 0 < self.tolerance < 1:
            raise AnswerError(
                f"found the tolerance {shown(self.tolerance)}. Accepted: a share above 0 and below "
                "1. Use 0.02 for two per cent."
            )

    @cached_property
    def asked(self) -> Unit | None:
        """The unit asked for; None for a bare number."""
        return find_unit(self.unit) if self.unit else None

    def read(self, given: object) -> tuple[TypedNumber, ...] | Unread:
        text = typed(given)
        if text is None:
            unit = " and its unit" if self.unit else ""
            return Unread(f"I cannot read {shown(given)}. Write one number{unit}.")
        if self.unit == "Ω" and plain(text[:80]).casefold() in _OPEN_WORDS:
            return (TypedNumber(math.inf, TypedQuantity((math.inf,), self.asked)),)
        quantity = read_quantity(text, self.asked)
        if isinstance(quantity, Unread):
            return quantity
        return tuple(TypedNumber(value, quantity) for value in _meanings(self.asked, quantity))

    @property
    def accepted(self) -> tuple[float, float]:
        """The lowest and the highest of the finite values that are right."""
        reach = self.tolerance * (abs(self.value) or 1.0)
        below = self.value if self.safe_side == "above" else self.value - reach
        above = self.value if self.safe_side == "below" else self.value + reach
        near = () if self.safe_side == "either" else self._rounded
        return min((below, *near)), max((above, *near))

    @property
    def _rounded(self) -> tuple[float, ...]:
        """`value` as it may be rounded: to three figures or more."""
        return tuple(float(f"{self.value:.{figures - 1}e}") for figures in (3, 4, 5, 6))

    def right(self, value: float) -> bool:
        if not self.same(value, self.value) or math.isinf(value) or self.safe_side == "either":
            return self.same(value, self.value)
        # what was typed in another unit may differ in the last digit of a float
        near = any(math.isclose(value, one, abs_tol=1e-12) for one in (self.value, *self._rounded))
        return near or (value > self.value) == (self.safe_side == "above")

    def same(self, value: float, slip_value: float) -> bool:
        if math.isinf(value) or math.isinf(slip_value):
            return bool(value == slip_value)
        return bool(abs(value - slip_value) <= self.tolerance * (abs(slip_value) or 1.0))

    def apart(self, one: float, other: float) -> bool:
        """What has a safe side reaches less far on the other, but the value of a slip reaches as
        far on both."""
        if not (math.isfinite(one) and math.isfinite(other)):
            return bool(one != other)
        (_, highest), (lowest, _) = sorted(
            self.accepted
            if value == self.value
            else replace(self, value=value, safe_side="either").accepted
            for value in (one, other)
        )
        return highest < lowest

    def seen(self, value: float) -> str:
        """What was typed, and the same in the unit asked for where that is another. A wrong number
        that came without its unit may have been meant in another; a right one needs no such words.
        """
        if math.isinf(value) or not isinstance(value, TypedNumber):
            return self.written(value)
        quantity, asked, here = value.quantity, self.asked, written(value, self.unit)
        if math.isnan(value):
            unit = quantity.unit.symbol if quantity.unit else self.unit
            return " or ".join(written(each, unit) for each in quantity.values)
        if quantity.unit is not None and quantity.unit.symbol != (asked.symbol if asked else ""):
            factor = (asked.size if asked else 1) / quantity.unit.size
            return f"{written(value * factor, quantity.unit.symbol)}, that is {here}"
        if quantity.unit is None and asked and asked.kind != "ratio" and not self.right(value):
            return f"{here}, taking {asked.symbol} for the unit that you left out"
        return here

    def general(self, value: float) -> str:
        """Looks at the kind of quantity, the unit, the sign, the power of ten and the size."""
        quantity = value.quantity if isinstance(value, TypedNumber) else None
        if quantity and math.isnan(value):
            return _wrong_kind(self.asked, quantity)
        if math.isinf(value):
            return "OL means there is no way through. Follow the wires: is there a way?"
        if math.isinf(self.value):
            return "Follow the wires from one probe to the other: does anything join them?"
        if self.same(value, self.value):
            other = "below" if self.safe_side == "above" else "above"
            return (
                f"That is close, but on the unsafe side: a little {self.safe_side} is all right, a "
                f"little {other} is not. {self.unsafe_because}".rstrip()
            )
        comma = "The comma can also group thousands; read like that it does not fit either. "
        said = comma if quantity and len(quantity.values) > 1 else ""
        return said + ((quantity and self._wrong_unit(quantity)) or self._size(value))

    def _wrong_unit(self, quantity: TypedQuantity) -> str:
        """What to say when the number typed would be right in another unit of its kind. A missing
        unit is as good as a wrong one only for times: elsewhere the units are powers of ten apart.
        """
        asked = self.asked
        given = quantity.unit or (asked if asked is not None and asked.kind == "time" else None)
        if given is None or asked is None or not self.value:
            return ""
        for value in quantity.values:
            for other in units_of(given.kind):
                if self.same(value * other.size / asked.size, self.value):
                    way = "large" if given.size > other.size else "small"
                    times = written(max(given.size / other.size, other.size / given.size))
                    return (
                        f"The number fits, the unit does not: in {given.symbol} it is {times} "
                        f"times too {way}. Which unit belongs to your number?"
                    )
        return ""

    def _size(self, value: float) -> str:
        """What to check in a wrong value, the most telling first."""
        answer = self.value
        if answer and value:
            if self.same(-value, answer):
                return "The size fits, the sign does not."
            power = round(math.log10(abs(value)) - math.log10(abs(answer)))
            if 0 < abs(power) <= 12 and self.same(value / 10.0**power, answer):
                return (
                    f"The digits fit, but the value is {written(10.0 ** abs(power))} times too "
                    f"{'large' if power > 0 else 'small'}. "
                    "Look at the decimal mark and at milli, kilo and mega."
                )
            if math.isclose(value, float(f"{answer:.1e}")):
                return "That is close, but rounded too far. Keep three figures."
        return f"That is too {'large' if value > answer else 'small'}."

    def written(self, value: float) -> str:
        return OPEN if math.isinf(value) else written(value, self.unit, figures=4)

    def form(self) -> dict[str, Any]:
        return {"kind": self.kind, "unit": self.unit}

    def how(self) -> str:
        if not self.unit:
            return f"a number, as in {in_code('...')}"
        return f"a number with its unit, as in {in_code(f'... {self.unit}')}"


def _meanings(asked: Unit | None, quantity: TypedQuantity) -> tuple[float, ...]:
    """What a quantity can mean in the unit asked for, the likeliest first."""
    if _wrong_kind(asked, quantity):
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


def _wrong_kind(asked: Unit | None, quantity: TypedQuantity) -> str:
    """What to say when the unit typed measures something else; empty when it does not."""
    given = quantity.unit
    wanted_kind = asked.kind if asked else "ratio"
    if given is None or given.kind == wanted_kind or (given.kind, wanted_kind) in _ALSO_ANSWERS:
        return ""
    wanted = "a bare number, without a unit"
    if asked:
        wanted = f"{_article(asked.kind)}, in {asked.symbol}"
    said = f"That is {_article(given.kind)}; the question asks for {wanted}."
    if given.symbol == "K" and asked and with_prefix("k", asked):
        said += " K alone is the kelvin; kilo is a small k, written before the unit."
    return said


def _article(kind: str) -> str:
    return f"an {kind}" if kind[0] in "aeiou" else f"a {kind}"
