"""Cuts an appliance file's text into its tables, so that an edit touches one table only."""

from __future__ import annotations

import re
import tomllib
from typing import NamedTuple

WHOLE = "appliance"
"""Name for the keys above the first table: title and purpose."""

# a header of one bare name: one with dots belongs to the table before it
_HEADER = re.compile(r"[ \t]*(\[\[?)[ \t]*([A-Za-z0-9_-]+)[ \t]*\]\]?[ \t]*(?:#.*)?\n?")


class Block(NamedTuple):
    """One table with the comments above it, or the lines before the first table, as `WHOLE`."""

    kind: str
    text: str


def cut(text: str) -> list[Block]:
    """The blocks of `text`, which must be valid TOML. Their texts joined are `text` again, with its
    comments, blank lines and order. Comment lines directly above a header belong to its table."""
    lines = lines_of(text)
    starts = [(0, WHOLE)]
    begun = 0
    for number, line in enumerate(lines):
        header = _HEADER.fullmatch(line)
        if header is None or not is_whole("".join(lines[begun:number])):
            continue
        begun = first = number
        while first > starts[-1][0] and is_comment(lines[first - 1]):
            first -= 1
        starts.append((first, header[2]))
    ends = [start for start, _ in starts[1:]] + [len(lines)]
    return [
        Block(kind, "".join(lines[start:end]))
        for (start, kind), end in zip(starts, ends, strict=True)
    ]


def lines_of(text: str) -> list[str]:
    """The lines of `text` with their ends, as TOML counts lines."""
    return re.findall(r"[^\n]*\n|[^\n]+", text)


def is_comment(line: str) -> bool:
    """Whether the line is a comment and nothing else."""
    return line.lstrip(" \t").startswith("#")


def is_whole(text: str) -> bool:
    """Whether `text` ends outside brackets and strings, so that a header can follow."""
    try:
        tomllib.loads(text)
    except (ValueError, RecursionError):
        return False
    return True
