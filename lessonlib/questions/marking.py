"""One rule for every kind of answer: it is right, a known slip, or wrong in another way; and
whether an answer and its slips are far enough apart for that."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

from lessonlib.progress.records import Verdict
from lessonlib.questions.exercise import Exercise, Slip
from lessonlib.questions.reading import Unread
from lessonlib.questions.reply import WRONG


@dataclass(frozen=True)
class Marked:
    """`unread` is no try: nothing was understood, so nothing was wrong. `slip` is the name of the
    slip that explains a wrong value, None where there is none."""

    verdict: Verdict
    reply: str
    slip: str | None = None


def mark(exercise: Exercise, given: object) -> Marked:
    """The marking of `given`; its reply never holds the right answer."""
    answer = exercise.answer
    values = answer.read(given)
    if isinstance(values, Unread):
        return Marked("unread", values.reason)
    for value in values:
        if answer.right(value):
            return Marked("right", f"Right: {answer.seen(value)}.")
    for value in values:
        for slip in exercise.slips:
            if answer.same(value, slip.value):
                said = f"{WRONG} {answer.heard(value)} {_explained(slip)}"
                return Marked("wrong", said, slip.name)
    heard, general = answer.heard(values[0]), answer.general(values[0])
    return Marked("wrong", f"{WRONG} {heard} {general}")


def _explained(slip: Slip) -> str:
    if not slip.thought:
        return slip.why
    return f"This is what you get when {slip.thought}. {slip.why} Try: {slip.attempt}"


def too_close(exercise: Exercise) -> str:
    """What cannot be told apart, as found, accepted and next step; empty where all can."""
    answer = exercise.answer
    values = [("the answer", answer.value), *((slip.name, slip.value) for slip in exercise.slips)]
    for (name, one), (other_name, other) in combinations(values, 2):
        if not answer.apart(one, other):
            return (
                f"found {answer.written(one)} for {name} and {answer.written(other)} for "
                f"{other_name}. Accepted: values farther apart than the tolerance reaches. Draw "
                "other numbers, or leave the slip out."
            )
    return ""
