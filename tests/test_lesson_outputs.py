"""A stored lesson holds what it says: a changed word is seen, a changed colour is not."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import nbformat
import pytest

from tests.store_lessons import tidy, unfit

SHOWN = """
class Table:
    def __init__(self, text):
        self.text = text

    def __repr__(self):
        return self.text

    def _repr_html_(self):
        return f"<b style='color: green'>{self.text}</b>"

    def _repr_svg_(self):
        return f"<svg><text>{self.text}</text></svg>"
"""
CELLS = {  # what a cell holds: what it has said before, and whether that counts as the same
    'Table("S1 on: 1601 W")': ("S1 on: 1601 W", "PASSED"),
    'Table("S1 on:  800 W")': ("S1 on: 1601 W", "FAILED"),
    'Table("nothing was stored")': (None, "FAILED"),
    "kept = Table('not shown')": ("S1 on: 1601 W", "FAILED"),
    "print(800)": (None, "FAILED"),
    "1 / 0": ("1", "FAILED"),
}


def result(text: str, **looks: str) -> Any:
    data = {"text/plain": text, **looks}
    return nbformat.v4.new_output("execute_result", data, execution_count=1)


def stored(*cells: tuple[str, list[Any]]) -> Any:
    book = nbformat.v4.new_notebook(metadata={"language_info": {"name": "python"}})
    for source, outputs in cells:
        cell = nbformat.v4.new_code_cell(source, execution_count=1, outputs=outputs)
        book.cells.append(cell)
    return book


def test_a_lesson_fails_when_a_text_differs_or_is_missing_and_not_when_looks_do(
    tmp_path: Path, checkout: Path
) -> None:
    cells = [(source, [result(text)] if text else []) for source, (text, _) in CELLS.items()]
    nbformat.write(stored((SHOWN, []), *cells), tmp_path / "lesson.ipynb")
    options = ["-v", "-p", "tests.lesson_outputs", "--nbval", "--nbval-current-env"]
    done = subprocess.run(
        [sys.executable, "-m", "pytest", *options, "--rootdir", str(tmp_path), str(tmp_path)],
        cwd=checkout,
        capture_output=True,
        text=True,
    )
    verdicts = re.findall(r"::Cell \d+ (PASSED|FAILED)", done.stdout)
    assert verdicts == ["PASSED", *(verdict for _, verdict in CELLS.values())], done.stdout


def test_of_an_output_its_text_is_stored_and_printed_words_whole() -> None:
    said = nbformat.v4.new_output("stream", text="low between 115 V\n")
    drawn = result("Tea urn: 400 W", **{"text/html": "<p>", "image/svg+xml": "<svg/>"})
    book = tidy(stored(("urn", [said, drawn])))
    assert [output.get("data", output.get("text")) for output in book.cells[0].outputs] == [
        "low between 115 V\n",
        {"text/plain": "Tea urn: 400 W"},
    ]
    assert unfit(book) is None


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("<Figure size 700x400 with 1 Axes>", "<Figure size 700x400 with 1 Axes>"),
        ("[<lamp at 0x7f00c0ffee>]", " at 0x7f00c0ffee"),
        (f"in {Path(__file__).parents[1]}/workbook", str(Path(__file__).parents[1])),
    ],
)
def test_a_text_that_says_nothing_or_is_of_this_machine_is_not_stored(
    text: str, found: str
) -> None:
    assert unfit(stored(("urn", [result(text)]))) == found
