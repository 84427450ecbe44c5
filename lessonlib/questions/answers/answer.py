"""What every kind of answer has. Nothing given is ever evaluated."""

from __future__ import annotations

import json
from typing import Any, ClassVar

from lessonlib.questions.reading import Unread


class Answer:
    """The right answer of an exercise, as `value`, and how a reply is held against it.

    A reply is anything that a browser or a cell can send: a text, a number, a list, a mapping. It
    is read once, to values of this kind, which are what slips have as their `value` too.
    """

    kind: ClassVar[str]
    value: Any

    def read(self, given: object) -> tuple[Any, ...] | Unread:
        """The values that `given` can mean, several only where it can be read in more than one
        way; or why it cannot be read. Never raises."""
        raise NotImplementedError

    def right(self, value: Any) -> bool:
        """Whether `value` is the right answer, within the tolerance."""
        return self.same(value, self.value)

    def same(self, value: Any, slip_value: Any) -> bool:
        """Whether `value` is `slip_value`, within the tolerance."""
        return bool(value == slip_value)

    def apart(self, one: Any, other: Any) -> bool:
        """Whether no reply can be taken for both values, each right or of a slip."""
        return not self.same(one, other)

    def seen(self, value: Any) -> str:
        """How a reply was read, to complete "Right: ..."."""
        return self.written(value)

    def heard(self, value: Any) -> str:
        """How a reply was read, as a sentence in front of what is said about a wrong one."""
        return f"I read {self.seen(value)}."

    def general(self, value: Any) -> str:
        """What to check next in a wrong `value` that no slip explains, in sentences."""
        raise NotImplementedError

    def written(self, value: Any) -> str:
        """`value` in words and figures, as a learner could have typed it."""
        raise NotImplementedError

    def form(self) -> dict[str, Any]:
        """What the browser needs to ask for it, as JSON; the right answer is not in it."""
        raise NotImplementedError

    def how(self) -> str:
        """What to give to `.try_answer` in plain code, with an example."""
        raise NotImplementedError


def in_code(example: object) -> str:
    """`example` as it is given in plain code."""
    return f".try_answer({json.dumps(example, ensure_ascii=False)})"
