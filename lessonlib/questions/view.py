"""The widget that shows a prediction. It holds no rules: it passes what was chosen on, and
shows the reply. `question.js` draws it with `common.js`, `question.css` gives it its look."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import anywidget
import traitlets

from lessonlib.palette import css_variables
from lessonlib.progress.progress import progress_here

if TYPE_CHECKING:
    from lessonlib.questions.prediction import Prediction

_HERE = Path(__file__).parent


def source(*names: str) -> str:
    """The texts of files beside this one, joined: a widget takes one text each of script and style,
    and a text and not a path, for which it would offer to watch the file for changes."""
    return "\n".join((_HERE / name).read_text("utf-8") for name in names)


def style(*names: str) -> str:
    """The colours and the style sheets beside this file, joined."""
    return css_variables(".hcq", own_paper=False) + source(*names)


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


class QuestionView(Displayed):
    """Synced state of a prediction. The browser counts `asked` up with every choice it sends;
    Python sets `heard` to it once `feedback` is the reply, so the browser can tell a stopped
    kernel from a slow one."""

    _esm = source("common.js", "question.js")
    _css = style("question.css")

    question = traitlets.Unicode().tag(sync=True)
    options = traitlets.List(traitlets.Unicode()).tag(sync=True)
    chosen = traitlets.Int(-1).tag(sync=True)
    asked = traitlets.Int(0).tag(sync=True)
    heard = traitlets.Int(0).tag(sync=True)
    feedback = traitlets.Unicode().tag(sync=True)
    answered = traitlets.Unicode(help="What the feedback is about.").tag(sync=True)


def prediction_view(prediction: Prediction) -> QuestionView:
    """The view of a prediction: choosing an option records it."""
    options = list(prediction.options)
    chosen = options.index(prediction.choice) if prediction.choice is not None else -1
    view = QuestionView(
        question=prediction.question,
        options=options,
        chosen=chosen,
        feedback=prediction.note,
        answered=prediction.choice or "",
    )

    def record(change: Any) -> None:
        with view.hold_sync():
            if 0 <= view.chosen < len(options):
                view.feedback = with_note(prediction.choose(options[view.chosen]))
            view.heard = view.asked

    view.observe(record, names="asked")
    return view
