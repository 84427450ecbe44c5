"""One of several options."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

from lessonlib.errors import AnswerError, shown
from lessonlib.questions.answers.answer import Answer, in_code
from lessonlib.questions.names import find_option
from lessonlib.questions.reading import Unread


@dataclass(frozen=True)
class Choice(Answer):
    """`value` is one of `options`; a reply is the text of an option, or its number from 1."""

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
        option = find_option(given, self.options)
        return option if isinstance(option, Unread) else (option,)

    def seen(self, value: str) -> str:
        return f'"{value}"'

    def heard(self, value: str) -> str:
        return f'You chose "{value}".'

    def general(self, value: str) -> str:
        return "Go through the options one by one: what rules each of them out?"

    def written(self, value: str) -> str:
        return value

    def form(self) -> dict[str, Any]:
        return {"kind": self.kind, "options": list(self.options)}

    def how(self) -> str:
        return f"an option, or its number, such as {in_code(1)}"
