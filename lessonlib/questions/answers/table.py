"""A table of numbers to fill in, such as a state table."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, ClassVar

from lessonlib.errors import AnswerError, shown
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
    because: str = "2 % is more than rounding to three figures on the way takes away"

    def __post_init__(self) -> None:
        if not _has_shape(self.value, len(self.rows), len(self.columns)) or not self.rows:
            raise AnswerError(
                f"found {shown(self.value)}. Accepted: {len(self.rows)} rows of "
                f"{len(self.columns)} numbers. Give one for each row and column."
            )
        self._cells  # noqa: B018 - raises where a number, unit or tolerance cannot be used

    @cached_property
    def _cells(self) -> tuple[tuple[Number, ...], ...]:
        units = [unit for _, unit in self.columns]
        return tuple(
            tuple(
                Number(value, unit, self.tolerance, self.because)
                for value, unit in zip(line, units, strict=True)
            )
            for line in self.value
        )

    def read(self, given: object) -> tuple[Cells, ...] | Unread:
        lines: Any = given
        if not isinstance(given, list | tuple):
            text = as_text(given, "0 W; 1.2 kW, one row a line")
            if isinstance(text, Unread):
                return text
            lines = [re.split(r"[\t;|]", line) for line in text.splitlines() if line.strip()]
            count = len(self.columns)
            if len(lines) == 1 and len(lines[0]) == len(self.rows) * count:  # all cells in one line
                lines = [lines[0][at : at + count] for at in range(0, len(lines[0]), count)]
        if not _has_shape(lines, len(self.rows), len(self.columns)):
            how = " Put a semicolon between two cells." if lines is not given else ""
            return Unread(
                f"I need {len(self.rows)} rows of {len(self.columns)} cells: "
                f"{', '.join(self.rows)}.{how}"
            )
        # a comma that can be read in two ways is meant in the same way all over the table
        first: list[tuple[Any, ...]] = []
        last: list[tuple[Any, ...]] = []
        for row, line in enumerate(lines):
            read = []
            for column, cell in enumerate(line):
                values = self._cells[row][column].read(cell)
                if isinstance(values, Unread):
                    dash = (typed(cell) or "").strip() in _DASHES
                    reason = "Write 0 if you mean nothing." if dash else values.reason
                    return Unread(f"{self._place(row, column)}: {reason}")
                read.append(values)
            first.append(tuple(values[0] for values in read))
            last.append(tuple(values[-1] for values in read))
        tables = (tuple(first), tuple(last))
        return tables if first != last else tables[:1]

    def same(self, value: Cells, slip_value: Cells) -> bool:
        return all(
            self._cells[row][column].same(cell, slip_value[row][column])
            for row, line in enumerate(value)
            for column, cell in enumerate(line)
        )

    def apart(self, one: Cells, other: Cells) -> bool:
        return any(
            cell.apart(a, b)
            for cells, row, other_row in zip(self._cells, one, other, strict=True)
            for cell, a, b in zip(cells, row, other_row, strict=True)
        )

    def _misfits(self, value: Cells) -> list[tuple[int, int]]:
        return [
            (row, column)
            for row, line in enumerate(value)
            for column, cell in enumerate(line)
            if not self._cells[row][column].right(cell)
        ]

    def seen(self, value: Cells) -> str:
        wrong = self._misfits(value)
        count = len(self.rows) * len(self.columns)
        if not wrong:
            return f"all {count} cells"
        places = "; ".join(
            f"{self._place(row, column)}: {self._said(row, column, value)}" for row, column in wrong
        )
        right = count - len(wrong)
        return (
            f"{right} of {count} cells {'is' if right == 1 else 'are'} right. Not these: {places}"
        )

    def heard(self, value: Cells) -> str:
        return f"{self.seen(value)}."

    def _said(self, row: int, column: int, value: Cells) -> str:
        cell, typed_number = self._cells[row][column], value[row][column]
        # what is another kind of quantity, as it was typed
        return (cell.seen if math.isnan(typed_number) else cell.written)(typed_number)

    def _place(self, row: int, column: int) -> str:
        return f"{self.rows[row]}, {self.columns[column][0]}"

    def general(self, value: Cells) -> str:
        row, column = self._misfits(value)[0]
        said = self._cells[row][column].general(value[row][column])
        return f"Start with {self._place(row, column)}. {said}"

    def written(self, value: Cells) -> str:
        return "\n".join(
            "; ".join(self._cells[row][column].written(cell) for column, cell in enumerate(line))
            for row, line in enumerate(value)
        )

    def form(self) -> dict[str, Any]:
        columns = [{"heading": heading, "unit": unit} for heading, unit in self.columns]
        return {"kind": self.kind, "rows": list(self.rows), "columns": columns}

    def how(self) -> str:
        row = [f"... {unit}".rstrip() for _, unit in self.columns]
        return f"a list of rows, such as {in_code([row] * len(self.rows))}"


def _has_shape(lines: Any, rows: int, columns: int) -> bool:
    return (
        isinstance(lines, Sequence)
        and len(lines) == rows
        and all(isinstance(line, list | tuple) and len(line) == columns for line in lines)
    )
