"""A class of our own, with slips put in by hand, for tests and for looking at."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from lessonlib import set_worksheet
from lessonlib.worksheets.hand_in import FORMAT, VERSION, file_name
from lessonlib.worksheets.handout import drawn
from lessonlib.worksheets.setting import HANDED_IN, Class
from lessonlib.worksheets.trainees import Trainee

EXERCISES = ("urn-on-low-mains", "urn-within-the-limits", "element-on-an-adapter")
SEED = 2041


def a_class(folder: Path, names: Iterable[str], **said: Any) -> Class:
    """A worksheet of three exercises, set for these names."""
    return set_worksheet(list(EXERCISES), list(names), folder, seed=SEED, **said)


def right(name: str, one: Trainee) -> str:
    """The right answer of that exercise, as that trainee could type it."""
    asked = drawn(name, one.numbers)
    return asked.answer.written(asked.answer.value)


def slip(name: str, which: int, one: Trainee) -> tuple[str, str]:
    """What a trainee answers who makes that slip, and the slip's name."""
    asked = drawn(name, one.numbers)
    return asked.answer.written(asked.slips[which].value), asked.slips[which].name


def hands_in(
    of: Class,
    one: Trainee,
    answers: Iterable[tuple[str, str]],
    file: str | None = None,
    at: str = "2026-11-28T10:00:00Z",
    predictions: Iterable[Mapping[str, str]] = (),
    **instead: Any,
) -> Path:
    """Put a file into the folder as the button writes it, with these (exercise, answer)."""
    said = {
        "format": FORMAT,
        "version": VERSION,
        "worksheet": of.worksheet.code,
        "trainee": one.key,
        "numbers": one.numbers,
        "tries": [
            {"exercise": name, "seed": one.numbers, "answer": answer, "at_utc": at}
            for name, answer in answers
        ],
        "predictions": list(predictions),
    }
    path = of.folder / HANDED_IN / (file or file_name(of.worksheet.code, one.key))
    path.write_text(json.dumps(said | instead), "utf-8")
    return path
