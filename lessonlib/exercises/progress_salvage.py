"""What can still be read of a damaged database: the rows on every page that is whole.

SQLite itself gives up at the first damaged page above the rows. Rows lie on leaf pages, each of
which describes itself, so they are read from there, whatever has become of the rest.
Source: SQLite's "Database File Format" (sqlite.org/fileformat2.html), sections 1.6 and 2.1. Holds
for our files: pages of one known size, rows that fit on a page, nothing ever deleted.
"""

from __future__ import annotations

from collections.abc import Iterator

PAGE_BYTES = 4096
Value = int | float | str | bytes | None
_TABLE_LEAF = 0x0D
_FIXED_BYTES = {1: 1, 2: 2, 3: 3, 4: 4, 5: 6, 6: 8}  # serial types of whole numbers


def rows(data: bytes) -> Iterator[tuple[int, tuple[Value, ...]]]:
    """Row number and values of every row found in the bytes of a database file, page by page.

    The first page is left out: it lists the tables.
    """
    for start in range(PAGE_BYTES, len(data), PAGE_BYTES):
        page = data[start : start + PAGE_BYTES]
        if page[0] != _TABLE_LEAF or len(page) < PAGE_BYTES:
            continue
        count = int.from_bytes(page[3:5], "big")
        for place in range(8, min(8 + 2 * count, PAGE_BYTES - 1), 2):
            try:
                yield _row(page, int.from_bytes(page[place : place + 2], "big"))
            except (IndexError, ValueError):
                continue  # this row is damaged, the next one may not be


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
