"""Finds, reads and saves the appliance files of the working folder, and loses none."""

from __future__ import annotations

import re
from itertools import count
from os import PathLike, fspath
from os.path import lexists
from pathlib import Path

from lessonlib.appliance.bundled import appliance_files
from lessonlib.appliance.problems import near
from lessonlib.appliance.reader import MAX_BYTES
from lessonlib.errors import ApplianceNotFound, DescriptionError, FileKept, shown
from lessonlib.files import put_keeping, read_regular
from lessonlib.workbench.edit import parsed

FOLDER = Path("appliances")
"""Where `load_appliance` looks first, in the folder that the notebook is in."""

_SUFFIX = ".toml"
_NAME = re.compile(r"[^\W_](?:[\w -]{0,58}[\w-])?")
_MOST_LETTERS = 48  # to save under: room is left for " earlier" and a number
# Names of devices on some systems, whatever their ending.
_DEVICES = re.compile(r"(?i)con|prn|aux|nul|com\d|lpt\d")


def saved_names() -> list[str]:
    """The names of one's own files that no appliance of the lessons has."""
    own = {path.stem for path in FOLDER.glob(f"*{_SUFFIX}") if path.is_file()}
    return sorted(own - appliance_files().keys())


def offered_names() -> list[str]:
    """Every appliance to start from: own files and bundled ones, each name once."""
    return sorted([*saved_names(), *appliance_files()])


def source_of(name: str) -> Path | str:
    """What `load_appliance` takes for a name that is offered: the path of an own file, whatever
    letters it has, or the name of a bundled one."""
    return FOLDER / f"{name}{_SUFFIX}" if name in saved_names() else name


def found_text(name: str | PathLike[str]) -> str:
    """The text of the own or else the bundled appliance of that name, or of the file at that path.

    Raises `ApplianceNotFound` for an unknown name, `DescriptionError` for a file that is not text.
    """
    text = fspath(name) if isinstance(name, str | PathLike) else None
    if not isinstance(text, str):
        raise DescriptionError(
            f"found {shown(name)} as the name of an appliance. Accepted: its name, or the path of "
            "a .toml file. describe() without a name starts a new one."
        )
    places = [Path(text)] if text.endswith(_SUFFIX) else []
    if _NAME.fullmatch(text):
        places += [FOLDER / f"{text}{_SUFFIX}", *filter(None, [appliance_files().get(text)])]
    for place in places:
        try:
            data = read_regular(place, MAX_BYTES)
            return data.decode("utf-8-sig").replace("\r\n", "\n")
        except FileNotFoundError:
            continue
        except (OSError, ValueError) as error:
            raise DescriptionError(
                f"cannot read {place.name}: {_words(error)}. Accepted: a text file in UTF-8 of at "
                f"most {MAX_BYTES:,} bytes. Save it again as such, or start from another one."
            ) from error
    known = offered_names()
    meant = near(text, known)
    hint = f' Did you mean "{meant}"?' if meant else ""
    raise ApplianceNotFound(
        f"found no appliance {shown(text)}.{hint} "
        f"Accepted: a path to a .toml file, or one of {', '.join(known)}. "
        "describe() without a name starts a new one."
    )


def whole_characters(text: str) -> str:
    """`text` with a mark in place of each half of a character (a lone surrogate): a browser can
    send one, but a file cannot hold it."""
    return text.encode("utf-16", "surrogatepass").decode("utf-16", "replace")


def title_of(text: str) -> str | None:
    """The title in `text`; None where it has none or cannot be read."""
    try:
        title = parsed(text).get("title")
    except DescriptionError:
        return None
    return title if isinstance(title, str) else None


def own_name(name: str | None) -> str | None:
    """The name of one's own file opened as `name`; None for a file elsewhere, or one that lessons
    load."""
    stem = Path(name or "").stem
    is_own = name == stem or Path(name or "").parent == FOLDER
    return stem if is_own and stem in saved_names() else None


def free_name(title: str | None) -> str:
    """A name made of the title, which no own file and no appliance of the lessons has."""
    words = "-".join(re.findall(r"[^\W_]+", (title or "").lower()))[:40].strip("-")
    if not words or _DEVICES.fullmatch(words):
        words = "my-appliance"
    taken = offered_names()
    numbered = (f"{words}-{number}" for number in count(2))
    return words if words not in taken else next(name for name in numbered if name not in taken)


def own_path(name: str, folder: Path = FOLDER) -> Path:
    """Where an appliance of that name is saved, or what else `folder` is for. Raises
    `DescriptionError` for a name that no file can have."""
    stem = str(name).strip().removesuffix(_SUFFIX)
    if not _NAME.fullmatch(stem) or len(stem) > _MOST_LETTERS or _DEVICES.fullmatch(stem):
        raise DescriptionError(
            f"found the name {shown(name)}. Accepted: 1 to {_MOST_LETTERS} letters, digits, "
            "spaces, hyphens and underscores, beginning with a letter or digit. Use a short name: "
            "my-urn."
        )
    return folder / f"{stem}{_SUFFIX}"


def save_text(
    name: str, text: str, *, replace: bool, ours: str | None, folder: Path = FOLDER
) -> tuple[Path, Path | None]:
    """Write `text` as one's own file of that name, whole or not at all. Returns its path, and the
    path of the copy of what it replaced, if there is one.

    Unless `replace` is set, only a file that holds `text` already is written over, or one that
    holds `ours` (what was saved last) under the same title; and a name that lessons load is not
    taken. Raises `FileKept` then, `DescriptionError` for a name or text that cannot be saved, and
    `OSError`.
    """
    path = own_path(name, folder)
    data = text.encode("utf-8")
    if len(data) > MAX_BYTES:
        raise DescriptionError(
            f"found a text of {len(data):,} bytes. Accepted: at most {MAX_BYTES:,}, which is what "
            "a file may have. Shorten it."
        )
    folder.mkdir(exist_ok=True)
    of_lessons = folder == FOLDER and path.stem in appliance_files()
    going_on = ours is not None and title_of(ours) == title_of(text)
    known = ours.encode("utf-8") if ours is not None and going_on else None
    if lexists(path):
        there = _replaceable(path)
        if not replace and there not in (data, known):
            raise FileKept(_in_the_way(path, there, text, of_lessons))
    elif of_lessons and not replace:
        raise FileKept(
            f"found that {path.stem} is an appliance of the lessons. Accepted: another name, or "
            "replace it (in code replace=True), and lessons will load yours instead. Nothing was "
            "saved."
        )
    return path, put_keeping(path, data, known)


def _replaceable(path: Path) -> bytes:
    """What is in an own file. Raises `FileKept` for what a save must not replace."""
    try:
        if path.is_symlink():
            raise OSError("it is a link")
        return read_regular(path, MAX_BYTES)
    except OSError as error:
        raise FileKept(
            f"found that {path.as_posix()} cannot be replaced: {_words(error)}. Accepted: another "
            "name. Nothing was saved."
        ) from error


def _in_the_way(path: Path, there: bytes, text: str, of_lessons: bool) -> str:
    theirs, says = title_of(there.decode("utf-8", "replace")), "says something else"
    if theirs is not None and theirs != title_of(text):
        kind = "appliance" if path.parent == FOLDER else "list"
        says = f"is another {kind}, {shown(theirs)}"
    lessons = ", and lessons load it" if of_lessons else ""
    return (
        f"found that {path.as_posix()} already exists and {says}{lessons}. Accepted: another "
        "name, or replace it (in code replace=True); the old text is then kept as "
        f'"{path.stem} earlier". Nothing was saved.'
    )


def _words(error: Exception) -> str:
    """What went wrong, without number and path."""
    return getattr(error, "strerror", None) or str(error)
