"""Typed words, read as one of the names offered: case, spaces and a full stop do not matter."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence

from lessonlib.errors import shown
from lessonlib.questions.numerals import quoted
from lessonlib.questions.reading import Unread

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
    text = unicodedata.normalize("NFKC", text).strip()
    if not text:
        return Unread(f"Nothing is given yet. Write it as in: {example}.")
    return text


def find_name(text: str, names: Sequence[str], numbered: bool = True) -> str | None:
    """The one of `names` that `text` spells, or counts from 1 if they are `numbered`.

    Read more and more generously, until one name fits: None where none does, or two do.
    """
    for reading in (_spaced, _folded):
        fits = [name for name in names if reading(name) and reading(name) == reading(text)]
        if fits:
            return fits[0] if len(fits) == 1 else None
    number = re.fullmatch(r"([1-9][0-9]?)[.)]?", text.strip())
    if numbered and number and int(number[1]) <= len(names):
        return names[int(number[1]) - 1]
    return None


def find_option(given: object, options: Sequence[str]) -> str | Unread:
    """The one of `options` that `given` names, or counts from 1; or what it could be."""
    text = as_text(given, "the number of an option, such as 1")
    if isinstance(text, Unread):
        return text
    option = find_name(text, options)
    if option is None:
        return Unread(f"That is none of the options. They are: {'; '.join(options)}.")
    # a figure may count an option and be part of another: ask
    fits = [option, *(each for each in options if each != option and text in each.split())]
    if len(fits) > 1 and isinstance(given, str):
        return Unread(f"{quoted(text)} fits more than one option: {'; '.join(fits)}. Write more.")
    return option


def _spaced(text: str) -> str:
    return " ".join(unicodedata.normalize("NFKC", text).split())


def _folded(text: str) -> str:
    return _spaced(text).casefold().strip(" .,;:\"'`“”‘’")
