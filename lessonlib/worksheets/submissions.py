"""What comes back from a class, read as data. Nothing in it is run, and nothing is unpacked."""

from __future__ import annotations

import csv
import io
import json
import os
import re
import zipfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from lessonlib.files import read_regular
from lessonlib.questions.lessons import MOST_BYTES, WORKSHEET
from lessonlib.worksheets.hand_in import FORMAT
from lessonlib.worksheets.points import Given
from lessonlib.worksheets.setting import Class
from lessonlib.worksheets.trainees import Trainee, table_of

_MOST_IN_A_ZIP = 30_000
_MOST_CHARACTERS = 50_000  # of one answer
_WIDGETS = "application/vnd.jupyter.widget-state+json"
_DRAFT = re.compile(r"heater exercise ([^/]+)/(\d+)")


class Refused(ValueError):
    """Why a file is not marked, in words."""


@dataclass(frozen=True)
class Prediction:
    """A choice made before a try, as the file has it."""

    name: str
    choice: str


@dataclass(frozen=True)
class Submission:
    """The answers of one trainee in one file, in their order. `at_utc` is the time of the last one,
    empty where the file does not say."""

    file: str
    trainee: Trainee
    given: tuple[Given, ...]
    at_utc: str = ""
    predictions: tuple[Prediction, ...] = ()


def submissions(folder: Path, of: Class) -> Iterator[tuple[str, Submission | Refused]]:
    """Every file in `folder` and below, by name: what it holds, or why it is not marked. A CSV file
    can hold the answers of several trainees, and comes once for each."""
    for name, data in _files(folder):
        if isinstance(data, Refused):
            yield name, data
            continue
        try:
            for one in _read(name, data, of):
                yield name, one
        except Refused as refused:
            yield name, refused
        except (ValueError, TypeError, KeyError, AttributeError, RecursionError, csv.Error) as bad:
            yield name, Refused(f"damaged or cut off, so ask for it again ({str(bad)[:200]})")


def _files(folder: Path) -> Iterator[tuple[str, bytes | Refused]]:
    for place, folders, names in os.walk(folder):
        folders.sort()
        for name in sorted(names):
            path = Path(place, name)
            said = path.relative_to(folder).as_posix()
            try:
                data = read_regular(path, MOST_BYTES)
            except OSError as problem:
                yield said, Refused(f"cannot be read: {problem.strerror}")
                continue
            if name.lower().endswith(".zip"):
                yield from _in_zip(said, data)
            else:
                yield said, data


def _in_zip(name: str, data: bytes) -> Iterator[tuple[str, bytes | Refused]]:
    """The files inside, read in memory, so a name such as "../x" leads nowhere."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            inside = [each for each in packed.infolist() if not each.is_dir()]
            for each in inside[:_MOST_IN_A_ZIP]:
                yield f"{name}: {each.filename}", _unpacked(packed, each)
            if len(inside) > _MOST_IN_A_ZIP:
                yield name, Refused(f"more than {_MOST_IN_A_ZIP:,} files inside; the rest is left")
            if not inside:
                yield name, Refused("empty")
    except (zipfile.BadZipFile, OSError, ValueError) as problem:
        yield name, Refused(f"damaged: {problem}")


def _unpacked(packed: zipfile.ZipFile, each: zipfile.ZipInfo) -> bytes | Refused:
    try:
        with packed.open(each) as file:
            data = file.read(MOST_BYTES + 1)
    except Exception as problem:  # zipfile raises what each of its codecs does
        return Refused(f"damaged: {problem}")
    if len(data) > MOST_BYTES:
        return Refused(f"more than the {MOST_BYTES:,} bytes accepted")
    return data


def _read(name: str, data: bytes, of: Class) -> Sequence[Submission | Refused]:
    if not data.strip():
        raise Refused("empty")
    match Path(name).suffix.lower():
        case ".json":
            return [_of_hand_in(name, json.loads(data), of)]
        case ".ipynb":
            return [_of_notebook(name, json.loads(data), of)]
        case ".csv":
            return _of_table(name, data, of)
    raise Refused("not a file of answers. Accepted: .json from Hand in, .ipynb, .csv, .zip")


def _of_hand_in(name: str, found: Any, of: Class) -> Submission:
    if not isinstance(found, dict) or found.get("format") != FORMAT:
        raise Refused("not a file that Hand in has written")
    one = _whose(found, of)
    given, times = [], [""]
    for each in found["tries"]:
        if each["seed"] == one.numbers:
            given.append(_given(each["exercise"], each["answer"], each.get("worked_shown") is True))
            times.append(str(each.get("at_utc", "")))
    said = [
        Prediction(str(each["name"])[:200], str(each["choice"])[:200])
        for each in found.get("predictions", [])
    ]
    return _submission(name, one, given, of, max(times), tuple(said))


def _of_notebook(name: str, found: Any, of: Class) -> Submission:
    """The answers that stand in the forms of a saved notebook."""
    metadata = found["metadata"]
    if WORKSHEET not in metadata:
        raise Refused("not a notebook of a worksheet")
    one = _whose(metadata[WORKSHEET], of)
    states = metadata.get("widgets", {}).get(_WIDGETS, {}).get("state", {})
    given = []
    for each in states.values():
        state = each.get("state", {})
        draft = _DRAFT.fullmatch(str(state.get("draft", "")))
        if draft is None or int(draft[2]) != one.numbers:
            continue
        answer = state.get("answered")  # what was checked; else what only stands there
        answer = state.get("given") if answer is None else answer
        if answer not in (None, "", [], {}):
            given.append(_given(draft[1], answer, bool(state.get("worked"))))
    return _submission(name, one, given, of)


def _of_table(name: str, data: bytes, of: Class) -> list[Submission | Refused]:
    """Answers typed from paper: a row each, with trainee, exercise (name or number), answer. A row
    that cannot be used is listed with its reason, and does not keep the others from counting."""
    head, *rows = table_of(data)
    columns = [cell.lower() for cell in head]
    if not {"trainee", "exercise", "answer"} <= set(columns):
        raise Refused("no row of headings with trainee, exercise and answer")
    found: dict[Trainee, list[Given]] = {}
    refused: list[Submission | Refused] = []
    for number, row in enumerate(rows, 2):
        cells = dict(zip(columns, row, strict=False))
        one = _named(cells.get("trainee", ""), of)
        exercise = _exercise(cells.get("exercise", ""), of)
        if any(row[len(columns) :]):
            why = "more cells than headings. Put quotes around an answer with a comma"
            refused.append(Refused(f"row {number}: {why}"))
        elif one is None or exercise is None:
            unknown = "trainee" if one is None else "exercise"
            why = f"no such {unknown}: {cells.get(unknown, '')[:60]!r}"
            refused.append(Refused(f"row {number}: {why}"))
        elif cells.get("answer"):
            found.setdefault(one, []).append(_given(exercise, cells["answer"]))
    if not (found or refused):
        raise Refused("empty")
    return [*(_submission(name, one, given, of) for one, given in found.items()), *refused]


def _given(exercise: object, answer: object, worked_shown: bool = False) -> Given:
    text = answer if isinstance(answer, str) else json.dumps(answer, ensure_ascii=False)
    return Given(str(exercise), text[:_MOST_CHARACTERS], worked_shown)


def _submission(
    name: str,
    one: Trainee,
    given: list[Given],
    of: Class,
    at_utc: str = "",
    predictions: tuple[Prediction, ...] = (),
) -> Submission:
    asked = [each for each in given if each.exercise in of.worksheet.exercises]
    if not asked:
        raise Refused(f"empty: no answer to this worksheet, by {one.name}")
    return Submission(name, one, tuple(asked), at_utc, predictions)


def _whose(said: Any, of: Class) -> Trainee:
    """The trainee that a file is of, if it is of this worksheet and has the right numbers."""
    if said["worksheet"] != of.worksheet.code:
        raise Refused(f"of another worksheet, {str(said['worksheet'])[:60]}")
    one = of.by_key.get(said["trainee"])
    if one is None:
        raise Refused(f"of a trainee who is not in the list: {str(said['trainee'])[:60]}")
    if said["numbers"] != one.numbers:
        raise Refused(
            f"with other numbers: set {str(said['numbers'])[:20]}, not {one.numbers} as given to "
            f"{one.name}"
        )
    return one


def _named(cell: str, of: Class) -> Trainee | None:
    """The trainee of that key, number or name, in capitals or not."""
    if cell in of.by_key:
        return of.by_key[cell]
    typed = cell.casefold()
    some = [one for one in of.trainees if typed in (str(one.number), one.name.casefold())]
    return some[0] if len(some) == 1 else None


def _exercise(cell: str, of: Class) -> str | None:
    names = of.worksheet.exercises
    if cell.isdecimal() and 1 <= int(cell[:6]) <= len(names):
        return names[int(cell) - 1]
    return cell.lower() if cell.lower() in names else None
