"""A quantity with its unit, or what a meter shows."""

from __future__ import annotations

import math
import unicodedata
from dataclasses import dataclass
from typing import Any, ClassVar

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


@dataclass(frozen=True)
class Number(Answer):
    """`value` in `unit`, as the number reader spells it; "" for a bare number.

    `tolerance` is a share of the value (of 1 `unit` where the value is zero), and `because` the
    reason for it. An infinite resistance is what a meter shows as OL.
    """

    kind: ClassVar[str] = "number"
    value: float
    unit: str
    tolerance: float = 0.02
    because: str = "2 % is more than rounding to three figures on the way takes away"

    def __post_init__(self) -> None:
        if math.isnan(self.value) or not self.because.strip():
            raise AnswerError(
                f"found {shown(self.value)} because {shown(self.because)}. Accepted: a number, and "
                "a reason for its tolerance. Give both."
            )
        self._question  # noqa: B018 - raises where unit or tolerance cannot be used

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
        reading = self._reading(given)
        unit = "" if isinstance(reading, Unread) else wrong_unit_words(self._question, reading)
        return unit or general_words(self._question, value)

    def written(self, value: float) -> str:
        if math.isinf(value):
            return OPEN
        return written(value, self.unit)

    def form(self) -> dict[str, Any]:
        return {"kind": self.kind, "unit": self.unit}
