"""A quantity with its unit, or what a meter shows."""

from __future__ import annotations

import math
import unicodedata
from dataclasses import dataclass
from typing import Any, ClassVar, Literal, get_args

from lessonlib.errors import AnswerError, shown
from lessonlib.questions.answers.answer import Answer
from lessonlib.questions.answers.number_words import (
    NumberQuestion,
    comma_words,
    general_words,
    meanings,
    number_question,
    read_answer,
    seen_words,
    unit_left_out,
    wrong_kind_words,
    wrong_unit_words,
)
from lessonlib.questions.reading import Reading, Unread, written
from lessonlib.questions.words import typed

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
        is_number = isinstance(self.value, int | float) and not isinstance(self.value, bool)
        if not is_number or math.isnan(self.value) or not self.because.strip():
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
        return number_question(value, self.unit, self.tolerance)

    def read(self, given: object) -> tuple[Any, ...] | Unread:
        """Values in `unit`; or the `Reading` itself, where it is another kind of quantity."""
        reading = self._reading(given)
        if isinstance(reading, Unread):
            return reading
        if wrong_kind_words(self._question.unit, reading):
            return (reading,)
        return meanings(self._question, reading)

    def _reading(self, given: object) -> Reading | Unread:
        said = " ".join(unicodedata.normalize("NFKC", (typed(given) or "")[:80]).casefold().split())
        if self.unit == "Ω" and said.rstrip(".") in _OPEN_WORDS:
            return Reading((math.inf,), self._question.unit)
        return read_answer(self._question, given)

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
        if isinstance(value, Reading):
            symbol = value.unit.symbol if value.unit else self.unit
            return " or ".join(written(each, symbol) for each in value.values)
        reading = self._reading(given)
        if isinstance(reading, Unread) or math.isinf(value):
            return self.written(value)
        left_out = "" if self.right(value) else unit_left_out(self._question, reading)
        return seen_words(self._question, reading, value) + left_out

    def general(self, given: object, value: Any) -> str:
        if isinstance(value, Reading):
            return wrong_kind_words(self._question.unit, value)
        if math.isinf(value):
            return "OL means that there is no way through. Follow the wires: is there one?"
        if math.isinf(self.value):
            return "Follow the wires from one probe to the other: does anything join them?"
        if self.same(value, self.value):
            other = "below" if self.safe_side == "above" else "above"
            return (
                f"That is close, but on the unsafe side: a little {self.safe_side} would do, a "
                f"little {other} does not. {self.unsafe_because}".rstrip()
            )
        reading = self._reading(given)
        if isinstance(reading, Unread):
            return general_words(self._question, value)
        check = wrong_unit_words(self._question, reading) or general_words(self._question, value)
        return " ".join(filter(None, (comma_words(reading), check)))

    def written(self, value: float) -> str:
        if math.isinf(value):
            return OPEN
        return written(value, self.unit)

    def form(self) -> dict[str, Any]:
        return {"kind": self.kind, "unit": self.unit}
