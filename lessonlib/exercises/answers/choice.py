"""One of several options."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

from lessonlib.errors import AnswerError, shown
from lessonlib.exercises.answers.answer import Answer
from lessonlib.exercises.answers.words import as_text, find_name
from lessonlib.exercises.reading import Unread


@dataclass(frozen=True)
class Choice(Answer):
    """`value` is one of `options`; a reply is the text of an option or its number from 1."""

    kind: ClassVar[str] = "choice"
    value: str
    options: tuple[str, ...]

    def __post_init__(self) -> None:
        if self.value not in self.options or len(set(self.options)) < max(2, len(self.options)):
            raise AnswerError(
                f"found {shown(self.value)} with the options {shown(self.options)}. Accepted: one "
                "of at least two different options. Spell it the same."
            )

    def read(self, given: object) -> tuple[str, ...] | Unread:
        text = as_text(given, "the number of an option, such as 1")
        if isinstance(text, Unread):
            return text
        option = find_name(text, self.options)
        if option is None:
            return Unread(f"That is none of the options. They are: {'; '.join(self.options)}.")
        return (option,)

    def seen(self, given: object, value: str) -> str:
        return f'"{value}"'

    def general(self, given: object, value: str) -> str:
        return "That is not it."

    def written(self, value: str) -> str:
        return value

    def form(self) -> dict[str, Any]:
        return {"kind": self.kind, "options": list(self.options)}
