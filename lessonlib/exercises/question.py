"""`predict`, `recall` and `check`: a question before the try, and short checks after it.

A prediction is recorded, never marked. A check answers in words, keeps the right answer back on the
first tries, and offers a worked answer after the third. Both show as a widget in a notebook, as
plain text elsewhere, and both can be answered in plain code: `.choose(...)`, `.try_answer(...)`.
What was chosen and what was tried goes into the trainee's progress; a prediction comes back from it
when its cell is run again.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from lessonlib.errors import AnswerError, shown
from lessonlib.exercises.judging import (
    ChoiceQuestion,
    Judgement,
    NumberQuestion,
    choice_question,
    find_option,
    judge_choice,
    judge_number,
    number_question,
)
from lessonlib.exercises.progress import lesson_here, progress_here
from lessonlib.exercises.reading import written
from lessonlib.exercises.reply import Reply

if TYPE_CHECKING:
    from lessonlib.exercises.view import QuestionView

TRIES_BEFORE_WORKED_ANSWER = 3
FROM_BEFORE = "You said this earlier; you may change it."


class Prediction:
    """A question before the try. `choice` is the option chosen, or None so far; `note` says when it
    was chosen earlier, before this cell was run, and is empty otherwise."""

    def __init__(self, name: str, question: str, options: Mapping[str, str]) -> None:
        if len(options) < 2:
            raise AnswerError(
                f"{name}: found {len(options)} option. Accepted: two or more, each with the "
                "thought behind it. Add what a learner may well think."
            )
        self.name = name
        self.question = question
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
        found = find_option(str(option), self.options)
        if found is None:
            raise AnswerError(
                f"found {shown(option)}. Accepted: one of {', '.join(map(shown, self.options))}, "
                f"or its number from 1 to {len(self.options)}. Choose one of these."
            )
        self.choice = found
        self.note = ""
        progress_here().record_prediction(self.name, found)
        said = Reply(f"Noted: {found}. You may change it until you have tried.")
        if self._view is not None:
            self._view.chosen = self.options.index(found)
            self._view.feedback = str(said)
        return said

    def recall(self, truth: str | None = None) -> Reply:
        """What was chosen and the thought behind it, and the thoughts behind the other options.

        `truth` is the option that turned out true. Raises `AnswerError` if it is none of them.
        """
        if truth is not None and truth not in self.thoughts:
            raise AnswerError(
                f"found {shown(truth)}. Accepted: one of "
                f"{', '.join(map(shown, self.options))}. Spell it the same."
            )
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
        how = "Your choice: .choose(1), .choose(2), ..."
        if self.choice is not None and self.note:
            how = f"{self.choice}: {self.note}\n{how}"
        return _as_text(self.question, self.options, how)

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        if self._view is None:
            from lessonlib.exercises.view import prediction_view

            self._view = prediction_view(self)
        return self._view.bundle(repr(self))


class Check:
    """A question after the try. `tries` counts the answers that could be read; `solved` is True
    from the first right one on."""

    def __init__(
        self, name: str, question: str, judged: NumberQuestion | ChoiceQuestion, worked: str
    ) -> None:
        self.name = name
        self.question = question
        self.tries = 0
        self.solved = False
        self._judged = judged
        self._worked = worked
        self._worked_shown = False
        self._view: QuestionView | None = None

    @property
    def options(self) -> tuple[str, ...]:
        """The options of a choice, in order; empty where a number is asked for."""
        return tuple(self._judged.options) if isinstance(self._judged, ChoiceQuestion) else ()

    @property
    def unit(self) -> str:
        """Symbol of the unit asked for; empty for a choice or a bare number."""
        if isinstance(self._judged, NumberQuestion) and self._judged.unit is not None:
            return self._judged.unit.symbol
        return ""

    @property
    def may_see_worked_answer(self) -> bool:
        """Whether it was solved, or tried often enough."""
        return self.solved or self.tries >= TRIES_BEFORE_WORKED_ANSWER

    def try_answer(self, answer: str | int | float) -> Reply:
        """The reply to `answer`: a text such as "1.2 kW", or an option. It is only read."""
        judgement = self._judge(str(answer))
        progress_here().record_try(
            self.name,
            0,
            verdict=judgement.verdict,
            answer=str(answer),
            lesson=lesson_here(),
            worked_shown=self._worked_shown,
        )
        if judgement.verdict == "unread":
            return Reply(judgement.reply)
        if judgement.verdict == "right":
            self.solved = True
            self._worked_shown = bool(self._worked)
            return Reply("\n".join(filter(None, (judgement.reply, self._worked))))
        self.tries += 1
        said = judgement.reply
        if self.may_see_worked_answer and not (self.solved or self._worked_shown):
            said += "\nYou have given it a fair try. The worked answer is there if you want it."
        return Reply(said)

    def worked_answer(self) -> Reply:
        """The worked answer, once it was solved or tried three times; before that, what to do."""
        if self.may_see_worked_answer:
            self._worked_shown = True
            answer = self._judged.answer
            shown_answer = answer if isinstance(answer, str) else written(answer, self.unit)
            return Reply("\n".join(filter(None, (f"Answer: {shown_answer}.", self._worked))))
        left = TRIES_BEFORE_WORKED_ANSWER - self.tries
        return Reply(
            f"Try it first: the worked answer comes after {left} more "
            f"{'try' if left == 1 else 'tries'}."
        )

    def _judge(self, answer: str) -> Judgement:
        if isinstance(self._judged, ChoiceQuestion):
            return judge_choice(self._judged, answer)
        return judge_number(self._judged, answer)

    def __repr__(self) -> str:
        example = 1 if self.options else f'"... {self.unit}"'.replace(' "', '"')
        return _as_text(self.question, self.options, f"Your answer: .try_answer({example})")

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        if self._view is None:
            from lessonlib.exercises.view import check_view

            self._view = check_view(self)
        return self._view.bundle(repr(self))


def predict(name: str, question: str, options: Mapping[str, str]) -> Prediction:
    """A question before the try. `options`: the text of each, and the thought behind it.

    Raises `AnswerError` when there are fewer than two options.
    """
    return Prediction(name, question, options)


def recall(prediction: Prediction, truth: str | None = None) -> Reply:
    """Go back to a prediction: what was chosen, how it turned out, and each option's thought.

    Raises `AnswerError` when `truth` is none of the options.
    """
    if not isinstance(prediction, Prediction):
        raise AnswerError(
            f"found {shown(prediction)}. Accepted: what predict(...) returned, as in "
            "first = predict(...), then recall(first). Use that name."
        )
    return prediction.recall(truth)


def check(
    name: str,
    question: str,
    answer: float | str,
    unit: str = "",
    *,
    options: Mapping[str, str] | None = None,
    tolerance: float = 0.02,
    slips: Mapping[float | str, str] | None = None,
    hint: str = "",
    worked: str = "",
) -> Check:
    """A question with a reply to every answer: a number with a unit, or one of `options`.

    `answer` is in `unit`. `tolerance` is a share of the value. `slips`: each wrong value that a
    known thought gives (a number in `unit`, or a text such as "1.2 kW"), and the reply to it:
    the thought, and a thing to try. `hint` follows a wrong answer that no slip explains, `worked`
    a right answer, or the third wrong one if asked for. `options`: the text of each option, and the
    reply to it; `answer` is then one of them. Raises `AnswerError` when the question is built
    wrongly.
    """
    judged: NumberQuestion | ChoiceQuestion
    if options is not None:
        judged = choice_question(answer, options)
    else:
        judged = number_question(answer, unit, tolerance, slips or {}, hint)
    return Check(name, question, judged, worked)


def _as_text(question: str, options: tuple[str, ...], how: str) -> str:
    listed = [f"  {number}. {option}" for number, option in enumerate(options, start=1)]
    return "\n".join([question, *listed, how])
