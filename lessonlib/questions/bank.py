"""Questions by name, from the files in `workbook/questions` and in a folder `questions` of one's
own. Both are read by the same code; a function of ours for the numbers is open to ours only."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from lessonlib.appliance.bundled import workbook_folder
from lessonlib.appliance.problems import near
from lessonlib.errors import AnswerError, shown
from lessonlib.questions.content import Entry, read_entries
from lessonlib.questions.content_template import PredictionText, prediction_of, template_of
from lessonlib.questions.exercise import GRADES, Template

OWN_FOLDER = Path("questions")
SEEDS_TRIED = range(20)
"""Of an exercise of one's own, before it is asked: whoever set it shall hear what is wrong with it,
not a trainee who draws the wrong numbers."""


@dataclass(frozen=True)
class Found:
    """An entry, and whether it is one of the workbook's own."""

    entry: Entry
    ours: bool


@lru_cache(maxsize=1)
def _ours() -> Mapping[str, Found]:
    found, problems = _read(workbook_folder() / "questions", ours=True)
    if problems:
        raise AnswerError("\n".join(problems))
    return found


def _own() -> tuple[Mapping[str, Found], list[str]]:
    return _read(OWN_FOLDER, ours=False)


def _read(folder: Path, ours: bool) -> tuple[Mapping[str, Found], list[str]]:
    """The questions in a folder's files, and what is wrong with those that cannot be read."""
    found: dict[str, Found] = {}
    problems: list[str] = []
    for path in sorted(folder.glob("*.md")):
        try:
            entries = read_entries(path.read_text("utf-8"), path.name)
        except (AnswerError, OSError, ValueError) as error:
            problems.append(str(error) if isinstance(error, AnswerError) else f"{path}: {error}.")
            continue
        for entry in entries:
            try:
                if entry.name in found:
                    raise entry.wrong(
                        entry.number,
                        f"found the same name in {found[entry.name].entry.file}. Accepted: a name "
                        "for one question only. Give this one another.",
                    )
                if entry.kind != "prediction":
                    template_of(entry, ours)  # raises for a grade that there is not
            except AnswerError as error:
                problems.append(str(error))
            else:
                found[entry.name] = Found(entry, ours)
    return found, problems


def own_problems() -> tuple[str, ...]:
    """What is wrong with question files of one's own, in words."""
    return tuple(_own()[1])


def _known() -> Mapping[str, Found]:
    """Every question there is; one of ours is never hidden by another of the same name."""
    return {**_own()[0], **_ours()}


class _Bank(Mapping[int, tuple[Template, ...]]):
    """The exercises by lesson number, in the order of their files."""

    def _lessons(self) -> dict[int, list[Template]]:
        lessons: dict[int, list[Template]] = {}
        for found in _known().values():
            if found.entry.kind in GRADES:
                template = template_of(found.entry, found.ours)
                lessons.setdefault(template.lesson, []).append(template)
        return lessons

    def __getitem__(self, lesson: int) -> tuple[Template, ...]:
        lessons = self._lessons()
        if lesson not in lessons:
            raise AnswerError(
                f"found no exercises of lesson {shown(lesson)}. Accepted: a lesson that has some, "
                f"which are {', '.join(map(str, sorted(lessons)))}. Choose one of these."
            )
        return tuple(lessons[lesson])

    def __contains__(self, lesson: object) -> bool:
        return lesson in self._lessons()

    def __iter__(self) -> Iterator[int]:
        return iter(sorted(self._lessons()))

    def __len__(self) -> int:
        return len(self._lessons())


BANK: Mapping[int, tuple[Template, ...]] = _Bank()


def templates() -> tuple[Template, ...]:
    """Every exercise of the bank, in the order of the lessons."""
    return tuple(template for lesson in BANK.values() for template in lesson)


def find(name: str) -> Template:
    """The exercise of that name. Raises `AnswerError` for a name that none has, and where a few of
    the questions that one of one's own draws cannot be asked."""
    found = _find(name, "exercise", GRADES, "exercise_list(2) shows those of lesson 2.")
    template = template_of(found.entry, found.ours)
    if not found.ours:
        for seed in SEEDS_TRIED:
            template.draw(seed)
    return template


def find_check(name: str) -> Template:
    """The check of that name. Raises `AnswerError` for a name that none has."""
    found = _find(name, "check", ("check",))
    return template_of(found.entry, found.ours)


def find_prediction(name: str) -> PredictionText:
    """The prediction of that name. Raises `AnswerError` for a name that none has."""
    return prediction_of(_find(name, "prediction", ("prediction",)).entry)


def _find(name: str, what: str, kinds: tuple[str, ...], then: str = "Spell it the same.") -> Found:
    ours = _ours().get(name)  # first: files of one's own cannot stop a lesson
    if ours is not None and ours.entry.kind in kinds:
        return ours
    known = {key: found for key, found in _known().items() if found.entry.kind in kinds}
    if name in known:
        return known[name]
    meant = near(str(name), known)
    hint = f' Did you mean "{meant}"?' if meant else ""
    said = f"found no {what} {shown(name)}.{hint} Accepted: one of {', '.join(known)}. {then}"
    raise AnswerError("\n".join((said, *own_problems())))
