"""An appliance file's text, cut where its tables begin, so that an edit touches one table only.

Joined again, the pieces are the text: comments, blank lines and order stay as they are. Comment
lines directly above a table's header go with that table.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

WHOLE = "appliance"
"""Stands for the keys above the first table: title and purpose."""

# a header of one bare name: those with dots belong to the table before
_HEADER = re.compile(r"[ \t]*(\[\[?)[ \t]*([A-Za-z0-9_-]+)[ \t]*\]\]?[ \t]*(?:#.*)?\n?")
_COMMENT = re.compile(r"[ \t]*#")


@dataclass(frozen=True)
class Block:
    """One table with the comments that lead to it, or what stands before the first table."""

    text: str
    kind: str = ""

    @cached_property
    def table(self) -> Mapping[str, Any]:
        """The keys and values of the table."""
        found: Any = tomllib.loads(self.text)
        if self.kind:
            found = found[self.kind]
        table: Mapping[str, Any] = found[0] if isinstance(found, list) else found
        return table

    @property
    def name(self) -> object:
        """The name of the part that the table describes; None where it has none."""
        return self.table.get("name")


def cut(text: str) -> list[Block]:
    """The blocks of `text`, which must be valid TOML."""
    lines = lines_of(text)
    starts: list[tuple[int, str]] = [(0, "")]
    begun = 0
    for number, line in enumerate(lines):
        header = _HEADER.fullmatch(line)
        if header is None or not whole("".join(lines[begun:number])):
            continue
        begun = number
        first = number
        while first > starts[-1][0] and _COMMENT.match(lines[first - 1]):
            first -= 1
        starts.append((first, header[2]))
    ends = [start for start, _ in starts[1:]] + [len(lines)]
    return [
        Block("".join(lines[start:end]), kind)
        for (start, kind), end in zip(starts, ends, strict=True)
    ]


def joined(blocks: list[Block]) -> str:
    """The text of the blocks."""
    return "".join(block.text for block in blocks)


def lines_of(text: str) -> list[str]:
    """The lines of `text` with their ends, as TOML counts lines."""
    return re.findall(r"[^\n]*\n|[^\n]+", text)


def whole(text: str) -> bool:
    """Whether `text` ends outside brackets and strings: what looks like a header then is one."""
    try:
        tomllib.loads(text)
    except (ValueError, RecursionError):
        return False
    return True
