"""`check_questions`: what is wrong with questions of one's own, before a class sees them."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from html import escape
from pathlib import Path

from lessonlib.appliance.file_text import file_text
from lessonlib.errors import AnswerError, LessonlibError
from lessonlib.files import read_regular
from lessonlib.questions.answers import Number
from lessonlib.questions.bank import lessons_of_questions, own_files
from lessonlib.questions.content import MOST_CHARACTERS, Entry, read_entries
from lessonlib.questions.content_template import template_of
from lessonlib.questions.content_words import GAP
from lessonlib.questions.exercise import GRADES, Exercise
from lessonlib.questions.marking import mark
from lessonlib.words import counted
from lessonlib.worksheets.handout import paragraphs, room, worked
from lessonlib.worksheets.key import answer_of

SEEDS = range(60)
SHOWN = 3
FEWEST_VARIANTS = 6
SILLY = 1e-4, 1e5
"""Numbers outside of these, in their unit, are hard to take for an appliance's."""

_LEFT_IN = re.compile(r"(?<!\S)[a-z][\w-]* += ", re.ASCII)
_TYPED = re.compile(r"(?<![\w{}.])(\d+(?:\.\d+)?) ?(V|W|A|Ω|ohm|kW|mA|°C|bar)\b")


@dataclass(frozen=True, repr=False)
class OwnQuestions:
    """A file of questions, checked. `problems` is empty where a class may see it; `draws` has up to
    three draws of each exercise, as a trainee would see them."""

    file: str
    problems: tuple[str, ...]
    draws: tuple[tuple[str, int, Exercise], ...]

    def __repr__(self) -> str:
        lines = [self._verdict, *(f"- {one}" for one in self.problems)]
        for name, seed, one in self.draws:
            lines += ["", f"{name}, set {seed}", one.text, f"Answer: {answer_of(one)}"]
        return "\n".join(lines)

    @property
    def _verdict(self) -> str:
        if self.problems:
            return f"{self.file}: {counted(len(self.problems), 'thing')} to put right."
        return f"{self.file}: nothing wrong found. Read the draws below before a class does."

    def _repr_html_(self) -> str:
        listed = "".join(f"<li>{escape(one)}</li>" for one in self.problems)
        parts = [f"<p><strong>{escape(self._verdict)}</strong></p>"]
        parts += [f"<ul>{listed}</ul>"] if listed else []
        for name, seed, one in self.draws:
            parts.append(
                f"<h4>{escape(name)}, set {seed}</h4>{paragraphs(one.text)}"
                f"{room(one.answer.form())}{paragraphs(f'Answer: {answer_of(one)}')}"
                f"<details><summary>Worked answer</summary>"
                f"{worked(one)}</details>"
            )
        return "".join(parts)


def check_questions(path: str | Path) -> OwnQuestions:
    """Read a question file as the workbook does, draw each exercise with many numbers, and say what
    is wrong. Raises `AnswerError` where the file cannot be read at all."""
    file = Path(path).expanduser()
    try:
        text = read_regular(file, 4 * MOST_CHARACTERS).decode("utf-8-sig")
    except (OSError, UnicodeDecodeError) as problem:
        reason = getattr(problem, "strerror", None) or "bytes that are not UTF-8"
        raise AnswerError(
            f"{file}: found {reason}. Accepted: a text file of questions, in UTF-8. Name another."
        ) from None
    try:
        entries = read_entries(text, file.name)
    except AnswerError as error:
        return OwnQuestions(file.name, tuple(str(error).splitlines()), ())
    problems: list[str] = [] if entries else ["There is no question in it."]
    draws: list[tuple[str, int, Exercise]] = []
    for entry in entries:
        if entry.kind in GRADES:
            said, drawn = _checked(entry)
            problems += said
            draws += drawn
    return OwnQuestions(file.name, tuple(problems), tuple(draws))


def _checked(entry: Entry) -> tuple[list[str], list[tuple[str, int, Exercise]]]:
    """What is wrong with one exercise, each said once, and some of its draws."""
    said: dict[str, int] = {}
    seen: dict[str, tuple[str, int, Exercise]] = {}
    template = template_of(entry)
    for what in _missing(entry):
        said.setdefault(what, 0)
    for seed in SEEDS:
        try:
            one = template.draw(seed)
        except LessonlibError as error:
            said.setdefault(f"set {seed} cannot be drawn: {error}", 0)
            break
        if not seen:
            said |= dict.fromkeys(_typed(entry, one), 0)
        seen.setdefault(f"{one.text}{one.answer.value}", (entry.name, seed, one))
        for what in _wrong_with(one):
            said[what] = said.get(what, 0) + 1
    if not said and len(seen) < FEWEST_VARIANTS:
        said[
            f"only {counted(len(seen), 'question')} in {len(SEEDS)} sets: neighbours get the same. "
            "Draw more numbers"
        ] = 0
    problems = [
        f"{entry.name}: {what}" + (f" (in {count} of {len(SEEDS)} sets)" if count else "")
        for what, count in said.items()
    ]
    return problems, list(seen.values())[:SHOWN]


def _missing(entry: Entry) -> list[str]:
    """What an exercise of the workbook has and this one has not, and lines in the wrong place."""
    slips = [item for item in entry.items if item.head]
    wants = {
        "a worked answer: lines that begin with =": entry.worked,
        "two hints: lines that begin with ?": entry.hints[1:],
        "a slip: a line that begins with -": slips,
        "an objective behind its grade": entry.objective.strip(),
    }
    said = [f"it has not {what}" for what, there in wants.items() if not there]
    texts = [entry.text, *(words for item in entry.items for words in item.fields.values())]
    said += [
        f'"{left[0].strip()}" stands among its words. Begin a slip with -, and a line of data, '
        "above the question, with four spaces"
        for text in texts
        if (left := _LEFT_IN.search(text))
    ]
    if entry.name in lessons_of_questions() and not own_files([entry.name]):
        said.append("the workbook has a question of that name. Give yours another")
    return said


def _typed(entry: Entry, one: Exercise) -> list[str]:
    """Figures with a unit that are typed in its text or worked answer, where neither a line of data
    nor the appliance has them."""
    if one.appliance is None:
        return []
    known = " ".join((*(line.value for line in entry.data), file_text(one.appliance)))
    typed = {
        match[0]: match[1]
        for text in (entry.text, *entry.worked)
        for match in _TYPED.finditer(GAP.sub("", text))
    }
    return [
        f'"{figure}" is typed, and neither a line of data nor the appliance has it. Write a gap, '
        "such as {now.power_W: W}, so that it follows from the appliance"
        for figure, number in typed.items()
        if float(number) and not re.search(rf"(?<![\d.]){re.escape(number)}(?![\d.])", known)
    ]


def _wrong_with(one: Exercise) -> list[str]:
    """What is wrong with one draw."""
    said = []
    given = one.answer.written(one.answer.value)
    if mark(one, given).verdict != "right":
        said.append(f"its own answer, {given!r}, is not marked right")
    if isinstance(one.answer, Number):
        value = abs(float(one.answer.value))
        if math.isfinite(value) and value and not SILLY[0] <= value <= SILLY[1]:
            said.append(f"the answer {given} is a silly number for an appliance. Draw others")
    if any(given == word for hint in one.hints for word in [hint.strip(" .")]):
        said.append("a hint is the answer itself")
    return said
