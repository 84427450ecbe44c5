"""The instructor's notes hold to the lessons: names, figures, minutes, and what each seed hides."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import nbformat
import pytest

from lessonlib import appliance_names, family, fault_bench, load_appliance, predict
from lessonlib.diagnosis.plan import Leaf, Step, planned
from lessonlib.panels.fault_bench_data import findable
from lessonlib.questions.bank import lessons_of_questions
from tests.test_lessons import LESSONS, WORKBOOK, cells, recalled

NOTES = [
    cell.source
    for cell in nbformat.read(
        WORKBOOK / "instructor" / "teaching_notes.ipynb", as_version=4
    ).cells
]  # fmt: skip
MOST_WORDS = 350
PARTS = (
    "The surprise.", "How not to spoil it.", "45 minutes:", "90 minutes:", "When short,",
    "Questions that come", "Settled arguments", "A fault for the class.",
)  # fmt: skip
COUNTS = ("one", "two", "three", "four")
KNOWN = {
    "load_appliance": load_appliance,
    "fault_bench": fault_bench,
    "steamers": family("floor-steamer"),
}
QUESTION = re.compile(r"`([a-z0-9]+(?:-[a-z0-9]+)+|certain|lamps|needle|reach|reverse|third)`")
BENCH = re.compile(r"`(fault_bench\(.+?\))` hides \*\*(.+?)\*\*, found in (\w+) tests?")
FIGURE = re.compile(r"\d+(?:\.\d+)? (?:W|V|A|Ω|K|°C|%|mA)(?!\w)")

of_each_lesson = pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)


def note_of(path: Path) -> str:
    title = cells(path, "markdown")[0].source.splitlines()[0]
    (note,) = [note for note in NOTES if note.startswith(f"#{title}\n")]
    return note


def plans(note: str) -> Iterator[tuple[int, list[str]]]:
    for minutes, plan in re.findall(r"^\*\*(\d+) minutes:\*\* (.+)$", note, flags=re.MULTILINE):
        yield int(minutes), plan.split(" · ")


def needed_to_find(fault: str, node: Step | Leaf, taken: int = 0) -> Iterator[int]:
    """How many tests of the bench's plan end with `fault` alone."""
    if isinstance(node, Leaf):
        if node.words == (fault,):
            yield taken
        return
    for outcome in node.outcomes:
        yield from needed_to_find(fault, outcome.then, taken + 1)


@of_each_lesson
def test_every_lesson_has_a_note_with_all_its_parts_in_their_order_and_short(path: Path) -> None:
    note = note_of(path)
    places = [note.index(f"**{part}**") for part in PARTS]
    assert places == sorted(places)
    assert sum(bool(re.search(r"\w", word)) for word in note.split()) <= MOST_WORDS


@of_each_lesson
def test_a_plan_adds_up_and_names_headings_that_the_lesson_has(path: Path) -> None:
    note = note_of(path)
    text = "\n".join(cell.source for cell in cells(path, "markdown"))
    headings = re.findall(r"^## (.+)$", text, flags=re.MULTILINE)
    assert [minutes for minutes, _ in plans(note)] == [45, 90]
    for minutes, pieces in plans(note):
        assert sum(int(piece.rsplit(" ", 1)[1]) for piece in pieces) == minutes
        named = re.findall(r"(?<!\*)\*([^*]+)\*(?!\*)", " ".join(pieces))
        assert set(named) <= set(headings)


@of_each_lesson
def test_a_note_names_every_prediction_of_its_lesson_and_no_question_that_it_lacks(
    path: Path,
) -> None:
    lesson = int(path.stem[:2])
    named = set(QUESTION.findall(note_of(path)))
    assert set(recalled(path)) <= named
    assert {name for name in named if lessons_of_questions().get(name) != lesson} == set()
    assert set(re.findall(r'load_appliance\("(.+?)"\)', note_of(path))) <= set(appliance_names())


@of_each_lesson
def test_a_figure_in_a_note_stands_in_its_lesson(path: Path) -> None:
    texts = [cell.source for cell in nbformat.read(path, as_version=4).cells]
    for cell in cells(path, "code"):
        texts += [each.get("text") or each["data"]["text/plain"] for each in cell.outputs]
    for prediction in map(predict, recalled(path)):
        texts += [prediction.question, *prediction.options, *prediction.outcome]
    lesson = " ".join(texts).replace("\N{NO-BREAK SPACE}", " ")
    note = BENCH.sub("", note_of(path)).replace("\N{NO-BREAK SPACE}", " ")
    unknown = {each for each in FIGURE.findall(note) if not re.search(rf"\b{each}(?!\w)", lesson)}
    assert unknown == set()


@pytest.mark.parametrize(
    ("bench", "fault", "count"), [found for note in NOTES for found in BENCH.findall(note)]
)
def test_a_seed_hides_the_fault_that_the_note_says_and_the_plan_finds_it_in_so_many_tests(
    bench: str, fault: str, count: str
) -> None:
    found = eval(bench, dict(KNOWN))
    assert str(found.fault) == fault
    plan = planned(found.appliance, findable(found.appliance, found.table["level"]))
    needed = list(needed_to_find(fault, plan.root))
    assert [COUNTS[number - 1] for number in needed] == [count]
