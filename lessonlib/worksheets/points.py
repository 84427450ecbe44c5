"""What a trainee's answers are worth: each marked anew, whatever a file says about it."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from lessonlib.questions.marking import Marked, mark
from lessonlib.worksheets.handout import drawn
from lessonlib.worksheets.worksheet import Worksheet

Outcome = Literal["right", "right later", "slip", "wrong", "not read", "no answer"]

MOST_TRIES = 200  # of one exercise; more are left out


@dataclass(frozen=True)
class Given:
    """One answer: what was given, as text, in the order in which it was. `worked_shown`: the worked
    answer had been seen before."""

    exercise: str
    text: str
    worked_shown: bool = False


@dataclass(frozen=True)
class Result:
    """What came of one exercise: the last reply, the slips on the way, and the points."""

    exercise: str
    outcome: Outcome
    points: float
    tries: int = 0
    last: str = ""
    reply: str = ""
    slips: tuple[str, ...] = ()


def result(sheet: Worksheet, name: str, numbers: int, given: Sequence[Given]) -> Result:
    """What the answers to one exercise are worth. The first right one ends it."""
    asked, tries, slips = drawn(name, numbers), 0, []
    marked, last = None, ""
    for one in given[:MOST_TRIES]:
        marked, last = mark(asked, as_given(one.text)), one.text
        tries += marked.verdict != "unread"
        if marked.slip is not None:
            slips.append(marked.slip)
        if marked.verdict == "right":
            outcome: Outcome = "right" if tries <= sheet.tries else "right later"
            outcome = "right later" if one.worked_shown else outcome
            break
    else:
        outcome = _not_right(marked)
    share = {"right": 1.0, "right later": sheet.late, "slip": sheet.slip}.get(outcome, 0.0)
    reply = marked.reply if marked else "There is no answer."
    kept = tuple(dict.fromkeys(slips))
    return Result(name, outcome, share * sheet.points, tries, last, reply, kept)


def as_given(text: str) -> object:
    """An answer of several parts, which is JSON, as a form gives it; any other as typed."""
    if text[:1] in ("[", "{"):
        try:
            return json.loads(text)
        except (ValueError, RecursionError):
            pass
    return text


def _not_right(marked: Marked | None) -> Outcome:
    if marked is None:
        return "no answer"
    if marked.verdict == "unread":
        return "not read"
    return "slip" if marked.slip else "wrong"
