"""A table on a sheet."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class SheetTable:
    """A table. The first `names` columns name the row; the columns `own` are left to be filled in
    by hand."""

    title: str
    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    names: int = 1
    own: frozenset[int] = frozenset()
    notes: tuple[str, ...] = ()
