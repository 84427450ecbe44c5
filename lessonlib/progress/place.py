"""What a file of progress looks like, and what is left alone in its place.

A file has a line for each record, after a first line with the version and a checksum of the rest,
so that any damage is noticed. A file in which nothing is ours, a file written by a newer version of
this workbook, and anything but an ordinary file are refused with the reason, and left as they are.
"""

from __future__ import annotations

import errno
import hashlib
import re
from pathlib import Path

from lessonlib.files import read_regular
from lessonlib.progress.records import Kept

FILE_NAME = "progress.jsonl"
VERSION = 3
MOST_BYTES = 64 << 20  # enough for 200,000 records

_NAME = b"heater-workbook-records "
_HEAD = re.compile(rb"heater-workbook-records (\d\d?) ([0-9a-f]{64})\n")
_RECORD = re.compile(rb'\{"key": "[0-9a-z]{7,16}", ')


class KeepingTrouble(Exception):
    """The file could not be read or written. The text says why; `kept` is what could be read."""

    def __init__(self, words: str, kept: Kept | None = None) -> None:
        super().__init__(words)
        self.kept = kept


def look(path: Path) -> bytes | None:
    """The bytes of our file at `path`, known by its beginning or by a record in it; None where
    there is no file.

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
    head = _HEAD.match(data)
    if head is not None and int(head[1]) > VERSION:
        raise KeepingTrouble(
            f"{said(path)} was written by a newer version of this workbook, so it is left as it "
            "is. Update the workbook to use it."
        )
    if not _NAME.startswith(data[: len(_NAME)]) and not _RECORD.search(data):
        raise _left_alone(path, "holds something that is not your progress")
    return data


def with_head(lines: bytes) -> bytes:
    """The whole file with these lines, one a record."""
    checksum = hashlib.sha256(lines).hexdigest()
    return _NAME + f"{VERSION} {checksum}\n".encode() + lines


def lines_in(data: bytes) -> bytes | None:
    """The lines of a sound file; None for a damaged one."""
    lines = data.partition(b"\n")[2]
    return lines if with_head(lines) == data else None


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
