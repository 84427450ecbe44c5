"""Cuts an appliance file's text into its tables, so that an edit touches one table only.

The blocks joined together are the text again, with its comments, blank lines and order. Comment
lines directly above a table's header belong to that table.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

WHOLE = "appliance"
"""Name for the keys above the first table: title and purpose."""

# a header of one bare name: one with dots belongs to the table before it
_HEADER = re.compile(r"[ \t]*(\[\[?)[ \t]*([A-Za-z0-9_-]+)[ \t]*\]\]?[ \t]*(?:#.*)?\n?")
_COMMENT = re.compile(r"[ \t]*#")


@dataclass(frozen=True)
class TableText:
    """One table with the comments above it, or the lines before the first table."""

    text: str
    kind: str = ""

    @cached_property
    def said(self) -> Mapping[str, Any]:
        """The text as TOML. Raises `ValueError` where it is not valid."""
        return tomllib.loads(self.text)

    @property
    def table(self) -> Mapping[str, Any]:
        """The keys and values of the table."""
        table: Mapping[str, Any] = own_table(self.said, self.kind)
        return table

    @property
    def name(self) -> object:
        """The name of the part; None where it has none."""
        return self.table.get("name")


def own_table(said: Any, kind: str) -> Any:
    """The table of that kind in a block, as `tomllib` or `tomlkit` has read it."""
    found = said[kind] if kind else said
    return found[0] if isinstance(found, list) else found


def cut(text: str) -> list[TableText]:
    """The blocks of `text`, which must be valid TOML."""
    lines = lines_of(text)
    starts: list[tuple[int, str]] = [(0, "")]
    begun = 0
    for number, line in enumerate(lines):
        header = _HEADER.fullmatch(line)
        if header is None or not whole("".join(lines[begun:number])):
            continue
        begun = first = number
        while first > starts[-1][0] and _COMMENT.match(lines[first - 1]):
            first -= 1
        starts.append((first, header[2]))
    ends = [start for start, _ in starts[1:]] + [len(lines)]
    return [
        TableText("".join(lines[start:end]), kind)
        for (start, kind), end in zip(starts, ends, strict=True)
    ]


def joined(blocks: Iterable[TableText]) -> str:
    """The text of the blocks."""
    return "".join(block.text for block in blocks)


def said_together(blocks: Iterable[TableText]) -> dict[str, Any]:
    """What the blocks say, each read by itself: their lists and tables are merged."""
    together: dict[str, Any] = {}
    for block in blocks:
        for key, value in block.said.items():
            match together.get(key), value:
                case list() as before, list():
                    together[key] = [*before, *value]
                case dict() as before, dict():
                    together[key] = {**before, **value}
                case _:
                    together[key] = value
    return together


def lines_of(text: str) -> list[str]:
    """The lines of `text` with their ends, as TOML counts lines."""
    return re.findall(r"[^\n]*\n|[^\n]+", text)


def whole(text: str) -> bool:
    """Whether `text` ends outside brackets and strings, so that a header can follow."""
    try:
        tomllib.loads(text)
    except (ValueError, RecursionError):
        return False
    return True
