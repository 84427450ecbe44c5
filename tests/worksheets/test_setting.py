"""What a class is given: the same numbers each time, files that stay, names of every kind."""

from __future__ import annotations

import re
from html import unescape
from html.parser import HTMLParser
from pathlib import Path

import nbformat
import pytest

from lessonlib import lesson_list, set_worksheet
from lessonlib.errors import AnswerError, FileKept, WorksheetError
from lessonlib.questions.bank import find, templates
from lessonlib.questions.marking import mark
from lessonlib.worksheets.handout import drawn, question
from lessonlib.worksheets.key import answer_of
from lessonlib.worksheets.setting import HANDED_OUT, class_in
from lessonlib.worksheets.trainees import SETS, table_of, trainees
from lessonlib.worksheets.worksheet import worksheet
from tests.worksheets.a_class import EXERCISES, SEED, a_class

VOID = {"meta", "link", "br", "rect", "line", "path", "circle", "polyline", "polygon", "img"}


class Nesting(HTMLParser):
    """Whether every element that is opened is closed in its order."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []

    def handle_starttag(self, tag: str, attrs: object) -> None:
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if tag not in VOID:
            assert self.open.pop() == tag


def assert_well_formed(page: str) -> None:
    parser = Nesting()
    parser.feed(page)
    parser.close()
    assert parser.open == []
    style = page[page.index("<style>") : page.index("</style>")]
    assert style.count("{") == style.count("}")
    assert re.search(r"body \{ [^}]*--hc-ink: #\w+;[^}]*\}\s*body \{ color: var\(--hc-ink\)", style)


def test_each_trainee_has_a_valid_notebook_and_a_page_with_the_same_numbers(tmp_path: Path) -> None:
    of = a_class(tmp_path / "c", ["Ada Long", "Ørsted Ωmega", "李雷", "!!!"])
    files = sorted(path.name for path in (of.folder / HANDED_OUT).glob("*.ipynb"))
    assert files == [
        "01-ada-long.ipynb",
        "02-ørsted-ωmega.ipynb",
        "03-李雷.ipynb",
        "04-trainee.ipynb",
    ]
    for one in of.trainees:
        notebook = nbformat.read(of.folder / HANDED_OUT / f"{one.file}.ipynb", as_version=4)
        nbformat.validate(notebook)
        code = [cell.source for cell in notebook.cells if cell.cell_type == "code"]
        assert code[1] == f'exercise("{EXERCISES[0]}", seed={one.numbers})'
        compile("\n".join(code), one.file, "exec")
        page = (of.folder / HANDED_OUT / f"{one.file}.html").read_text("utf-8")
        assert_well_formed(page)
        assert drawn(EXERCISES[0], one.numbers).text[:40] in unescape(page)


def test_neighbours_have_other_numbers_and_the_key_has_everyones_answer(tmp_path: Path) -> None:
    of = a_class(tmp_path / "c", [f"Trainee {n}" for n in range(1, 13)])
    assert len({one.numbers for one in of.trainees}) == 12
    key = unescape((of.folder / "key.html").read_text("utf-8"))
    assert_well_formed(key)
    for one in of.trainees:
        assert answer_of(drawn(EXERCISES[0], one.numbers)) in key
    assert all(slip.attempt in key for slip in drawn(EXERCISES[2], SEED).slips)
    assert "18" in key  # minutes in all: 5, 5 and 8


def test_the_key_has_four_figures_which_are_right_and_the_letters_of_an_order() -> None:
    for template in templates():
        one = template.draw(SEED)
        figures = re.findall(r"\d+\.\d+", answer_of(one)) if one.answer.kind == "number" else []
        assert all(len(each.replace(".", "").lstrip("0")) <= 4 for each in figures)
        if one.answer.kind != "order":
            assert mark(one, answer_of(one)).verdict == "right", template.name
    order = find("elements-by-resistance").draw(1)
    assert answer_of(order).startswith("D. 1500 W at 220 V\nB. 250 W")


def test_a_page_has_every_drawing_that_its_exercise_is_about() -> None:
    asked = find("which-came-first").draw(1)
    page = question("which-came-first", 1)
    assert len(asked.wirings) == page.count("<svg") == 3
    assert all(f"<p>{label}</p>" in page for label, _ in asked.wirings)


def test_a_second_call_changes_nothing_and_those_who_join_get_the_next_numbers(
    tmp_path: Path,
) -> None:
    first = a_class(tmp_path / "c", ["Ada", "Ben"])
    worked_in = first.folder / HANDED_OUT / "01-ada.ipynb"
    worked_in.write_text("worked in", "utf-8")
    (first.folder / HANDED_OUT / "02-ben.ipynb").unlink()  # as if the first call had been cut off
    then = a_class(tmp_path / "c", ["Eve", "Ben", "Ada"])
    assert [(one.name, one.numbers - SEED) for one in then.trainees] == [
        ("Ada", 0),
        ("Ben", 1),
        ("Eve", 2),
    ]
    assert worked_in.read_text("utf-8") == "worked in"
    assert (first.folder / HANDED_OUT / "02-ben.ipynb").exists()
    assert class_in(then.folder).trainees == then.trainees
    with pytest.raises(FileKept, match="another title, seed or exercises"):
        set_worksheet(2, ["Ada"], tmp_path / "c", seed=7)


def test_two_of_one_name_are_told_apart_and_sets_come_again_after_the_last() -> None:
    some = trainees(["Ada", "Ada", "Ada (2)", *map(str, range(SETS))], 5)
    assert [one.key for one in some[:3]] == ["Ada", "Ada (2)", "Ada (2) (2)"]
    assert len({one.key for one in some}) == len({one.file for one in some}) == len(some)
    assert some[SETS].numbers == some[0].numbers == 5


@pytest.mark.parametrize(
    "data",
    [
        b"\xef\xbb\xbfname,id\nAda,7\nJos\xc3\xa9,8\n",
        "id;name\r\n7;Ada\r\n\r\n8;José\r\n".encode("cp1252"),
        "Name\tId\nAda\t7\nJosé\t8".encode("utf-16"),
    ],
    ids=["comma and mark", "semicolons, old code page", "tabs, UTF-16"],
)
def test_a_class_list_is_read_as_spreadsheets_write_it(data: bytes, tmp_path: Path) -> None:
    (tmp_path / "class.csv").write_bytes(data)
    some = trainees(tmp_path / "class.csv", 1)
    assert [(one.name, one.key) for one in some] == [("Ada", "7"), ("José", "8")]


def test_a_list_without_a_heading_has_its_names_in_the_first_column(tmp_path: Path) -> None:
    (tmp_path / "class.csv").write_text('"Long, Ada",evening\nBen,noon\n', "utf-8")
    assert [one.name for one in trainees(tmp_path / "class.csv", 1)] == ["Long, Ada", "Ben"]
    assert table_of(b"") == []


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "0 trainees"),
        (b"name,id\nAda,1\nBen,1\n", "the id '1' twice"),
        (b"name,id\n,1\n", "no name in row 1"),
        (b"name\n\0\0\n", "no text"),
    ],
)
def test_a_list_that_cannot_be_used_says_why(content: bytes, says: str, tmp_path: Path) -> None:
    (tmp_path / "class.csv").write_bytes(content)
    with pytest.raises(WorksheetError, match=says):
        trainees(tmp_path / "class.csv", 1)


def test_a_worksheet_comes_from_a_file_a_lesson_a_grade_or_a_list(tmp_path: Path) -> None:
    file = tmp_path / "thursday.toml"
    file.write_text('exercises = ["urn-on-low-mains"]\nseed = 9\ntries = 1\n', "utf-8")
    sheet = worksheet(file)
    assert (sheet.title, sheet.seed, sheet.tries) == ("thursday", 9, 1)
    assert worksheet(file, seed=3).seed == 3
    assert {each.lesson for each in worksheet(3).templates} == {3}
    harder = worksheet(3, grade="new circuit")
    assert {each.grade for each in harder.templates} == {"new circuit"}
    objective = harder.templates[0].objective
    assert {each.objective for each in worksheet(3, objective=objective).templates} == {objective}
    assert worksheet(3).code != worksheet(3, seed=2).code


@pytest.mark.parametrize(
    ("content", "says"),
    [
        ('exercises = ["urn-on-low-main"]', 'Did you mean "urn-on-low-mains"'),
        ('exercise = ["a"]', 'Did you mean "exercises"'),
        ("exercises = []", "1 to 60"),
        ('exercises = ["urn-on-low-mains", "urn-on-low-mains"]', "twice"),
        ('lesson = 2\nexercises = ["urn-on-low-mains"]', "Keep one"),
        ('lesson = 2\ngrade = "easy"', "new circuit"),
        ('lesson = 2\nobjective = "fly"', "Copy one"),
        ("lesson = 2\npoints = 0", "above 0"),
        ("lesson = 2\nslip = 2", "share of the points"),
        ("lesson = 2\ntries = 1.5", "whole number"),
        ("lesson = 99", "no exercises of lesson 99"),
        ("title = ", "TOML"),
    ],
)
def test_a_list_with_a_mistake_says_what_is_accepted(
    content: str, says: str, tmp_path: Path
) -> None:
    file = tmp_path / "list.toml"
    file.write_text(content, "utf-8")
    with pytest.raises((WorksheetError, AnswerError), match=says):
        worksheet(file)


def test_the_start_page_links_to_what_was_set(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    of = a_class(tmp_path / "c", ["Ada Long"], title="Thursday *evening* & more")
    place = of.folder / HANDED_OUT
    (place / "broken.ipynb").write_text('{"heater_worksheet', "utf-8")
    (place / "other.ipynb").write_text('{"metadata": {}, "cells": []}', "utf-8")
    monkeypatch.chdir(place)
    shown = lesson_list()
    assert "Set for you: Thursday *evening* & more\n" in repr(shown)
    link = '<a href="01-ada-long.ipynb">Thursday *evening* &amp; more</a>'
    assert link in shown._repr_html_()
