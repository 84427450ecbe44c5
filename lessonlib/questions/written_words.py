"""Texts of a question file with their gaps filled: `{supply_V}`, `{now.current_A: A}`.

A gap holds arithmetic, and after a colon how to write it: a space and a unit, for a number with its
unit ("5.22 A"), or the digits as in Python's format (".0f"). A number without either is written in
as few digits as it has. Several names are listed, joined by what follows the colon:
`{circuit.E1.between: and }`.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping

from lessonlib.errors import AnswerError, shown
from lessonlib.questions.arithmetic import work_out
from lessonlib.questions.reading import written

_GAP = re.compile(r"\{((?:[^{}:'\"]|'[^']*'|\"[^\"]*\")+)(?::([^{}]*))?\}")
_DIGITS = re.compile(r"[+,]?\.?[0-9]?[fgd]?%?|~")


def filled(text: str, names: Mapping[str, object]) -> str:
    """`text` with every gap filled. Raises `AnswerError` where a gap cannot be."""
    found = _GAP.sub(lambda gap: _shown(work_out(gap[1], names), gap[2]), text)
    if "{" in _GAP.sub("", text) or "}" in _GAP.sub("", text):
        raise AnswerError(
            f"found an unmatched curly bracket in {shown(text)}. Accepted: gaps "
            "such as {supply_V} or {now.current_A: A}. Close each one."
        )
    return found


def _shown(value: object, how: str | None) -> str:
    match value:
        case str():
            return value
        case bool():
            return "yes" if value else "no"
        case float() if value == math.inf:
            return "OL"  # what a meter shows where there is no way through
        case int() | float():
            if how is None:
                return f"{value:g}"
            if how.startswith(" "):
                return written(value, how.strip().replace("number", ""))
            if _DIGITS.fullmatch(how):
                return f"{value:{how}}"
        case Iterable():
            return (", " if how is None else how).join(map(str, value)) or "none"
    raise AnswerError(
        f"found {shown(value)} to be written as {shown(how)}. Accepted: a number with a unit, as "
        "in {now.current_A: A}, with digits, as in {share:.2f}, or words. Mend the gap."
    )
