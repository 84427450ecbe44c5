"""What a file of progress looks like, and what is left alone in its place.

A file has a line for each record, after a first line with the version and a checksum of the rest,
so that any damage is noticed. A file of another program, a file written by a newer version of this
workbook, and anything but an ordinary file are refused with the reason, and left as they are.
"""

from __future__ import annotations

import errno
import hashlib
import re
from pathlib import Path

from lessonlib.files import read_regular
from lessonlib.progress.records import Kept

FILE_NAME = "progress.jsonl"
EARLIER_NAME = "progress.sqlite"
"""What earlier versions called it: an SQLite file, in which each record stood as the same JSON."""
VERSION = 3
MOST_BYTES = 64 << 20  # enough for 200,000 records

_NAME = b"heater-workbook-records "
_HEAD = re.compile(rb"heater-workbook-records (\d\d?) ([0-9a-f]{64})\n")
_DATABASE, _EARLIER = b"SQLite format 3\x00", b"HWBP"  # and its application id
_RECORD = re.compile(rb'\{"key": "[0-9a-z]{7,16}", ')
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
    head = _HEAD.match(data)
    if head is not None and int(head[1]) > VERSION:
        raise KeepingTrouble(
            f"{said(path)} was written by a newer version of this workbook, so it is left as it "
            "is. Update the workbook to use it."
        )
    if data and not _is_ours(path.name, data):
        raise _left_alone(path, "holds something that is not your progress")
    return data


def with_head(lines: bytes) -> bytes:
    """The whole file with these lines, one a record."""
    checksum = hashlib.sha256(lines).hexdigest()
    return _NAME + f"{VERSION} {checksum}\n".encode() + lines


def lines_in(data: bytes) -> bytes | None:
    """The lines of a sound file; None for one that is damaged, or of an earlier version."""
    lines = data.partition(b"\n")[2]
    return lines if with_head(lines) == data else None


def is_earlier(data: bytes) -> bool:
    """Whether an earlier version wrote it."""
    return data.startswith(_DATABASE) and data[68:72] == _EARLIER


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


def _is_ours(name: str, data: bytes) -> bool:
    """Whether a file is ours, by its beginning or a record in it; or by its name, if it is neither
    text nor another program's database."""
    if is_earlier(data) or _NAME.startswith(data[: len(_NAME)]) or _RECORD.search(data):
        return True
    database = data.startswith(_DATABASE) and len(data) >= 512  # else the rest of one, cut off
    return name == FILE_NAME and bool(_CONTROL.search(data)) and not database
