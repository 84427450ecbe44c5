"""The instructor's key: time plan, answers, slips and what to say to each, worked answers."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import Any

from lessonlib.questions.answers import Order
from lessonlib.questions.exercise import Exercise, Template
from lessonlib.worksheets.handout import drawn, page, paragraphs, table, worked_by_drawings
from lessonlib.worksheets.trainees import Trainee
from lessonlib.worksheets.worksheet import Worksheet


def key(sheet: Worksheet, some: Sequence[Trainee]) -> bytes:
    """The key for these trainees, as one HTML file that is also good on paper."""
    parts = [
        f"<h1>Key: {escape(sheet.title)}</h1>",
        f"<p>For the instructor. Worksheet {sheet.code}, {len(some)} trainees. "
        "Points: " + escape(said_points(sheet)) + "</p>",
        _plan(sheet),
    ]
    for number, template in enumerate(sheet.templates, 1):
        parts.append(f"<h2>{number}. {escape(template.name)}</h2>{_exercise(template, some)}")
    return page(f"Key: {sheet.title}", "".join(parts), "hc-wider")


def said_points(sheet: Worksheet) -> str:
    """How answers are counted, in words."""
    full = f"{sheet.points:g} for each that is right within {sheet.tries} tries"
    late = f"{sheet.late * sheet.points:g} for one that is right later or with the worked answer"
    slip = f"{sheet.slip * sheet.points:g} for a wrong one that a known slip explains"
    return "; ".join((full, late, *([slip] if sheet.slip else []))) + "."


def _plan(sheet: Worksheet) -> str:
    rows = []
    for number, (template, minutes) in enumerate(
        zip(sheet.templates, sheet.minutes, strict=True), 1
    ):
        so_far = sum(sheet.minutes[:number])
        cells = (number, template.name, template.grade, template.objective, minutes, so_far)
        rows.append([escape(str(cell)) for cell in cells])
    heads = ("", "exercise", "grade", "to be able to", "minutes", "after")
    more = "<p>Add about five minutes for each slip that several made.</p>"
    return table(heads, rows, "Time plan") + more


def _exercise(template: Template, some: Sequence[Trainee]) -> str:
    """The question, the answers by set, each with its worked answer, and the slips."""
    by_numbers: dict[int, list[str]] = {}
    for one in some:
        by_numbers.setdefault(one.numbers, []).append(one.name)
    first = next(iter(by_numbers))
    rows = []
    for numbers, names in by_numbers.items():
        asked = drawn(template.name, numbers)
        rows.append(
            (
                str(numbers),
                escape(", ".join(names)),
                _lines(answer_of(asked)),
                f"<details{' open' if numbers == first else ''}><summary>Set {numbers}"
                f"</summary>{paragraphs(asked.text)}"
                f"{worked_by_drawings(template.name, numbers)}</details>",
            )
        )
    return table(("set", "for", "answer", "question and worked answer"), rows) + _slips(
        drawn(template.name, first), f"Slips, with the numbers of set {first}"
    )


def _slips(one: Exercise, caption: str) -> str:
    """The wrong answers that have a known thought behind them, and what to say."""
    rows = [
        (
            _lines(_written(one, slip.value)),
            escape(slip.thought or "–"),
            escape(f"{slip.why} {slip.attempt}"),
        )
        for slip in one.slips
    ]
    return table(("who answers", "thinks so", "what to say, and what to try"), rows, caption)


def answer_of(one: Exercise) -> str:
    """The right answer, as a learner could have typed it."""
    return _written(one, one.answer.value)


def _written(one: Exercise, value: Any) -> str:
    """An answer in words and figures, with the letters of what is put in order."""
    if isinstance(one.answer, Order):
        letters = dict(zip(one.answer.offered, one.answer.letters, strict=True))
        return "\n".join(f"{letters[item]}. {item}" for item in value)
    return one.answer.written(value)


def _lines(text: str) -> str:
    return "<br>".join(map(escape, text.splitlines()))
