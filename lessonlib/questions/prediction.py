"""`predict` and `recall`: a question before the try, and how it turned out.

A prediction is recorded, never marked. It shows as a widget in a notebook, as plain text elsewhere,
and can be answered in plain code: `.choose(...)`. What was chosen goes into the trainee's progress
and comes back when its cell is run again. `recall` tells nothing before there is a choice; that,
too, can be done in plain code: `.show(...)`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from lessonlib.errors import AnswerError, shown
from lessonlib.progress.progress import progress_here
from lessonlib.progress.records import Predicted
from lessonlib.questions.bank import find_prediction
from lessonlib.questions.content import Entry
from lessonlib.questions.content_lines import Lines
from lessonlib.questions.draw import Draw
from lessonlib.questions.names import find_option
from lessonlib.questions.reading import Unread
from lessonlib.questions.reply import Reply, Shown

if TYPE_CHECKING:
    from lessonlib.questions.view import QuestionView

FROM_BEFORE = "You said this earlier; you may change it."


class Prediction(Shown):
    """A question before the try: `options`, each with the thought behind it, `truth`, the one that
    turns out true, and `outcome`, what there is to say of it afterwards. `choice` is the option
    chosen, or None so far; `reason`, the learner's own, if one was given; `note` says when it was
    chosen earlier, before this cell was run, and is empty otherwise."""

    def __init__(
        self,
        name: str,
        question: str,
        options: Mapping[str, str],
        truth: str,
        outcome: Sequence[str] = (),
    ) -> None:
        self.name = name
        self.question = question
        self.truth = truth
        self.outcome = tuple(outcome)
        self.thoughts = dict(options)
        earlier = progress_here().prediction(name)
        self.choice, self.reason = None, ""
        if earlier is not None and earlier.choice in self.thoughts:
            self.choice, self.reason = earlier.choice, earlier.reason
        self.note = "" if self.choice is None else FROM_BEFORE

    @property
    def options(self) -> tuple[str, ...]:
        """The options, in order."""
        return tuple(self.thoughts)

    def choose(self, option: str | int, reason: str = "") -> Reply:
        """Record `option` (its text, or its number counted from 1) and the learner's own reason,
        in place of an earlier choice.

        Raises `AnswerError` for an option that is not offered.
        """
        found = find_option(option, self.options)
        if isinstance(found, Unread):
            raise AnswerError(
                f"found {shown(option)}. Accepted: one of {', '.join(map(shown, self.options))}, "
                f"or its number from 1 to {len(self.options)}. Choose one of these."
            )
        self.choice, self.reason, self.note = found, reason, ""
        progress_here().record(Predicted(self.name, found, str(reason)))
        said = Reply(f"Noted: {found}. You may change it until you have tried.")
        if self._view is not None:
            self._view.given = self._view.answered = found
            self._view.feedback = str(said)
        return said

    def __repr__(self) -> str:
        note = [f"{self.choice}: {self.note}"] if self.choice is not None and self.note else []
        how = "Your choice: .choose(1), .choose(2), ..."
        return "\n".join([*self._listed(), *note, how])

    def _listed(self) -> list[str]:
        numbered = enumerate(self.options, start=1)
        return [self.question, *(f"  {number}. {option}" for number, option in numbered)]

    def _new_view(self) -> QuestionView:
        from lessonlib.questions.view import prediction_view

        return prediction_view(self)


class Recollection(Shown):
    """How a prediction turned out, for the one who has chosen."""

    def __init__(self, prediction: Prediction) -> None:
        self.prediction = prediction

    def show(self, choice: str | int | None = None, reason: str = "") -> Reply:
        """What was chosen and the thought behind it, how it turned out, and the thoughts behind the
        other options. A `choice` and a `reason`, the learner's own, are recorded as by `choose`.
        Raises `AnswerError` where nothing has been chosen."""
        asked, told = self.prediction, reason.strip()
        chosen = asked.choice if choice is None else choice
        if chosen is not None and (chosen != asked.choice or told not in ("", asked.reason)):
            asked.choose(chosen, told)
        if asked.choice is None:
            raise AnswerError(
                f"found no choice. Accepted: one of {', '.join(map(shown, asked.options))}, or its "
                "number, as in .show(1). Choose first; then see how it turned out."
            )
        lines = [f"You said: {asked.choice}. The thought behind it: {asked.thoughts[asked.choice]}"]
        lines += [f"Your own reason: {told}"] if told else []
        if asked.choice == asked.truth:
            lines.append("That is how it turned out.")
        else:
            lines.append(f"It turned out: {asked.truth}. The reason: {asked.thoughts[asked.truth]}")
        lines += asked.outcome
        others = asked.thoughts.keys() - {asked.choice, asked.truth}
        lines += ["The thoughts behind the other answers:"] if others else []
        lines += [f"- {each}: {asked.thoughts[each]}" for each in asked.options if each in others]
        return Reply("\n".join(lines))

    def __repr__(self) -> str:
        how = 'Your choice, then how it turned out: .show(1), or with a reason .show(1, "...")'
        return "\n".join([*self.prediction._listed(), how])

    def _new_view(self) -> QuestionView:
        from lessonlib.questions.view import recollection_view

        return recollection_view(self)


def predict(name: str) -> Prediction:
    """The question before the try of that name. Raises `AnswerError` when there is none."""
    return prediction_of(find_prediction(name))


def prediction_of(entry: Entry) -> Prediction:
    """The prediction of an entry. Raises `AnswerError` where it has no true option, or two."""
    names = Lines(entry, Draw(entry.name, 0)).names
    options, true = {}, []
    for item in entry.items:
        option = entry.fill(item.number, item.head, names)
        options[option] = entry.fill(item.number, item.fields.get("Why", ""), names)
        true += [option] if item.true else []
    if len(true) != 1 or len(options) < 2 or "" in options.values():
        raise entry.wrong(
            entry.number,
            f"found {len(options)} options, {len(true)} of them true. Accepted: two or more, each "
            "with its Why, and one of them marked [x]. Add what a learner may well think.",
        )
    question = entry.fill(entry.number, entry.text, names)
    outcome = [entry.fill(entry.number, line, names) for line in entry.worked]
    return Prediction(entry.name, question, options, true[0], outcome)


def recall(prediction: Prediction | str) -> Recollection:
    """Go back to a prediction, or to the one of that name: the choice, a reason of one's own, and
    then how it turned out. Raises `AnswerError` when there is none."""
    known = prediction if isinstance(prediction, Prediction) else predict(prediction)
    return Recollection(known)
