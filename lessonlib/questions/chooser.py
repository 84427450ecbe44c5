"""The list of exercises in a notebook: a button for each, which opens it below the list."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import Any

import anywidget
from ipywidgets import HTML, Button, HBox, Layout, VBox

from lessonlib.page.join import script, style
from lessonlib.progress.summary import words_of
from lessonlib.questions.form import FormView
from lessonlib.questions.task import exercise

_WRAPS = Layout(flex_flow="row wrap", align_items="center")
_WORDS = Layout(flex="1 1 20em")  # beside the button, or below it where the page is narrow


class CutOffLine(anywidget.AnyWidget):
    """Says how to go on where the notebook was opened again; not to be seen while Python runs."""

    _esm = script("page/cut_off.js")
    _css = style("page/kit.css", ".hck")


class Chooser(VBox):  # type: ignore[misc]  # ipywidgets has no types
    """A row for each exercise; `opened` is the name of the one shown below, "" before a press."""

    def __init__(self, caption: str, rows: Sequence[tuple[str, ...]], problems: Sequence[str]):
        self._names = [name for name, *_ in rows]
        self.opened = ""
        self._below = VBox()
        said = [HTML(f"<p>{escape(problem)}</p>") for problem in problems]
        lines = [self._row(*row) for row in rows]
        above = HTML(f"<p>{escape(caption)}</p>"), CutOffLine()
        super().__init__([*above, *lines, *said, self._below], _dom_classes=["hck-list"])

    def _row(self, name: str, so_far: str, grade: str, about: str) -> Any:
        state = "" if so_far == "–" else f", {so_far}"
        words = HTML(f"<span>{escape(f'{grade}{state}: {about}')}</span>", layout=_WORDS)
        return HBox([self._button(words_of(name).capitalize(), name), words], layout=_WRAPS)

    def _button(self, words: str, name: str) -> Any:
        size = Layout(width="20em", max_width="100%", min_height="36px")
        button = Button(description=words, layout=size)
        button.on_click(lambda _: self.show_exercise(name))
        return button

    def show_exercise(self, name: str) -> None:
        """Show the exercise of that name below the list, and a button for the next."""
        self.opened = name
        title = HTML(f"<h4>{escape(words_of(name).capitalize())}</h4>")
        shown: list[Any] = [title, FormView(exercise(name))]
        after = self._names.index(name) + 1
        if after < len(self._names):
            following = self._names[after]
            shown.append(self._button(f"Next: {words_of(following).capitalize()}", following))
        self._below.children = shown
