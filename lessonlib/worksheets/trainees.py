"""The list of a class, read from CSV as spreadsheets write it."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from lessonlib.errors import WorksheetError, shown
from lessonlib.files import read_regular
from lessonlib.progress.records import WHOLE_NUMBERS

SETS = 60
"""How many sets of numbers a worksheet has. Trainees after that share one with an earlier one."""

MOST_TRAINEES = 20_000
_LARGEST_FILE = 10_000_000
_NAMES = ("name", "trainee")


@dataclass(frozen=True)
class Trainee:
    """One of a class. `number` is the place in the list, from 1 on; `key` is told by nobody else:
    the `id` of the list, or the name. `numbers` is the seed of this trainee's exercises."""

    number: int
    name: str
    key: str
    numbers: int

    @property
    def file(self) -> str:
        """Begin of the names of this trainee's files: "03-ada-long"."""
        words = re.sub(r"[^\w]+", "-", self.name.lower()).strip("-_")[:40].strip("-")
        return f"{self.number:02}-{words or 'trainee'}"


def table_of(data: bytes) -> list[list[str]]:
    """The cells of a CSV file: with commas, semicolons or tabs, in UTF-8, UTF-16 or as older
    spreadsheets write it, with or without a byte order mark. Rows without content are left out.

    Raises `ValueError` for what is no text, and `csv.Error`.
    """
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        text = data.decode("utf-16")
    else:
        try:
            text = data.decode("utf-8-sig")
        except UnicodeDecodeError:
            text = data.decode("cp1252")
    if "\0" in text:
        raise ValueError("bytes that are no text")
    first = next(filter(str.strip, text.splitlines()), "")
    delimiter = max(",;\t", key=first.count)
    rows = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    cells = [[cell.strip() for cell in row] for row in rows]
    return [row for row in cells if any(row)]


def trainees(source: object, seed: int) -> tuple[Trainee, ...]:
    """The class in a CSV file (a column `name`, and `id` where two have one name), or in a list of
    names. Without a heading, the first column has the names. Raises `WorksheetError`."""
    if isinstance(source, str | Path):
        rows = _rows(Path(source))
        head = [cell.lower() for cell in rows[0]] if rows else []
        named = [head.index(word) for word in _NAMES if word in head]
        ids = head.index("id") if named and "id" in head else None
        rows = rows[1:] if named else rows
        column = named[0] if named else 0
        found = [(_cell(row, column), _cell(row, ids)) for row in rows]
    elif isinstance(source, Iterable):
        found = [(str(each).strip(), "") for each in source]
    else:
        raise _wrong(shown(source), "Give the path of a CSV file, or a list of names.")
    return numbered(found, seed)


def numbered(found: Sequence[tuple[str, str]], seed: int) -> tuple[Trainee, ...]:
    """The trainees of these names and ids, each with a set of numbers."""
    if not 1 <= len(found) <= MOST_TRAINEES:
        raise _wrong(f"{len(found)} trainees", f"Accepted: 1 to {MOST_TRAINEES}. Put names in.")
    made: dict[str, Trainee] = {}
    for number, (name, key) in enumerate(found, 1):
        if not name:
            raise _wrong(f"no name in row {number}", "Fill it in, or take the row out.")
        plain = key or name
        if plain in made and key:
            raise _wrong(f"the id {shown(key)} twice", "Give everyone an id of their own.")
        unique = plain
        for count in range(2, number + 1):
            if unique not in made:
                break
            unique = f"{plain} ({count})"
        numbers = (seed + (number - 1) % SETS) % WHOLE_NUMBERS.stop
        made[unique] = Trainee(number, name[:200], unique, numbers)
    return tuple(made.values())


def _rows(path: Path) -> list[list[str]]:
    try:
        return table_of(read_regular(path, _LARGEST_FILE))
    except (OSError, ValueError, csv.Error) as problem:
        reason = getattr(problem, "strerror", None) or problem
        raise _wrong(f"{reason} in {path}", "Save the list as CSV, and name that file.") from None


def _cell(row: Sequence[str], column: int | None) -> str:
    return row[column] if column is not None and column < len(row) else ""


def _wrong(found: str, then: str) -> WorksheetError:
    return WorksheetError(
        f"trainees: found {found}. Accepted: one row for each trainee, with a name. {then}"
    )
