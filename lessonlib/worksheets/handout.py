"""What each trainee gets: a notebook, and a page to print."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from html import escape
from pathlib import Path
from typing import Any

from lessonlib.page.document import document
from lessonlib.palette import LIGHT, declarations
from lessonlib.questions.bank import find
from lessonlib.questions.exercise import Exercise
from lessonlib.questions.lessons import WORKSHEET
from lessonlib.questions.task import Task
from lessonlib.safety import ONE_LINE
from lessonlib.worksheets.trainees import SETS, Trainee
from lessonlib.worksheets.worksheet import MOST_EXERCISES, Worksheet


@lru_cache(maxsize=MOST_EXERCISES * SETS)
def drawn(name: str, numbers: int) -> Exercise:
    """The exercise with these numbers; kept, since trainees share them."""
    return find(name).draw(numbers)


def notebook(sheet: Worksheet, one: Trainee) -> bytes:
    """The trainee's notebook: a cell for each exercise, and one that hands in."""
    code = [f'exercise("{name}", seed={one.numbers})' for name in sheet.exercises]
    cells = [
        _words(
            f"# {_plain(sheet.title)}\n\nFor {_plain(one.name)}. Time: about {sum(sheet.minutes)} "
            f"minutes, for {len(sheet.exercises)} exercises with numbers of your own.\n\n{ONE_LINE}"
            "\n\nBegin with the cell below: press Shift+Enter, and again for the next. "
            f"*New numbers* is for practice: only answers to set {one.numbers} count."
        ),
        _code("from lessonlib import exercise, hand_in"),
        *(
            cell
            for number, line in enumerate(code, 1)
            for cell in (_words(f"## {number}"), _code(line))
        ),
        _words(
            "## Hand in\n\nPress the button when you are done. It writes one file beside this "
            "notebook; give that file to your instructor. You can press it again."
        ),
        _code(f'hand_in("{sheet.code}", {json.dumps(one.key, ensure_ascii=False)}, {one.numbers})'),
    ]
    for place, cell in enumerate(cells):
        cell["id"] = f"cell-{place}"
    whose = {"worksheet": sheet.code, "trainee": one.key, "numbers": one.numbers}
    whole = {
        "cells": cells,
        "metadata": {
            WORKSHEET: whose,
            "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
        },
        "nbformat": 4,
        "nbformat_minor": 5,
    }
    return (json.dumps(whole, indent=1, ensure_ascii=False) + "\n").encode()


def paper(sheet: Worksheet, some: Iterable[Trainee]) -> bytes:
    """A page to print for each of the trainees, one after the other, as one HTML file."""
    return page(sheet.title, "".join(_paper(sheet, one) for one in some))


def page(title: str, body: str, kind: str = "hc-worksheet") -> bytes:
    """A standalone page with the look of a worksheet; `title` is text, `body` HTML."""
    colours = f"body {{ {declarations(LIGHT)} }}\n"  # those of paper, on a dark screen too
    return document(escape(title), colours + style_sheet(), kind, body).encode("utf-8", "replace")


@lru_cache(maxsize=1)
def style_sheet() -> str:
    """The look of a worksheet."""
    return (Path(__file__).parent / "worksheet.css").read_text("utf-8")


def _paper(sheet: Worksheet, one: Trainee) -> str:
    parts = [
        f'<article class="hc-sheet"><h1>{escape(sheet.title)}</h1>',
        f"<p>{escape(one.name)}, set {one.numbers}. Time: about {sum(sheet.minutes)} minutes. "
        f'Worksheet {sheet.code}.</p><p class="hc-note">{escape(ONE_LINE)}</p>',
    ]
    for number, name in enumerate(sheet.exercises, 1):
        parts.append(f"<section><h2>{number}</h2>{question(name, one.numbers)}</section>")
    return "".join((*parts, "</article>"))


@lru_cache(maxsize=MOST_EXERCISES * SETS)
def question(name: str, numbers: int) -> str:
    """The question with its drawing and room for an answer, as HTML."""
    asked = drawn(name, numbers)
    return f"{paragraphs(asked.text)}{pictures(name, numbers)}{room(asked.answer.form())}"


@lru_cache(maxsize=MOST_EXERCISES * SETS)
def pictures(name: str, numbers: int) -> str:
    """The drawings of the question, as HTML, side by side where there is room."""
    drawings = "".join(
        f'<div class="hc-wide" tabindex="0">{paragraphs(label)}{drawing.svg}</div>'
        for label, drawing in Task(find(name), numbers).pictures()
    )
    return f'<div class="hc-beside">{drawings}</div>'


def fresh() -> None:
    """Forget what was drawn: a question of one's own may have been edited since."""
    drawn.cache_clear()
    question.cache_clear()
    pictures.cache_clear()


def table(heads: Iterable[str], rows: Iterable[Sequence[str]], caption: str = "") -> str:
    """A table: heads and caption are text, cells HTML, the first of a row its heading. One of many
    columns keeps its width and scrolls."""
    heads = tuple(heads)
    roomy = ' class="hc-roomy"' if len(heads) > 4 else ""
    above = f"<caption>{escape(caption)}</caption>" if caption else ""
    head = "".join(f'<th scope="col">{escape(each)}</th>' for each in heads)
    body = "".join(
        f'<tr><th scope="row">{first}</th>{"".join(f"<td>{cell}</td>" for cell in rest)}</tr>'
        for first, *rest in rows
    )
    return (
        f'<div class="hc-wide" tabindex="0"><table{roomy}>{above}<thead><tr>{head}</tr></thead>'
        f"<tbody>{body}</tbody></table></div>"
    )


def paragraphs(text: str) -> str:
    """Lines of text as paragraphs of HTML."""
    return "".join(f"<p>{escape(line)}</p>" for line in text.splitlines() if line.strip())


def worked(one: Exercise) -> str:
    """The worked answer, as HTML."""
    return paragraphs("\n".join(one.worked))


def worked_by_drawings(name: str, numbers: int) -> str:
    """The same for an exercise of the bank; below its drawings where it speaks of several."""
    one = drawn(name, numbers)
    return (pictures(name, numbers) if one.wirings else "") + worked(one)


def room(form: Mapping[str, Any]) -> str:
    """Where the answer is written or ticked."""
    line = '<div class="hc-line"></div>'
    match form["kind"]:
        case "choice":
            return _boxes(form["options"])
        case "points":
            return _boxes([*form["points"], form["none"]])
        case "order":
            items = zip(form["letters"], form["items"], strict=True)
            listed = "".join(f"<p>{letter}. {escape(item)}</p>" for letter, item in items)
            return f"{listed}<p>Your order, by letter:</p>{line}"
        case "setting":
            return "".join(
                f"<p>{escape(one['name'])}:</p>{_boxes(one['positions'])}"
                for one in form["switches"]
            )
        case "table":
            heads = [f"{each['heading']} ({each['unit']})" for each in form["columns"]]
            head = "".join(f'<th scope="col">{escape(each)}</th>' for each in ["", *heads])
            rows = "".join(
                f'<tr><th scope="row">{escape(row)}</th>{"<td></td>" * len(heads)}</tr>'
                for row in form["rows"]
            )
            return f"<table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"
        case "file":
            return f"<p>Your file begins so:</p><pre>{escape(form['start_text'])}</pre>{line * 10}"
        case _:
            unit = f", in {escape(form['unit'])}" if form.get("unit") else ""
            return f"<p>Your answer{unit}:</p>{line}"


def _boxes(options: Iterable[str]) -> str:
    items = "".join(f'<li class="hc-box">{escape(one)}</li>' for one in options)
    return f"<ul>{items}</ul>"


def _plain(text: str) -> str:
    """Text that Markdown shows as it is."""
    return "".join(f"\\{one}" if one in "\\`*_{}[]()#+!|<>&~$" else one for one in text)


def _words(text: str) -> dict[str, Any]:
    kept = {"deletable": False, "editable": False}
    return {"cell_type": "markdown", "metadata": kept, "source": text}


def _code(text: str) -> dict[str, Any]:
    return {
        "cell_type": "code",
        "execution_count": None,
        "metadata": {"deletable": False},
        "outputs": [],
        "source": text,
    }
