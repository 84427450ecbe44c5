"""`lesson_list`: the lessons, how far the trainee is in each, and where to go on."""

from __future__ import annotations

import json
from collections.abc import Mapping, Set
from contextlib import suppress
from dataclasses import dataclass
from functools import lru_cache
from html import escape
from pathlib import Path
from typing import Any
from urllib.parse import quote

from lessonlib.appliance.bundled import workbook_folder
from lessonlib.files import read_regular
from lessonlib.progress.progress import progress_here
from lessonlib.progress.records import Try
from lessonlib.questions.bank import lessons_of_questions, templates
from lessonlib.words import counted

WORKSHEET = "heater_worksheet"
"""Key in the metadata of a notebook that an instructor has set, under which stands whose it is."""

MOST_BYTES = 20_000_000
"""Largest notebook that is looked into; one of a worksheet has a twentieth of that."""

_HEADER = ("Lesson", "How far you are")
_ALL_RIGHT = "all exercises right"
_LEFT = 'style="text-align:left;white-space:normal;vertical-align:top;font-weight:normal"'


@dataclass(frozen=True)
class LessonFile:
    """One lesson: its number, its file, and the title at its top."""

    number: int
    file: str
    title: str

    @property
    def link(self) -> str:
        """The title, as a link where the file is in this folder."""
        words = escape(self.title)
        return f'<a href="{quote(self.file)}">{words}</a>' if Path(self.file).is_file() else words


@dataclass(frozen=True, repr=False)
class LessonList:
    """Every lesson and how far the trainee is, in words. `go_on` is the lesson to open next, and
    `begun` says whether anything was done. `note` says what keeps progress from being kept;
    `worksheets` are the notebooks in this folder that an instructor has set."""

    lessons: tuple[LessonFile, ...]
    so_far: Mapping[int, str]
    go_on: LessonFile
    begun: bool
    note: str = ""
    worksheets: tuple[LessonFile, ...] = ()

    @property
    def _invitation(self) -> str:
        return "Continue where you left off" if self.begun else "Begin here"

    def __repr__(self) -> str:
        lines = [f"{self._invitation}: {self.go_on.title}"]
        lines += [f"Set for you: {each.title}" for each in self.worksheets]
        lines += [f"{each.title} {self.so_far[each.number]}".rstrip() for each in self.lessons]
        return "\n".join((*lines, *filter(None, [self.note])))

    def _repr_html_(self) -> str:
        rows = "".join(
            f'<tr><th scope="row" {_LEFT}>{each.link}</th>'
            f"<td {_LEFT}>{escape(self.so_far[each.number])}</td></tr>"
            for each in self.lessons
        )
        head = "".join(f'<th scope="col" {_LEFT}>{each}</th>' for each in _HEADER)
        note = "".join(f"<p>Set for you: {each.link}</p>" for each in self.worksheets)
        note += f"<p>{escape(self.note)}</p>" if self.note else ""
        return (
            f'<p style="font-size:1.25em"><strong>{self._invitation}:</strong> {self.go_on.link}'
            f"</p>{note}<table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"
        )


@lru_cache(maxsize=1)
def lesson_files() -> tuple[LessonFile, ...]:
    """The workbook's lessons, in order."""
    found = []
    for path in sorted(workbook_folder().glob("[0-9][0-9]_*.ipynb")):
        if number := int(path.name[:2]):  # 00 is the start page
            found.append(LessonFile(number, path.name, _title(json.loads(path.read_bytes()))))
    return tuple(found)


def lesson_list() -> LessonList:
    """The lessons, how far you are in each, and a link to the one in which you left off."""
    progress, lessons = progress_here(), lesson_files()
    records, lesson_of = progress.records(), lessons_of_questions()
    done_in = [
        each.lesson if isinstance(each, Try) else lesson_of.get(each.name, 0) for each in records
    ]
    right = {name for each in progress.summary().lessons for name in each.right}
    exercises, so_far = templates(), {}
    for lesson in lessons:
        names = {each.name for each in exercises if each.lesson == lesson.number}
        begun = "begun" if lesson.number in done_in else ""
        so_far[lesson.number] = _so_far(names, names & right) or begun
    left = [each for each in lessons if so_far[each.number] != _ALL_RIGHT]
    ahead = [each for each in left if not done_in or each.number >= done_in[-1]]
    go_on = (*ahead, *left, *lessons)[0]
    return LessonList(lessons, so_far, go_on, bool(records), progress.note, worksheets_here())


def worksheets_here() -> tuple[LessonFile, ...]:
    """The notebooks in this folder that an instructor has set."""
    found = []
    for path in sorted(Path().glob("*.ipynb")):
        with suppress(OSError, ValueError, LookupError, TypeError, RecursionError):
            data = read_regular(path, MOST_BYTES)
            notebook = json.loads(data) if WORKSHEET.encode() in data else {}
            if WORKSHEET in notebook["metadata"]:
                found.append(LessonFile(0, path.name, _title(notebook).replace("\\", "")))
    return tuple(found)


def _title(notebook: Any) -> str:
    """The heading at the top of a notebook."""
    return "".join(notebook["cells"][0]["source"]).splitlines()[0].removeprefix("# ")


def _so_far(exercises: Set[str], right: Set[str]) -> str:
    """How many are right, in words; empty where none is."""
    if not right:
        return ""
    some = f"{len(right)} of {counted(len(exercises), 'exercise')} right"
    return _ALL_RIGHT if right == exercises else some
