"""What can still be read of a damaged database: the records on every page that is there.

SQLite itself gives up at the first damaged page above the rows. Rows lie on leaf pages, each of
which describes itself, so they are read from there, whatever has become of the rest.
Source: SQLite's "Database File Format" (sqlite.org/fileformat2.html), sections 1.6 and 2.1. Holds
for our files: pages of one known size, rows that fit on a page, nothing ever deleted.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import fields
from typing import Any, get_args

from lessonlib.progress.records import WHOLE_NUMBERS, Kept, Predicted, Record, Try, Verdict

PAGE_BYTES = 4096
Value = int | float | str | bytes | None
TABLES: dict[str, type[Try] | type[Predicted]] = {"try": Try, "prediction": Predicted}
_TYPES: dict[str, Any] = {"lesson": int, "seed": int, "worked_shown": int, "slip": str | None}
_FIXED_BYTES = {1: 1, 2: 2, 3: 3, 4: 4, 5: 6, 6: 8}  # serial types of whole numbers


def salvaged(data: bytes) -> Kept:
    """What can be read of the bytes of a damaged file, in order."""
    seed: int | None = None
    found: dict[str, list[tuple[int, Record]]] = {table: [] for table in TABLES}
    for number, values in rows(data):
        for table, kind in TABLES.items():
            if len(values) == len(fields(kind)) + 1 and values[0] is None:
                with suppress(ValueError):
                    found[table].append((number, record_of(kind, values[1:])))
        if len(values) == 3 and number == 1:
            with suppress(ValueError):
                seed = seed_of(values[1])
    in_order = (sorted(each, key=lambda numbered: numbered[0]) for each in found.values())
    return Kept(seed).with_records(tuple(record for each in in_order for _, record in each))


def record_of(kind: type[Try] | type[Predicted], values: tuple[Any, ...]) -> Record:
    """The record of a row. Raises `ValueError` for a value that we never write."""
    named = dict(zip((each.name for each in fields(kind)), values, strict=True))
    for name, value in named.items():
        if not isinstance(value, _TYPES.get(name, str)):
            raise ValueError(name)
    if kind is Try:
        if named["verdict"] not in get_args(Verdict):
            raise ValueError("verdict")
        named["worked_shown"] = bool(named["worked_shown"])
    return kind(**named)


def seed_of(value: Any) -> int:
    """A trainee's seed as the file has it. Raises `ValueError` for one that we never write."""
    if not isinstance(value, int) or value not in WHOLE_NUMBERS:
        raise ValueError("seed")
    return value


def rows(data: bytes) -> Iterator[tuple[int, tuple[Value, ...]]]:
    """Row number and values of every row found in the bytes of a database file, page by page.

    The first page is left out: it lists the tables. What a page says of itself, its kind and how
    many rows it has, may be what is damaged, so it is not asked: every place that could point to a
    row is tried, up to where the rows themselves begin.
    """
    for start in range(PAGE_BYTES, len(data), PAGE_BYTES):
        page = data[start : start + PAGE_BYTES]
        place, first_row = 8, PAGE_BYTES
        while place < first_row - 1:
            at = int.from_bytes(page[place : place + 2], "big")
            place += 2
            if at < place:
                continue  # rows lie behind what points to them
            try:
                yield _row(page, at)
            except (IndexError, ValueError):
                continue  # this row is damaged, the next one may not be
            first_row = min(first_row, at)


def _row(page: bytes, at: int) -> tuple[int, tuple[Value, ...]]:
    size, at = _varint(page, at)
    number, at = _varint(page, at)
    payload = page[at : at + size]
    head, at = _varint(payload, 0)
    kinds = []
    while at < head:
        kind, at = _varint(payload, at)
        kinds.append(kind)
    values = []
    for kind in kinds:
        value, at = _value(payload, at, kind)
        values.append(value)
    if not at == size == len(payload):
        raise ValueError("the row's length is not that of its values, or it runs over the page")
    return number, tuple(values)


def _value(payload: bytes, at: int, kind: int) -> tuple[Value, int]:
    if kind == 0:
        return None, at
    if kind in (8, 9):
        return kind - 8, at
    if kind in _FIXED_BYTES:
        end = at + _FIXED_BYTES[kind]
        return int.from_bytes(payload[at:end], "big", signed=True), end
    if kind < 13 or kind % 2 == 0:
        raise ValueError("no text and no whole number")
    end = at + (kind - 13) // 2
    return payload[at:end].decode("utf-8", "replace"), end


def _varint(data: bytes, at: int) -> tuple[int, int]:
    value = 0
    for place in range(at, at + 9):
        byte = data[place]
        if place == at + 8:
            return value << 8 | byte, place + 1
        value = value << 7 | byte & 0x7F
        if byte < 0x80:
            break
    return value, place + 1
