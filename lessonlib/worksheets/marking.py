"""`mark_worksheet`: reads what was handed in, marks it, and accounts for every file."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from lessonlib.files import put_keeping
from lessonlib.progress_bar import progress_bar
from lessonlib.tables import Table
from lessonlib.words import counted
from lessonlib.worksheets import report
from lessonlib.worksheets.hand_in import file_name
from lessonlib.worksheets.handout import fresh
from lessonlib.worksheets.points import Result, result
from lessonlib.worksheets.setting import HANDED_IN, Class, class_in
from lessonlib.worksheets.submissions import Prediction, Refused, Submission, submissions
from lessonlib.worksheets.trainees import Trainee

MARKED = "marked"


@dataclass(frozen=True)
class Account:
    """What became of one file, in words that begin with "marked" or with the reason."""

    file: str
    said: str

    @property
    def marked(self) -> bool:
        """Whether its answers count."""
        return self.said.startswith("marked")


@dataclass(frozen=True)
class Sheet:
    """One trainee's worksheet, marked: a result for each exercise."""

    trainee: Trainee
    results: tuple[Result, ...]
    predictions: tuple[Prediction, ...] = ()

    @property
    def points(self) -> float:
        """The sum."""
        return sum(one.points for one in self.results)


@dataclass(frozen=True, repr=False)
class Marks(Table):
    """A class marked: a row for each trainee who handed in. `accounts` has every file, `missing`
    those of whom nothing counts."""

    of: Class
    sheets: tuple[Sheet, ...]
    accounts: tuple[Account, ...]

    @property
    def missing(self) -> tuple[Trainee, ...]:
        """Trainees of whom nothing was marked."""
        there = {sheet.trainee.key for sheet in self.sheets}
        return tuple(one for one in self.of.trainees if one.key not in there)

    @cached_property
    def shares(self) -> NDArray[np.float64]:
        """Shares of the points, 0 to 1: a row for each of `sheets`, a column for each exercise."""
        worth = self.of.worksheet.points
        rows = [[one.points / worth for one in sheet.results] for sheet in self.sheets]
        return np.array(rows, dtype=float).reshape(len(rows), len(self.of.worksheet.exercises))

    @property
    def caption(self) -> str:
        left = len({one.file for one in self.accounts if not one.marked})
        files = f" {counted(left, 'file')} not or not wholly marked." if left else ""
        return (
            f"{self.of.worksheet.title}: {len(self.sheets)} of {len(self.of.trainees)} marked."
            f"{files} What to talk about: {self.of.folder.name}/{MARKED}/report.html"
        )

    @property
    def header(self) -> tuple[str, ...]:
        numbers = map(str, range(1, len(self.of.worksheet.exercises) + 1))
        return ("trainee", *numbers, "points")

    @property
    def shown_rows(self) -> list[tuple[str, ...]]:
        return [
            (sheet.trainee.name, *(f"{one.points:g}" for one in sheet.results), f"{sheet.points:g}")
            for sheet in self.sheets
        ]


def mark_worksheet(folder: str | Path) -> Marks:
    """Mark what is in `handed in` of a folder that `set_worksheet` has made, and write into
    `marked`: what each trainee hears, `marks.csv`, and `report.html` for the class.

    Files are read as data and never run. Each is marked or listed with its reason; none is changed.
    Raises `WorksheetError` for a folder without a worksheet.
    """
    fresh()
    of = class_in(folder)
    # twice through the files, without the answers at first, so that no class is too large
    found = [(name, _bare(one)) for name, one in submissions(of.folder / HANDED_IN, of)]
    best: dict[str, Submission] = {}
    for _, one in found:
        if isinstance(one, Submission):
            before = best.get(one.trainee.key)
            if before is None or one.at_utc > before.at_utc:
                best[one.trainee.key] = one
    accounts = tuple(Account(name, _said(one, best, of)) for name, one in found)
    place = of.folder / MARKED
    (place / "feedback").mkdir(parents=True, exist_ok=True)
    sheets: dict[str, Sheet] = {}
    for _, whole in submissions(of.folder / HANDED_IN, of):
        if isinstance(whole, Submission) and _bare(whole) == best.get(whole.trainee.key):
            trainee, marked = whole.trainee, _sheet(whole, of)
            put_keeping(place / "feedback" / f"{trainee.file}.html", report.feedback(of, marked))
            short = tuple(replace(each, last="", reply="") for each in marked.results)
            sheets[trainee.key] = replace(marked, results=short)
            progress_bar(len(sheets), len(best), "files marked")
    in_order = tuple(sheets[each.key] for each in of.trainees if each.key in sheets)
    marks = Marks(of, in_order, accounts)
    put_keeping(place / "marks.csv", _csv(marks))
    put_keeping(place / "report.html", report.report(marks))
    return marks


def _bare(found: Submission | Refused) -> Submission | Refused:
    """Without the answers."""
    return found if isinstance(found, Refused) else replace(found, given=(), predictions=())


def _said(found: Submission | Refused, best: Mapping[str, Submission], of: Class) -> str:
    """How a file is accounted for; one that counts under another name is told."""
    if isinstance(found, Refused):
        return str(found)
    one, counts = found.trainee, best[found.trainee.key]
    if found is not counts:
        return f"answered twice: {counts.file} counts for {one.name}"
    expected = {
        ".json": file_name(of.worksheet.code, one.key),
        ".ipynb": f"{one.file}.ipynb",
    }.get(Path(found.file).suffix.lower())
    renamed = expected is not None and not found.file.endswith(expected)
    return f"marked, for {one.name}" + (f"; renamed, it was {expected}" if renamed else "")


def _sheet(found: Submission, of: Class) -> Sheet:
    results = tuple(
        result(
            of.worksheet,
            name,
            found.trainee.numbers,
            [one for one in found.given if one.exercise == name],
        )
        for name in of.worksheet.exercises
    )
    return Sheet(found.trainee, results, found.predictions)


def _csv(marks: Marks) -> bytes:
    """The marks for a gradebook. A cell that a spreadsheet would run as a formula gets a quote."""
    text = io.StringIO(newline="")
    rows = csv.writer(text)
    rows.writerow(("number", "name", "id", *marks.of.worksheet.exercises, "points", "of"))
    most = marks.of.worksheet.points * len(marks.of.worksheet.exercises)
    by_key = {sheet.trainee.key: sheet for sheet in marks.sheets}
    for one in marks.of.trainees:
        sheet = by_key.get(one.key)
        points = [f"{each.points:g}" for each in sheet.results] if sheet else []
        empty = [""] * (len(marks.of.worksheet.exercises) - len(points))
        total = f"{sheet.points:g}" if sheet else ""
        rows.writerow(
            (
                one.number,
                _harmless(one.name),
                _harmless(one.key),
                *points,
                *empty,
                total,
                f"{most:g}",
            )
        )
    return text.getvalue().encode("utf-8-sig", "replace")


def _harmless(cell: str) -> str:
    return f"'{cell}" if cell[:1] in ("=", "+", "-", "@", "\t", "\r") else cell
