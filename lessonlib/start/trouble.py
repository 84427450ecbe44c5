"""The start command's error: why it cannot go on, and what to do next."""

from __future__ import annotations

from lessonlib.errors import LessonlibError


class StartError(LessonlibError, RuntimeError):
    """The command cannot do what was asked: says what was found, is accepted, and comes next."""

    def __init__(self, found: str, accepted: str, next_step: str) -> None:
        self.found = found
        self.accepted = accepted
        self.next_step = next_step
        super().__init__(
            "The workbook cannot go on.\n"
            f"    found:    {_indented(found)}\n"
            f"    accepted: {_indented(accepted)}\n"
            f"    next:     {_indented(next_step)}"
        )


def _indented(text: str) -> str:
    return text.replace("\n", "\n" + " " * 14)
