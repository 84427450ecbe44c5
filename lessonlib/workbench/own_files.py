"""The appliance files of the working folder: found, read, and saved without losing one."""

from __future__ import annotations

import re
from pathlib import Path

from lessonlib.appliance.bundled import appliance_files
from lessonlib.appliance.problems import near
from lessonlib.appliance.reader import MAX_BYTES
from lessonlib.errors import ApplianceNotFound, DescriptionError, FileKept, shown
from lessonlib.files import put_new, put_over

FOLDER = Path("appliances")
"""Where `load_appliance` looks first, in the folder that the notebook is in."""

_SUFFIX = ".toml"
_NAME = re.compile(r"[^\W_](?:[\w -]{0,58}[\w-])?")
# Names of devices on some systems, whatever their ending.
_DEVICES = re.compile(r"(?i)con|prn|aux|nul|com\d|lpt\d")


def offered_names() -> list[str]:
    """Every appliance to start from: own files and bundled ones, each name once."""
    own = {path.stem for path in FOLDER.glob(f"*{_SUFFIX}") if path.is_file()}
    return sorted({*own, *appliance_files()})


def found_text(name: str) -> str:
    """The text of the own or else the bundled appliance of that name, or of the file at that path.

    Raises `ApplianceNotFound` for a name there is none of, `DescriptionError` for what is no text.
    """
    places = [Path(name)] if name.endswith(_SUFFIX) else []
    if _NAME.fullmatch(name):
        places += [FOLDER / f"{name}{_SUFFIX}", *filter(None, [appliance_files().get(name)])]
    path = next((place for place in places if "\0" not in name and place.is_file()), None)
    if path is None:
        known = offered_names()
        meant = near(name, known)
        hint = f' Did you mean "{meant}"?' if meant else ""
        raise ApplianceNotFound(
            f"found no appliance {shown(name)}.{hint} "
            f"Accepted: a path to a .toml file, or one of {', '.join(known)}. "
            "describe() without a name starts a new one."
        )
    try:
        data = path.read_bytes()
        if len(data) > MAX_BYTES:
            raise ValueError(f"{len(data):,} bytes")
        return data.decode("utf-8-sig").replace("\r\n", "\n")
    except (OSError, ValueError) as error:
        raise DescriptionError(
            f"cannot read {path.name}: {error}. Accepted: a text file in UTF-8 of at most "
            f"{MAX_BYTES:,} bytes. Save it again as such, or start from another one."
        ) from error


def own_path(name: str) -> Path:
    """Where an appliance of that name is saved. Raises `DescriptionError` for a name that no file
    should have."""
    stem = str(name).strip().removesuffix(_SUFFIX)
    if not _NAME.fullmatch(stem) or _DEVICES.fullmatch(stem):
        raise DescriptionError(
            f"found the name {shown(name)}. Accepted: 1 to 60 letters, digits, spaces, hyphens and "
            "underscores, beginning with a letter or digit. Name it as you call it: my-urn."
        )
    return FOLDER / f"{stem}{_SUFFIX}"


def save_text(name: str, text: str, *, replace: bool, ours: str | None) -> Path:
    """Write `text` as the own file of that name, whole or not at all; returns its path.

    A file that is there stays, unless it says `text` or `ours` (what was saved last) already, or
    `replace` is set; so does a bundled name, which lessons load. Raises `FileKept` then,
    `DescriptionError` for a name or a text that cannot be saved, and `OSError`.
    """
    path = own_path(name)
    data = text.encode("utf-8")
    if len(data) > MAX_BYTES:
        raise DescriptionError(
            f"found a text of {len(data):,} bytes. Accepted: at most {MAX_BYTES:,}, which is what "
            "a file may have. Shorten it."
        )
    FOLDER.mkdir(exist_ok=True)
    if not path.exists():
        if path.stem in appliance_files() and not replace:
            raise FileKept(
                f"found that {path.stem} is an appliance of the lessons. Accepted: another name, "
                "or a second yes (in code replace=True); then lessons load yours instead. "
                "Nothing was saved."
            )
        if put_new(path, data):
            return path
    there = path.read_bytes()
    known = {data} if ours is None else {data, ours.encode("utf-8")}
    if there not in known and not replace:
        raise FileKept(
            f"found that {path.as_posix()} is there already and says something else"
            f"{', and lessons load it' if path.stem in appliance_files() else ''}. Accepted: "
            "another name, or a second yes to write over it (in code replace=True). "
            "Nothing was saved."
        )
    if not put_over(path, there, data):
        raise FileKept(
            f"found that {path.as_posix()} was changed just now, or is a link. Accepted: a file "
            "that nobody else is writing. Look at it, then save again."
        )
    return path
