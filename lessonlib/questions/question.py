"""`predict`, `recall` and `check`, each by name: a question before the try, checks after it.

A prediction is recorded, never marked. It shows as a widget in a notebook, as plain text elsewhere,
and can be answered in plain code: `.choose(...)`. What was chosen goes into the trainee's progress
and comes back when its cell is run again. A check is a `Task`, as an exercise is.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from lessonlib.errors import AnswerError, shown
from lessonlib.progress.progress import progress_here
from lessonlib.questions.bank import find_check, find_prediction
from lessonlib.questions.reading import Unread
from lessonlib.questions.reply import Reply
from lessonlib.questions.task import Task
from lessonlib.questions.words import find_option

if TYPE_CHECKING:
    from lessonlib.questions.view import QuestionView

FROM_BEFORE = "You said this earlier; you may change it."


class Prediction:
    """A question before the try. `choice` is the option chosen, or None so far; `note` says when it
    was chosen earlier, before this cell was run, and is empty otherwise. `truth` is the option that
    turns out true, None where that is open. Raises `AnswerError` for fewer than two options, or a
    truth that is none of them."""

    def __init__(
        self, name: str, question: str, options: Mapping[str, str], truth: str | None = None
    ) -> None:
        if len(options) < 2:
            raise AnswerError(
                f"{name}: found {len(options)} option. Accepted: two or more, each with the "
                "thought behind it. Add what a learner may well think."
            )
        if truth is not None and truth not in options:
            raise AnswerError(
                f"{name}: found {shown(truth)}. Accepted: one of "
                f"{', '.join(map(shown, options))}. Spell it the same."
            )
        self.name = name
        self.question = question
        self.truth = truth
        self.thoughts = dict(options)
        earlier = progress_here().prediction(name)
        self.choice = earlier if earlier in self.thoughts else None
        self.note = "" if self.choice is None else FROM_BEFORE
        self._view: QuestionView | None = None

    @property
    def options(self) -> tuple[str, ...]:
        """The options, in order."""
        return tuple(self.thoughts)

    def choose(self, option: str | int) -> Reply:
        """Record `option` (its text, or its number counted from 1); it replaces an earlier choice.

        Raises `AnswerError` for an option that is not offered.
        """
        found = find_option(option, self.options)
        if isinstance(found, Unread):
            raise AnswerError(
                f"found {shown(option)}. Accepted: one of {', '.join(map(shown, self.options))}, "
                f"or its number from 1 to {len(self.options)}. Choose one of these."
            )
        self.choice = found
        self.note = ""
        progress_here().record_prediction(self.name, found)
        said = Reply(f"Noted: {found}. You may change it until you have tried.")
        if self._view is not None:
            self._view.given = self._view.answered = found
            self._view.feedback = str(said)
        return said

    def recall(self) -> Reply:
        """What was chosen and the thought behind it, how it turned out where that is known, and the
        thoughts behind the other options."""
        truth = self.truth
        lines = []
        if self.choice is None:
            lines.append(
                "You have not chosen yet: go back to the question and choose, "
                "then run this cell again."
            )
        else:
            lines.append(f"You said: {self.choice}. The thought behind it: {self._thought()}")
        if truth is not None:
            same = truth == self.choice
            lines.append(
                "That is how it turned out."
                if same
                else f"It turned out: {truth}. The reason: {self.thoughts[truth]}"
            )
        others = [option for option in self.options if option not in (self.choice, truth)]
        if others:
            lines.append("The thoughts behind the other answers:")
            lines += [f"- {option}: {self.thoughts[option]}" for option in others]
        return Reply("\n".join(lines))

    def _thought(self) -> str:
        return self.thoughts[self.choice] if self.choice is not None else ""

    def __repr__(self) -> str:
        listed = [f"  {number}. {option}" for number, option in enumerate(self.options, start=1)]
        note = [f"{self.choice}: {self.note}"] if self.choice is not None and self.note else []
        how = "Your choice: .choose(1), .choose(2), ..."
        return "\n".join([self.question, *listed, *note, how])

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        if self._view is None:
            from lessonlib.questions.view import prediction_view

            self._view = prediction_view(self)
        return self._view.bundle(repr(self))


def predict(name: str) -> Prediction:
    """The question before the try of that name. Raises `AnswerError` when there is none."""
    found = find_prediction(name)
    return Prediction(name, found.question, found.options, found.truth)


def recall(prediction: Prediction | str) -> Reply:
    """Go back to a prediction, or to the one of that name: what was chosen, how it turned out, and
    each option's thought. Raises `AnswerError` when there is none."""
    if isinstance(prediction, str):
        prediction = predict(prediction)
    if not isinstance(prediction, Prediction):
        raise AnswerError(
            f"found {shown(prediction)}. Accepted: the name of a prediction, as in "
            'recall("half-voltage"), or what predict(...) returned. Use one of these.'
        )
    return prediction.recall()


def check(name: str) -> Task:
    """The check of that name. Raises `AnswerError` when there is none."""
    return Task(find_check(name), 0)
