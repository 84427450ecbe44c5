"""Reads and writes files safely: no read waits, no file is left half-written, starts take turns."""

from __future__ import annotations

import errno
import os
import stat
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from itertools import count
from pathlib import Path

from lessonlib.errors import FileKept

_MOST_REPLACED = 200_000_000  # bytes of a file that is kept when another takes its name
_PREFIX, _SUFFIX = ".heater-workbook-", ".tmp"

# The system's errors for a file that is not there or cannot be: also a name too long, links that go
# round in circles, a file where a folder should be.
_NO_SUCH = (errno.ENOENT, errno.ENOTDIR, errno.ENAMETOOLONG, errno.ELOOP, errno.EINVAL)


def read_regular(path: Path | str, most_bytes: int) -> bytes:
    """What is in the file at `path`. A pipe or a device is not opened, so nothing waits for it.

    Raises `FileNotFoundError` where there is no file, or no file can have that name; another
    `OSError` for a folder, a pipe, a device, a file of more than `most_bytes`, and what the system
    refuses. Its `strerror` says in words what was found.
    """
    try:
        kind = os.stat(path).st_mode
    except ValueError:
        raise FileNotFoundError(errno.ENOENT, "a name that no file can have", path) from None
    except OSError as problem:
        if problem.errno in _NO_SUCH:
            raise FileNotFoundError(errno.ENOENT, problem.strerror, path) from None
        raise
    _check_regular(kind, path)
    # a pipe may have taken the place of the file just now: opening it must not wait
    unwaiting = getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
    with os.fdopen(os.open(path, os.O_RDONLY | unwaiting), "rb") as file:
        there = os.fstat(file.fileno())
        _check_regular(there.st_mode, path)
        size = f"{there.st_size:,} bytes, more than the {most_bytes:,}"
        if there.st_size <= most_bytes:
            data = file.read(most_bytes + 1)
            if len(data) <= most_bytes:
                return data
            size = f"more than the {most_bytes:,} bytes"  # some files give their size as 0
    raise OSError(errno.EFBIG, f"a file of {size} accepted", path)


def _check_regular(kind: int, path: Path | str) -> None:
    if stat.S_ISDIR(kind):
        raise IsADirectoryError(errno.EISDIR, "a folder, not a file", path)
    if not stat.S_ISREG(kind):
        raise OSError(errno.ENODEV, "a pipe or a device, not a file", path)


def put(path: Path, data: bytes) -> None:
    """Write `data` to `path` in one step, replacing what is there. A link is not followed."""
    temporary = _written_beside(path, data)
    try:
        os.replace(temporary, path)
    except BaseException:
        temporary.unlink(missing_ok=True)
        raise


def put_new(path: Path, data: bytes) -> bool:
    """Write `data` to `path` in one step unless something is there; says whether it was written."""
    temporary = _written_beside(path, data)
    try:
        os.link(temporary, path)  # unlike a rename, fails when the name is taken
    except FileExistsError:
        return False
    except OSError:  # a file system without hard links, such as a memory stick
        if os.path.lexists(path):
            return False
        os.replace(temporary, path)
    finally:
        temporary.unlink(missing_ok=True)
    return True


def put_beside(
    path: Path, label: str, data: bytes, will_do: Callable[[Path], bool] = lambda there: False
) -> Path:
    """Write `data` to a new file beside `path`, with `label` after its name; returns its path.

    `label` has a place for a number, such as "(new{})", which stays empty while the name is free.
    A file that has the name already is returned as it is where it `will_do`.
    """
    for number in count(1):
        words = label.format(f" {number}" if number > 1 else "")
        beside = path.with_stem(f"{path.stem} {words}")
        if put_new(beside, data) or will_do(beside):
            break
    return beside


def put_over(path: Path, expected: bytes, data: bytes) -> bool:
    """Write `data` over a file that still holds `expected`; says whether it was written.

    The file is read again just before, as a notebook editor may have saved it in the meantime.
    """
    temporary = _written_beside(path, data)
    try:
        if path.is_symlink() or not holds(path, expected):
            return False
        os.replace(temporary, path)
    finally:
        temporary.unlink(missing_ok=True)
    return True


def put_keeping(path: Path, data: bytes, ours: bytes | None = None) -> Path | None:
    """Write `data` to `path`. What else was there is kept beside it as NAME earlier, unless it is
    `ours`, which was written here last; returns that copy, or None.

    Raises `OSError`, and `FileKept` for a file that was changed just now.
    """
    if put_new(path, data):
        return None
    there = read_regular(path, _MOST_REPLACED)
    if there == data:
        return None
    kept = None
    if there != ours:
        kept = put_beside(path, "earlier{}", there, lambda beside: holds(beside, there))
    if not put_over(path, there, data):
        raise FileKept(
            f"found that {path} was changed just now; accepted: a file that nothing else is "
            "writing. Look at it, then write again."
        )
    return kept


def holds(path: Path, expected: bytes) -> bool:
    """Whether the file at `path` holds exactly `expected`."""
    try:
        return read_regular(path, len(expected)) == expected
    except OSError as problem:
        if problem.errno in (errno.EFBIG, errno.ENODEV, errno.EISDIR, errno.ENOENT):
            return False
        raise


def clear_leftovers(folder: Path) -> None:
    """Remove half-written files of a start that was cut off. Call it inside `only_one`."""
    for left in folder.glob(f"{_PREFIX}*{_SUFFIX}"):
        with suppress(OSError):
            left.unlink()


@contextmanager
def only_one(lock: Path, *, patience_s: float, waiting: Callable[[], None]) -> Iterator[None]:
    """Hold the lock file while the block runs. The system frees it if the process dies.

    Calls `waiting` once if another process holds it, and raises `TimeoutError` after `patience_s`.
    """
    handle = os.open(lock, os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0), 0o600)
    try:
        if not _try_lock(handle):
            waiting()
            end_s = time.monotonic() + patience_s
            while not _try_lock(handle):
                if time.monotonic() > end_s:
                    raise TimeoutError(str(lock))
                time.sleep(0.05)
        yield
    finally:
        os.close(handle)


def _try_lock(handle: int) -> bool:
    """Whether the lock is ours now, or this file system has no locks (writes stay atomic then)."""
    try:
        if sys.platform == "win32":
            import msvcrt

            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except (BlockingIOError, PermissionError):
        return False
    except OSError:
        return True
    return True


def _written_beside(path: Path, data: bytes) -> Path:
    handle, name = tempfile.mkstemp(prefix=_PREFIX, suffix=_SUFFIX, dir=path.parent)
    temporary = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        mask = os.umask(0)
        os.umask(mask)
        temporary.chmod(0o666 & ~mask)  # mkstemp makes files that only their owner can read
    except BaseException:
        temporary.unlink(missing_ok=True)
        raise
    return temporary
