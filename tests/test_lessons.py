"""What every lesson keeps to: its frame, its minutes, and code that tells its result in words."""

from __future__ import annotations

import ast
import re
from pathlib import Path
from typing import Any

import nbformat
import pytest

from lessonlib import lesson_list, predict
from lessonlib.start.notebook import START_PAGE

WORKBOOK = Path(__file__).resolve().parents[1] / "workbook"
LESSONS = sorted(path for path in WORKBOOK.glob("[0-9]*.ipynb") if path.stem != "00_start_here")
START = WORKBOOK / "00_start_here.ipynb"
FRAME = (
    "Before you start", "Meet the circuit", "Predict", "Try", "What happened", "Check", "Exercises",
    "Recap", "Sources",
)  # fmt: skip
MINUTES = 45
# How long a newcomer takes, for the count only: from trying the lessons, no source.
WORDS_A_MINUTE = 130
MINUTES_FOR = {
    "predict": 1,
    "recall": 1,
    "check": 2,
    "exercise": 5,
    "panel": 4,
    "heating_panel": 4,
    "family": 4,
}
MINUTES_A_CELL = 0.4
MAY_DIFFER = 0.08
MOST_CELLS, MOST_WORDS = 46, 1500  # what a lesson needs beyond these takes an hour or more

BEFORE_UNIT = re.compile(r"\d (?:[GMkmµ]?(?:W|V|A|Ω|Hz|J)|K|°C|bar|%|kg|mm|ms)(?!\w)")


def cells(path: Path, kind: str) -> list[Any]:
    return [cell for cell in nbformat.read(path, as_version=4).cells if cell.cell_type == kind]


def needed(path: Path) -> list[Any]:
    """The cells without the optional part on letters and the sources."""
    found, optional = [], False
    for cell in nbformat.read(path, as_version=4).cells:
        if cell.cell_type == "markdown" and cell.source.startswith("## "):
            optional = cell.source.startswith(("## With letters", "## Sources"))
        if not optional:
            found.append(cell)
    return found


def recalled(path: Path) -> list[str]:
    """The names of the predictions that a lesson comes back to."""
    found = (re.findall(r'recall\("(.+)"\)', cell.source) for cell in cells(path, "code"))
    return [name for names in found for name in names]


def calls(source: str) -> list[str]:
    return [
        node.func.id
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
    ]


def minutes(path: Path) -> float:
    outcomes = [line for name in recalled(path) for line in predict(name).outcome]
    total = sum(len(line.split()) for line in outcomes) / WORDS_A_MINUTE
    for cell in needed(path):
        if cell.cell_type == "markdown":
            total += len(cell.source.split()) / WORDS_A_MINUTE
        else:
            total += MINUTES_A_CELL + sum(MINUTES_FOR.get(name, 0) for name in calls(cell.source))
    return total


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_a_lesson_takes_the_minutes_that_it_says(path: Path) -> None:
    said = re.search(r"Time: about (\d+) minutes", cells(path, "markdown")[0].source)
    assert said is not None
    assert int(said[1]) <= MINUTES
    assert minutes(path) == pytest.approx(int(said[1]), rel=MAY_DIFFER)
    texts = [cell.source for cell in needed(path) if cell.cell_type == "markdown"]
    assert len(needed(path)) <= MOST_CELLS
    assert sum(len(text.split()) for text in texts) <= MOST_WORDS


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_a_lesson_has_the_frame_in_its_order_and_a_question_for_a_title(path: Path) -> None:
    text = "\n\n".join(cell.source for cell in cells(path, "markdown"))
    title = text.splitlines()[0]
    assert re.fullmatch(rf"# {int(path.stem[:2])}\. .+\?", title), title
    headings = re.findall(r"^## (.+)$", text, flags=re.MULTILINE)
    places = [headings.index(name) for name in FRAME if name in headings or name != FRAME[0]]
    assert places == sorted(places)
    recap = text.index("\n## Recap")
    assert text.find("You can now:") > recap


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_code_in_a_lesson_asserts_nothing_and_shows_no_bare_numbers(path: Path) -> None:
    for cell in cells(path, "code"):
        tree = ast.parse(cell.source)
        assert not any(isinstance(node, ast.Assert) for node in ast.walk(tree)), cell.source
        for output in cell.outputs:
            shown = output.get("text") or output.get("data", {}).get("text/plain", "")
            # what a learner meets is a sentence, a table or a picture, with units
            assert not re.match(r"[(\[{]", shown) or "sympy" in cell.source, shown[:80]


def test_no_cell_tells_an_outcome_before_recall_has_asked_for_a_choice() -> None:
    for path in LESSONS:
        names = recalled(path)
        assert len(names) >= 2
        for cell in cells(path, "code"):
            assert "recall(" not in cell.source or cell.source == f'recall("{names.pop(0)}")'


@pytest.mark.parametrize("path", [*LESSONS, START], ids=lambda path: path.stem)
def test_a_number_and_its_unit_stay_on_one_line(path: Path) -> None:
    for cell in cells(path, "markdown"):
        parted = BEFORE_UNIT.findall(re.sub(r"`.*?`", "", cell.source))
        assert parted == [], "write a no-break space (U+00A0)"


def test_the_start_page_leads_to_every_lesson_by_its_title_and_to_the_bench() -> None:
    titles = {
        path.name: cells(path, "markdown")[0].source.splitlines()[0].removeprefix("# ")
        for path in LESSONS
    }
    assert {each.file: each.title for each in lesson_list().lessons} == titles
    shown = [cell.outputs[0]["data"]["text/plain"] for cell in cells(START, "code")]
    assert all(title in shown[0] for title in titles.values())
    links = re.findall(r"\]\(([^)]+)\)", cells(START, "markdown")[0].source)
    assert links == ["bench.ipynb"]
    assert (WORKBOOK / "bench.ipynb").is_file()


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_a_lesson_ends_with_links_to_the_next_and_to_the_start_page(path: Path) -> None:
    texts = [cell.source for cell in cells(path, "markdown")]
    for link in re.findall(r"\]\(([^)]+)\)", "\n".join(texts)):
        assert (WORKBOOK / link).is_file(), link
    for following in LESSONS[LESSONS.index(path) + 1 :][:1]:
        title = cells(following, "markdown")[0].source.splitlines()[0].removeprefix("# ")
        assert f"[{title}]({following.name})" in texts[-1]
    assert f"({START.name})" in texts[-1]


def test_no_code_of_the_start_page_is_in_sight_and_all_of_it_runs_by_itself() -> None:
    script = next((WORKBOOK.parent / "lessonlib" / "start").rglob("start_page.js")).read_text()
    for cell in cells(START, "code"):
        assert cell.metadata["jupyter"]["source_hidden"]
        (tag,) = cell.metadata["tags"]
        assert f'"{tag}"' in script
    assert f'"{START.name}"' in script
    assert START.name == START_PAGE
