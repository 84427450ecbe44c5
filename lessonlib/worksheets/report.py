"""What each trainee hears, and the page that says what the class is to talk about next."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from html import escape
from typing import TYPE_CHECKING
from urllib.parse import quote

from lessonlib.errors import LessonlibError
from lessonlib.palette import LIGHT
from lessonlib.questions.exercise import Slip
from lessonlib.questions.prediction import predict
from lessonlib.words import counted
from lessonlib.worksheets.handout import (
    drawn,
    page,
    paragraphs,
    question,
    table,
    worked,
    worked_by_drawings,
)
from lessonlib.worksheets.key import said_points
from lessonlib.worksheets.points import Result, as_given
from lessonlib.worksheets.statistics import FEWEST, Item, items, reliability

if TYPE_CHECKING:
    from lessonlib.worksheets.marking import Marks, Sheet
    from lessonlib.worksheets.setting import Class

AGAIN = 2
"""How many exercises are named to go through again."""

_FIRST = "Figures are those of the first one named."
_SIGNS = {"right": "✓ right", "right later": "✓ right later", "slip": "✗ not right"}
_SIGNS |= {"wrong": "✗ not right", "not read": "? could not be read", "no answer": "– no answer"}


def feedback(of: Class, sheet: Sheet) -> bytes:
    """What one trainee hears: each exercise with the answer, the reply and the worked answer."""
    most = of.worksheet.points * len(sheet.results)
    one = sheet.trainee
    parts = [
        f"<h1>{escape(of.worksheet.title)}</h1>",
        f"<p>{escape(one.name)}, set {one.numbers}: {sheet.points:g} of {most:g} points.</p>",
    ]
    for number, each in enumerate(sheet.results, 1):
        asked = drawn(each.exercise, one.numbers)
        tries = f", {counted(each.tries, 'try', 'tries')}" if each.tries else ""
        given = f'<p class="hc-given">Your last answer: {escape(_plain(each.last))}</p>'
        parts.append(
            f"<h2>{number}. {_SIGNS[each.outcome]}: {each.points:g} of "
            f"{of.worksheet.points:g}{tries}</h2>"
            f"{paragraphs(asked.text)}{given if each.last else ''}{paragraphs(each.reply)}"
            f"<details{'' if _right(each) else ' open'}><summary>Worked answer</summary>"
            f"{worked_by_drawings(each.exercise, one.numbers)}</details>"
        )
    return page(f"{of.worksheet.title}: {one.name}", "".join(parts))


def report(marks: Marks) -> bytes:
    """The page for the instructor: what to talk about, then figures, then every file."""
    sheet = marks.of.worksheet
    title = f"{sheet.title}: what to talk about"
    parts = [f"<h1>{escape(title)}</h1>", f"<p>{escape(_first_line(marks))}</p>"]
    if marks.sheets:
        stats = items(marks.shares)
        parts += [_again(marks, stats), _slips(marks), _objectives(marks)]
        parts += [_exercises(marks, stats), _predictions(marks)]
    parts += [_trainees(marks), _files(marks)]
    return page(title, "".join(parts), "hc-wider")


def _first_line(marks: Marks) -> str:
    there, sheet = len(marks.sheets), marks.of.worksheet
    said = f"{there} of {len(marks.of.trainees)} marked. "
    if there:
        most = sheet.points * len(sheet.exercises)
        mean = sum(one.points for one in marks.sheets) / there
        said += f"Mean {mean:.3g} of {most:g} points. "
    return f"{said}Points: {said_points(sheet)}"


def _again(marks: Marks, stats: Sequence[Item]) -> str:
    """The exercises with the least points, to go through with the class."""
    names = marks.of.worksheet.exercises
    order = sorted(range(len(names)), key=lambda place: stats[place].share)
    lowest = [place for place in order if stats[place].share < 1][:AGAIN]
    if not lowest:
        return "<h2>Go through again</h2><p>Nothing: everyone has everything right.</p>"
    parts = ["<h2>Go through again</h2>"]
    for place in lowest:
        name, numbers = names[place], marks.sheets[0].trainee.numbers
        parts.append(
            f"<h3>{place + 1}. {escape(name)}: {_percent(stats[place].share)} of the points</h3>"
            f"<p>{_outcomes(marks, place)}.</p>"
            f"<details><summary>The question, with set {numbers}</summary>"
            f"{question(name, numbers)}"
            f"{worked(drawn(name, numbers))}</details>"
        )
    return "".join(parts)


def _slips(marks: Marks) -> str:
    """Slips by how many made them, with what to say, and a bar each."""
    made: dict[tuple[str, str], list[str]] = {}
    words: dict[tuple[str, str], Slip] = {}
    for sheet in marks.sheets:
        for each in sheet.results:
            for name in each.slips:
                made.setdefault((each.exercise, name), []).append(sheet.trainee.name)
                known = drawn(each.exercise, sheet.trainee.numbers).slips
                words.setdefault(
                    (each.exercise, name), next(slip for slip in known if slip.name == name)
                )
    if not made:
        return "<h2>Slips that were made</h2><p>None that is known.</p>"
    order = sorted(made, key=lambda key: -len(made[key]))
    numbers = {name: str(place) for place, name in enumerate(marks.of.worksheet.exercises, 1)}
    rows = [
        (
            _bar(len(made[key]), len(marks.sheets)),
            escape(f"{numbers[key[0]]}. {key[0]}"),
            escape(words[key].thought or "–"),
            escape(f"{words[key].why} {words[key].attempt}"),
            escape(", ".join(made[key])),
        )
        for key in order
    ]
    heads = ("trainees", "exercise", "the thought", "what to say, and what to try", "who")
    return f"<h2>Slips that were made</h2>{table(heads, rows)}<p>{_FIRST}</p>"


def _objectives(marks: Marks) -> str:
    """How many met each objective: every exercise of it right, sooner or later."""
    by_objective: dict[str, list[int]] = {}
    for place, template in enumerate(marks.of.worksheet.templates):
        by_objective.setdefault(template.objective, []).append(place)
    rows = []
    for objective, places in by_objective.items():
        met = sum(all(_right(sheet.results[place]) for place in places) for sheet in marks.sheets)
        listed = ", ".join(str(place + 1) for place in places)
        rows.append((_bar(met, len(marks.sheets)), escape(objective), listed))
    return f"<h2>Objectives met</h2>{table(('trainees', 'can', 'exercises'), rows)}"


def _exercises(marks: Marks, stats: Sequence[Item]) -> str:
    rows = []
    for place, (name, item) in enumerate(zip(marks.of.worksheet.exercises, stats, strict=True)):
        tells = (
            "–" if item.discrimination is None else f"{item.discrimination:.2f}".replace("-", "−")
        )
        rows.append(
            (
                _bar(sum(_right(each.results[place]) for each in marks.sheets), len(marks.sheets)),
                escape(f"{place + 1}. {name}"),
                _outcomes(marks, place),
                _percent(item.share),
                tells,
                escape(item.remark),
            )
        )
    heads = ("right in the end", "exercise", "outcomes", "points", "tells apart", "remark")
    alpha = reliability(marks.shares)
    said = (
        f"From {FEWEST} trainees on, this says whether an exercise tells trainees apart (1: as the "
        "rest of the sheet does, 0: not at all) and how reliable the whole is."
        if alpha is None
        else f"Reliability of the whole (Cronbach's alpha): {alpha:.2f}. From 0.7 on, the points "
        "of a sheet tell trainees apart well enough (common practice, no source)."
    )
    return f"<h2>Exercises</h2>{table(heads, rows)}<p>{escape(said)}</p>"


def _outcomes(marks: Marks, place: int) -> str:
    """What came of that exercise, the commonest first: "7 right, 2 with a known slip"."""
    found = Counter(sheet.results[place].outcome for sheet in marks.sheets)
    words = {"slip": "with a known slip"}
    return ", ".join(f"{count} {words.get(what, what)}" for what, count in found.most_common())


def _predictions(marks: Marks) -> str:
    """What the class predicted in the lessons, at first and at last."""
    first: dict[str, Counter[str]] = {}
    last: dict[str, Counter[str]] = {}
    for sheet in marks.sheets:
        by_name: dict[str, list[str]] = {}
        for one in sheet.predictions:
            by_name.setdefault(one.name, []).append(one.choice)
        for name, choices in by_name.items():
            first.setdefault(name, Counter())[choices[0]] += 1
            last.setdefault(name, Counter())[choices[-1]] += 1
    parts = [_prediction(name, first[name], last[name]) for name in first]
    return f"<h2>Predictions</h2>{''.join(parts)}" if any(parts) else ""


def _prediction(name: str, first: Mapping[str, int], last: Mapping[str, int]) -> str:
    try:
        asked = predict(name)
    except LessonlibError:  # a name that a file made up
        return ""
    whole = sum(first.get(option, 0) for option in asked.options)
    if not whole:  # choices that the lesson no longer offers
        return ""
    rows = [
        (
            escape(option + (" (this is so)" if option == asked.truth else "")),
            _bar(first.get(option, 0), whole),
            _bar(last.get(option, 0), whole),
        )
        for option in asked.options
    ]
    return f"<h3>{escape(asked.question)}</h3>{table(('', 'at first', 'at last'), rows)}"


def _trainees(marks: Marks) -> str:
    rows = [
        (escape(one.trainee.name), f"{one.points:g}", _link(one.trainee.file))
        for one in marks.sheets
    ]
    rows += [(escape(one.name), "–", "nothing handed in that counts") for one in marks.missing]
    return f"<h2>Trainees</h2>{table(('name', 'points', 'feedback'), rows)}"


def _files(marks: Marks) -> str:
    """Every file: those that need a look, then the rest, folded."""
    heads = ("file", "what became of it")
    parts = []
    for marked in (False, True):
        rows = [
            (escape(one.file), escape(one.said)) for one in marks.accounts if one.marked is marked
        ]
        if not rows:
            continue
        files = counted(len({file for file, _ in rows}), "file")
        head = f"{files} {'marked' if marked else 'not or not wholly marked'}"
        parts.append(
            f"<details{'' if marked else ' open'}><summary>{head}</summary>{table(heads, rows)}"
            "</details>"
        )
    return f"<h2>Every file that was handed in</h2>{''.join(parts)}"


def _plain(answer: str) -> str:
    """An answer as a person would write it: one of several parts comes as JSON from a form."""
    parts = as_given(answer)
    if isinstance(parts, Mapping):
        return ", ".join(f"{name} {position}" for name, position in parts.items())
    if isinstance(parts, list):
        rows = ["; ".join(map(str, row)) if isinstance(row, list) else str(row) for row in parts]
        return ("\n" if any(isinstance(row, list) for row in parts) else ", ").join(rows)
    return answer


def _percent(share: float) -> str:
    return f"{100 * share:.0f}\u00a0%"


def _right(one: Result) -> bool:
    return one.outcome in ("right", "right later")


def _link(file: str) -> str:
    return f'<a href="feedback/{quote(file)}.html">open</a>'


def _bar(count: int, whole: int) -> str:
    """A count with a bar as long as its share."""
    share = 100 * count / whole if whole else 0
    return (
        f'<span class="hc-count"><svg width="104" height="14" role="img" '
        f'aria-label="{share:.0f} %">'
        f'<rect x="1" y="1" width="102" height="12" fill="none" stroke="{LIGHT["line"]}"/>'
        f'<rect x="1" y="1" width="{1.02 * share:.1f}" height="12" fill="{LIGHT["ink"]}"/></svg> '
        f"{count} of {whole}</span>"
    )
