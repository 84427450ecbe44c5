"""Typed words to one of the names offered: case, spaces and a full stop do not matter."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence

from lessonlib.errors import shown
from lessonlib.exercises.reading import Unread

MAX_CHARACTERS = 2000
"""Longest reply looked at, where names are asked for."""


def typed(given: object) -> str | None:
    """`given` as if it had been typed; "" for nothing, None for what nobody can type."""
    if given is None:
        return ""
    if isinstance(given, bool) or not isinstance(given, str | int | float):
        return None
    try:
        return str(given)
    except ValueError:  # a whole number of thousands of digits
        return None


def as_text(given: object, example: str) -> str | Unread:
    """`given` as one text of reasonable length; `example` says what to write instead."""
    text = typed(given)
    if text is None:
        return Unread(f"I cannot read {shown(given)}. Write it as in: {example}.")
    if len(text) > MAX_CHARACTERS:
        return Unread(f"That is {len(text):,} characters long. Write it as in: {example}.")
    if not text.strip():
        return Unread(f"Nothing is given yet. Write it as in: {example}.")
    return unicodedata.normalize("NFKC", text).strip()


def find_name(text: str, names: Sequence[str], numbered: bool = True) -> str | None:
    """The one of `names` that `text` spells, or counts from 1 if they are `numbered`.

    Read more and more generously, until one name fits: None where none does, or two do.
    """
    for reading in (_spaced, _folded, _bare):
        fits = [name for name in names if reading(name) and reading(name) == reading(text)]
        if fits:
            return fits[0] if len(fits) == 1 else None
    number = re.fullmatch(r"([1-9][0-9]?)[.)]?", text.strip())
    if numbered and number and int(number[1]) <= len(names):
        return names[int(number[1]) - 1]
    return None


def listed(names: Sequence[str], joint: str = "and") -> str:
    """`names` as an enumeration: "a, b and c"."""
    *first, last = names
    return f"{', '.join(first)} {joint} {last}" if first else last


def _spaced(text: str) -> str:
    return " ".join(unicodedata.normalize("NFKC", text).split())


def _folded(text: str) -> str:
    return _spaced(text).casefold().strip(" .,;:\"'`“”‘’")


def _bare(text: str) -> str:
    return re.sub(r"[\W_]+", "", _folded(text))
