"""Collects everything wrong with a description, so that all of it is reported together."""

from __future__ import annotations

import difflib
from collections.abc import Iterable

from lessonlib.errors import ApplianceError, Problem

MOST_PROBLEMS = 30
"""Most problems of one file that are reported at once: more than anyone mends in one go."""
_LONGEST = 400


class Problems:
    """The problems of one file so far, in the order in which they were found."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.found: list[Problem] = []

    def add(self, table: str, key: str, found: str, accepted: str, next_step: str) -> None:
        """Note a problem: where it is, what was found, what is accepted, what to do next.

        Raises `ApplianceError` where there are more than `MOST_PROBLEMS`.
        """
        if len(self.found) == MOST_PROBLEMS:
            raise ApplianceError(self.found, more=True)
        texts = (table, key, found, accepted, next_step)
        self.found.append(Problem(self.file, *(_cut(text) for text in texts)))

    def __len__(self) -> int:
        return len(self.found)


def _cut(text: str) -> str:
    return text if len(text) <= _LONGEST else text[: _LONGEST - 1] + "…"


def near(word: str, names: Iterable[str]) -> str:
    """The name that `word` was probably meant to be, or nothing."""
    by_lower = {name.lower(): name for name in names}
    close = difflib.get_close_matches(word[:40].lower(), by_lower, n=1)
    return by_lower[close[0]] if close else ""


def meant_or(word: str, names: Iterable[str], otherwise: str) -> str:
    """The next step where `word` is none of `names`: the one that was probably meant, if any."""
    meant = near(word, names)
    return f'did you mean "{meant}"?' if meant else otherwise
