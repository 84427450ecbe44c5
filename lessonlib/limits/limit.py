"""A published limit as a value: its size, where it is printed, and how that was confirmed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Mark = Literal["P", "S", "C", "memory", "practice", "own"]

MARKS: dict[Mark, str] = {
    "P": "read in its own text",
    "S": "as quoted by a secondary page",
    "C": "worked out from the source",
    "memory": "from memory",
    "practice": "common practice, no source",
    "own": "our own choice, no source",
}
"""How a limit was confirmed, in the words that a reader sees."""

UNSEEN = "edition not stated"


@dataclass(frozen=True)
class Limit:
    """`value` in `unit`. `edition` is `UNSEEN` where the page that quotes it does not say."""

    what: str
    value: float
    unit: str
    source: str
    edition: str
    clause: str
    mark: Mark

    @property
    def where(self) -> tuple[str, ...]:
        """Source, edition, clause where there is one, and how it was confirmed."""
        return tuple(filter(None, (self.source, self.edition, self.clause, MARKS[self.mark])))

    @property
    def cited(self) -> str:
        """Source, edition, clause and mark as a finding shows them."""
        edition = "" if self.edition == UNSEEN else f", {self.edition}"
        clause = f", {self.clause}" if self.clause else ""
        return f"{self.source}{edition}{clause} ({MARKS[self.mark]})"

    def __repr__(self) -> str:
        return f"{self.what}: {self.value:g} {self.unit} [{self.cited}]"
