"""A published limit as a value: its size, where it is printed, and how that was confirmed."""

from __future__ import annotations

from collections.abc import Mapping
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
    mark: Mark
    clause: str = ""
    edition: str = UNSEEN

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


Rows = tuple[tuple[float, Limit], ...]
"""A table of limits, each with the size that it belongs to, from the smallest."""


def rows(
    what: str,
    values: Mapping[float, float],
    unit: str,
    source: str,
    mark: Mark,
    clause: str,
    edition: str = UNSEEN,
) -> Rows:
    """A table from its sizes and values; `what` has {} where the size is told."""
    return tuple(
        (size, Limit(what.format(f"{size:g}"), value, unit, source, mark, clause, edition))
        for size, value in values.items()
    )


def sold(what: str, unit: str, *values: float, mark: Mark = "practice") -> tuple[Limit, ...]:
    """The steps that a part is sold in, from the smallest."""
    trade = "what the trade sells"
    return tuple(Limit(f"sold: {what}", value, unit, trade, mark) for value in values)
