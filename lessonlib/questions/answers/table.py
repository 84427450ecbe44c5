"""A table of numbers to fill in, such as a state table."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, ClassVar

from lessonlib.questions.answers.answer import Answer, in_code
from lessonlib.questions.answers.number import Number
from lessonlib.questions.names import as_text, typed
from lessonlib.questions.reading import Unread

Cells = tuple[tuple[Any, ...], ...]

_DASHES = {"-", "–", "—"}


@dataclass(frozen=True)
class CellTable(Answer):
    """`rows`: what each row is for. `columns`: heading and unit of each. `value`: the numbers, row
    by row, and so a slip's value. A reply is a list of rows of texts, or a text with a row on each
    line and its cells between tabs, semicolons or bars."""

    kind: ClassVar[str] = "table"
    rows: tuple[str, ...]
    columns: tuple[tuple[str, str], ...]
    value: Cells
    tolerance: float = 0.02

    def __post_init__(self) -> None:
        list(self._each(self.value))  # raises where a unit or tolerance cannot be used

    def _each(self, cells: Cells) -> Iterator[tuple[str, Number, Any]]:
        """Each cell: where it is, the number asked for there, and what `cells` has in it."""
        for name, numbers, line in zip(self.rows, self.value, cells, strict=True):
            for (heading, unit), value, cell in zip(self.columns, numbers, line, strict=True):
                number = Number(value, unit, self.tolerance)
                yield f"{name}, {heading}", number, cell

    def _in_rows(self, cells: Sequence[Any]) -> Cells:
        count = len(self.columns)
        return tuple(tuple(cells[at : at + count]) for at in range(0, len(cells), count))

    def read(self, given: object) -> tuple[Cells, ...] | Unread:
        lines: Any = given
        if not isinstance(given, list | tuple):
            text = as_text(given, "0 W; 1.2 kW, one row a line")
            if isinstance(text, Unread):
                return text
            lines = [re.split(r"[\t;|]", line) for line in text.splitlines() if line.strip()]
            if len(lines) == 1 and len(lines[0]) == len(self.rows) * len(self.columns):
                lines = self._in_rows(lines[0])  # all cells in one line
        if not _has_shape(lines, len(self.rows), len(self.columns)):
            how = " Put a semicolon between two cells." if lines is not given else ""
            return Unread(
                f"I need {len(self.rows)} rows of {len(self.columns)} cells: "
                f"{', '.join(self.rows)}.{how}"
            )
        read = []
        for place, number, cell in self._each(lines):
            values = number.read(cell)
            if isinstance(values, Unread):
                dash = (typed(cell) or "").strip() in _DASHES
                reason = "Write 0 if you mean nothing." if dash else values.reason
                return Unread(f"{place}: {reason}")
            read.append(values)
        # a comma that can be read in two ways is meant in the same way all over the table
        first, last = (self._in_rows([values[end] for values in read]) for end in (0, -1))
        return (first,) if first == last else (first, last)

    def same(self, value: Cells, slip_value: Cells) -> bool:
        pairs = zip(self._each(value), self._each(slip_value), strict=True)
        return all(number.same(cell, other) for (_, number, cell), (_, _, other) in pairs)

    def apart(self, one: Cells, other: Cells) -> bool:
        pairs = zip(self._each(one), self._each(other), strict=True)
        return any(number.apart(a, b) for (_, number, a), (_, _, b) in pairs)

    def _misfits(self, value: Cells) -> list[tuple[str, Number, Any]]:
        return [each for each in self._each(value) if not each[1].right(each[2])]

    def seen(self, value: Cells) -> str:
        wrong = self._misfits(value)
        count = len(self.rows) * len(self.columns)
        if not wrong:
            return f"all {count} cells"
        places = "; ".join(
            # what is another kind of quantity, as it was typed
            f"{place}: {(number.seen if math.isnan(cell) else number.written)(cell)}"
            for place, number, cell in wrong
        )
        right = count - len(wrong)
        return (
            f"{right} of {count} cells {'is' if right == 1 else 'are'} right. Not these: {places}"
        )

    def heard(self, value: Cells) -> str:
        return f"{self.seen(value)}."

    def general(self, value: Cells) -> str:
        place, number, cell = self._misfits(value)[0]
        return f"Start with {place}. {number.general(cell)}"

    def written(self, value: Cells) -> str:
        rows = self._in_rows([number.written(cell) for _, number, cell in self._each(value)])
        return "\n".join(map("; ".join, rows))

    def form(self) -> dict[str, Any]:
        columns = [{"heading": heading, "unit": unit} for heading, unit in self.columns]
        return {"kind": self.kind, "rows": list(self.rows), "columns": columns}

    def how(self) -> str:
        row = [f"... {unit}".rstrip() for _, unit in self.columns]
        return f"a list of rows, such as {in_code([row] * len(self.rows))}"


def _has_shape(lines: Any, rows: int, columns: int) -> bool:
    return len(lines) == rows and all(
        isinstance(line, list | tuple) and len(line) == columns for line in lines
    )
