"""Where progress is kept: one SQLite file in the trainee's folder, written one record at a time.

The file says what it is: `application_id` and `user_version` (the version of its tables). Times are
UTC. Its tables:

    trainee     id 1; seed, that of this trainee's exercises; began_utc
    try         one answer each, in order of id: the fields of `Try`
    prediction  one choice each, in order of id: the fields of `Predicted`

Every write is one transaction with a rollback journal, and on the disk when it returns
(synchronous=FULL): a process may be killed at any moment. There is no write-ahead log, since that
needs memory shared by all writers, which two machines on a network folder do not have.

A file is opened for each read and write and closed again, so a folder that goes away is noticed.
An empty lock file beside it is held meanwhile, so that nobody puts a damaged file aside under
another's hands. Both rest on the system's file locks. Network folders have them, as far as server
and mounts are set up for them: without, nothing can be written, which is said, or two machines that
write in the same instant may damage the file. Damage is noticed at the next use: the file is kept
under another name, and what can be read of it is carried over.
"""

from __future__ import annotations

import errno
import os
import secrets
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import ExitStack, closing, contextmanager, suppress
from dataclasses import fields
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, get_args

from lessonlib.exercises.judging import Verdict
from lessonlib.exercises.progress_records import Kept, Predicted, Record, Try
from lessonlib.exercises.progress_salvage import PAGE_BYTES, rows
from lessonlib.exercises.progress_summary import counted

APPLICATION_ID = 0x48_57_42_50  # "HWBP"
SCHEMA_VERSION = 1
_TABLES = {"try": Try, "prediction": Predicted}
_TYPES: dict[str, Any] = {"lesson": int, "seed": int, "worked_shown": int, "slip": str | None}
_SCHEMA = """
CREATE TABLE trainee (
    id INTEGER PRIMARY KEY CHECK (id = 1), seed INTEGER NOT NULL, began_utc TEXT NOT NULL
);
CREATE TABLE try (
    id INTEGER PRIMARY KEY, exercise TEXT NOT NULL, lesson INTEGER NOT NULL,
    objective TEXT NOT NULL, seed INTEGER NOT NULL, verdict TEXT NOT NULL, slip TEXT,
    answer TEXT NOT NULL, worked_shown INTEGER NOT NULL, at_utc TEXT NOT NULL,
    key TEXT NOT NULL UNIQUE
);
CREATE TABLE prediction (
    id INTEGER PRIMARY KEY, name TEXT NOT NULL, choice TEXT NOT NULL, at_utc TEXT NOT NULL,
    key TEXT NOT NULL UNIQUE
);
"""


class KeepingTrouble(Exception):
    """The file could not be read or written. The text says why; `kept` is what was read still."""

    def __init__(self, words: str, kept: Kept | None = None) -> None:
        super().__init__(words)
        self.kept = kept


class _Damaged(sqlite3.DatabaseError):
    """The file is no database, or one that contradicts itself."""


class _AnotherProgram(sqlite3.DatabaseError):
    """The file is a sound database, but not ours."""

    sqlite_errorcode = sqlite3.SQLITE_MISMATCH


class Store:
    """The file at `path`. `repairs` says in words what was damaged and put aside."""

    def __init__(self, path: Path) -> None:
        self.path = Path(os.path.realpath(path))  # a link stays, what it points to is replaced
        self.repairs: list[str] = []

    def read(self, seed: int, patience_s: float) -> Kept:
        """Everything kept. Makes no file, except where it has to put a damaged one aside; `seed` is
        for the new one if its own is lost. Raises `KeepingTrouble`."""
        if not self.path.exists() and self.path.parent.is_dir():
            return Kept()
        with self._alone(patience_s):
            try:
                return self._read(patience_s)
            except _Damaged:
                return self._mended(Kept(seed))

    def add(self, records: tuple[Record, ...], seed: int, patience_s: float) -> None:
        """Write `records` in one transaction; those that are there already count once. `seed` is
        for a file that has none yet. Raises `KeepingTrouble`, and then nothing is written."""
        with self._alone(patience_s):
            self._refuse_newer()
            new = not self.path.exists()
            emptied = not new and self.path.stat().st_size == 0
            try:
                _write(self.path, records, seed, patience_s)
            except _Damaged:
                self._mended(Kept(seed).with_records(records))
            except (sqlite3.Error, OSError):
                with suppress(OSError):
                    if new and self.path.stat().st_size == 0:
                        self.path.unlink()
                raise
            if emptied:
                self.repairs.append(f"{self.path.name} was empty, so it has been begun anew.")

    @contextmanager
    def _alone(self, patience_s: float) -> Iterator[None]:
        """Hold the lock file, and put what goes wrong into words."""
        name = self.path.with_name(f".{self.path.name}.lock")
        with ExitStack() as stack:
            try:
                try:
                    lock = stack.enter_context(closing(_connected(name, patience_s)))
                    lock.execute("BEGIN EXCLUSIVE")
                except sqlite3.Error as error:
                    if _kind(error) == sqlite3.SQLITE_BUSY:
                        raise
                    # a folder that cannot be written: no lock, and no writer to wait for
                yield
            except (sqlite3.Error, OSError) as error:
                raise KeepingTrouble(self._words(error)) from error

    def _refuse_newer(self) -> None:
        """Look at the version without SQLite, which might write while it opens a file."""
        with suppress(FileNotFoundError), self.path.open("rb") as file:
            head = file.read(100)
            ours = head[68:72] == APPLICATION_ID.to_bytes(4, "big")
            if ours and int.from_bytes(head[60:64], "big") > SCHEMA_VERSION:
                raise KeepingTrouble(
                    f"{self.path.name} was written by a newer version of this workbook, so it is "
                    "left as it is. Update the workbook to go on with it."
                )

    def _read(self, patience_s: float) -> Kept:
        self._refuse_newer()
        with _opened(self.path, patience_s) as database:
            if not _is_ours(database):
                return Kept()
            found = database.execute("SELECT seed FROM trainee").fetchone()
            kept = Kept(found[0] if found else None)
            for table, kind in _TABLES.items():
                names = ", ".join(each.name for each in fields(kind))
                listed = database.execute(f"SELECT {names} FROM {table} ORDER BY id")
                kept = kept.with_records(tuple(_record(kind, row) for row in listed))
            return kept

    def _mended(self, more: Kept) -> Kept:
        """Keep the damaged file under another name, and begin a new one with what can be read.

        The new file takes the old one's place in one step, once the old one has its new name.
        """
        found = salvaged(self.path.read_bytes())
        seed = found.seed if found.seed is not None else more.seed
        kept = Kept(seed, found.tries, found.predictions).with_records(more.records)
        fresh = self.path.with_name(f".{self.path.name}.new")
        stamp = f"{datetime.now(UTC):%Y%m%d-%H%M%S}-{secrets.token_hex(2)}"
        aside = self.path.with_name(f"{self.path.stem}-damaged-{stamp}{self.path.suffix}")
        try:
            _remove(fresh)
            _write(fresh, kept.records, kept.seed, 0)
            try:
                os.link(self.path, aside)
            except OSError:  # a file system without hard links
                shutil.copyfile(self.path, aside)
            os.replace(fresh, self.path)
        except (sqlite3.Error, OSError) as error:
            _remove(fresh)
            _remove(aside)  # a second name or copy: the damaged file is in its place
            words = f"{self.path.name} is damaged, and stays in place. {self._words(error)}"
            raise KeepingTrouble(words, kept) from error
        self.repairs.append(
            f"{self.path.name} was damaged. It is kept as {aside.name}, and a new one has been "
            f"begun with what could be read: {counted(len(found.records), 'record')}."
        )
        return kept

    def _words(self, error: Exception) -> str:
        name, folder = self.path.name, self.path.parent
        if not folder.is_dir():
            return f"The folder {folder} is not there any more. Put it back."
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
        if kind == sqlite3.SQLITE_MISMATCH:
            return f"{name} belongs to another program, so it is left as it is. Name another file."
        return f"{name} cannot be used ({error}). Look at that file and its folder."


def salvaged(data: bytes) -> Kept:
    """What can be read of the bytes of a damaged file, in order."""
    seed: int | None = None
    found: dict[str, dict[int, Record]] = {table: {} for table in _TABLES}
    for number, values in rows(data):
        for table, kind in _TABLES.items():
            if len(values) == len(fields(kind)) + 1 and values[0] is None:
                with suppress(_Damaged):
                    found[table][number] = _record(kind, values[1:])
        if len(values) == 3 and number == 1 and isinstance(values[1], int):
            seed = values[1]
    in_order = tuple(numbered[at] for numbered in found.values() for at in sorted(numbered))
    return Kept(seed).with_records(in_order)


def _record(kind: type[Try] | type[Predicted], values: tuple[Any, ...]) -> Record:
    """The record of a row. Raises `_Damaged` for a value that we never write."""
    named = dict(zip((each.name for each in fields(kind)), values, strict=True))
    for name, value in named.items():
        if not isinstance(value, _TYPES.get(name, str)):
            raise _Damaged
    if kind is Try:
        if named["verdict"] not in get_args(Verdict):
            raise _Damaged
        named["worked_shown"] = bool(named["worked_shown"])
    return kind(**named)


def _connected(path: Path, patience_s: float) -> sqlite3.Connection:
    database = sqlite3.connect(path, timeout=patience_s, isolation_level=None)
    database.text_factory = lambda data: data.decode("utf-8", "replace")
    return database


@contextmanager
def _opened(path: Path, patience_s: float) -> Iterator[sqlite3.Connection]:
    """A connection to the whole file, found sound. Raises `_Damaged`."""
    try:
        with closing(_connected(path, patience_s)) as database:
            found = database.execute("PRAGMA quick_check(1)").fetchone()
            if found != ("ok",):
                raise _Damaged
            yield database
    except sqlite3.Error as error:
        # SQLITE_ERROR: a table or a column of ours is missing
        if _kind(error) in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_ERROR):
            raise _Damaged from error
        raise


def _is_ours(database: sqlite3.Connection) -> bool:
    """Whether our tables are there; False for an empty database. Refuses another program's."""
    (mark,) = database.execute("PRAGMA application_id").fetchone()
    if mark == APPLICATION_ID:
        return True
    if database.execute("SELECT count(*) FROM sqlite_master").fetchone() == (0,):
        return False
    raise _AnotherProgram


def _write(path: Path, records: tuple[Record, ...], seed: int | None, patience_s: float) -> None:
    with _opened(path, patience_s) as database:
        database.execute(f"PRAGMA page_size = {PAGE_BYTES}")
        database.execute("PRAGMA synchronous = FULL")
        ours = _is_ours(database)
        database.execute("PRAGMA journal_mode = DELETE")
        database.execute("BEGIN IMMEDIATE")
        if not ours:
            for statement in filter(str.strip, _SCHEMA.split(";")):
                database.execute(statement)
            database.execute(f"PRAGMA application_id = {APPLICATION_ID}")
            database.execute(f"PRAGMA user_version = {SCHEMA_VERSION}")
        now = datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
        database.execute("INSERT OR IGNORE INTO trainee VALUES (1, ?, ?)", (seed, now))
        for record in records:
            table = "try" if isinstance(record, Try) else "prediction"
            names = [each.name for each in fields(record)]
            places = ", ".join("?" * len(names))
            database.execute(
                f"INSERT OR IGNORE INTO {table} ({', '.join(names)}) VALUES ({places})",
                [getattr(record, name) for name in names],
            )
        database.execute("COMMIT")


def _kind(error: Exception) -> int:
    """SQLite's primary result code of an error, or the one that fits an `OSError`."""
    if isinstance(error, OSError):
        if error.errno in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG):
            return sqlite3.SQLITE_FULL
        if error.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
            return sqlite3.SQLITE_READONLY
    return int(getattr(error, "sqlite_errorcode", 0)) & 0xFF


def _remove(path: Path) -> None:
    """Remove a half-written new file, with its journal."""
    for each in (path, path.with_name(f"{path.name}-journal")):
        with suppress(OSError):
            each.unlink()
