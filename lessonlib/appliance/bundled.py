"""The bundled appliances by name, and appliance files by path."""

from __future__ import annotations

import re
from contextlib import suppress
from functools import lru_cache
from os import PathLike, fspath
from pathlib import Path

from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.problems import near
from lessonlib.appliance.reader import read_appliance_file
from lessonlib.errors import ApplianceNotFound, shown

_PACKAGE = Path(__file__).resolve().parent.parent


@lru_cache(maxsize=1)
def workbook_folder() -> Path:
    """Where the lessons and the bundled appliances are: inside the wheel, or beside the source."""
    packed = _PACKAGE / "_workbook"
    return packed if packed.is_dir() else _PACKAGE.parent / "workbook"


def appliance_files() -> dict[str, Path]:
    """Name to path for every bundled appliance, in alphabetical order."""
    folder = workbook_folder() / "appliances"
    return {path.stem: path for path in sorted(folder.glob("*.toml"))}


def appliance_names() -> list[str]:
    """Names of the bundled appliances, as `load_appliance` takes them."""
    return list(appliance_files())


def load_appliance(name: str | PathLike[str]) -> Appliance:
    """The bundled appliance of that name, or the one in the `.toml` file at that path.

    A file `appliances/NAME.toml` in the current folder comes before a bundled one, so that a lesson
    uses the trainee's own copy. Raises `ApplianceNotFound` (a `FileNotFoundError`), or
    `ApplianceError` (a `ValueError`) with everything that is wrong with the file.
    """
    text = fspath(name) if isinstance(name, PathLike) else name
    places = []
    if isinstance(text, str):
        places = [Path(text)] if text.endswith(".toml") else []
        if re.fullmatch(r"[\w -]{1,60}", text):
            places += [Path("appliances") / f"{text}.toml"]
        places += [path for stem, path in appliance_files().items() if stem == text]
    for place in places:
        with suppress(ApplianceNotFound):
            return read_appliance_file(place)
    meant = near(text, appliance_names()) if isinstance(text, str) else ""
    hint = f'Did you mean "{meant}"?' if meant else "Check the name, and the folder it is in."
    raise ApplianceNotFound(
        f"found no appliance {shown(text)}. {hint} "
        f"Accepted: a path to a .toml file, or one of {', '.join(appliance_names())}."
    )
