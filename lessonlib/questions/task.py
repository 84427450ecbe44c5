"""`exercise` and `check`: an exercise in front of a learner, with its tries and its hints.

It shows as a form in a notebook and as plain text elsewhere, and works in plain code as well:
`.try_answer(...)`, `.hint()`, `.worked_answer()`, `.new_numbers()`.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from lessonlib.errors import shown
from lessonlib.progress.progress import progress_here
from lessonlib.progress.records import TEXT_LIMIT, WHOLE_NUMBERS, Try
from lessonlib.questions.bank import find, find_check
from lessonlib.questions.draw import as_seed
from lessonlib.questions.exercise import Exercise, Template
from lessonlib.questions.marking import mark
from lessonlib.questions.reply import Reply, Shown
from lessonlib.words import counted

if TYPE_CHECKING:
    from ipywidgets import DOMWidget

    from lessonlib.questions.form import FormView
    from lessonlib.schematics.schematic import Schematic

TRIES_BEFORE_WORKED_ANSWER = 3
MAY_LOOK = "You have given it a fair try. You may look at the worked answer now."
SEEDS_TRIED = 30  # for another question: of two that come equally often, one in 10⁹ fails


class Task(Shown):
    """An exercise with the numbers of one seed. `tries` counts the answers that could be read;
    `solved` is True from the first right one on. Every try is recorded in the progress."""

    def __init__(self, template: Template, seed: int) -> None:
        self.template = template
        self._begin(seed)

    def _begin(self, seed: int) -> None:
        seed = as_seed(seed)
        self.exercise: Exercise = self.template.draw(seed)
        self.seed = seed
        answer = self.exercise.answer
        for slip in self.exercise.slips:  # so that the first reply does not wait for what all need
            answer.same(answer.value, slip.value)
        self.tries = 0
        self.solved = False
        self.hints_seen = 0
        self.worked_seen = False

    @property
    def hints_left(self) -> int:
        """How many of the hints have not been given yet."""
        return len(self.exercise.hints) - self.hints_seen

    @property
    def may_see_worked_answer(self) -> bool:
        """Whether it was solved, or tried often enough."""
        return self.solved or self.tries >= TRIES_BEFORE_WORKED_ANSWER

    def try_answer(self, given: object) -> Reply:
        """The reply to `given`, a text, or a list or mapping where more than one thing is asked
        for. It is only read, never evaluated."""
        marked = mark(self.exercise, given)
        progress_here().record(
            Try(
                exercise=self.template.name,
                lesson=self.template.lesson,
                objective=self.template.objective,
                seed=self.seed,
                verdict=marked.verdict,
                slip=marked.slip,
                answer=_recorded(given)[: TEXT_LIMIT if marked.verdict == "unread" else None],
                worked_shown=self.worked_seen,
            )
        )
        said = marked.reply
        if marked.verdict != "unread":
            self.tries += 1
        if marked.verdict == "right":
            self.solved = self.worked_seen = True  # the reply brings the worked answer along
            said = "\n".join((said, *self.exercise.worked))
        elif marked.verdict == "wrong" and self.may_see_worked_answer and not self.worked_seen:
            said += f"\n{MAY_LOOK}"
        return self._said(said, marked.verdict)

    def hint(self) -> Reply:
        """The first hint, then the second."""
        if not self.hints_left:
            return self._said("You have seen every hint. Try with what you have.")
        self.hints_seen += 1
        return self._said(self.exercise.hints[self.hints_seen - 1])

    def worked_answer(self) -> Reply:
        """The worked answer, once it was solved or tried three times; before that, what to do."""
        if self.may_see_worked_answer:
            self.worked_seen = True
            answer = self.exercise.answer
            written = answer.written(answer.value)
            gap = "\n" if "\n" in written else " "
            return self._said("\n".join((*self.exercise.worked, f"Answer:{gap}{written}")))
        left = TRIES_BEFORE_WORKED_ANSWER - self.tries
        more = counted(left, "more try", "more tries")
        return self._said(f"Try it first: the worked answer comes after {more}.")

    def new_numbers(self, seed: int | None = None) -> Task:
        """The same exercise with the numbers of `seed`, or of the next one that gives another
        question; tries start anew."""
        self._begin(self._next_seed() if seed is None else seed)
        progress_here().take_up(self.template.name, self.seed)
        self._refresh()
        return self

    def _next_seed(self) -> int:
        """The next seed whose question looks different; where none of `SEEDS_TRIED` does, there is
        only one question, and it comes again."""
        steps = range(1, SEEDS_TRIED + 1)
        following = [(self.seed + step) % WHOLE_NUMBERS.stop for step in steps]
        now = _seen(self.exercise)
        others = (seed for seed in following if _seen(self.template.draw(seed)) != now)
        return next(others, following[0])

    def resume(self) -> Task:
        """Take up the tries already recorded for these numbers."""
        recorded = progress_here().tries(self.template.name)
        verdicts = [one.verdict for one in recorded if one.seed == self.seed]
        self.tries = len(verdicts) - verdicts.count("unread")
        self.solved = self.worked_seen = "right" in verdicts
        return self

    def _said(self, words: str, verdict: str = "") -> Reply:
        self._refresh()
        return Reply(words, verdict)

    def _refresh(self) -> None:
        """A form that is on the page already shows what plain code did."""
        if self._view is not None:
            self._view.refresh()

    def pictures(self) -> list[tuple[str, Schematic]]:
        """The drawings that go with it, each with its label; of one alone that is empty."""
        from lessonlib.schematics.schematic import schematic

        one, setting = self.exercise.appliance, self.exercise.setting
        drawn = self.exercise.wirings if one is None else (("", one),)
        return [
            (label, schematic(appliance, setting, readings=False, conditions=False))
            for label, appliance in drawn
        ]

    def live_picture(self) -> DOMWidget | None:
        """The same circuit alive, heating where the exercise is about that; None where there is no
        drawing."""
        from lessonlib.panels.heating import heating_panel
        from lessonlib.panels.widget import panel

        appliance, setting = self.exercise.appliance, self.exercise.setting
        if appliance is None:
            return None
        if self.exercise.heats:
            return heating_panel(appliance, setting, faults=True)
        return panel(appliance, setting)

    def __repr__(self) -> str:
        form = self.exercise.answer.form()
        lines = [self.exercise.text]
        listed = form.get("options", form.get("items", []))
        for label, item in zip(form.get("letters", range(1, len(listed) + 1)), listed, strict=True):
            lines.append(f"  {label}. {item}")
        if form["kind"] == "table":
            lines.append(f"  Rows: {'; '.join(form['rows'])}")
            lines.append(f"  Columns: {'; '.join(column['heading'] for column in form['columns'])}")
        lines.append(f"Your answer: {self.exercise.answer.how()}")
        return "\n".join(lines)

    def _new_view(self) -> FormView:
        from lessonlib.questions.form import FormView

        return FormView(self)


def exercise(name: str, seed: int | None = None) -> Task:
    """The exercise of that name, as it was left. The same `seed` gives the same numbers; left out,
    they are those worked on last, or at first those of a number of the trainee's own. Raises
    `AnswerError` for an unknown name, and for a seed that is no whole number in range."""
    template = find(name)
    at_hand = progress_here().seed_at_hand(template.name) if seed is None else seed
    return Task(template, at_hand).resume()


def check(name: str) -> Task:
    """The check of that name. Raises `AnswerError` when there is none."""
    return Task(find_check(name), 0)


def _seen(exercise: Exercise) -> tuple[object, ...]:
    """What makes it another question for a learner: its words and its drawing."""
    return exercise.text, exercise.appliance, exercise.setting, exercise.wirings


def _recorded(given: object) -> str:
    """What was given, as text for the record: as typed, or as JSON where it has several parts."""
    if isinstance(given, str):
        return given
    try:
        return json.dumps(given, ensure_ascii=False)
    except (TypeError, ValueError, RecursionError):
        return shown(given, 200)
