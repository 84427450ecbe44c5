"""What a class is set: which exercises, with what points, and the time they take."""

from __future__ import annotations

import hashlib
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from lessonlib.appliance.problems import near
from lessonlib.errors import WorksheetError, shown
from lessonlib.files import read_regular
from lessonlib.questions.bank import find, templates
from lessonlib.questions.draw import as_seed
from lessonlib.questions.exercise import GRADES, Template

MINUTES = {"same circuit": 5, "new circuit": 8, "find or design": 12}
"""To read, work out and answer one exercise, by its grade: common practice, no source."""

MOST_EXERCISES = 60
_LARGEST_FILE = 100_000
_KEYS = ("title", "exercises", "lesson", "grade", "objective", "seed", "points", "tries")
_SHARES = ("late", "slip")


@dataclass(frozen=True)
class Worksheet:
    """The exercises that a class is set, and what an answer is worth.

    An answer that is right within the first `tries` has all `points`; one that is right later, or
    after the worked answer was shown, has the share `late` of them; a wrong one that a known slip
    explains has the share `slip`; any other has none. `seed` says which numbers.
    """

    title: str
    exercises: tuple[str, ...]
    seed: int = 1
    points: float = 1.0
    tries: int = 3
    late: float = 0.5
    slip: float = 0.0

    def __post_init__(self) -> None:
        if not isinstance(self.title, str) or not self.title.strip() or len(self.title) > 80:
            raise _wrong("title", self.title, "a name of up to 80 characters", "Give it one.")
        as_seed(self.seed)
        for name in self.exercises:
            find(name)  # says what there is, and what is wrong with an exercise of one's own
        if not 1 <= len(self.exercises) <= MOST_EXERCISES:
            raise _wrong(
                "exercises",
                f"{len(self.exercises)} of them",
                f"1 to {MOST_EXERCISES}",
                "Name some, as exercise_list() shows them, or a lesson.",
            )
        if len(set(self.exercises)) < len(self.exercises):
            twice = next(one for one in self.exercises if self.exercises.count(one) > 1)
            raise _wrong("exercises", f"{twice} twice", "each once", "Leave one out.")
        if not _is_number(self.points) or not 0 < self.points <= 1000:
            raise _wrong("points", self.points, "a number above 0, to 1000", "Write one.")
        if not isinstance(self.tries, int) or not 1 <= self.tries <= 100:
            raise _wrong("tries", self.tries, "a whole number from 1 to 100", "Write one.")
        for key in _SHARES:
            share = getattr(self, key)
            if not _is_number(share) or not 0 <= share <= 1:
                raise _wrong(key, share, "a share of the points, from 0 to 1", "Write one.")

    @property
    def templates(self) -> tuple[Template, ...]:
        """The exercises themselves, in their order."""
        return tuple(map(find, self.exercises))

    @property
    def code(self) -> str:
        """Tells this worksheet from others: eight letters and digits, of title, seed, exercises."""
        said = "\n".join((self.title, str(self.seed), *self.exercises))
        return hashlib.sha256(said.encode()).hexdigest()[:8]

    @property
    def minutes(self) -> tuple[int, ...]:
        """About how long each exercise takes, in minutes."""
        return tuple(MINUTES[each.grade] for each in self.templates)


def worksheet(source: object, **said: Any) -> Worksheet:
    """The worksheet of a TOML file, of a list of names of exercises, or of a lesson's number.

    A file has `title`, and `exercises` (names) or `lesson`, which `grade` and `objective` narrow
    down; `seed`, `points`, `tries`, `late` and `slip` are optional. The same words can be given as
    keywords, which come before those of a file. Raises `WorksheetError` and `AnswerError`.
    """
    if isinstance(source, Worksheet):
        return source
    given: dict[str, Any]
    if isinstance(source, int):
        given = {"title": f"Exercises of lesson {source}", "lesson": source}
    elif isinstance(source, str | Path):
        given = {"title": Path(source).stem, **_read(Path(source))}
    elif isinstance(source, Iterable):
        given = {"title": "Exercises", "exercises": list(source)}
    else:
        raise _wrong("the worksheet", source, "a file, a list of names, or a lesson", "Give one.")
    return _made({**given, **said})


def _read(path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(read_regular(path, _LARGEST_FILE).decode("utf-8-sig"))
    except (OSError, ValueError, RecursionError) as problem:
        reason = getattr(problem, "strerror", None) or problem
        raise WorksheetError(
            f"{path}: found {reason}. Accepted: a TOML file such as\n"
            '    title = "Thursday"\n    exercises = ["urn-on-low-mains", "urn-switched-off"]\n'
            "Write one, or give a lesson's number."
        ) from None


def _made(given: Mapping[str, Any]) -> Worksheet:
    accepted = (*_KEYS, *_SHARES)
    for key in given:
        if key not in accepted:
            meant = near(str(key), accepted)
            hint = f' Did you mean "{meant}"?' if meant else ""
            raise _wrong("key", key, f"one of {', '.join(accepted)}", f"Spell it so.{hint}")
    chosen = {"lesson", "grade", "objective"} & set(given)
    if "exercises" in given and chosen:
        raise _wrong("exercises", f"also {', '.join(chosen)}", "names, or a choice", "Keep one.")
    names = given.get("exercises", None)
    if names is None:
        names = _chosen(given.get("lesson"), given.get("grade"), given.get("objective"))
    if not isinstance(names, list | tuple) or not all(isinstance(name, str) for name in names):
        raise _wrong("exercises", names, "a list of names", "exercise_list() shows them.")
    rest = {key: value for key, value in given.items() if key not in {"exercises", *chosen}}
    return Worksheet(exercises=tuple(names), **rest)


def _chosen(lesson: object, grade: object, objective: object) -> tuple[str, ...]:
    """The names of the exercises of that lesson, grade and objective, where they are given."""
    if grade is not None and grade not in GRADES:
        raise _wrong("grade", grade, f"one of {', '.join(GRADES)}", "Spell it so.")
    some = [each for each in templates(lesson) if grade in (None, each.grade)]
    objectives = list(dict.fromkeys(each.objective for each in some))
    if objective is not None and objective not in objectives:
        raise _wrong("objective", objective, "; ".join(objectives), "Copy one of these.")
    return tuple(each.name for each in some if objective in (None, each.objective))


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _wrong(key: str, found: object, accepted: str, then: str) -> WorksheetError:
    return WorksheetError(f"{key}: found {shown(found)}. Accepted: {accepted}. {then}")
