"""Things to put in order."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from itertools import combinations
from string import ascii_uppercase
from typing import Any, ClassVar

from lessonlib.errors import AnswerError, shown
from lessonlib.questions.answers.answer import Answer, in_code
from lessonlib.questions.names import as_text, find_name, typed
from lessonlib.questions.reading import Unread


@dataclass(frozen=True)
class Order(Answer):
    """`value`: the things in their right order. A reply is a list of them, or of their letters in
    the order `offered`; or a text with one a line, or such as "C, A, B". Numbers, counted from 1,
    do as well as letters.

    `reasons` maps pairs of them, the earlier one first, to a sentence on why it comes first:
    {("prove dead", "measure"): "Until it is proved dead, it may be live."}. It is the
    reply to an answer that has such a pair the other way round, where no slip explains it.
    """

    kind: ClassVar[str] = "order"
    value: tuple[str, ...]
    reasons: Mapping[tuple[str, str], str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        pairs = set(combinations(self.value, 2))
        if not 2 <= len(set(self.value)) == len(self.value) <= len(ascii_uppercase):
            raise AnswerError(
                f"found {shown(self.value)} to put in order. Accepted: at least two different "
                "things, and at most 26. Give each of them once."
            )
        for pair in self.reasons.keys() - pairs:
            raise AnswerError(
                f"found a reason for {shown(pair)}. Accepted: two of the things, the earlier one "
                "first, and why it comes first. Give both."
            )

    @cached_property
    def offered(self) -> tuple[str, ...]:
        """The things in an order that tells nothing, and is never the right one."""
        mixed = tuple(sorted(self.value, key=lambda item: hashlib.sha256(item.encode()).digest()))
        return mixed if mixed != self.value else (*mixed[1:], mixed[0])

    def read(self, given: object) -> tuple[tuple[str, ...], ...] | Unread:
        count = len(self.value)
        example = ", ".join(self.letters)
        if isinstance(given, list | tuple):
            pieces = [typed(piece) or "?" for piece in given[: count + 1]]
        else:
            text = as_text(given, f"their letters, {example}")
            if isinstance(text, Unread):
                return text
            pieces = _pieces(text, count)[: count + 1]
        found = [self._item(piece) for piece in pieces]
        if None in found:
            return Unread(
                f"{shown(pieces[found.index(None)].strip(), 40)} is none of the {count} to put in "
                f"order. Give their letters, in your order: {example}."
            )
        items = tuple(item for item in found if item is not None)
        if len(items) != count or len(set(items)) != count:
            twice = ", some of them twice" if len(set(items)) < len(items) else ""
            gave = f"You gave {len(set(items))} of the {count}{twice}."
            return Unread(f"{gave} Give each of them once.")
        return (items,)

    @property
    def letters(self) -> str:
        """One letter for each of those `offered`: where they stay when the things are moved."""
        return ascii_uppercase[: len(self.value)]

    def _item(self, piece: str) -> str | None:
        name = find_name(piece, self.offered)
        letter = piece.strip().rstrip(".)").upper()
        if name is None and len(letter) == 1 and letter in self.letters:
            return self.offered[self.letters.index(letter)]
        return name

    def general(self, value: tuple[str, ...]) -> str:
        fits = 0
        while value[fits] == self.value[fits]:
            fits += 1
        start = f"The first {'one is' if fits == 1 else f'{fits} are'} in place. " if fits else ""
        for later, earlier in combinations(value, 2):
            if (earlier, later) in self.reasons:
                why = self.reasons[earlier, later]
                return f'{start}You put "{later}" before "{earlier}". {why}'
        if not fits:
            return "What you put first does not come first. Compare it with each of the others."
        return f"{start}After that the order differs: compare the next two."

    def written(self, value: tuple[str, ...]) -> str:
        return "\n".join(value)

    def seen(self, value: tuple[str, ...]) -> str:
        return "the order " + ", ".join(self.letters[self.offered.index(item)] for item in value)

    def heard(self, value: tuple[str, ...]) -> str:
        return f"You gave {self.seen(value)}."

    def form(self) -> dict[str, Any]:
        return {"kind": self.kind, "items": list(self.offered), "letters": self.letters}

    def how(self) -> str:
        return f"the letters in your order, such as {in_code(', '.join(self.letters))}"


def _pieces(text: str, count: int) -> list[str]:
    """The things named in a text: letters or numbers, or names, one a line or between marks."""
    if len(text) == count and re.fullmatch("[1-9]+|[A-Za-z]+", text):
        return list(text)
    words = re.findall(r"[^\W_]+", text)
    if all(re.fullmatch("[A-Za-z]|[0-9]+", word) for word in words):
        return words
    lines = [line for line in re.split(r"[\n;]", text) if line.strip()]
    return lines if len(lines) > 1 else text.split(",")
