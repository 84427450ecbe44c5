"""A quantity with its unit, or what a meter shows."""

from __future__ import annotations

import math
import unicodedata
from dataclasses import dataclass
from typing import Any, ClassVar, Literal, get_args

from lessonlib.errors import AnswerError, shown
from lessonlib.exercises.answers.answer import Answer
from lessonlib.exercises.answers.words import typed
from lessonlib.exercises.judging import (
    NumberQuestion,
    general_words,
    number_question,
    seen_words,
    wrong_kind_words,
    wrong_unit_words,
)
from lessonlib.exercises.reading import Reading, Unread, read_quantity, written

OPEN = "OL"
"""What a meter shows where there is no way through: an infinite resistance."""
_MOST_TIMES = 10
"""Above it, a bare number that answers for per cent is no share as it stands."""
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
    what goes wrong there, for who is close on that side: "A fuse marked lower can open at the
    boil." Where parts come in steps, the tolerance must not reach the next step.
    """

    kind: ClassVar[str] = "number"
    value: float
    unit: str
    tolerance: float = 0.02
    because: str = "2 % is more than rounding to three figures on the way takes away"
    safe_side: Side = "either"
    unsafe_because: str = ""

    def __post_init__(self) -> None:
        if math.isnan(self.value) or not self.because.strip():
            raise AnswerError(
                f"found {shown(self.value)} because {shown(self.because)}. Accepted: a number, and "
                "a reason for its tolerance. Give both."
            )
        self._question  # noqa: B018 - raises where unit or tolerance cannot be used
        if self.safe_side not in get_args(Side) or (
            self.safe_side == "either" and self.unsafe_because
        ):
            raise AnswerError(
                f"found safe_side = {shown(self.safe_side)} and unsafe_because = "
                f"{shown(self.unsafe_because)}. Accepted: one of {', '.join(get_args(Side))}, and "
                "a reason only with above or below. Name the safe side, or leave both out."
            )
        if self.safe_side != "either" and math.isinf(self.value):
            raise AnswerError(
                "found an infinite value with a safe side. Accepted: OL has no safe side. "
                "Leave safe_side out."
            )

    @property
    def _question(self) -> NumberQuestion:
        value = self.value if math.isfinite(self.value) else 0.0
        return number_question(value, self.unit, self.tolerance, {}, "")

    def read(self, given: object) -> tuple[Any, ...] | Unread:
        """Values in `unit`; or the `Reading` itself, where it is another kind of quantity."""
        reading = self._reading(given)
        if isinstance(reading, Unread):
            return reading
        question = self._question
        if wrong_kind_words(question.unit, reading):
            return (reading,)
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

    def _reading(self, given: object) -> Reading | Unread:
        text = typed(given)
        if text is None:
            return Unread(f"I cannot read {shown(given)}. Write one number and its unit.")
        said = " ".join(unicodedata.normalize("NFKC", text[:80]).casefold().split())
        if self.unit == "Ω" and said.rstrip(".") in _OPEN_WORDS:
            return Reading((math.inf,), self._question.unit)
        return read_quantity(text, self._question.unit)

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

    def right(self, value: Any) -> bool:
        if not self.same(value, self.value):
            return False
        beyond = 0.0 if math.isinf(value) else value - self.value
        if self.safe_side == "either" or (beyond > 0) == (self.safe_side == "above"):
            return True
        # what was typed in another unit may differ in the last digit of a float
        return any(
            math.isclose(value, near, abs_tol=1e-12) for near in (self.value, *self._rounded)
        )

    def same(self, value: Any, slip_value: float) -> bool:
        if isinstance(value, Reading):
            return False
        if math.isinf(value) or math.isinf(slip_value):
            return bool(value == slip_value)
        return bool(abs(value - slip_value) <= self.tolerance * (abs(slip_value) or 1.0))

    def seen(self, given: object, value: Any) -> str:
        reading = self._reading(given)
        if isinstance(value, Reading) or isinstance(reading, Unread):
            symbol = value.unit.symbol if isinstance(value, Reading) and value.unit else self.unit
            return written(value.values[0] if isinstance(value, Reading) else value, symbol)
        if math.isinf(value):
            return self.written(value)
        question = self._question
        said = seen_words(question, reading, value)
        if reading.unit is None and question.unit is not None and question.unit.kind != "ratio":
            return f"{said}, taking {question.unit.symbol} for the unit that you left out"
        return said

    def general(self, given: object, value: Any) -> str:
        if isinstance(value, Reading):
            return wrong_kind_words(self._question.unit, value).partition(". ")[2]
        if math.isinf(value):
            return "That says that there is no way through. Follow the wires: is there one?"
        if math.isinf(self.value):
            return "Follow the wires from one probe to the other: what closes the way?"
        if self.same(value, self.value):
            other = "below" if self.safe_side == "above" else "above"
            return (
                f"That is close, but on the unsafe side: a little {self.safe_side} would do, a "
                f"little {other} does not. {self.unsafe_because}".rstrip()
            )
        reading = self._reading(given)
        unit = "" if isinstance(reading, Unread) else wrong_unit_words(self._question, reading)
        return unit or general_words(self._question, value)

    def written(self, value: float) -> str:
        if math.isinf(value):
            return OPEN
        return written(value, self.unit)

    def form(self) -> dict[str, Any]:
        return {"kind": self.kind, "unit": self.unit}
