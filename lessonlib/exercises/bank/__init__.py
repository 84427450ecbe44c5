"""The exercises by lesson: those in the question files, and those still written as modules
`lesson_02` with their `EXERCISES`. Modules load when first asked for.
"""

from __future__ import annotations

import importlib
import re
from collections.abc import Iterator, Mapping
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from lessonlib.errors import AnswerError, shown

if TYPE_CHECKING:
    from lessonlib.exercises.exercise import Template


class _Bank(Mapping[int, "tuple[Template, ...]"]):
    """Templates by lesson number."""

    @cached_property
    def _modules(self) -> dict[int, str]:
        stems = sorted(path.stem for path in Path(__file__).parent.glob("lesson_*.py"))
        found = [re.fullmatch(r"lesson_(\d+)", stem) for stem in stems]
        return {int(match[1]): f"{__name__}.{match[0]}" for match in found if match}

    def _lessons(self) -> dict[int, list[Template]]:
        from lessonlib.exercises.content_bank import exercises

        found: dict[int, list[Template]] = {lesson: [] for lesson in self._modules}
        for template in exercises():
            found.setdefault(template.lesson, []).append(template)
        return found

    def __getitem__(self, lesson: int) -> tuple[Template, ...]:
        lessons = self._lessons()
        if lesson not in lessons:
            raise AnswerError(
                f"found no exercises of lesson {shown(lesson)}. Accepted: a lesson that has some, "
                f"which are {', '.join(map(str, sorted(lessons)))}. Choose one of these."
            )
        written = lessons[lesson]
        names = {template.name for template in written}
        if lesson in self._modules:
            others: tuple[Template, ...] = importlib.import_module(self._modules[lesson]).EXERCISES
            written = [*written, *(each for each in others if each.name not in names)]
        return tuple(written)

    def __contains__(self, lesson: object) -> bool:
        return lesson in self._lessons()

    def __iter__(self) -> Iterator[int]:
        return iter(sorted(self._lessons()))

    def __len__(self) -> int:
        return len(self._lessons())


BANK: Mapping[int, tuple[Template, ...]] = _Bank()


def templates() -> tuple[Template, ...]:
    """Every template of the bank, in the order of the lessons."""
    return tuple(template for lesson in BANK for template in BANK[lesson])


def find(name: str) -> Template:
    """The template of that name. Raises `AnswerError` for a name that the bank does not have."""
    from lessonlib.appliance.problems import near

    known = {template.name: template for template in templates()}
    if name in known:
        return known[name]
    meant = near(str(name), known)
    hint = f' Did you mean "{meant}"?' if meant else ""
    raise AnswerError(
        f"found no exercise {shown(name)}.{hint} Accepted: one of {', '.join(known)}. "
        "exercise_list(2) shows those of lesson 2."
    )
