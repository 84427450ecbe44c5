"""The form of an exercise or a check: it passes what was filled in to the task, and shows what the
task says."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lessonlib.progress.progress import progress_here
from lessonlib.questions.reply import Reply
from lessonlib.questions.view import QuestionView, with_note
from lessonlib.words import counted

if TYPE_CHECKING:
    from lessonlib.questions.task import Task

NOTHING_YET = "Nothing is filled in yet. Answer first, then press Check."
CHANGED_MEANWHILE = (
    "The numbers were changed in another cell. Here are the new ones; nothing was counted."
)
_PRESSED = ["asked", "hint_wanted", "wanted", "new_wanted", "live_wanted"]
_LIVE = "live picture"


class FormView(QuestionView):
    """The view of one task: an exercise or a check."""

    def __init__(self, task: Task) -> None:
        super().__init__()
        self._task = task
        self.refresh()
        self.observe(self._answer, _PRESSED)

    def bundle(self, text: str) -> dict[str, Any]:
        """What a notebook displays: the widget as the task now stands, or `text`."""
        self.refresh()
        return super().bundle(text)

    def refresh(self) -> None:
        """Show the task as it now stands, as after a try in plain code."""
        task = self._task
        with self.hold_sync():
            if self.draft != self._draft:
                self._draw()
            self.hints = list(task.exercise.hints[: task.hints_seen])
            self.hints_left = task.hints_left
            self.solved = task.solved
            # a right answer has brought the worked one along, unless it came from somewhere else
            brought = "\n".join(task.exercise.worked) in self.feedback
            self.offered = task.may_see_worked_answer and not brought
            self.standing = _standing(task)

    @property
    def _draft(self) -> str:
        return f"heater exercise {self._task.template.name}/{self._task.seed}"

    def _draw(self) -> None:
        """Take over the exercise, as it is at the start."""
        exercise = self._task.exercise
        self.text = exercise.text
        self.picture = "".join(
            f'<div class="hcq-wiring"><strong>{label}</strong>'
            f"{picture._repr_mimebundle_()['text/html']}</div>"
            for label, picture in self._task.pictures()
        )
        self.form = exercise.answer.form()
        self.draft = self._draft
        self.draws = self._task.template.grade != "check"
        self.seed_words = f"numbers of set {self._task.seed}" if self.draws else ""
        self.given = None
        self.feedback = self.verdict = self.worked = self.live = ""
        self.live_offered = False

    def _answer(self, change: Any) -> None:
        """Do what was pressed."""
        with self.hold_sync():
            if self.draft != self._draft:
                self._draw()
                self.feedback = CHANGED_MEANWHILE
            elif change["name"] == "asked":
                self._reply()
            elif change["name"] == "hint_wanted":
                self._task.hint()
            elif change["name"] == "wanted":
                self.worked = str(self._task.worked_answer())
            elif change["name"] == "live_wanted":
                self._open_live_picture()
            else:
                self._task.new_numbers()
                self._draw()
                self.feedback = f"New numbers: set {self._task.seed}. Your tries start again."
            self.refresh()
            self.heard = sum(getattr(self, name) for name in _PRESSED)

    def _reply(self) -> None:
        reply = Reply(NOTHING_YET, "unread")
        if self.given is not None:
            reply = self._task.try_answer(self.given)
        self.feedback, self.verdict, self.answered = with_note(reply), reply.verdict, self.given
        if _LIVE in reply and self._task.exercise.appliance is not None:
            self.live_offered = True

    def _open_live_picture(self) -> None:
        picture = self._task.live_picture()
        if picture is not None:
            self.live = f"IPY_MODEL_{picture.model_id}"


def _standing(task: Task) -> str:
    """How far it has come: "2 tries", "Solved, 3 tries"; or what was done about it on another day,
    or in another cell, with the same numbers."""
    if task.tries:
        words = counted(task.tries, "try", "tries")
        return f"Solved, {words}" if task.solved else words
    tries = progress_here().tries(task.template.name)
    verdicts = {one.verdict for one in tries if one.seed == task.seed} - {"unread"}
    if not verdicts:
        return "Not tried yet"
    return "Solved before" if "right" in verdicts else "Tried before"
