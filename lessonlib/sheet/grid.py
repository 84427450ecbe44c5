"""A table on a sheet."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class SheetTable:
    """A table. The first `names` columns name the row; the columns `own` are left to be filled in
    by hand. With `across`, a row holds so many rows of a narrower table."""

    title: str
    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    names: int = 1
    own: frozenset[int] = frozenset()
    notes: tuple[str, ...] = ()
    across: int = 1

    def names_row(self, column: int) -> bool:
        """Whether this column names a row."""
        return column % (len(self.header) // self.across) < self.names
