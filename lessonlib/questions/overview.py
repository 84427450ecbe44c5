"""`exercise_list`, the exercises that there are, and `my_progress`, what the trainee has done."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from html import escape
from typing import Any

from lessonlib.progress.progress import Progress, progress_here
from lessonlib.progress.summary import Suggestion
from lessonlib.questions.bank import own_problems, templates, thought_behind
from lessonlib.questions.exercise import Template
from lessonlib.tables import Table

_MOST_BUTTONS = 5


@dataclass(frozen=True, repr=False)
class ExerciseList(Table):
    """Exercises, a row each, and in a notebook a button each; `so_far` has those that were tried,
    as "tried" or "right". `problems` are those of question files of one's own."""

    templates: tuple[Template, ...]
    so_far: Mapping[str, str]
    problems: tuple[str, ...] = ()

    @property
    def lessons(self) -> list[int]:
        """The numbers of the lessons, in order."""
        return sorted({template.lesson for template in self.templates})

    @property
    def caption(self) -> str:
        which = f"lesson {self.lessons[0]}" if len(self.lessons) == 1 else "all lessons"
        return f"Exercises of {which}. Press a name to open it here"

    @property
    def header(self) -> tuple[str, ...]:
        return ("name", "so far", "grade", "what it is about")

    @property
    def shown_rows(self) -> list[tuple[str, ...]]:
        return [
            (each.name, self.so_far.get(each.name, "–"), each.grade, each.objective)
            for each in self.templates
        ]

    def __str__(self) -> str:
        return "\n".join((super().__str__(), *self.problems))

    __repr__ = __str__

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        """A button for each exercise, which opens it below the button."""
        from lessonlib.questions.chooser import Chooser  # loads ipywidgets

        begin = None
        if len(self.lessons) > 1:
            next_one = suggestion().exercise
            begin = next((x.lesson for x in self.templates if x.name == next_one), self.lessons[0])
        above, below = _paragraphs(f"{self.caption}:"), _paragraphs(*self.problems)
        chooser = Chooser(self.templates, above, below, begin)
        return chooser._repr_mimebundle_(**kwargs) | {"text/plain": repr(self)}


@dataclass(frozen=True, repr=False)
class Overview:
    """What a trainee has done, as a picture, with what to do next and a button for it."""

    progress: Progress

    @property
    def next_ones(self) -> tuple[Template, ...]:
        """The suggested exercise, and others that were tried and are not right yet."""
        first, state = suggestion().exercise, self.progress.summary().so_far
        chosen = [x for x in templates() if x.name == first or state.get(x.name) == "tried"]
        return tuple(sorted(chosen, key=lambda each: each.name != first))[:_MOST_BUTTONS]

    @property
    def lines(self) -> tuple[str, ...]:
        """What to do next, and what is wrong with keeping the progress, if anything is."""
        return tuple(filter(None, (suggestion().words, self.progress.note)))

    def __repr__(self) -> str:
        return "\n".join((str(self.progress.summary(thought_behind)), *self.lines))

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        """The picture, with a button for each exercise to do next."""
        from lessonlib.progress.picture import progress_picture
        from lessonlib.questions.chooser import Chooser  # loads ipywidgets

        picture = progress_picture(self.progress.summary(thought_behind))
        chooser = Chooser(self.next_ones, [picture, *_paragraphs(*self.lines)])
        return chooser._repr_mimebundle_(**kwargs) | {"text/plain": repr(self)}


def suggestion() -> Suggestion:
    """What to do next, of all exercises that there are."""
    return progress_here().suggestion({each.name: each.lesson for each in templates()})


def exercise_list(lesson: int | None = None) -> ExerciseList:
    """The exercises of one lesson, or of all. Raises `AnswerError` for a lesson that has none."""
    return ExerciseList(templates(lesson), progress_here().summary().so_far, own_problems())


def my_progress() -> Overview:
    """What has been tried and met in this folder, the slips met, and what to do next."""
    return Overview(progress_here())


def _paragraphs(*lines: str) -> list[str]:
    return [f'<p style="line-height:1.4">{escape(line)}</p>' for line in lines]
