"""Which of several points are what is asked, such as live."""

from __future__ import annotations

import re
from collections.abc import Set
from dataclasses import dataclass
from typing import Any, ClassVar

from lessonlib.errors import AnswerError, shown
from lessonlib.questions.answers.answer import Answer, in_code
from lessonlib.questions.names import MAX_CHARACTERS, as_text, find_name, typed
from lessonlib.questions.reading import Unread
from lessonlib.words import listed

NONE = "none"
_NONE_WORDS = (NONE, "nothing", "none of them")
_ALL_WORDS = ("all", "all of them")


@dataclass(frozen=True)
class Points(Answer):
    """`value`: those of `points` that are asked for, possibly none. A reply is a list of names, or
    a text such as "L, boost", "all" or "none"."""

    kind: ClassVar[str] = "points"
    value: frozenset[str]
    points: tuple[str, ...]

    def __post_init__(self) -> None:
        if not self.points or not self.value <= set(self.points) or NONE in self.points:
            raise AnswerError(
                f"found {shown(sorted(self.value))} of the points {shown(self.points)}. Accepted: "
                f'names out of the list, in which none is called "{NONE}". Spell them the same.'
            )

    def read(self, given: object) -> tuple[frozenset[str], ...] | Unread:
        if isinstance(given, list | tuple):
            pieces = [typed(name) or "?" for name in given]
        else:
            text = as_text(given, f'{", ".join(self.points[:2])}; or "{NONE}"')
            if isinstance(text, Unread):
                return text
            pieces = [piece for piece in re.split(r"[,;\n&+]|\band\b", text) if piece.strip()]
        if not pieces:
            return Unread(f'Nothing is chosen yet. If it is none of the points, say so: "{NONE}".')
        # a name may be given twice
        if len(pieces) > 3 * len(self.points) or sum(map(len, pieces)) > MAX_CHARACTERS:
            return Unread(f"That is too many names. The points are: {self._listed}.")
        found: set[str] = set()
        said_none = False
        for piece in pieces:
            said = " ".join(piece.casefold().split()).rstrip(".")
            point = find_name(piece, self.points)
            if point is not None:
                found.add(point)
            elif said in _ALL_WORDS:
                found |= set(self.points)
            elif said in _NONE_WORDS:
                said_none = True
            else:
                return Unread(
                    f"I know no point {shown(piece.strip(), 40)}. The points are: "
                    f'{self._listed}. If it is none of them, write "{NONE}".'
                )
        if said_none and found:
            return Unread(f'"{NONE}" and a point at the same time: which do you mean?')
        return (frozenset(found),)

    @property
    def _listed(self) -> str:
        return ", ".join(self.points)

    def general(self, value: frozenset[str]) -> str:
        extra, missing = len(value - self.value), len(self.value - value)
        if not extra:
            return "All the points you named belong there, but there are more."
        if not missing:
            return "No point is missing, but you named one or more that do not belong there."
        return (
            "Some of those you named do not belong there, and some are missing. Take the points "
            "one by one and follow what joins each to the supply."
        )

    def written(self, value: Set[str]) -> str:
        return ", ".join(point for point in self.points if point in value) or NONE

    def seen(self, value: frozenset[str]) -> str:
        return listed(self.written(value).split(", ")) if value else f'"{NONE}"'

    def heard(self, value: frozenset[str]) -> str:
        return f"You named {self.seen(value)}."

    def form(self) -> dict[str, Any]:
        return {"kind": self.kind, "points": list(self.points), "none": NONE}

    def how(self) -> str:
        return f"the names of the points, such as {in_code(', '.join(self.points[:2]))}"
