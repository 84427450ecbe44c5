"""Questions by name, from the files in `workbook/questions` and in a folder `questions` of one's
own. Both are read by the same code; a function of ours for the numbers is open to ours only."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from contextlib import suppress
from functools import lru_cache
from pathlib import Path

from lessonlib.appliance.bundled import workbook_folder
from lessonlib.appliance.problems import near
from lessonlib.errors import AnswerError, LessonlibError, shown
from lessonlib.progress.records import Try
from lessonlib.progress.summary import slip_of
from lessonlib.questions.content import Entry, read_entries
from lessonlib.questions.content_template import template_of
from lessonlib.questions.exercise import GRADES, Template

OWN_FOLDER = Path("questions")
SEEDS_TRIED = range(20)
"""An exercise of one's own is drawn with these before it is asked, so that its author hears what is
wrong with it, not a trainee who draws the wrong numbers."""


@lru_cache(maxsize=1)
def _ours() -> Mapping[str, Entry]:
    found, problems = _read(workbook_folder() / "questions", ours=True)
    if problems:
        raise AnswerError("\n".join(problems))
    return found


def _own() -> tuple[Mapping[str, Entry], list[str]]:
    return _read(OWN_FOLDER, ours=False)


def _read(folder: Path, ours: bool) -> tuple[Mapping[str, Entry], list[str]]:
    """The questions in a folder's files, and what is wrong with those that cannot be read."""
    found: dict[str, Entry] = {}
    problems: list[str] = []
    for path in sorted(folder.glob("*.md")):
        try:
            entries = read_entries(path.read_text("utf-8"), path.name, ours)
        except (AnswerError, OSError, ValueError) as error:
            problems.append(str(error) if isinstance(error, AnswerError) else f"{path}: {error}.")
            continue
        for entry in entries:
            if entry.name in found:
                same_name = entry.wrong(
                    entry.number,
                    f"found the same name in {found[entry.name].file}. Accepted: a name for one "
                    "question only. Give this one another.",
                )
                problems.append(str(same_name))
            else:
                found[entry.name] = entry
    return found, problems


def own_files(names: Iterable[str]) -> tuple[Path, ...]:
    """The question files of one's own that these exercises come from."""
    entries = _known()
    return tuple({OWN_FOLDER / entries[name].file: 0 for name in names if not entries[name].ours})


def own_problems() -> tuple[str, ...]:
    """What is wrong with question files of one's own, in words."""
    return tuple(_own()[1])


def _known() -> Mapping[str, Entry]:
    """Every question there is; one of ours is never hidden by another of the same name."""
    return {**_own()[0], **_ours()}


def lessons_of_questions() -> dict[str, int]:
    """The lesson of every question, by name."""
    return {name: entry.lesson for name, entry in _known().items()}


def templates(lesson: object = None) -> tuple[Template, ...]:
    """The exercises of one lesson, or of all in the order of the lessons, as their files have them.
    Raises `AnswerError` for a lesson that has none."""
    entries = [entry for entry in _known().values() if entry.kind in GRADES]
    lessons = sorted({entry.lesson for entry in entries})
    if lesson is not None and lesson not in lessons:
        raise AnswerError(
            f"found no exercises of lesson {shown(lesson)}. Accepted: a lesson that has some, "
            f"which are {', '.join(map(str, lessons))}. Choose one of these."
        )
    chosen = lessons if lesson is None else [lesson]
    return tuple(template_of(each) for one in chosen for each in entries if each.lesson == one)


def find(name: str) -> Template:
    """The exercise of that name. Raises `AnswerError` for an unknown name, and for an exercise of
    one's own if one of the first `SEEDS_TRIED` cannot be asked."""
    entry = _find(name, "exercise", GRADES, "exercise_list(2) shows those of lesson 2.")
    template = template_of(entry)
    if not entry.ours:
        for seed in SEEDS_TRIED:
            template.draw(seed)
    return template


def find_check(name: str) -> Template:
    """The check of that name. Raises `AnswerError` for an unknown name."""
    return template_of(_find(name, "check", ("check",)))


def find_prediction(name: str) -> Entry:
    """The prediction of that name. Raises `AnswerError` for an unknown name."""
    return _find(name, "prediction", ("prediction",))


def thought_behind(one: Try) -> str:
    """The slip of a try in the words of its question: the thought, with that try's numbers. Its
    name where the question has no such words, or is gone."""
    for look in (find, find_check):
        with suppress(LessonlibError):
            for slip in look(one.exercise).draw(one.seed).slips:
                if slip.name == one.slip and slip.thought:
                    return slip.thought
    return slip_of(one)


def _find(name: str, what: str, kinds: tuple[str, ...], then: str = "Spell it the same.") -> Entry:
    ours = _ours().get(name)  # first: files of one's own cannot stop a lesson
    if ours is not None and ours.kind in kinds:
        return ours
    known = {key: entry for key, entry in _known().items() if entry.kind in kinds}
    if name in known:
        return known[name]
    meant = near(str(name), known)
    hint = f' Did you mean "{meant}"?' if meant else ""
    said = (
        f"found no {what} {shown(name)}.{hint} Accepted: one of {', '.join(known)}. {then} "
        f"Your own are looked for in {Path.cwd() / OWN_FOLDER}."
    )
    raise AnswerError("\n".join((said, *own_problems())))
