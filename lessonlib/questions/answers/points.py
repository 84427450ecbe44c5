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
_NONE_WORDS = (NONE, "nothing", "no point", "none of them", "-", "–")
_ALL_WORDS = ("all", "all of them", "every point", "everything")


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
        if isinstance(given, list | tuple | Set):
            pieces = [typed(name) or "?" for name in given]
            if sum(map(len, pieces)) > MAX_CHARACTERS:
                return self._too_many
        else:
            text = as_text(given, self._example)
            if isinstance(text, Unread):
                return text
            pieces = [piece for piece in re.split(r"[,;\n]", text) if piece.strip()]
        if not pieces:
            return Unread(f'Nothing is chosen yet. If it is none of the points, say so: "{NONE}".')
        most = 3 * len(self.points)  # a name may be given twice, and may be two words
        if len(pieces) > most or sum(len(piece.split()) for piece in pieces) > 10 * most:
            return self._too_many
        found: set[str] = set()
        for piece in pieces:
            names = self._names(piece)
            if names is None:
                return Unread(
                    f"I know no point {shown(piece.strip(), 40)}. The points are: "
                    f'{self._listed}. If it is none of them, write "{NONE}".'
                )
            found |= names
        said_none = any(piece.strip().casefold().rstrip(".") in _NONE_WORDS for piece in pieces)
        if said_none and found:
            return Unread(f'"{NONE}" and a point at the same time: which do you mean?')
        return (frozenset(found),)

    def _names(self, piece: str) -> set[str] | None:
        """The points that `piece` names; None where part of it names none."""
        point = find_name(piece, self.points)
        if point is not None:
            return {point}
        said = " ".join(piece.casefold().split()).rstrip(".")
        if said in _NONE_WORDS:
            return set()
        if said in _ALL_WORDS:
            return set(self.points)
        for joint in (r"\band\b|[&+]", r"\s+"):
            parts = [part for part in re.split(joint, piece, flags=re.IGNORECASE) if part.strip()]
            if len(parts) > 1:
                names = [find_name(part, self.points) for part in parts]
                if None not in names:
                    return {name for name in names if name is not None}
        return None

    @property
    def _too_many(self) -> Unread:
        return Unread(f"That is too many names. The points are: {self._listed}.")

    @property
    def _listed(self) -> str:
        return ", ".join(self.points)

    @property
    def _example(self) -> str:
        return f'{", ".join(self.points[:2])}; or "{NONE}"'

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
