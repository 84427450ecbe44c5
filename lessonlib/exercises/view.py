"""The widget that shows a question. It holds no rules: it passes what was chosen or typed to the
question, and shows the reply. `question.js` draws it with `common.js`, `question.css` gives it its
look."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Protocol

import anywidget
import traitlets

from lessonlib.exercises.progress import progress_here

_HERE = Path(__file__).parent


def source(*names: str) -> str:
    """The texts of files beside this one, joined: a widget takes one text each of script and style,
    and a text and not a path, for which it would offer to watch the file for changes."""
    return "\n".join((_HERE / name).read_text("utf-8") for name in names)


def with_note(reply: object) -> str:
    """The reply, and what there is to say about keeping the trainee's progress, if anything."""
    return "\n".join(filter(None, (str(reply), progress_here().news())))


class Displayed(anywidget.AnyWidget):
    """A widget with a text in its place where widgets do not show."""

    def bundle(self, text: str) -> dict[str, Any]:
        """What a notebook displays: the widget, or `text`."""
        return {
            "text/plain": text,
            "application/vnd.jupyter.widget-view+json": {
                "version_major": 2,
                "version_minor": 0,
                "model_id": self.model_id,
            },
        }


class Asked(Protocol):
    """What every question has to show."""

    question: str

    @property
    def options(self) -> tuple[str, ...]: ...


class Recorded(Asked, Protocol):
    """A question whose answer is recorded: a prediction."""

    choice: str | None
    note: str

    def choose(self, option: str) -> object: ...


class Judged(Asked, Protocol):
    """A question whose answer gets a reply: a check."""

    solved: bool

    @property
    def unit(self) -> str: ...
    @property
    def may_see_worked_answer(self) -> bool: ...
    def try_answer(self, answer: str) -> object: ...
    def worked_answer(self) -> object: ...


class QuestionView(Displayed):
    """Synced state of one question. The browser counts `asked` up with every answer it sends;
    Python sets `heard` to it once `feedback` is the reply, so the browser can tell a stopped
    kernel from a slow one."""

    _esm = source("common.js", "question.js")
    _css = source("question.css")

    question = traitlets.Unicode().tag(sync=True)
    options = traitlets.List(traitlets.Unicode()).tag(sync=True)
    label = traitlets.Unicode().tag(sync=True)
    marks = traitlets.Bool().tag(sync=True)
    chosen = traitlets.Int(-1).tag(sync=True)
    typed = traitlets.Unicode().tag(sync=True)
    asked = traitlets.Int(0).tag(sync=True)
    heard = traitlets.Int(0).tag(sync=True)
    feedback = traitlets.Unicode().tag(sync=True)
    offered = traitlets.Bool().tag(sync=True)
    wanted = traitlets.Int(0).tag(sync=True)

    @property
    def answer(self) -> str:
        """What was chosen or typed last."""
        if not self.options:
            return str(self.typed)
        return self.options[self.chosen] if 0 <= self.chosen < len(self.options) else ""


def prediction_view(prediction: Recorded) -> QuestionView:
    """The view of a prediction: choosing an option records it."""
    options = list(prediction.options)
    chosen = options.index(prediction.choice) if prediction.choice is not None else -1
    view = QuestionView(
        question=prediction.question,
        options=options,
        label="Choose one",
        chosen=chosen,
        feedback=prediction.note,
    )

    def record(change: Any) -> None:
        if view.answer:
            view.feedback = with_note(prediction.choose(view.answer))
        view.heard = view.asked

    view.observe(record, names="asked")
    return view


def check_view(check: Judged) -> QuestionView:
    """The view of a check: its button asks for a reply."""
    if check.options:
        label = "Choose one"
    else:
        label = f"Your answer, with its unit ({check.unit})" if check.unit else "Your answer"
    view = QuestionView(
        question=check.question,
        options=list(check.options),
        label=label,
        marks=True,
        offered=_offered(check),
    )

    def reply(change: Any) -> None:
        if view.options and not view.answer:
            view.feedback = "Choose one of the options first."
        else:
            view.feedback = with_note(check.try_answer(view.answer))
        view.offered = _offered(check)
        view.heard = view.asked

    def show_worked_answer(change: Any) -> None:
        view.feedback = str(check.worked_answer())

    view.observe(reply, names="asked")
    view.observe(show_worked_answer, names="wanted")
    return view


def _offered(check: Judged) -> bool:
    """Whether to offer the worked answer; a right answer has brought it along already."""
    return check.may_see_worked_answer and not check.solved
