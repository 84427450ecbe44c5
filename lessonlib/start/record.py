"""What was copied into the trainee's folder, remembered there in a small JSON file.

The record only ever allows something: a file that it does not vouch for is the trainee's. So a
record that is missing or damaged loses nothing.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from lessonlib.files import put, read_regular

NAME = ".heater-workbook.json"
_FORMAT = 1
_MOST_BYTES = 1_000_000
"""A record of thirty files has 6 kB; what is larger by far is none."""


@dataclass(frozen=True)
class Entry:
    """`copied`: fingerprint of what we put under this name. `offered`: of the newest version that
    the trainee has been given, here or in a file beside."""

    copied: str
    offered: str


@dataclass(frozen=True)
class Record:
    """File name, relative to the folder and with forward slashes, to what was copied."""

    files: Mapping[str, Entry] = field(default_factory=dict)


def read(folder: Path) -> Record | None:
    """The record of that folder; None when there is none that can be used."""
    try:
        found = json.loads(read_regular(folder / NAME, _MOST_BYTES))
        if found["format"] != _FORMAT:
            return None
        files = {}
        for name, entry in found["files"].items():
            copied, offered = entry["copied"], entry["offered"]
            if not (isinstance(copied, str) and isinstance(offered, str)):
                return None
            files[name] = Entry(copied, offered)
        return Record(files)
    except (OSError, ValueError, LookupError, TypeError, AttributeError, RecursionError):
        return None


def write(folder: Path, record: Record) -> None:
    """Replace the record in one step."""
    files = {
        name: {"copied": entry.copied, "offered": entry.offered}
        for name, entry in sorted(record.files.items())
    }
    text = json.dumps({"format": _FORMAT, "files": files}, indent=1)
    put(folder / NAME, f"{text}\n".encode())
