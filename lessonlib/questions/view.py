"""The one view of a question, and what a prediction and a recollection do with it. It holds no
rules: it passes on what was filled in and shows the reply. `form.js` draws it, with `fields.js` for
the kinds of answer; `form.css` is its look."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import anywidget
import traitlets

from lessonlib.page.join import script, style
from lessonlib.progress.progress import progress_here

if TYPE_CHECKING:
    from lessonlib.questions.prediction import Prediction, Recollection

CHOOSE_FIRST = "Choose one first. A guess will do: it is never marked."


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
    """Synced state of one question. The browser keeps `given` up to date with what is filled in,
    and counts up `asked` (for a reply), `hint_wanted`, `wanted` (the worked answer), `new_wanted`
    (new numbers) or `live_wanted` (a live picture). Python sets `heard` to their sum once it has
    answered, so the browser can tell a stopped kernel from a slow one. `draft` names the exercise
    and its numbers: under that name the browser keeps what is filled in, so that it outlives the
    cell and the kernel. Where `form` says `at_once`, as for a prediction, a choice is the answer,
    and there are no buttons."""

    _esm = script("questions/form.js")
    _css = style("questions/form.css", ".hcq")

    text = traitlets.Unicode().tag(sync=True)
    picture = traitlets.Unicode(help="Our own schematic as HTML; empty for none.").tag(sync=True)
    form = traitlets.Dict(help="What the kind of answer asks for.").tag(sync=True)
    draft = traitlets.Unicode().tag(sync=True)
    # not sent back to the browser: on a slow machine that would undo what was typed since
    given = traitlets.Any(None, help="What is filled in; None for nothing.").tag(
        sync=True, echo_update=False
    )
    feedback = traitlets.Unicode().tag(sync=True)
    verdict = traitlets.Unicode(help="Of the feedback; empty for none.").tag(sync=True)
    answered = traitlets.Any(None, help="What the feedback is about.").tag(sync=True)
    hints = traitlets.List(traitlets.Unicode()).tag(sync=True)
    hints_left = traitlets.Int().tag(sync=True)
    draws = traitlets.Bool(help="Whether there are other numbers to be had.").tag(sync=True)
    worked = traitlets.Unicode().tag(sync=True)
    offered = traitlets.Bool(help="Whether the worked answer may be seen.").tag(sync=True)
    solved = traitlets.Bool().tag(sync=True)
    standing = traitlets.Unicode(help="Solved or not, and the tries, in words.").tag(sync=True)
    seed_words = traitlets.Unicode().tag(sync=True)
    live_offered = traitlets.Bool(help="Whether a reply was about a live picture.").tag(sync=True)
    live = traitlets.Unicode(help="The live picture below it: IPY_MODEL_ and its id.").tag(
        sync=True
    )
    asked = traitlets.Int(0).tag(sync=True)
    hint_wanted = traitlets.Int(0).tag(sync=True)
    wanted = traitlets.Int(0).tag(sync=True)
    new_wanted = traitlets.Int(0).tag(sync=True)
    live_wanted = traitlets.Int(0).tag(sync=True)
    heard = traitlets.Int(0).tag(sync=True)


def prediction_view(prediction: Prediction) -> QuestionView:
    """The view of a prediction: choosing an option records it."""
    options = list(prediction.options)
    legend = {"legend": prediction.question, "at_once": True}
    view = QuestionView(
        form={"kind": "choice", "options": options, **legend},
        given=prediction.choice,
        feedback=prediction.note,
        answered=prediction.choice,
    )

    def record(change: Any) -> None:
        with view.hold_sync():
            if view.given in options:
                view.feedback = with_note(prediction.choose(view.given))
            view.heard = view.asked

    view.observe(record, names="asked")
    return view


def recollection_view(recollection: Recollection) -> QuestionView:
    """The view of a recollection: a choice, a reason of one's own, and a button for the rest."""
    asked = recollection.prediction
    view = QuestionView(
        form={
            "kind": "recall",
            "legend": asked.question,
            "options": list(asked.options),
            "button": "Show how it turned out",
        },
        draft=f"heater recall {asked.name}",
        given=None if asked.choice is None else {"choice": asked.choice, "reason": asked.reason},
    )

    def answer(change: Any) -> None:
        given = view.given if isinstance(view.given, dict) else {}
        # it may have been chosen above since this cell was run
        above = progress_here().prediction(asked.name)
        choice = given.get("choice") or (above and above.choice)
        with view.hold_sync():
            if choice in asked.options:
                told = recollection.show(choice, str(given.get("reason", "")))
                view.given = view.answered = {**given, "choice": choice}
                view.feedback, view.solved = with_note(told), True
            else:
                view.feedback = CHOOSE_FIRST
            view.heard = view.asked

    view.observe(answer, names="asked")
    return view
