"""`exercise_list`, the exercises that there are, and `my_progress`, what the trainee has done."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from html import escape
from typing import Any

from lessonlib.progress.progress import Progress, progress_here
from lessonlib.questions.bank import own_problems, templates, thought_behind
from lessonlib.questions.exercise import Template
from lessonlib.tables import Table


@dataclass(frozen=True, repr=False)
class ExerciseList(Table):
    """Exercises, a row each, and in a notebook a button each; `so_far` has those that were tried,
    as "tried" or "right". `problems` are those of question files of one's own."""

    templates: tuple[Template, ...]
    so_far: Mapping[str, str]
    problems: tuple[str, ...] = ()

    @property
    def caption(self) -> str:
        lessons = sorted({template.lesson for template in self.templates})
        which = f"lesson {lessons[0]}" if len(lessons) == 1 else "all lessons"
        return f"Exercises of {which}. Press a name to open it here"

    @property
    def header(self) -> tuple[str, ...]:
        return ("name", "so far", "grade", "what it is about")

    @property
    def shown_rows(self) -> list[tuple[str, ...]]:
        return [
            (
                template.name,
                self.so_far.get(template.name, "–"),
                template.grade,
                template.objective,
            )
            for template in self.templates
        ]

    def __str__(self) -> str:
        return "\n".join((super().__str__(), *self.problems))

    __repr__ = __str__

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        """A button for each exercise, which opens it below."""
        from lessonlib.questions.chooser import Chooser  # loads ipywidgets

        chooser = Chooser(f"{self.caption}:", self.shown_rows, self.problems)
        return chooser._repr_mimebundle_(**kwargs) | {"text/plain": repr(self)}


@dataclass(frozen=True, repr=False)
class Overview:
    """What a trainee has done, as a picture, with what to do next."""

    progress: Progress

    @property
    def lines(self) -> tuple[str, ...]:
        """What to do next, and what is wrong with keeping the progress, if anything is."""
        lessons = {template.name: template.lesson for template in templates()}
        said = (self.progress.suggestion(lessons), self.progress.note)
        return tuple(line for line in said if line)

    def __repr__(self) -> str:
        return "\n".join((str(self.progress.summary(thought_behind)), *self.lines))

    def _repr_mimebundle_(self, include: object = None, exclude: object = None) -> dict[str, str]:
        from lessonlib.progress.picture import progress_picture  # loads matplotlib

        picture = progress_picture(self.progress, thought_behind)._repr_mimebundle_()["text/html"]
        said = "".join(f"<p>{escape(line)}</p>" for line in self.lines)
        return {"text/html": picture + said, "text/plain": repr(self)}


def exercise_list(lesson: int | None = None) -> ExerciseList:
    """The exercises of one lesson, or of all. Raises `AnswerError` for a lesson that has none."""
    lessons = progress_here().summary().lessons
    tried = dict.fromkeys((name for each in lessons for name in each.tried), "tried")
    right = dict.fromkeys((name for each in lessons for name in each.right), "right")
    return ExerciseList(templates(lesson), tried | right, own_problems())


def my_progress() -> Overview:
    """What has been tried and met in this folder, the slips met, and what to do next.

    `my_progress().progress.export_json("progress.json")` writes everything down as plain JSON.
    """
    return Overview(progress_here())
