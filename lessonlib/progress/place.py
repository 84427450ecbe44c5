"""What lies in the place of the progress file, told without SQLite.

SQLite waits for ever at a pipe, and may write to a file while it opens it. So the place is looked
at first. What is no ordinary file, what belongs to somebody else and what a newer version of this
workbook has written is refused in words, and left as it is.
"""

from __future__ import annotations

import os
import re
import stat
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from lessonlib.progress.records import Kept

FILE_NAME = "progress.sqlite"
APPLICATION_ID = 0x48_57_42_50  # "HWBP"
SCHEMA_VERSION = 1
SCHEMA = (  # a file whose own text differs counts as damaged
    """CREATE TABLE trainee (
    id INTEGER PRIMARY KEY CHECK (id = 1), seed INTEGER NOT NULL, began_utc TEXT NOT NULL
)""",
    """CREATE TABLE try (
    id INTEGER PRIMARY KEY, exercise TEXT NOT NULL, lesson INTEGER NOT NULL,
    objective TEXT NOT NULL, seed INTEGER NOT NULL, verdict TEXT NOT NULL, slip TEXT,
    answer TEXT NOT NULL, worked_shown INTEGER NOT NULL, at_utc TEXT NOT NULL,
    key TEXT NOT NULL UNIQUE
)""",
    """CREATE TABLE prediction (
    id INTEGER PRIMARY KEY, name TEXT NOT NULL, choice TEXT NOT NULL, at_utc TEXT NOT NULL,
    key TEXT NOT NULL UNIQUE
)""",
)
BESIDE = ("-journal", "-wal", "-shm")  # SQLite's own files, by the ends of their names

_MAGIC = b"SQLite format 3\x00"
_HEAD_BYTES = 72  # up to and with the application id
_VERSIONS = range(SCHEMA_VERSION + 1, 100)  # that may come to be; what is beyond them is damage
_MOST_BYTES = 64 << 20  # that are searched for records of ours: enough for 200,000
_MOST_NAME, _MOST_PATH = 220, 480  # bytes: 255 a name and 512 a path, for SQLite, less what we add
_ROW = re.compile(rb"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ[0-9a-f]{16}")  # how each record ends
_CONTROL = re.compile(rb"[\x00-\x08\x0e-\x1f]")  # no text has these


class KeepingTrouble(Exception):
    """The file could not be read or written. The text says why; `kept` is what was read still."""

    def __init__(self, words: str, kept: Kept | None = None) -> None:
        super().__init__(words)
        self.kept = kept


@dataclass(frozen=True)
class Found:
    """A file of ours. `damaged` is what its first bytes show; SQLite may find more."""

    size: int
    damaged: bool


def look(path: Path) -> Found | None:
    """The file of ours at `path`; None where there is nothing yet.

    Raises `KeepingTrouble` for what is to be left as it is, and `OSError` for what cannot be read.
    """
    _refuse_long(path)
    for each in (path, lock_of(path), *beside(path)):
        if what := no_file(each):
            raise KeepingTrouble(
                f"There is a {what} in the place of the file {printable(str(each))}, and it is "
                "left as it is. Move it, or choose another place for your progress."
            )
    try:
        with opened(path) as file:
            size = os.fstat(file.fileno()).st_size
            head = file.read(_HEAD_BYTES)
            if head.startswith(_MAGIC) and head[68:] == APPLICATION_ID.to_bytes(4, "big"):
                return Found(size, _is_damaged(path, head))
            if size and (size > _MOST_BYTES or not _is_ours(path.name, head + file.read())):
                raise KeepingTrouble(
                    f"{printable(str(path))} holds something that is not your progress, so it is "
                    "left as it is. Move it, or choose another place for your progress."
                )
            return Found(size, damaged=size > 0)
    except FileNotFoundError:
        return None


def opened(path: Path) -> BinaryIO:
    """The file at `path`, to be read; opening it never waits, whatever lies there."""
    return open(
        path, "rb", opener=lambda name, flags: os.open(name, flags | getattr(os, "O_NONBLOCK", 0))
    )


def no_file(path: Path) -> str:
    """What lies at `path` in the place of an ordinary file; empty for such a file, or nothing."""
    try:
        mode = os.stat(path).st_mode
    except FileNotFoundError:
        return ""
    if stat.S_ISREG(mode):
        return ""
    return "folder" if stat.S_ISDIR(mode) else "pipe" if stat.S_ISFIFO(mode) else "device"


def lock_of(path: Path) -> Path:
    """The lock file beside the file at `path`."""
    return path.parent / f".{path.name}.lock"


def beside(path: Path) -> list[Path]:
    """Where SQLite's own files beside the file at `path` would be."""
    return [path.parent / f"{path.name}{end}" for end in BESIDE]


def said(path: Path) -> str:
    """The name of a file as it may stand in a sentence."""
    return printable(path.name or str(path))


def printable(text: str) -> str:
    """`text` with a question mark for what no page can show, and never longer than 300."""
    shown = "".join(each if each.isprintable() else "?" for each in text)
    return shown if len(shown) <= 300 else f"{shown[:299]}…"


def _is_damaged(path: Path, head: bytes) -> bool:
    """Whether a file with our mark shows damage in its first bytes. Refuses a newer version."""
    version = int.from_bytes(head[60:64], "big")
    if version in _VERSIONS:
        raise KeepingTrouble(
            f"{said(path)} was written by a newer version of this workbook, so it is left as it "
            "is. Update the workbook to go on with it."
        )
    return head[18:20] not in (b"\1\1", b"\2\2")  # with a journal, or with a write-ahead log


def _is_ours(name: str, data: bytes) -> bool:
    """Whether the bytes of a file without our mark at its beginning are ours all the same: by what
    they hold, or in our own place, if they are neither text nor another program's database."""
    in_our_place = name == FILE_NAME
    if in_our_place and len(data) < _HEAD_BYTES and _MAGIC.startswith(data[: len(_MAGIC)]):
        return True  # cut off
    if not _CONTROL.search(data):
        return False
    if any(text.encode() in data for text in SCHEMA) or _ROW.search(data):
        return True
    return in_our_place and not data.startswith(_MAGIC)


def _refuse_long(path: Path) -> None:
    for what, text, most in (
        ("name", path.name, _MOST_NAME),
        ("path", str(path), _MOST_PATH),
    ):
        if (length := len(os.fsencode(text))) > most:
            raise KeepingTrouble(
                f"The {what} {printable(text)[:60]}… has {length} bytes, and {most} are possible. "
                "Choose a shorter one for your progress."
            )
