"""The record of what was copied into the trainee's folder: a small JSON file in it.

A file is updated only if the record shows that it was copied; any other file is the trainee's. So
a record that is missing or damaged loses nothing.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from pathlib import Path

from lessonlib.files import put, read_regular

NAME = ".heater-workbook.json"
_FORMAT = 1
_MOST_BYTES = 1_000_000
"""A record of thirty files has 6 kB."""


@dataclass(frozen=True)
class CopiedFile:
    """`copied`: fingerprint of what we put under this name. `offered`: fingerprint of the newest
    version that the trainee was given, here or in a file beside it."""

    copied: str
    offered: str


def read(folder: Path) -> dict[str, CopiedFile] | None:
    """The files of that folder's record, by name relative to it and with forward slashes; None
    where the record is missing or damaged."""
    try:
        found = json.loads(read_regular(folder / NAME, _MOST_BYTES))
        files = {name: CopiedFile(**entry) for name, entry in found["files"].items()}
        words = [word for entry in files.values() for word in (entry.copied, entry.offered)]
        usable = found["format"] == _FORMAT and all(isinstance(word, str) for word in words)
        return files if usable else None
    except (OSError, ValueError, LookupError, TypeError, AttributeError, RecursionError):
        return None


def write(folder: Path, files: Mapping[str, CopiedFile]) -> None:
    """Replace the record in one step."""
    entries = {name: asdict(entry) for name, entry in sorted(files.items())}
    text = json.dumps({"format": _FORMAT, "files": entries}, indent=1)
    put(folder / NAME, f"{text}\n".encode())
