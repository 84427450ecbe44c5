"""Whether the answer of an exercise and its slips can be told from each other."""

from __future__ import annotations

import math
from itertools import combinations
from typing import Any

from lessonlib.questions.answers import Answer, CellTable, Number
from lessonlib.questions.exercise import Exercise


def too_close(exercise: Exercise) -> str:
    """What cannot be told apart, as found, accepted and next step; empty where all can."""
    answer = exercise.answer
    values = [("the answer", answer.value), *((slip.name, slip.value) for slip in exercise.slips)]
    for (name, one), (other_name, other) in combinations(values, 2):
        if not apart(answer, one, other):
            return (
                f"found {answer.written(one)} for {name} and {answer.written(other)} for "
                f"{other_name}. Accepted: values farther apart than the tolerance reaches. Draw "
                "other numbers, or leave the slip out."
            )
    return ""


def apart(answer: Answer, one: Any, other: Any) -> bool:
    """Whether nothing can be taken for both. What has a safe side reaches less far on the other,
    but the value of a slip reaches as far on both."""
    if isinstance(answer, Number):
        if not (math.isfinite(one) and math.isfinite(other)):
            return bool(one != other)
        (_, highest), (lowest, _) = sorted(
            answer.accepted
            if value == answer.value
            else Number(value, answer.unit, answer.tolerance, answer.because).accepted
            for value in (one, other)
        )
        return highest < lowest
    if isinstance(answer, CellTable):
        return any(
            apart(Number(a, unit, answer.tolerance, answer.because), a, b)
            for row, other_row in zip(one, other, strict=True)
            for a, b, (_, unit) in zip(row, other_row, answer.columns, strict=True)
        )
    return not answer.same(one, other)
