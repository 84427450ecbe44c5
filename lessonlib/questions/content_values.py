"""Values as a question file writes them: lists, words with gaps, cases, things in order."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from lessonlib.errors import AnswerError, shown
from lessonlib.questions.arithmetic import work_out
from lessonlib.questions.written_words import filled

Names = Mapping[str, Any]


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
