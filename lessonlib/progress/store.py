"""Where progress is kept: one text file in the trainee's folder, with a line for each record.

Every write makes a new file beside the old one, waits until it is on the disk and gives it the old
one's name: so a process may be killed at any moment, and who reads sees the one or the other. Who
writes holds a lock file beside it. Not every network folder has file locks: without them two
machines that write in the same instant may lose one of the two records, or damage the file.

Damage is noticed at the next use (`place` says how): the file is kept under another name, and what
can be read of it is carried over.
"""

from __future__ import annotations

import errno
import json
import os
import re
import secrets
from collections.abc import Iterable, Iterator
from contextlib import AbstractContextManager, contextmanager, suppress
from datetime import UTC, datetime
from pathlib import Path

from lessonlib.files import only_one, put_new
from lessonlib.progress.place import (
    KeepingTrouble,
    lines_in,
    look,
    printable,
    said,
    with_head,
)
from lessonlib.progress.records import Kept, Record, as_json, from_json
from lessonlib.words import counted

_NO_ROOM = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO)
_NO_RIGHTS = (errno.EACCES, errno.EPERM, errno.EROFS, errno.ENOENT)


class Store:
    """The file at `path`. `repairs` says in words which file was damaged and how it was renewed."""

    def __init__(self, path: Path) -> None:
        try:
            self.path = Path(os.path.realpath(path))  # a link stays, its target is replaced
        except (OSError, ValueError):  # such as a current folder that is gone
            self.path = path
        self.repairs: list[str] = []

    def read(self, patience_s: float) -> Kept:
        """All records. Makes no file, except in place of a damaged one. Raises `KeepingTrouble`."""
        with self._in_words():
            lines = self._lines()
            if lines is None:
                with self._locked(patience_s):
                    lines = self._lines()
                    if lines is None:
                        return self._renewed(())
            return Kept().with_records(from_json(json.loads(line)) for line in lines.splitlines())

    def add(self, records: Iterable[Record], patience_s: float) -> None:
        """Write `records` in one step, without those whose key is there already. Where it raises
        `KeepingTrouble`, nothing is written."""
        with self._in_words():
            self._lines()  # so that no lock file is left beside a file that is not ours
            with self._locked(patience_s):
                lines = self._lines()
                if lines is None:
                    self._renewed(records)
                    return
                new = (one for one in records if f'{{"key": "{one.key}"'.encode() not in lines)
                self._write(lines + _as_lines(new))

    def _lines(self) -> bytes | None:
        """The lines of the file; None for one that has to be renewed."""
        data = look(self.path)
        if data is not None:
            return lines_in(data)
        if not os.path.isdir(self.path.parent):
            raise FileNotFoundError(errno.ENOENT, "No such folder", str(self.path.parent))
        return b""

    def _write(self, lines: bytes) -> None:
        fresh = self.path.with_name(f".{self.path.name}.new")
        try:
            with fresh.open("wb") as file:
                file.write(with_head(lines))
                file.flush()
                os.fsync(file.fileno())
            os.replace(fresh, self.path)
        except OSError:
            _remove(fresh)
            raise

    @contextmanager
    def _in_words(self) -> Iterator[None]:
        """Raise whatever goes wrong as `KeepingTrouble`, in words."""
        try:
            yield
        except KeepingTrouble:
            raise
        except Exception as error:  # whatever a file may cause, the lesson must go on
            raise KeepingTrouble(self._words(error)) from error

    def _locked(self, patience_s: float) -> AbstractContextManager[None]:
        lock = self.path.with_name(f".{self.path.name}.lock")
        return only_one(lock, patience_s=patience_s, waiting=lambda: None)

    def _renewed(self, more: Iterable[Record]) -> Kept:
        """Replace the file in one step by a new one, with `more` and what can be read of it. The
        old file is kept under another name."""
        data = look(self.path) or b""
        found = salvaged(data)
        kept = found.with_records(more)
        stamp = f"{datetime.now(UTC):%Y%m%d-%H%M%S}-{secrets.token_hex(2)}"
        aside = self.path.with_name(f"{self.path.stem}-damaged-{stamp}{self.path.suffix}")
        try:
            put_new(aside, data)
            self._write(_as_lines(kept.records))
        except OSError as error:
            _remove(aside)
            stays = f"{said(self.path)} is damaged, and was left in place. "
            raise KeepingTrouble(stays + self._words(error), kept) from error
        count = counted(len(found.tries) + len(found.predictions), "record")
        self.repairs.append(
            f"{said(self.path)} was damaged. It is kept as {said(aside)}, and a new file "
            f"was made with what could be read: {count}."
        )
        return kept

    def _words(self, error: Exception) -> str:
        name, folder = said(self.path), printable(str(self.path.parent))
        if not os.path.isdir(self.path.parent):
            return f"The folder {folder} is not there. Put it back, or make it."
        if isinstance(error, TimeoutError):
            return (
                f"Another notebook holds {name}, or this network folder has no file locks. "
                "Close the other notebook."
            )
        code = error.errno if isinstance(error, OSError) else None
        if code in _NO_ROOM:
            return f"The disk that holds {name} is full, or has a fault. Free some space on it."
        if code in _NO_RIGHTS:
            return f"{name} cannot be written in {folder}. Allow writing to that folder and file."
        why = printable(str(error)) or type(error).__name__
        return f"{name} cannot be used ({why}). Look at that file and its folder."


def salvaged(data: bytes) -> Kept:
    """Every whole record in the bytes of a damaged file."""
    text, decoder = data.decode("latin-1"), json.JSONDecoder()
    found: list[Record] = []
    for begin in re.finditer(r'\{"key": "', text):
        with suppress(ValueError, RecursionError):
            found.append(from_json(decoder.raw_decode(text, begin.start())[0]))
    return Kept().with_records(found)


def _as_lines(records: Iterable[Record]) -> bytes:
    return "".join(f"{as_json(record)}\n" for record in records).encode()


def _remove(path: Path) -> None:
    with suppress(OSError):
        os.unlink(path)
