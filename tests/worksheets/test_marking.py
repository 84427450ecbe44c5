"""What comes back from a class: marked as it was put in, every file accounted for, nothing run."""

from __future__ import annotations

import csv
import json
import os
import random
import zipfile
from pathlib import Path

import pytest

from lessonlib import mark_worksheet
from lessonlib.questions.lessons import MOST_BYTES, WORKSHEET
from lessonlib.worksheets.handout import notebook
from lessonlib.worksheets.marking import MARKED, Marks
from lessonlib.worksheets.setting import HANDED_IN, HANDED_OUT, Class
from tests.test_progress_bar import watch
from tests.worksheets.a_class import EXERCISES, a_class, hands_in, right, slip
from tests.worksheets.test_setting import assert_well_formed

FIRST, SECOND, THIRD = EXERCISES


@pytest.fixture
def of(tmp_path: Path) -> Class:
    return a_class(tmp_path / "class", ["Ada", "Ben", "Cy"], slip=0.25)


def said(marks: Marks) -> dict[str, str]:
    return {one.file: one.said for one in marks.accounts}


def report(of: Class) -> str:
    return (of.folder / MARKED / "report.html").read_text("utf-8")


def test_the_report_says_which_slips_were_put_in_and_by_how_many(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    screen = watch(monkeypatch)
    of = a_class(tmp_path / "class", [f"Trainee {n}" for n in range(30)])
    for place, one in enumerate(of.trainees):
        answers = [(SECOND, right(SECOND, one)), (THIRD, right(THIRD, one))]
        if place < 12:
            answers.append((FIRST, slip(FIRST, 1, one)[0]))
        if place < 20:
            answers.append((FIRST, right(FIRST, one)))
        chose = {"name": "half-voltage", "choice": "200 W" if place < 18 else "100 W"}
        now = {"name": "half-voltage", "choice": "100 W"}
        hands_in(of, one, answers, predictions=[chose, now])
    marks = mark_worksheet(of.folder)
    was_set, marked, _ = screen.getvalue().split("\n")
    assert was_set.endswith("] 30 of 30 trainees")
    assert marked.endswith("] 30 of 30 files marked")
    assert [sheet.points for sheet in marks.sheets] == [3] * 20 + [2] * 10
    made = [sheet.results[0].slips for sheet in marks.sheets]
    assert made == [(slip(FIRST, 1, of.trainees[0])[1],)] * 12 + [()] * 18
    page = report(of)
    assert_well_formed(page)
    assert "30 of 30 marked" in page
    again = page.index("Go through again")
    assert page.index(FIRST, again) < page.index("Slips that were made")
    assert SECOND not in page[again : page.index("Slips that were made")]
    slips = page[page.index("Slips that were made") : page.index("Objectives met")]
    assert "12 of 30" in slips
    predictions = page[page.index("Predictions") : page.index("Trainees</h2>")]
    for count in ("18 of 30", "12 of 30", "30 of 30", "0 of 30"):
        assert count in predictions
    assert "30 files marked" in page
    assert "not wholly marked" not in page  # no table of nothing


def test_points_tries_and_a_named_slip_count_as_the_instructor_says(of: Class) -> None:
    ada, ben, cy = of.trainees
    wrong = [(FIRST, f"{n} mA") for n in range(1, 4)]
    hands_in(of, ada, [*wrong, (FIRST, right(FIRST, ada)), (SECOND, slip(SECOND, 0, ada)[0])])
    hands_in(of, ben, [(FIRST, "no idea"), (FIRST, right(FIRST, ben)), (THIRD, right(THIRD, ben))])
    shown = {
        "exercise": FIRST,
        "seed": cy.numbers,
        "answer": right(FIRST, cy),
        "worked_shown": True,
    }
    hands_in(of, cy, [], tries=[shown])
    rows = [[one.outcome for one in sheet.results] for sheet in mark_worksheet(of.folder).sheets]
    assert rows == [
        ["right later", "slip", "no answer"],
        ["right", "no answer", "right"],
        ["right later", "no answer", "no answer"],
    ]
    points = [[one.points for one in sheet.results] for sheet in mark_worksheet(of.folder).sheets]
    assert points == [[0.5, 0.25, 0], [1, 0, 1], [0.5, 0, 0]]
    with (of.folder / MARKED / "marks.csv").open(encoding="utf-8-sig", newline="") as file:
        table = list(csv.DictReader(file))
    first = table[0]
    assert (first["name"], first["points"], first["of"]) == ("Ada", "0.75", "3")
    assert "1 with a known slip" in report(of)


def test_answers_come_as_notebooks_and_typed_from_paper_too(of: Class) -> None:
    ada, ben, cy = of.trainees
    saved = json.loads(notebook(of.worksheet, ada))
    state = {"draft": f"heater exercise {FIRST}/{ada.numbers}", "answered": right(FIRST, ada)}
    other = {"draft": f"heater exercise {SECOND}/{ada.numbers + 1}", "answered": "1 A"}
    widgets = {"a": {"state": state}, "b": {"state": other}, "c": {"state": {}}}
    saved["metadata"]["widgets"] = {"application/vnd.jupyter.widget-state+json": {"state": widgets}}
    (of.folder / HANDED_IN / "01-ada.ipynb").write_text(json.dumps(saved), "utf-8")
    (of.folder / HANDED_IN / "paper.csv").write_text(
        "Trainee;Exercise;Answer\n"
        f"BEN;1;{right(FIRST, ben)}\nBen;{THIRD};{right(THIRD, ben)}\n3;1;{right(FIRST, cy)}\n"
        f'Cy;2;"{right(SECOND, cy).replace(chr(10), "; ")}"\nZoe;1;2 A\nBen;9;2 A\nBen;2;7;9\n',
        "utf-8",
    )
    marks = mark_worksheet(of.folder)
    assert [sheet.points for sheet in marks.sheets] == [1, 2, 2]
    assert marks.missing == ()
    # a row that cannot be used does not keep the others from counting
    reasons = ("row 6: no such trainee: 'Zoe'", "row 7: no such exercise: '9'", "row 8: more cells")
    left = [one.said for one in marks.accounts if one.file == "paper.csv" and not one.marked]
    assert all(map(str.startswith, left, reasons))
    assert "1 file not or not wholly marked" in str(marks)


def test_every_file_is_marked_or_listed_with_its_reason(of: Class) -> None:
    ada, ben, cy = of.trainees
    answers = [(FIRST, right(FIRST, ada))]
    hands_in(of, ada, answers, "late.json", at="2026-11-28T12:00:00Z")
    hands_in(of, ada, [(FIRST, "1 A")], at="2026-11-28T11:00:00Z")
    hands_in(of, ben, answers, "other.json", worksheet="12345678")
    hands_in(of, ben, answers, "set.json", numbers=7)
    hands_in(of, ben, answers, "who.json", trainee="Zoe")
    hands_in(of, ben, [], "nothing.json")
    place = of.folder / HANDED_IN
    (place / "empty.json").write_bytes(b"")
    (place / "cut.json").write_text('{"format": "heater-', "utf-8")
    (place / "deep.json").write_text("[" * 100_000, "utf-8")
    (place / "list.json").write_text("[]", "utf-8")
    (place / "plain.ipynb").write_text('{"metadata": {}, "cells": []}', "utf-8")
    (place / "photo.png").write_bytes(b"\x89PNG")
    (place / "paper.csv").write_text("trainee,exercise,answer\nZoe,1,2 A\n", "utf-8")
    os.mkfifo(place / "pipe.json")
    with (place / "big.json").open("wb") as big:
        big.truncate(MOST_BYTES + 1)
    with zipfile.ZipFile(place / "all.zip", "w") as packed:
        packed.writestr("../../cy.json", hands_in(of, cy, [(FIRST, right(FIRST, cy))]).read_text())
        packed.writestr("zeros.json", b"0" * (MOST_BYTES + 1), zipfile.ZIP_DEFLATED)
    (place / "broken.zip").write_bytes(b"PK\x03\x04")
    before = {path: path.stat().st_mtime_ns for path in of.folder.rglob("*") if path.is_file()}
    expected = {
        "late.json": "marked, for Ada; renamed, it was answers Ada",
        "answers Ada": "answered twice: late.json counts",
        "other.json": "of another worksheet, 12345678",
        "set.json": "with other numbers: set 7",
        "who.json": "not in the list: Zoe",
        "nothing.json": "empty: no answer to this worksheet, by Ben",
        "empty.json": "empty",
        "cut.json": "damaged",
        "deep.json": "damaged",
        "list.json": "not a file that Hand in has written",
        "plain.ipynb": "not a notebook of a worksheet",
        "photo.png": "not a file of answers",
        "paper.csv": "row 2: no such trainee: 'Zoe'",
        "pipe.json": "a pipe or a device",
        "big.json": "more than the",
        "all.zip: ../../cy.json": "marked, for Cy; renamed",
        "all.zip: zeros.json": "more than the",
        "broken.zip": "damaged",
        "answers Cy": "answered twice: all.zip: ../../cy.json counts",
    }
    marks = mark_worksheet(of.folder)
    found = said(marks)
    assert len(found) == len(marks.accounts) == len(expected)
    for file, words in expected.items():
        (match,) = [text for name, text in found.items() if name.startswith(file)]
        assert words in match, (file, match)
    assert [one.name for one in marks.missing] == ["Ben"]
    assert before == {path: path.stat().st_mtime_ns for path in before}
    assert not (of.folder.parent / "cy.json").exists()


def test_feedback_shows_an_answer_of_several_parts_as_a_person_would_write_it(of: Class) -> None:
    ada, *_ = of.trainees
    hands_in(of, ada, [(SECOND, '[["7.43 A", "1539"], ["9", "2300"]]'), (THIRD, '{"S1": "on"}')])
    mark_worksheet(of.folder)
    page = (of.folder / MARKED / "feedback" / "01-ada.html").read_text("utf-8")
    assert "Your last answer: 7.43 A; 1539\n9; 2300</p>" in page
    assert "Your last answer: S1 on</p>" in page
    assert page.count("<details open>") == 3  # none is right, so all are worked out in sight


def test_hostile_text_is_shown_as_text_and_no_cell_is_run(tmp_path: Path) -> None:
    of = a_class(tmp_path / "class", ["<script>alert(1)</script>", "=HYPERLINK(1)"])
    one, other = of.trainees
    hands_in(of, one, [(FIRST, "<img src=x onerror=alert(1)>")])
    saved = json.loads(notebook(of.worksheet, other))
    saved["cells"].append({"cell_type": "code", "source": f"open({str(tmp_path / 'x')!r}, 'w')"})
    saved["metadata"][WORKSHEET]["trainee"] = other.key
    (of.folder / HANDED_IN / "<b>x.ipynb").write_text(json.dumps(saved), "utf-8")
    marks = mark_worksheet(of.folder)
    assert len(marks.sheets) == 1
    pages = [*of.folder.rglob("*.html")]
    assert len(pages) > 4
    for page in pages:
        text = page.read_text("utf-8")
        assert "<script" not in text
        assert "<img" not in text
        assert "<b>" not in text
    assert not (tmp_path / "x").exists()
    assert "'=HYPERLINK(1)" in (of.folder / MARKED / "marks.csv").read_text("utf-8-sig")


def test_damaged_at_random_each_file_is_listed_and_none_stops_the_rest(of: Class) -> None:
    chance, place = random.Random(3), of.folder / HANDED_IN
    whole = hands_in(of, of.trainees[0], [(FIRST, right(FIRST, of.trainees[0]))]).read_bytes()
    saved = (of.folder / HANDED_OUT / "01-ada.ipynb").read_bytes()
    for number in range(1000):
        data = bytearray(chance.choice((whole, saved)))
        for _ in range(chance.randint(1, 20)):
            data[chance.randrange(len(data))] = chance.randrange(256)
        end = chance.choice((".json", ".ipynb", ".csv", ".zip"))
        (place / f"{number}{end}").write_bytes(data[: chance.randint(1, len(data))])
    marks = mark_worksheet(of.folder)
    assert len({one.file for one in marks.accounts}) == 1001
    assert len(marks.sheets) == 1


def test_a_second_marking_keeps_what_the_instructor_wrote_into_a_file(of: Class) -> None:
    hands_in(of, of.trainees[0], [(FIRST, right(FIRST, of.trainees[0]))])
    mark_worksheet(of.folder)
    marks = of.folder / MARKED / "marks.csv"
    marks.write_text("my own notes", "utf-8")
    mark_worksheet(of.folder)
    assert marks.with_stem("marks earlier").read_text("utf-8") == "my own notes"
    assert "Ada" in marks.read_text("utf-8-sig")
