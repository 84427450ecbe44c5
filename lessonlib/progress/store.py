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

from lessonlib.progress.place import (
    APPLICATION_ID,
    SCHEMA,
    SCHEMA_VERSION,
    KeepingTrouble,
    beside,
    lock_of,
    look,
    printable,
    said,
)
from lessonlib.progress.records import Kept, Record, Try
from lessonlib.progress.salvage import PAGE_BYTES, TABLES, record_of, salvaged, seed_of
from lessonlib.words import counted


class _Damaged(sqlite3.DatabaseError):
    """The file is no database, or one that contradicts itself."""


class Store:
    """The file at `path`. `repairs` says in words what was damaged and put aside."""

    def __init__(self, path: Path) -> None:
        try:
            self.path = Path(os.path.realpath(path))  # a link stays, its target is replaced
        except (OSError, ValueError):  # such as a current folder that is gone
            self.path = path
        self.repairs: list[str] = []

    def read(self, seed: int, patience_s: float) -> Kept:
        """Everything kept. Makes no file, except where it has to put a damaged one aside; `seed` is
        for the new one if its own is lost. Raises `KeepingTrouble`."""
        with self._in_words():
            if look(self.path) is None and os.path.isdir(self.path.parent):
                return Kept()
            with self._locked(patience_s):
                try:
                    return self._read(patience_s)
                except _Damaged:
                    return self._mended(Kept(seed))

    def add(self, records: tuple[Record, ...], seed: int, patience_s: float) -> None:
        """Write `records` in one transaction; those that are there already count once. `seed` is
        for a file that has none yet. Raises `KeepingTrouble`, and then nothing is written."""
        with self._in_words():
            look(self.path)  # no lock is left beside what is not ours
            with self._locked(patience_s):
                self._add(records, seed, patience_s)

    def _add(self, records: tuple[Record, ...], seed: int, patience_s: float) -> None:
        found = look(self.path)
        try:
            if found is not None and found.damaged:
                raise _Damaged
            _write(self.path, records, seed, patience_s)
        except _Damaged:
            self._mended(Kept(seed).with_records(records))
        except (sqlite3.Error, OSError):
            with suppress(OSError):
                if found is None and self.path.stat().st_size == 0:
                    self.path.unlink()
            raise
        if found is not None and found.size == 0:
            self.repairs.append(f"{said(self.path)} was empty, so it has been begun anew.")

    @contextmanager
    def _in_words(self) -> Iterator[None]:
        """Put what goes wrong into words."""
        try:
            yield
        except KeepingTrouble:
            raise
        except Exception as error:  # whatever a file can bring about, the lesson goes on
            raise KeepingTrouble(self._words(error)) from error

    @contextmanager
    def _locked(self, patience_s: float) -> Iterator[None]:
        """Hold the lock file."""
        with ExitStack() as stack:
            try:
                lock = stack.enter_context(closing(_connected(lock_of(self.path), patience_s)))
                lock.execute("BEGIN EXCLUSIVE")
            except sqlite3.Error as error:
                if _kind(error) == sqlite3.SQLITE_BUSY:
                    raise
                # a folder that cannot be written: no lock, and no writer to wait for
            yield

    def _read(self, patience_s: float) -> Kept:
        found = look(self.path)
        if found is not None and found.damaged:
            raise _Damaged
        with _opened(self.path, patience_s) as database:
            if not _is_begun(database):
                return Kept()
            seed = database.execute("SELECT seed FROM trainee").fetchone()
            kept = Kept(seed_of(seed[0]) if seed else None)
            for table, kind in TABLES.items():
                names = ", ".join(each.name for each in fields(kind))
                listed = database.execute(f"SELECT {names} FROM {table} ORDER BY id")
                kept = kept.with_records(tuple(record_of(kind, row) for row in listed))
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
            for each, its in zip(beside(self.path), beside(aside), strict=True):
                with suppress(FileNotFoundError):
                    os.replace(each, its)  # SQLite would take it for the new file's
            os.replace(fresh, self.path)
        except (sqlite3.Error, OSError) as error:
            _remove(fresh)
            _remove(aside)  # a second name or copy: the damaged file is in its place
            words = f"{said(self.path)} is damaged, and stays in place. {self._words(error)}"
            raise KeepingTrouble(words, kept) from error
        self.repairs.append(
            f"{said(self.path)} was damaged. It is kept as {said(aside)}, and a new one has been "
            f"begun with what could be read: {counted(len(found.records), 'record')}."
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


def _connected(path: Path, patience_s: float) -> sqlite3.Connection:
    database = sqlite3.connect(path, timeout=patience_s, isolation_level=None)
    database.text_factory = lambda data: data.decode("utf-8", "replace")
    return database


@contextmanager
def _opened(path: Path, patience_s: float) -> Iterator[sqlite3.Connection]:
    """A connection to the whole file, found sound. Raises `_Damaged`."""
    try:
        with closing(_connected(path, patience_s)) as database:
            checked = database.execute("PRAGMA quick_check(1)").fetchone()
            if checked != ("ok",) or _is_cut_off(path, database):
                raise _Damaged
            yield database
    except ValueError as error:  # a row of no record, or a wrong byte in SQLite's own message
        raise _Damaged from error
    except sqlite3.Error as error:
        # SQLITE_ERROR: a table or a column of ours is missing
        if _kind(error) in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_ERROR):
            raise _Damaged from error
        raise


def _is_cut_off(path: Path, database: sqlite3.Connection) -> bool:
    """Whether the end of the last page is missing, which SQLite takes for zeros. While there is a
    write-ahead log, the file itself may be behind."""
    if database.execute("PRAGMA journal_mode").fetchone() == ("wal",):
        return False
    pages, page_bytes = (
        database.execute(f"PRAGMA {name}").fetchone()[0] for name in ("page_count", "page_size")
    )
    return bool(path.stat().st_size < pages * page_bytes)


def _is_begun(database: sqlite3.Connection) -> bool:
    """Whether our tables are there; False for an empty database. Raises `_Damaged` for others."""
    texts = {text for (text,) in database.execute("SELECT sql FROM sqlite_master")}
    if texts and not texts.issuperset(SCHEMA):
        raise _Damaged
    return bool(texts)


def _write(path: Path, records: tuple[Record, ...], seed: int | None, patience_s: float) -> None:
    with _opened(path, patience_s) as database:
        database.execute(f"PRAGMA page_size = {PAGE_BYTES}")
        database.execute("PRAGMA synchronous = FULL")
        begun = _is_begun(database)
        database.execute("PRAGMA journal_mode = DELETE")
        database.execute("BEGIN IMMEDIATE")
        if not begun:
            for statement in SCHEMA:
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
    for each in (path, *beside(path)):
        with suppress(OSError):
            each.unlink()
