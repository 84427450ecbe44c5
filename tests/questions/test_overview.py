"""What there is, and what has been done."""

from __future__ import annotations

from html import unescape
from pathlib import Path
from typing import Any

import pytest
from ipywidgets import HTML, Button

from lessonlib import exercise, exercise_list, my_progress
from lessonlib.errors import AnswerError
from lessonlib.progress.progress import PLACE, progress_here
from lessonlib.questions.bank import templates
from lessonlib.questions.chooser import Chooser
from lessonlib.questions.exercise import Template


def tried(template: Template, value: str) -> None:
    """Try the exercise with its right answer, or with that of a slip."""
    drawn = exercise(template.name)
    answer = drawn.exercise.answer
    given = answer.value if value == "right" else drawn.exercise.slips[0].value
    drawn.try_answer(answer.written(given))


def test_what_was_tried_or_answered_rightly_is_marked_in_whichever_lesson() -> None:
    early, late, only_tried = templates(2)[0], *templates(6)[:2]
    tried(early, "right")
    tried(late, "right")
    tried(only_tried, "tried")
    marked = {row[0]: row[1] for row in exercise_list().shown_rows if row[1] != "–"}
    assert marked == {early.name: "right", late.name: "right", only_tried.name: "tried"}
    rows = exercise_list(6).shown_rows
    assert [row[0] for row in rows] == [template.name for template in templates(6)]
    assert [row[1] for row in rows[:3]] == ["right", "tried", "–"]


def test_each_exercise_has_its_grade_and_what_it_is_about_under_their_headings() -> None:
    listed = exercise_list(6)
    rows = [dict(zip(listed.header, row, strict=True)) for row in listed.shown_rows]
    assert [(row["grade"], row["what it is about"], row["so far"]) for row in rows] == [
        (template.grade, template.objective, "–") for template in templates(6)
    ]


def test_without_a_lesson_all_are_listed() -> None:
    assert len(exercise_list().shown_rows) == len(templates())
    assert exercise_list().caption.startswith("Exercises of all lessons. ")
    assert exercise_list(6).caption.startswith("Exercises of lesson 6. ")


def test_a_lesson_without_exercises_gets_the_list_of_those_that_have_some() -> None:
    with pytest.raises(AnswerError, match="found no exercises of lesson 99"):
        exercise_list(99)
    with pytest.raises(AnswerError, match="found no exercises of lesson 0"):
        exercise_list(0)


def test_progress_says_what_to_do_next_beside_its_picture() -> None:
    nothing_yet = my_progress()
    first = templates()[0]
    assert nothing_yet.lines == (f"Begin with exercise {first.name} of lesson {first.lesson}.",)
    assert repr(nothing_yet).splitlines() == ["Nothing tried yet.", *nothing_yet.lines]
    shown = nothing_yet._repr_mimebundle_()
    assert shown["text/plain"] == repr(nothing_yet)
    assert "<svg" in shown["text/html"]
    assert first.name in shown["text/html"]
    assert "not being kept" not in shown["text/html"]
    tried(first, "tried")
    slip = exercise(first.name).exercise.slips[0]
    assert slip.thought in repr(my_progress())


def test_what_keeps_progress_from_being_kept_is_said_with_its_name_as_text(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    place = tmp_path / "<b>"
    place.mkdir()  # a folder, where a file should be
    monkeypatch.setenv(PLACE, str(place))
    progress_here.cache_clear()
    tried(templates()[0], "right")
    assert str(place) in my_progress().lines[-1]
    html = my_progress()._repr_mimebundle_()["text/html"]
    assert "&lt;b&gt;" in html
    assert "<b>" not in html


def buttons(widget: Any) -> dict[str, Any]:
    """Every button within a widget, by its words."""
    if isinstance(widget, Button):
        return {widget.description: widget}
    found: dict[str, Any] = {}
    for child in getattr(widget, "children", ()):
        found |= buttons(child)
    return found


def words(widget: Any) -> str:
    """The words beside the buttons within a widget, as HTML."""
    if isinstance(widget, HTML):
        return str(widget.value)
    return "\n".join(words(child) for child in getattr(widget, "children", ()))


def test_in_a_notebook_a_press_opens_an_exercise_below_the_list_and_then_the_next() -> None:
    first, second = (template.name for template in templates(6)[:2])
    exercise(first).try_answer("1 °C")
    listed = exercise_list(6)
    assert listed._repr_mimebundle_()["text/plain"] == repr(listed)
    chooser = Chooser(listed.caption, listed.shown_rows, listed.problems)
    assert list(buttons(chooser)) == [spoken(template.name) for template in templates(6)]
    assert f"{templates(6)[0].grade}, tried: {templates(6)[0].objective}" in words(chooser)
    buttons(chooser)[spoken(first)].click()
    assert (chooser.opened, chooser.children[-1].children[1].text) == (first, text_of(first))
    buttons(chooser)[f"Next: {spoken(second)}"].click()
    assert (chooser.opened, chooser.children[-1].children[1].text) == (second, text_of(second))
    last = templates(6)[-1].name
    buttons(chooser)[spoken(last)].click()
    assert not any(word.startswith("Next") for word in buttons(chooser))


def spoken(name: str) -> str:
    return name[0].upper() + " ".join(name[1:].split("-"))


def text_of(name: str) -> str:
    return exercise(name).exercise.text


def test_a_broken_file_of_ones_own_is_said_below_our_list(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "questions").mkdir()
    (tmp_path / "questions" / "broken.md").write_text("no heading <b>\n")
    mine = "# Lesson 2\n## mine\nsame circut: an aim\n\n    answer = 1 in W\n\nWhich?\n"
    (tmp_path / "questions" / "mine.md").write_text(mine)
    (tmp_path / "questions" / "picture.md").write_bytes(b"\xff\xd8")
    listed = exercise_list(2)
    assert len(listed.shown_rows) == len(templates(2))
    chooser = Chooser(listed.caption, listed.shown_rows, listed.problems)
    for said in ("broken.md, line 1: found", "mine.md, line 3, mine: found 'same circut: an aim'"):
        assert said in repr(listed)
        assert said in unescape(words(chooser))
    assert "picture.md: 'utf-8' codec" in repr(listed)
    assert "<b>" not in words(chooser)
    with pytest.raises(
        AnswerError, match=r"found 'same circut: an aim'. Accepted: same circuit, new"
    ):
        exercise("mine")
    assert exercise(templates(2)[0].name).template.name == templates(2)[0].name
    assert my_progress().lines
