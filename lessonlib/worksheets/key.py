"""The instructor's key: time plan, answers, slips and what to say to each, worked answers."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from lessonlib.questions.exercise import Exercise, Template
from lessonlib.worksheets.handout import drawn, page, paragraphs, table
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
    return f"{full}; {late}; {slip}."


def _plan(sheet: Worksheet) -> str:
    rows = []
    for number, (template, minutes) in enumerate(
        zip(sheet.templates, sheet.minutes, strict=True), 1
    ):
        so_far = sum(sheet.minutes[:number])
        cells = (number, template.name, template.grade, template.objective, minutes, so_far)
        rows.append([escape(str(cell)) for cell in cells])
    heads = ("", "exercise", "grade", "to be able to", "minutes", "after")
    caption = "Time plan, with about five minutes more for each slip that several made"
    return table(heads, rows, caption)


def _exercise(template: Template, some: Sequence[Trainee]) -> str:
    """Answers by set, the slips with what to say, and every worked answer."""
    by_numbers: dict[int, list[str]] = {}
    for one in some:
        by_numbers.setdefault(one.numbers, []).append(one.name)
    draws = {numbers: drawn(template.name, numbers) for numbers in by_numbers}
    rows = [
        (str(numbers), escape(", ".join(names)), _lines(answer_of(draws[numbers])))
        for numbers, names in by_numbers.items()
    ]
    worked = "".join(
        f"<details><summary>Set {numbers}</summary>{paragraphs(one.text)}"
        f"{paragraphs(chr(10).join(one.worked))}</details>"
        for numbers, one in draws.items()
    )
    first = next(iter(draws.values()))
    return (
        f"{paragraphs(first.text)}<p>(Text of set {next(iter(draws))}.)</p>"
        f"{table(('set', 'for', 'answer'), rows)}{_slips(first)}<h3>Worked answers</h3>{worked}"
    )


def _slips(one: Exercise) -> str:
    """The wrong answers that have a known thought behind them, and what to say."""
    rows = [
        (
            _lines(one.answer.written(slip.value)),
            escape(slip.thought or "–"),
            escape(f"{slip.why} {slip.attempt}"),
        )
        for slip in one.slips
    ]
    heads = ("who answers", "thinks so", "what to say, and what to try")
    return table(heads, rows, "Slips, with the numbers of that set")


def answer_of(one: Exercise) -> str:
    """The right answer, as a learner could have typed it."""
    return one.answer.written(one.answer.value)


def _lines(text: str) -> str:
    return "<br>".join(map(escape, text.splitlines()))
