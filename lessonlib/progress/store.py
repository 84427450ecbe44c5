"""Where progress is kept: one SQLite file in the trainee's folder, written one record at a time.

The file is marked with `application_id` and `user_version`. Its one table, `record`, has a row for
each record, in order of id: the `key`, and the whole record as JSON. A record stands in one piece
on a page of the file, so it can be found in a damaged file by looking for its text.

Every write is one transaction with a rollback journal, and on the disk when it returns
(synchronous=FULL): a process may be killed at any moment. There is no write-ahead log, since that
needs memory shared by all writers, which two machines on a network folder do not have.

A file is opened for each read and write and closed again, so a folder that goes away is noticed.
Meanwhile a lock file beside it is held, so that nobody renames a damaged file while another uses
it. Not every network folder has file locks: without them either nothing can be written, and a note
says so, or two machines that write in the same instant may damage the file. Damage is noticed at
the next use: the file is kept under another name, and what can be read of it is carried over.
"""

from __future__ import annotations

import errno
import json
import os
import re
import secrets
import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import ExitStack, closing, contextmanager, suppress
from datetime import UTC, datetime
from pathlib import Path

from lessonlib.files import only_one, put_new
from lessonlib.progress.place import (
    APPLICATION_ID,
    VERSION,
    KeepingTrouble,
    look,
    printable,
    said,
    seems_sound,
)
from lessonlib.progress.records import Kept, Predicted, Record, Trainee, Try, as_json, from_json
from lessonlib.words import counted

PAGE_BYTES = 4096
_TABLE = """CREATE TABLE record (
    id INTEGER PRIMARY KEY, key TEXT NOT NULL UNIQUE, json TEXT NOT NULL
)"""
_BESIDE = ("-journal", "-wal", "-shm")  # SQLite's own files, by the ends of their names
_VERSION_1 = b"CREATE TABLE try ("  # had a table for each kind of record, a column for each field


class _NotSound(Exception):
    """The file is damaged, or of an earlier version."""


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
            if look(self.path) is None and os.path.isdir(self.path.parent):
                return Kept()
            with self._locked(patience_s):
                data = look(self.path)
                try:
                    with self._opened(data, patience_s) as database:
                        rows = database.execute("SELECT json FROM record ORDER BY id")
                        return Kept().with_records(from_json(json.loads(row)) for (row,) in rows)
                except _NotSound:
                    return self._renewed(data, ())

    def add(self, records: Iterable[Record], patience_s: float) -> None:
        """Write `records` in one transaction, without those whose key is there already. Where it
        raises `KeepingTrouble`, nothing is written."""
        with self._in_words():
            look(self.path)  # so that no lock file is left beside a file that is not ours
            with self._locked(patience_s):
                data = look(self.path)
                try:
                    with self._opened(data, patience_s) as database:
                        database.execute("PRAGMA journal_mode = DELETE")
                        database.execute("BEGIN IMMEDIATE")
                        _insert(database, records)
                except _NotSound:
                    self._renewed(data, records)

    @contextmanager
    def _in_words(self) -> Iterator[None]:
        """Raise whatever goes wrong as `KeepingTrouble`, in words."""
        try:
            yield
        except KeepingTrouble:
            raise
        except Exception as error:  # whatever a file may cause, the lesson must go on
            raise KeepingTrouble(self._words(error)) from error

    @contextmanager
    def _locked(self, patience_s: float) -> Iterator[None]:
        """Hold the lock file."""
        with ExitStack() as stack:
            lock = self.path.with_name(f".{self.path.name}.lock")
            try:
                stack.enter_context(only_one(lock, patience_s=patience_s, waiting=lambda: None))
            except OSError as error:
                if _kind(error) != sqlite3.SQLITE_READONLY:
                    raise
                # a folder that cannot be written to: no lock, and nobody writes
            yield

    @contextmanager
    def _opened(self, data: bytes | None, patience_s: float) -> Iterator[sqlite3.Connection]:
        """A connection to the file with these bytes, found sound. Raises `_NotSound`."""
        if data is None or not seems_sound(data) or _VERSION_1 in data[:PAGE_BYTES]:
            raise _NotSound
        try:
            with closing(_connected(self.path, patience_s)) as database:
                checked = database.execute("PRAGMA quick_check(1)").fetchone()
                # where the end of the last page is missing, SQLite takes it for zeros
                if checked != ("ok",) or self.path.stat().st_size % PAGE_BYTES:
                    raise _NotSound
                yield database
        except ValueError as error:  # a row of no record, or a wrong byte in SQLite's own message
            raise _NotSound from error
        except sqlite3.Error as error:  # SQLITE_ERROR: the table or a column of it is missing
            if _kind(error) in (
                sqlite3.SQLITE_CORRUPT,
                sqlite3.SQLITE_NOTADB,
                sqlite3.SQLITE_ERROR,
            ):
                raise _NotSound from error
            raise

    def _renewed(self, data: bytes | None, more: Iterable[Record]) -> Kept:
        """Replace the file in one step by a new one, with `more` and what can be read of `data`.
        The old file is kept under another name."""
        old = data is not None and _VERSION_1 in data
        state = "written by an earlier version of this workbook" if old else "damaged"
        found = _of_version_1(self.path) if old else salvaged(data or b"")
        kept = found.with_records(more)
        fresh = self.path.with_name(f".{self.path.name}.new")
        stamp = f"{datetime.now(UTC):%Y%m%d-%H%M%S}-{secrets.token_hex(2)}"
        word = "earlier" if old else "damaged"
        aside = self.path.with_name(f"{self.path.stem}-{word}-{stamp}{self.path.suffix}")
        try:
            _remove(fresh)
            with closing(_connected(fresh, 0)) as database:
                database.execute(f"PRAGMA page_size = {PAGE_BYTES}")
                database.execute("BEGIN")
                database.execute(_TABLE)
                database.execute(f"PRAGMA application_id = {APPLICATION_ID}")
                database.execute(f"PRAGMA user_version = {VERSION}")
                _insert(database, kept.records)
            if data is not None:
                put_new(aside, data)
            for end in _BESIDE:  # SQLite would use them with the new file
                with suppress(FileNotFoundError):
                    os.replace(f"{self.path}{end}", f"{aside}{end}")
            os.replace(fresh, self.path)
        except (sqlite3.Error, OSError) as error:
            _remove(fresh)
            _remove(aside)
            stays = "" if data is None else f"{said(self.path)} is {state}, and was left in place. "
            raise KeepingTrouble(stays + self._words(error), kept) from error
        if data is not None:
            count = counted(len(found.tries) + len(found.predictions), "record")
            self.repairs.append(
                f"{said(self.path)} was {state}. It is kept as {said(aside)}, and a new file "
                f"was made with what could be read: {count}."
            )
        return kept

    def _words(self, error: Exception) -> str:
        name, folder = said(self.path), printable(str(self.path.parent))
        if not os.path.isdir(self.path.parent):
            return f"The folder {folder} is not there. Put it back, or make it."
        kind = _kind(error)
        if kind == sqlite3.SQLITE_BUSY:
            return (
                f"Another notebook holds {name}, or this network folder has no file locks. "
                "Close the other notebook."
            )
        if kind in (sqlite3.SQLITE_FULL, sqlite3.SQLITE_IOERR):
            return f"The disk that holds {name} is full, or has a fault. Free some space on it."
        if kind in (sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM):
            return f"{name} cannot be written in {folder}. Allow writing to that folder and file."
        why = printable(str(error)) or type(error).__name__
        return f"{name} cannot be used ({why}). Look at that file and its folder."


def salvaged(data: bytes) -> Kept:
    """Every whole record in the bytes of a damaged file, in order of time, and within a second in
    order of place: SQLite fills the pages of a file in order, each from its end."""
    text, decoder = data.decode("latin-1"), json.JSONDecoder()
    found: list[tuple[str, int, int, Record]] = []
    for begin in re.finditer(r'\{"key": "', text):
        at = begin.start()
        with suppress(ValueError, RecursionError):
            record = from_json(decoder.raw_decode(text, at)[0])
            found.append((record.at_utc, at // PAGE_BYTES, -at, record))
    found.sort(key=lambda each: each[:3])
    return Kept().with_records(record for *_, record in found)


def _of_version_1(path: Path) -> Kept:
    """What SQLite can read of a file of that version."""
    kept = Kept()
    with suppress(sqlite3.Error, ValueError), closing(_connected(path, 0)) as database:
        ((seed, at_utc),) = database.execute("SELECT seed, began_utc FROM trainee")
        kept = Kept((Trainee(seed, at_utc),))
        for table, kind in (("try", Try), ("prediction", Predicted)):
            for _, *values in database.execute(f"SELECT * FROM {table} ORDER BY id"):
                kept = Kept((*kept.records, kind(*values)))
    return kept


def _connected(path: Path, patience_s: float) -> sqlite3.Connection:
    database = sqlite3.connect(path, timeout=patience_s, isolation_level=None)
    database.text_factory = lambda data: data.decode("utf-8", "replace")
    database.execute("PRAGMA synchronous = FULL")
    return database


def _insert(database: sqlite3.Connection, records: Iterable[Record]) -> None:
    """Insert `records` and commit the transaction that has begun."""
    database.executemany(
        "INSERT OR IGNORE INTO record (key, json) VALUES (?, ?)",
        [(record.key, as_json(record)) for record in records],
    )
    database.execute("COMMIT")


def _kind(error: Exception) -> int:
    """SQLite's primary result code of an error, or the one that fits an `OSError`."""
    if isinstance(error, TimeoutError):
        return sqlite3.SQLITE_BUSY
    if isinstance(error, OSError):
        if error.errno in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG):
            return sqlite3.SQLITE_FULL
        if error.errno in (errno.EACCES, errno.EPERM, errno.EROFS, errno.ENOENT):
            return sqlite3.SQLITE_READONLY
    return int(getattr(error, "sqlite_errorcode", 0)) & 0xFF


def _remove(path: Path) -> None:
    """Remove a half-written new file, with its journal."""
    for end in ("", *_BESIDE):
        with suppress(OSError):
            os.unlink(f"{path}{end}")
