"""Exercises in a notebook: a button for each, which opens it below, and then the next."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from html import escape
from itertools import pairwise
from typing import Any

import anywidget
from ipywidgets import HTML, Button, Dropdown, HBox, Layout, VBox

from lessonlib.errors import AnswerError
from lessonlib.page.join import script, style
from lessonlib.progress.progress import progress_here
from lessonlib.progress.summary import words_of
from lessonlib.questions.bank import templates
from lessonlib.questions.exercise import Template
from lessonlib.questions.form import FormView
from lessonlib.questions.lessons import lesson_files
from lessonlib.questions.task import exercise

_WRAPS = Layout(flex_flow="row wrap", align_items="center", margin="0 0 4px 0")
# beside the button, or below it where the page is narrow
_WORDS = Layout(flex="1 1 20em", margin="2px 2px 2px 10px")
_CLOSE_LINES = "margin:0;line-height:1.4"
"""Style of words of several lines: ipywidgets sets lines as far apart as its controls are high."""


class CutOffLine(anywidget.AnyWidget):
    """Says how to go on where the notebook was opened again; not to be seen while Python runs."""

    _esm = script("page/cut_off.js")
    _css = style("page/kit.css", ".hck")


class Chooser(VBox):  # type: ignore[misc]  # ipywidgets has no types
    """A row for each of the exercises `shown`, between `above` and `below`, which are HTML. With a
    `lesson`, only its rows are there, and another can be chosen."""

    def __init__(
        self,
        shown: Sequence[Template],
        above: Sequence[str],
        below: Sequence[str] = (),
        lesson: int | None = None,
    ):
        self._every = templates()
        pairs = pairwise(self._every)
        self._next = {
            one.name: next_one for one, next_one in pairs if one.lesson == next_one.lesson
        }
        self._made: dict[str, _Row] = {}
        self._list = VBox()
        top: list[Any] = [*map(HTML, above), CutOffLine()]
        if lesson is None:
            self._show(shown)
        else:
            top.append(self._choice(lesson))
        super().__init__([*top, self._list, *map(HTML, below)], _dom_classes=["hck-list"])

    def _choice(self, lesson: int) -> Any:
        """A list of lessons to choose from, which shows the rows of one."""
        titles = {each.number: each.title for each in lesson_files()}
        numbers = dict.fromkeys(each.lesson for each in self._every)
        options = [(titles.get(number, f"Lesson {number}"), number) for number in numbers]

        def show(number: int) -> None:
            self._show([each for each in self._every if each.lesson == number])

        show(lesson)
        width = Layout(width="auto", max_width="40em")
        choice = Dropdown(options=options, value=lesson, description="Lesson", layout=width)
        choice.observe(lambda change: show(change["new"]), "value")
        return choice

    def _show(self, some: Sequence[Template]) -> None:
        self._list.children = [self._row(each) for each in some]
        self._say_so_far()

    def _row(self, template: Template) -> _Row:
        if template.name not in self._made:  # many widgets for each: only those that are shown
            self._made[template.name] = _Row(template, self._press)
        return self._made[template.name]

    def _press(self, row: _Row) -> None:
        following = self._next.get(row.template.name)
        if row.is_open:
            row.fold()
        else:
            row.unfold(self._row(following) if following else None, self._open_below)
        self._say_so_far()

    def _open_below(self, row: _Row, following: _Row) -> None:
        """Open the exercise after that of `row`, below it. That one stays open, so that the button
        that was pressed stays where it is."""
        there = self._list.children
        if following not in there:
            at = there.index(row) + 1
            self._list.children = (*there[:at], following, *there[at:])
        if not following.is_open:
            self._press(following)

    def _say_so_far(self) -> None:
        so_far = progress_here().summary().so_far
        for row in self._list.children:
            row.say(so_far.get(row.template.name, ""))


class _Row(VBox):  # type: ignore[misc]
    """The button of one exercise, the words beside it, and the exercise itself once it is open."""

    def __init__(self, template: Template, press: Callable[[_Row], None]):
        self.template, self.name = template, _spoken(template.name)
        self._button = _button(self.name, lambda: press(self))
        self._said = HTML(layout=_WORDS)
        self._exercise = VBox()
        super().__init__([HBox([self._button, self._said], layout=_WRAPS), self._exercise])
        self.fold()

    def say(self, so_far: str) -> None:
        """Write what it is about, and what has been done."""
        state = f", {so_far}" if so_far else ""
        words = f"{self.template.grade}{state}: {self.template.objective}"
        self._said.value = f'<p style="{_CLOSE_LINES}">{escape(words)}</p>'

    def unfold(self, following: _Row | None, go_on: Callable[[_Row, _Row], None]) -> None:
        """Show the exercise, and a button for the one that follows, if any does."""
        try:
            shown: Any = FormView(exercise(self.template.name))
        except AnswerError as error:  # a question of one's own that cannot be asked
            shown = HTML(f"<p>{escape(str(error))}</p>")
        self._exercise.children = [shown]
        if following:
            after = _button(f"Next: {following.name}", lambda: go_on(self, following))
            self._exercise.children = [shown, after]
            self._exercise.add_class("hck-followed")
        self.is_open, self._button.description = True, f"Close: {self.name}"

    def fold(self) -> None:
        """Show the button only."""
        self._exercise.children = []
        self.is_open, self._button.description = False, self.name


def _spoken(name: str) -> str:
    words = words_of(name)
    return words[:1].upper() + words[1:]


def _button(words: str, press: Callable[[], None]) -> Any:
    size = Layout(width="20em", max_width="100%", min_height="36px")
    button = Button(description=words, layout=size)
    button.on_click(lambda _: press())
    return button
