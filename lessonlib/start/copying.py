"""The trainee's own copy of the lessons, never overwritten.

For each file of the workbook:

- not there, never copied: it is copied
- there, and just as it was copied: it is updated when the workbook has a newer version
- there, and changed or run by the trainee, or missing from the record: it is kept, and a newer
  version is put beside it as `NAME (new).ipynb`, once a version
- removed by the trainee: it stays removed until it is asked for (`--fresh`); if every lesson was
  removed, all are copied again
- a link, or in a folder that is a link: it is left alone, and so is what the link points to

Nothing is ever deleted.
"""

from __future__ import annotations

import difflib
import errno
import os
from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath

from lessonlib.errors import shown
from lessonlib.files import (
    clear_leftovers,
    only_one,
    put_beside,
    put_new,
    put_over,
    read_regular,
)
from lessonlib.start import record
from lessonlib.start.notebook import FileState, NotANotebook, clean, content
from lessonlib.start.record import CopiedFile
from lessonlib.start.trouble import StartError

LOCK = ".heater-workbook.lock"
_MOST_BYTES = 50_000_000
"""Largest file compared with ours; a lesson with its outputs has some hundred kilobytes."""
_MOST_LEVELS = 20


@dataclass(frozen=True)
class Source:
    """One file of the workbook as a trainee gets it; `name` is relative, with forward slashes."""

    name: str
    data: bytes
    fingerprint: str


@dataclass
class Report:
    """What was done, by file name."""

    folder: Path
    record_lost: bool = False
    brought: list[str] = field(default_factory=list)
    updated: list[str] = field(default_factory=list)
    unchanged: list[str] = field(default_factory=list)
    kept: dict[str, str | None] = field(default_factory=dict)
    """By name of a changed file, the new version put beside it in this run, or None."""
    removed: list[str] = field(default_factory=list)
    left_alone: list[str] = field(default_factory=list)


def sources(workbook: Path, *, instructor: bool = False) -> list[Source]:
    """The workbook's files as a trainee gets them: lessons cleaned, appliance files as they are.

    Raises `StartError` when the workbook is missing or damaged.
    """
    patterns = ["*.ipynb", *(["instructor/*.ipynb"] if instructor else []), "appliances/*.toml"]
    found = [path for pattern in patterns for path in sorted(workbook.glob(pattern))]
    if not found:
        raise StartError(
            f"no lessons and no appliance files in {workbook}",
            "the workbook folder that belongs to lessonlib",
            "get the project again: a clone, or its wheel",
        )
    return [_source(path, path.relative_to(workbook).as_posix()) for path in found]


def _source(path: Path, name: str) -> Source:
    try:
        data = clean(path.read_bytes()) if path.suffix == ".ipynb" else path.read_bytes()
    except NotANotebook as problem:
        raise StartError(
            f"{path}: {problem}", "a notebook", "restore this file of the workbook"
        ) from None
    written = content(name, data)
    assert written is not None, "what has just been cleaned can be read"
    return Source(name, data, written.fingerprint)


def check_folder(folder: Path, workbook: Path, names: Iterable[str]) -> Path:
    """The folder as a full path. Raises `StartError` when no copy can be put there."""
    try:
        full = folder.expanduser().resolve()
    except (RuntimeError, OSError, ValueError) as problem:
        raise _unfit(f"the folder {shown(str(folder))} ({problem})", "a folder") from None
    if full.is_relative_to(workbook.resolve()):
        raise _unfit(f"{full}, the workbook's own lessons", "a folder for your own copy")
    try:
        _check_place(full)
        inside = sorted(path.name for path in full.iterdir()) if full.is_dir() else []
    except OSError as problem:  # such as a name that is too long
        raise _cannot_write(full, problem) from None
    others = [name for name in inside if not name.startswith(".")]
    ours = record.NAME in inside or any(os.path.lexists(full / name) for name in names)
    if others and not ours:
        found = f"other files in {full}, such as {shown(others[0])}"
        raise _unfit(found, "a new folder, an empty one, or one made by this command")
    return full


def _check_place(full: Path) -> None:
    """Whether the folder can be made, or written to where it is there."""
    with suppress(FileNotFoundError, NotADirectoryError):
        os.lstat(full)
    above = enumerate((full, *full.parents))
    levels, there = next((levels, path) for levels, path in above if os.path.lexists(path))
    if levels > _MOST_LEVELS:
        found = f"a folder {levels:,} levels below {there}"
        raise _unfit(found, f"a folder at most {_MOST_LEVELS} levels below one that is there")
    if not os.path.isdir(there):
        raise _unfit(f"a file where a folder should be: {there}", "a folder")
    if not os.access(there, os.W_OK | os.X_OK):
        raise PermissionError(errno.EACCES, "Permission denied", str(there))


def named(word: str, lessons: Sequence[Source]) -> str:
    """The name of the lesson or appliance file that is meant. Raises `StartError` for none."""
    stems = {PurePosixPath(source.name).stem: source.name for source in lessons}
    if word in stems:
        return stems[word]
    if word in stems.values():
        return word
    near = difflib.get_close_matches(word[:40], stems, n=1)
    raise StartError(
        f"no lesson or appliance file {shown(word)}",
        "one of " + ", ".join(stems),
        f"--fresh {(near or list(stems))[0]}",
    )


def update(
    folder: Path,
    lessons: Sequence[Source],
    *,
    fresh: Sequence[str] = (),
    patience_s: float = 60.0,
    say: Callable[[str], None] = lambda line: None,
) -> Report:
    """Make or update the copy in `folder`. Raises `StartError`; whatever happens, nothing is lost.

    `fresh` names lessons of which a clean copy is wanted, in place or beside. Waits up to
    `patience_s` seconds for another start that is at work in the same folder.
    """
    wanted = {named(word, lessons) for word in fresh}
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with only_one(
            folder / LOCK,
            patience_s=patience_s,
            waiting=lambda: say("Another start is at work in this folder; waiting for it."),
        ):
            return _update(folder, lessons, wanted)
    except TimeoutError:
        raise StartError(
            f"another start still at work in {folder}", "one at a time", "try again in a minute"
        ) from None
    except OSError as problem:
        raise _cannot_write(folder, problem) from None


def _update(folder: Path, lessons: Sequence[Source], wanted: set[str]) -> Report:
    known = record.read(folder)
    report = Report(folder, record_lost=known is None and (folder / record.NAME).exists())
    files = known or {}
    if _all_gone(folder, lessons, files):
        files = {}
    for place in sorted({str(PurePosixPath(source.name).parent) for source in lessons}):
        here = folder / place
        if place != "." and os.path.lexists(here) and (here.is_symlink() or not here.is_dir()):
            report.left_alone.append(place)
            continue
        here.mkdir(exist_ok=True)
        clear_leftovers(here)
        for source in lessons:
            if str(PurePosixPath(source.name).parent) == place:
                entry = _bring(folder, source, files, source.name in wanted, report)
                if entry is not None:
                    files[source.name] = entry
    record.write(folder, files)
    return report


def _bring(
    folder: Path, source: Source, files: dict[str, CopiedFile], wanted: bool, report: Report
) -> CopiedFile | None:
    """Copy, update, keep or leave one file; returns its new entry in the record."""
    path = folder / source.name
    entry = files.get(source.name)
    given = CopiedFile(source.fingerprint, source.fingerprint)
    if not os.path.lexists(path):
        if entry is not None and not wanted:
            report.removed.append(source.name)
            return entry
        if put_new(path, source.data):
            report.brought.append(source.name)
            return given
    if path.is_symlink() or not path.is_file():
        report.left_alone.append(source.name)
        return entry
    data = _own(path)
    now = content(source.name, data)
    if now is not None and now.fingerprint == source.fingerprint and not (wanted and now.worked):
        report.unchanged.append(source.name)
        return given
    if _untouched(now, entry) and put_over(path, data, source.data):
        report.updated.append(source.name)
        return given
    copied = entry.copied if entry is not None else ""  # matches no fingerprint
    if entry is not None and entry.offered == source.fingerprint and not wanted:
        report.kept[source.name] = None
        return entry
    report.kept[source.name] = _offer(folder, source, files)
    return CopiedFile(copied, source.fingerprint)


def _offer(folder: Path, source: Source, files: dict[str, CopiedFile]) -> str:
    """Put the file beside the trainee's own, or bring one up to date that was put there before and
    not touched since; returns its name."""

    def is_up_to_date(beside: Path) -> bool:
        if not beside.is_file():
            return False
        data = _own(beside)
        there = content(beside.name, data)
        entry = files.get(beside.relative_to(folder).as_posix())
        return there == FileState(source.fingerprint, worked=False) or (
            _untouched(there, entry) and put_over(beside, data, source.data)
        )

    beside = put_beside(folder / source.name, "(new{})", source.data, is_up_to_date)
    name = beside.relative_to(folder).as_posix()
    files[name] = CopiedFile(source.fingerprint, source.fingerprint)
    return name


def _own(path: Path) -> bytes:
    """What is in the trainee's file; nothing where it is far larger than any of ours."""
    try:
        return read_regular(path, _MOST_BYTES)
    except OSError as problem:
        if problem.errno != errno.EFBIG:
            raise
        return b""


def _untouched(now: FileState | None, entry: CopiedFile | None) -> bool:
    return entry is not None and now == FileState(entry.copied, worked=False)


def _all_gone(folder: Path, lessons: Sequence[Source], files: dict[str, CopiedFile]) -> bool:
    """Whether lessons were copied and none is left: the trainee wants to start again."""
    copied = [s.name for s in lessons if s.name.endswith(".ipynb") and s.name in files]
    return bool(copied) and not any(os.path.lexists(folder / name) for name in copied)


def _cannot_write(folder: Path, problem: OSError) -> StartError:
    reason = problem.strerror or str(problem)
    about = f" ({shown(str(problem.filename), 200)})" if problem.filename else ""
    found = f"{reason}{about} while working in {shown(str(folder), 200)}"
    return _unfit(found, "a folder that you may write to")


def _unfit(found: str, accepted: str) -> StartError:
    return StartError(found, accepted, "name another folder: python3 -m lessonlib FOLDER")
