"""A quantity with its unit, or what a meter shows."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import Any, ClassVar, Literal

from lessonlib.errors import AnswerError, shown
from lessonlib.questions.answers.answer import Answer, in_code
from lessonlib.questions.answers.number_words import (
    TypedNumber,
    comma_words,
    general_words,
    meanings,
    seen_words,
    wrong_kind_words,
    wrong_unit_words,
)
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

OPEN = "OL"
"""What a meter shows where there is no way through: an infinite resistance."""
_OPEN_WORDS = {"ol", "o.l", "0l", "open", "open circuit", "infinite", "infinity", "∞", "overload"}


Side = Literal["either", "above", "below"]


@dataclass(frozen=True)
class Number(Answer):
    """`value` in `unit`, as the number reader spells it; "" for a bare number.

    `tolerance` is a share of the value (of 1 `unit` where the value is zero), and `because` the
    reason for it. An infinite resistance is what a meter shows as OL.

    `safe_side` is the side on which being a little off does no harm, as "above" for the lowest
    mark with which a fuse stays closed. The tolerance holds on that side alone; on the other only
    `value` itself is right, rounded to three figures or more. `unsafe_because` is a sentence on
    what goes wrong on the other side: "A fuse marked lower can open at the boil." Where parts come
    in steps, the tolerance must not reach the next step.
    """

    kind: ClassVar[str] = "number"
    value: float
    unit: str
    tolerance: float = 0.02
    because: str = "2 % is more than rounding to three figures on the way takes away"
    safe_side: Side = "either"
    unsafe_because: str = ""

    def __post_init__(self) -> None:
        is_number = isinstance(self.value, int | float) and not isinstance(self.value, bool)
        if not is_number or math.isnan(self.value) or not self.because.strip():
            raise AnswerError(
                f"found {shown(self.value)} because {shown(self.because)}. Accepted: a number, and "
                "a reason for its tolerance. Give both."
            )
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
        if self.safe_side != "either" and math.isinf(self.value):
            raise AnswerError("found OL with a safe side. Accepted: numbers. Leave the side out.")

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
        return tuple(TypedNumber(value, quantity) for value in meanings(self.asked, quantity))

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
        if not self.same(value, self.value):
            return False
        beyond = 0.0 if math.isinf(value) else value - self.value
        if self.safe_side == "either" or (beyond > 0) == (self.safe_side == "above"):
            return True
        # what was typed in another unit may differ in the last digit of a float
        return any(
            math.isclose(value, near, abs_tol=1e-12) for near in (self.value, *self._rounded)
        )

    def same(self, value: float, slip_value: float) -> bool:
        if math.isinf(value) or math.isinf(slip_value):
            return bool(value == slip_value)
        return bool(abs(value - slip_value) <= self.tolerance * (abs(slip_value) or 1.0))

    def seen(self, value: float) -> str:
        if math.isinf(value) or not isinstance(value, TypedNumber):
            return self.written(value)
        return seen_words(self, value)

    def general(self, value: float) -> str:
        quantity = value.quantity if isinstance(value, TypedNumber) else None
        if quantity and math.isnan(value):
            return wrong_kind_words(self.asked, quantity)
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
        if quantity is None:
            return general_words(self, value)
        check = wrong_unit_words(self, quantity) or general_words(self, value)
        return " ".join(filter(None, (comma_words(quantity), check)))

    def written(self, value: float) -> str:
        return OPEN if math.isinf(value) else written(value, self.unit)

    def form(self) -> dict[str, Any]:
        return {"kind": self.kind, "unit": self.unit}

    def how(self) -> str:
        if not self.unit:
            return f"a number, as in {in_code('...')}"
        return f"a number with its unit, as in {in_code(f'... {self.unit}')}"
