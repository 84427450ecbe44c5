"""Words and values as a question file writes them: gaps, lists, pairs, cases, things in order.

A gap, `{supply_V}` or `{now.current_A: A}`, holds arithmetic, and after a colon how to write it: a
space and a unit, for a number with its unit ("5.22 A"), or the digits as in Python's format
(".0f"). A number without either is written in as few digits as it has. Several names are listed,
joined by what follows the colon: `{circuit.E1.between: and }`.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from typing import Any

from lessonlib.errors import AnswerError, shown
from lessonlib.questions.arithmetic import work_out
from lessonlib.questions.reading import written

Names = Mapping[str, Any]

GAP = re.compile(r"\{((?:[^{}:'\"]|'[^']*'|\"[^\"]*\")+)(?::([^{}]*))?\}")
_DIGITS = re.compile(r"[+,]?\.?[0-9]?[fgd]?%?")


def filled(text: str, names: Names) -> str:
    """`text` with every gap filled. Raises `AnswerError` where a gap cannot be."""
    found = GAP.sub(lambda gap: _shown(work_out(gap[1], names), gap[2]), text)
    if "{" in GAP.sub("", text) or "}" in GAP.sub("", text):
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


def split(text: str) -> list[str]:
    """Pieces between commas, those inside brackets or quotes left whole."""
    pieces = re.findall(r'(?:[^,("]|\([^)]*\)|"[^"]*")+', text)
    return [piece.strip() for piece in pieces if piece.strip()]


def words(text: str, names: Names) -> str:
    """`text`, with or without its quotes, its gaps filled."""
    text = text.strip()
    quoted = len(text) > 1 and text[0] == text[-1] == '"'
    return filled(text[1:-1] if quoted else text, names)


def literal(piece: str, names: Names) -> Any:
    """A number, a pair, or words as they stand."""
    if piece.startswith("("):
        return tuple(literal(each, names) for each in split(piece[1:-1]))
    if piece.startswith('"'):
        return piece.strip('"')
    try:
        return work_out(piece, names)
    except AnswerError:
        return piece


def by_cases(text: str, names: Names) -> str:
    """The words for a value, out of "burnt: E1 -> the first; E2 -> the second"."""
    name, _, listed = text.partition(":")
    value = work_out(name, names)
    wanted = ("yes" if value else "no") if isinstance(value, bool) else str(value)
    cases: dict[str, str] = {}
    for case in listed.split(";"):
        key, arrow, said = case.partition("->")
        if not arrow:
            raise AnswerError(
                f"found {shown(case)}. Accepted: cases such as E1 -> the first. Write ->."
            )
        cases[key.strip()] = said.strip()
    if wanted not in cases:
        raise AnswerError(
            f"found {shown(wanted)} for {name}. Accepted: {', '.join(cases)}. Add this case."
        )
    return filled(cases[wanted], names)


def smallest_first(text: str, names: Names) -> tuple[Any, ...]:
    """Things in order of their values, out of "keep at keep_W, boost at 1200"."""
    pairs = [piece.partition(" at ") for piece in split(text)]
    pairs.sort(key=lambda pair: work_out(pair[2], names))
    return tuple(work_out(thing, names) for thing, _, _ in pairs)
