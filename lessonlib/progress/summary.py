"""Sums up the tries: what is right in each lesson, the slips made, and what to do next."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from lessonlib.progress.records import Try
from lessonlib.words import counted

SLIPS_SHOWN = 5


@dataclass(frozen=True)
class LessonSummary:
    """One lesson. `tried` and `right` are names of exercises, in the order of their first try. An
    exercise is right once it was answered correctly before its worked answer was shown, and an
    objective is met once one of its exercises is right. `tries` counts the answers that could be
    read."""

    lesson: int
    tried: tuple[str, ...]
    right: tuple[str, ...]
    tries: int
    objectives_met: tuple[str, ...]

    @property
    def title(self) -> str:
        """Which lesson."""
        return f"Lesson {self.lesson}"

    @property
    def counts(self) -> str:
        """How many questions are right, and in how many tries."""
        tries = counted(self.tries, "try", "tries")
        return f"{len(self.right)} of {len(self.tried)} right, {tries}"

    @property
    def objectives(self) -> str:
        """How many objectives are met."""
        met = len(self.objectives_met)
        return f"{counted(met, 'objective')} met" if met else "no objective met yet"


@dataclass(frozen=True)
class Summary:
    """Every lesson with a try, in order. `slips` are in words with counts, most frequent first."""

    lessons: tuple[LessonSummary, ...]
    slips: tuple[tuple[str, int], ...]

    @property
    def total(self) -> str:
        """All lessons together, in words."""
        if not self.lessons:
            return "Nothing tried yet"
        right = sum(len(each.right) for each in self.lessons)
        tried = sum(len(each.tried) for each in self.lessons)
        tries = counted(sum(each.tries for each in self.lessons), "try", "tries")
        return f"{right} of {counted(tried, 'question')} right, {tries}"

    @property
    def so_far(self) -> dict[str, str]:
        """The questions tried, as "tried" or "right"."""
        tried = {name: "tried" for each in self.lessons for name in each.tried}
        return tried | {name: "right" for each in self.lessons for name in each.right}

    def __str__(self) -> str:
        lines = [f"{self.total}."]
        for each in self.lessons:
            named = f": {'; '.join(each.objectives_met)}" if each.objectives_met else ""
            lines.append(f"{each.title}: {each.counts}, {each.objectives}{named}.")
        if self.slips:
            most = self.slips[:SLIPS_SHOWN]
            named = "; ".join(f"{words} ({counted(times, 'time')})" for words, times in most)
            lines.append(f"Most frequent slips: {named}.")
        elif self.lessons:
            lines.append("No known slips so far.")
        return "\n".join(lines)

    __repr__ = __str__


def words_of(name: str) -> str:
    """The name of a slip or an exercise as words: no hyphens; P1 has its capital."""
    words = name.replace("-", " ").replace("_", " ")
    return re.sub(r"\b[a-z][0-9]\b", lambda part: part[0].upper(), words)


def slip_of(one: Try) -> str:
    """The slip of a try in words: its name."""
    return words_of(one.slip or "")


def summarised(tries: Sequence[Try], told: Callable[[Try], str] = slip_of) -> Summary:
    """The summary of `tries`, which are in order. Answers that could not be read do not count.
    `told` puts the slip of a try into words; it is asked for those that are shown."""
    read = [one for one in tries if one.verdict != "unread"]
    lessons = []
    for lesson in sorted({one.lesson for one in read}):
        own = [one for one in read if one.lesson == lesson]
        right = [one for one in own if _is_right(one)]
        lessons.append(
            LessonSummary(
                lesson=lesson,
                tried=_once(one.exercise for one in own),
                right=_once(one.exercise for one in right),
                tries=len(own),
                objectives_met=_once(one.objective for one in right if one.objective),
            )
        )
    counts = Counter(one.slip for one in read if one.slip)
    last = {one.slip: one for one in read}
    most = sorted(counts, key=lambda name: (-counts[name], name))
    shown = [told(last[name]) for name in most[:SLIPS_SHOWN]] + most[SLIPS_SHOWN:]
    slips = tuple((words, counts[name]) for words, name in zip(shown, most, strict=True))
    return Summary(tuple(lessons), slips)


class Suggestion(NamedTuple):
    """What to do next, in words, and the name of the exercise; empty where none is suggested."""

    words: str
    exercise: str = ""


def suggested(tries: Sequence[Try], lessons: Mapping[str, int]) -> Suggestion:
    """What to do next: an exercise in which a slip came back; else one tried and not right yet;
    else the next one of the present lesson, of later ones, of earlier ones. `lessons` has the
    lesson of each exercise, by name and in order."""
    if again := _came_back(tries, lessons):
        name, slip = again
        return Suggestion(
            f"Try exercise “{words_of(name)}” of lesson {lessons[name]} again, with new numbers: "
            f"the slip “{words_of(slip)}” came back there.",
            name,
        )
    right = {one.exercise for one in tries if _is_right(one)}
    tried = {one.exercise for one in tries}
    here = next((lessons[one.exercise] for one in reversed(tries) if one.exercise in lessons), 0)
    left = [name for name in lessons if name not in right]
    if not left:
        return Suggestion("You have every exercise right. Try any of them again with new numbers.")
    # lessons that were skipped come last
    name = min(left, key=lambda each: (each not in tried, lessons[each] < here, lessons[each]))
    lesson, called = lessons[name], f"“{words_of(name)}”"
    if not tried:
        words = f"Begin with lesson {lesson}. Its first exercise is {called}."
    elif name in tried:
        words = f"Go on with exercise {called} of lesson {lesson}: not right yet."
    elif any(lessons[each] == lesson for each in tried & lessons.keys()):
        words = f"Next is exercise {called} of lesson {lesson}."
    elif lesson < here:
        words = f"Lesson {lesson} is still to do. Its first exercise is {called}."
    else:
        words = f"Go on to lesson {lesson}. Its first exercise is {called}."
    return Suggestion(words, name)


def _is_right(one: Try) -> bool:
    return one.verdict == "right" and not one.worked_shown


def _once(names: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(names))


def _came_back(tries: Sequence[Try], lessons: Mapping[str, int]) -> tuple[str, str] | None:
    """The exercise and the slip that was made last of those made with other numbers too, unless the
    exercise was answered correctly since."""
    counts = Counter(slip for _, _, slip in {(one.exercise, one.seed, one.slip) for one in tries})
    settled: set[str] = set()
    for one in reversed(tries):
        if _is_right(one):
            settled.add(one.exercise)
        elif one.slip and counts[one.slip] > 1 and one.exercise in lessons.keys() - settled:
            return one.exercise, one.slip
    return None
