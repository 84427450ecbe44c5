"""Checks the progress file before SQLite opens it.

SQLite waits for ever at a pipe, and may write to a file while opening it. So anything but an
ordinary file, a file of another program and a file written by a newer version of this workbook are
refused with the reason, and left as they are.
"""

from __future__ import annotations

import errno
import re
from pathlib import Path

from lessonlib.files import read_regular
from lessonlib.progress.records import Kept

FILE_NAME = "progress.sqlite"
APPLICATION_ID = 0x48_57_42_50  # "HWBP"
VERSION = 2
MOST_BYTES = 64 << 20  # enough for 200,000 records

_MAGIC = b"SQLite format 3\x00"
_VERSIONS = range(VERSION + 1, 100)  # later versions; a number beyond them is damage
_OURS = re.compile(
    rb'\{"key": "[0-9a-z]{7,16}", "|CREATE TABLE (record|trainee) \(\n    id INTEGER'
)
_CONTROL = re.compile(rb"[\x00-\x08\x0e-\x1f]")  # no text has these


class KeepingTrouble(Exception):
    """The file could not be read or written. The text says why; `kept` is what could be read."""

    def __init__(self, words: str, kept: Kept | None = None) -> None:
        super().__init__(words)
        self.kept = kept


def look(path: Path) -> bytes | None:
    """The bytes of our file at `path`; None where there is no file.

    Raises `KeepingTrouble` for what must be left alone, and `OSError` for what cannot be read.
    """
    try:
        data = read_regular(path, MOST_BYTES)
    except FileNotFoundError:
        return None
    except OSError as error:
        if error.errno not in (errno.EISDIR, errno.ENODEV, errno.EFBIG):
            raise
        raise _left_alone(path, f"is {error.strerror}") from error
    if _is_marked(data):
        if int.from_bytes(data[60:64], "big") in _VERSIONS:
            raise KeepingTrouble(
                f"{said(path)} was written by a newer version of this workbook, so it is left as "
                "it is. Update the workbook to use it."
            )
    elif data and not _is_ours(path.name, data):
        raise _left_alone(path, "holds something that is not your progress")
    return data


def seems_sound(data: bytes) -> bool:
    """Whether the first bytes are those of our file; SQLite may find damage further on."""
    # with a rollback journal, or with a write-ahead log, as a tool may have set it
    return _is_marked(data) and data[18:20] in (b"\1\1", b"\2\2")


def said(path: Path) -> str:
    """The name of a file, to put into a sentence."""
    return printable(path.name or str(path))


def printable(text: str) -> str:
    """`text` with question marks for what cannot be printed, and at most 300 characters."""
    shown = "".join(each if each.isprintable() else "?" for each in text)
    return shown if len(shown) <= 300 else f"{shown[:299]}…"


def _left_alone(path: Path, why: str) -> KeepingTrouble:
    return KeepingTrouble(
        f"{printable(str(path))} {why}, so it is left as it is. Move it, or choose another place "
        "for your progress."
    )


def _is_marked(data: bytes) -> bool:
    return data.startswith(_MAGIC) and data[68:72] == APPLICATION_ID.to_bytes(4, "big")


def _is_ours(name: str, data: bytes) -> bool:
    """Whether a file without our mark at its beginning is ours all the same: by what it holds, or
    by its name if it is neither text nor another program's database."""
    if not _CONTROL.search(data):
        return False
    database = data.startswith(_MAGIC) and len(data) >= 512  # else the rest of one, cut off
    return bool(_OURS.search(data)) or (name == FILE_NAME and not database)
