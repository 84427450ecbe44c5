"""Which setting of the hand-operated switches does what is asked."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from lessonlib.appliance.parts import Appliance
from lessonlib.errors import AnswerError, shown
from lessonlib.questions.answers.answer import Answer, in_code
from lessonlib.questions.names import as_text, find_name, typed
from lessonlib.questions.reading import Unread
from lessonlib.words import listed

Positions = Mapping[str, str]


@dataclass(frozen=True)
class OneSetting(Answer):
    """`value`: the position of each switch that is asked for."""

    kind: ClassVar[str] = "setting"
    appliance: Appliance
    value: Positions

    def __post_init__(self) -> None:
        for name, position in self.value.items():
            if position not in self.appliance.part(name).positions:
                raise AnswerError(
                    f"found {shown(dict(self.value))}. Accepted: a position of {name}: "
                    f"{', '.join(self.appliance.part(name).positions)}. Use one of these."
                )

    @property
    def parts(self) -> tuple[str, ...]:
        """The switches asked for, by name."""
        return tuple(self.value)

    def read(self, given: object) -> tuple[Positions, ...] | Unread:
        if isinstance(given, Mapping):
            return self._read_pairs(given.items())
        text = as_text(given, self._example)
        if isinstance(text, Unread):
            return text
        names = "|".join(map(re.escape, self.parts))
        before, *said = re.split(rf"\b({names})\b", text, flags=re.IGNORECASE)
        if said and not before.strip():
            return self._read_pairs(zip(said[::2], map(_position, said[1::2]), strict=True))
        pieces = re.split(r"[,;\n]", text)
        if said or len(pieces) != len(self.parts):
            return Unread(f"Name each switch, as in: {self._example}.")
        return self._read_pairs(zip(self.parts, map(_position, pieces), strict=True))

    def _read_pairs(self, given: Iterable[tuple[Any, Any]]) -> tuple[Positions, ...] | Unread:
        found: dict[str, str] = {}
        for key, said in given:
            name = find_name((typed(key) or "?")[:80], self.parts, numbered=False)
            if name is None:
                switches = listed(self.parts)
                return Unread(f"{shown(key)} is not asked for. Give the position of {switches}.")
            text = typed(said)
            if text is not None and not text.strip():
                continue
            positions = self.appliance.part(name).positions
            position = find_name((text or "?")[:80], positions, numbered=False)
            if position is None:
                return Unread(
                    f"{name} has no position {shown(said)}. "
                    f"Its positions are: {', '.join(positions)}."
                )
            if name in found:
                return Unread("One switch is named twice. Give each switch one position.")
            found[name] = position
        missing = [name for name in self.parts if name not in found]
        if missing:
            return Unread(f"Give the position of {listed(missing)}{' as well' if found else ''}.")
        return ({name: found[name] for name in self.parts},)

    @property
    def _example(self) -> str:
        return ", ".join(f"{name} {self.appliance.part(name).positions[0]}" for name in self.parts)

    def heard(self, value: Positions) -> str:
        return f"You chose {self.written(value)}."

    def general(self, value: Positions) -> str:
        return "Follow the closed contacts in the drawing. Does each part do what is asked?"

    def written(self, value: Positions) -> str:
        return ", ".join(f"{name} {value[name]}" for name in self.parts)

    def form(self) -> dict[str, Any]:
        switches = [
            {"name": name, "positions": list(self.appliance.part(name).positions)}
            for name in self.parts
        ]
        return {"kind": self.kind, "switches": switches}

    def how(self) -> str:
        first = {name: self.appliance.part(name).positions[0] for name in self.parts}
        return f"the position of each switch, such as {in_code(first)}"


def _position(text: str) -> str:
    """A position without what may stand around it: "S1 is at low, and S2: on"."""
    words = text.strip(" \t\n:=,;./").split()
    first = next((n for n, word in enumerate(words) if word.lower() not in ("is", "at", "to")), 0)
    last = len(words) - (words[-1:] == ["and"])
    return " ".join(words[first:last])
