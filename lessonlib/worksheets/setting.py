"""`set_worksheet`: everything for a class in one folder."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import asdict, dataclass
from functools import cached_property, partial
from pathlib import Path
from typing import Any

from lessonlib.errors import FileKept, WorksheetError
from lessonlib.files import put_keeping, put_new, read_regular
from lessonlib.progress_bar import progress_bar
from lessonlib.questions.bank import OWN_FOLDER, own_files
from lessonlib.words import counted
from lessonlib.worksheets.handout import fresh, notebook, paper
from lessonlib.worksheets.key import key
from lessonlib.worksheets.trainees import Trainee, numbered, trainees
from lessonlib.worksheets.worksheet import Worksheet, worksheet

CLASS_FILE = "worksheet.json"
HANDED_OUT, HANDED_IN = "hand out", "handed in"
ON_ONE_PAGE = 60
"""Up to so many trainees are also printed in one go."""

_LARGEST = 200_000_000


@dataclass(frozen=True)
class Class:
    """A worksheet and those it is set for, with the folder of it all."""

    folder: Path
    worksheet: Worksheet
    trainees: tuple[Trainee, ...]

    @cached_property
    def by_key(self) -> dict[object, Trainee]:
        """The trainees by their keys."""
        return {one.key: one for one in self.trainees}

    @property
    def _too(self) -> str:
        if not own_files(self.worksheet.exercises):
            return ""
        return f"; everyone needs the folder {OWN_FOLDER} beside the notebook too"

    def __repr__(self) -> str:
        return (
            f"{self.worksheet.title}: {counted(len(self.trainees), 'trainee')}, "
            f"{counted(len(self.worksheet.exercises), 'exercise')}, about "
            f"{sum(self.worksheet.minutes)} minutes. In the folder {self.folder.name}:\n"
            f"- {HANDED_OUT}: a notebook and a page to print for each trainee{self._too}\n"
            "- key.html: for you\n"
            f"- {HANDED_IN}: put what comes back in here, then mark {self.folder.name}"
        )


def set_worksheet(
    exercises: object,
    class_list: object,
    folder: str | Path,
    **said: Any,
) -> Class:
    """Write a notebook and a page to print for each trainee, a key, and room for what comes back.

    `exercises` is a TOML file, a list of names of exercises, or a lesson's number; `class_list` a
    CSV file with a column `name`, or a list of names. Further words, such as `seed=2041` or
    `tries=2`, are those of a worksheet. A folder that has the same worksheet already is gone on
    with: what is there stays, and trainees who have joined get theirs. Raises `WorksheetError`,
    and `FileKept` where a file is in the way.
    """
    fresh()
    sheet = worksheet(exercises, **said)
    place = Path(folder).expanduser()
    some = trainees(class_list, sheet.seed)
    given_out = place / HANDED_OUT
    for needed in (given_out, place / HANDED_IN):
        needed.mkdir(parents=True, exist_ok=True)
    some = _joined(place / CLASS_FILE, sheet, some)
    made = Class(place, sheet, some)
    put_keeping(place / CLASS_FILE, _class_file(made))
    for file in own_files(sheet.exercises):  # without these a notebook cannot ask its questions
        (given_out / file.parent).mkdir(exist_ok=True)
        put_keeping(given_out / file, read_regular(file, _LARGEST))
    for done, one in enumerate(some, 1):
        _put_once(given_out / f"{one.file}.ipynb", partial(notebook, sheet, one))
        _put_once(given_out / f"{one.file}.html", partial(paper, sheet, [one]))
        progress_bar(done, len(some), "trainees")
    if len(some) <= ON_ONE_PAGE:
        put_keeping(given_out / "everyone.html", paper(sheet, some))
    put_keeping(place / "key.html", key(sheet, some))
    return made


def class_in(folder: str | Path) -> Class:
    """The class that was set in that folder. Raises `WorksheetError`."""
    place = Path(folder).expanduser()
    try:
        found = json.loads(read_regular(place / CLASS_FILE, _LARGEST))
        sheet = Worksheet(
            **{**found["worksheet"], "exercises": tuple(found["worksheet"]["exercises"])}
        )
        names = [(str(each["name"]), str(each["key"])) for each in found["trainees"]]
        return Class(place, sheet, numbered(names, sheet.seed))
    except (OSError, KeyError, TypeError, ValueError, RecursionError) as problem:
        reason = getattr(problem, "strerror", None) or problem
        raise WorksheetError(
            f"{place}: found no worksheet that was set there ({reason}). Accepted: the folder that "
            "a worksheet was set into. Name that one."
        ) from None


def _class_file(made: Class) -> bytes:
    people = [{"name": one.name, "key": one.key} for one in made.trainees]
    said = {"worksheet": asdict(made.worksheet), "trainees": people}
    return (json.dumps(said, indent=1, ensure_ascii=False) + "\n").encode()


def _joined(file: Path, sheet: Worksheet, some: tuple[Trainee, ...]) -> tuple[Trainee, ...]:
    """Those who were there first, with their numbers, then those who have joined."""
    if not file.exists():
        return some
    before = class_in(file.parent)
    if before.worksheet.code != sheet.code:
        raise FileKept(
            f"found in {file.parent} a worksheet with another title, seed or exercises: "
            f"{before.worksheet.title}, seed {before.worksheet.seed}. Accepted: a new folder, or "
            "the same worksheet again. Name another folder."
        )
    there = {one.key for one in before.trainees}
    new = [one for one in some if one.key not in there]
    everyone = [(one.name, one.key) for one in (*before.trainees, *new)]
    return numbered(everyone, sheet.seed)


def _put_once(path: Path, made: Callable[[], bytes]) -> None:
    """Write a file for a trainee. One that is there stays, whatever is in it."""
    if not path.exists():
        put_new(path, made())
