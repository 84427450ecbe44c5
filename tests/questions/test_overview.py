"""What there is, and what has been done."""

from __future__ import annotations

from html import unescape
from pathlib import Path
from typing import Any

import pytest
from ipywidgets import HTML, Button, Dropdown
from ipywidgets.widgets.widget import _instances

from lessonlib import exercise, exercise_list, lesson_list, my_progress, predict
from lessonlib.errors import AnswerError
from lessonlib.progress.progress import PLACE, progress_here
from lessonlib.questions.bank import templates
from lessonlib.questions.exercise import Template
from lessonlib.questions.form import FormView


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
    assert [row[2:] for row in rows] == [(each.grade, each.objective) for each in templates(6)]
    assert len(exercise_list().shown_rows) == len(templates())
    assert exercise_list().caption.startswith("Exercises of all lessons. ")
    assert exercise_list(6).caption.startswith("Exercises of lesson 6. ")


def test_a_lesson_without_exercises_gets_the_list_of_those_that_have_some() -> None:
    for lesson in (99, 0):
        with pytest.raises(AnswerError, match=f"of lesson {lesson}. Accepted: a lesson that has"):
            exercise_list(lesson)


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


def test_progress_says_what_to_do_next_beside_its_picture_with_a_button_for_it() -> None:
    nothing_yet = my_progress()
    first = templates()[0]
    named = f"“{first.name.replace('-', ' ')}”"
    assert nothing_yet.lines == (
        f"Begin with lesson {first.lesson}. Its first exercise is {named}.",
    )
    assert repr(nothing_yet).splitlines() == ["Nothing tried yet.", *nothing_yet.lines]
    shown = chooser_of(nothing_yet)
    assert 'class="hc-progress"' in words(shown)
    assert named in words(shown)
    assert "not being kept" not in words(shown)
    assert list(buttons(shown)) == [spoken(first.name)]
    other = templates(6)[0]
    for each in (other, first):
        tried(each, "tried")
    again = chooser_of(my_progress())
    assert list(buttons(again)) == [spoken(first.name), spoken(other.name)]
    slip = exercise(first.name).exercise.slips[0]
    assert slip.thought in repr(my_progress())
    # what comes after the last row's exercise gets a row of its own
    buttons(again)[spoken(other.name)].click()
    following = templates(6)[1].name
    buttons(again)[f"Next: {spoken(following)}"].click()
    assert texts(again) == [text_of(other.name), text_of(following)]


def test_what_keeps_progress_from_being_kept_is_said_with_its_name_as_text(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    place = tmp_path / "<b>"
    place.mkdir()  # a folder, where a file should be
    monkeypatch.setenv(PLACE, str(place))
    progress_here.cache_clear()
    tried(templates()[0], "right")
    assert str(place) in my_progress().lines[-1]
    for html in (words(chooser_of(my_progress())), lesson_list()._repr_html_()):
        assert "&lt;b&gt;" in html
        assert "<b>" not in html


def test_a_press_opens_an_exercise_below_its_button_then_the_next_and_closes_it_again() -> None:
    first, second, *_, last = (template.name for template in templates(6))
    exercise(first).try_answer("1 °C")
    listed = exercise_list(6)
    assert listed._repr_mimebundle_()["text/plain"] == repr(listed)
    chooser = chooser_of(listed)
    assert list(buttons(chooser)) == [spoken(template.name) for template in templates(6)]
    assert f"{templates(6)[0].grade}, tried: {templates(6)[0].objective}" in words(chooser)
    assert "right:" not in words(chooser)
    buttons(chooser)[spoken(first)].click()
    assert texts(chooser) == [text_of(first)]
    right = exercise(first).exercise.answer
    exercise(first).try_answer(right.written(right.value))
    buttons(chooser)[f"Next: {spoken(second)}"].click()
    assert texts(chooser) == [text_of(first), text_of(second)]
    assert f"{templates(6)[0].grade}, right: " in words(chooser)
    buttons(chooser)[f"Close: {spoken(first)}"].click()
    assert texts(chooser) == [text_of(second)]
    buttons(chooser)[spoken(last)].click()
    assert [word for word in buttons(chooser) if word.startswith("Next")] == [
        f"Next: {spoken(templates(6)[2].name)}"
    ]


def test_the_list_of_all_shows_one_lesson_the_one_to_go_on_with_and_another_when_chosen() -> None:
    tried(templates(4)[0], "tried")
    chooser = chooser_of(exercise_list())
    assert list(buttons(chooser)) == [spoken(each.name) for each in templates(4)]
    (choice,) = [each for each in chooser.children if isinstance(each, Dropdown)]
    titles = [title for title, _ in choice.options]
    assert titles == [lesson.title for lesson in lesson_list().lessons]
    choice.value = 6
    assert list(buttons(chooser)) == [spoken(each.name) for each in templates(6)]


def test_the_lessons_say_how_far_one_is_and_link_to_where_one_left_off(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    first, *_ = lessons = lesson_list().lessons
    assert repr(lesson_list()).splitlines()[:2] == [f"Begin here: {first.title}", first.title]
    assert f"<strong>Begin here:</strong> {first.title}" in lesson_list()._repr_html_()
    (tmp_path / first.file).touch()  # a lesson that is there is a link
    link = f'<a href="{first.file}">{first.title}</a>'
    assert lesson_list()._repr_html_().count(link) == 2

    tried(templates(6)[0], "right")
    predict("half-voltage").choose(1)
    now = lesson_list()
    assert repr(now).startswith("Continue where you left off: 2. ")
    assert [now.so_far[number] for number in (1, 2, 6)] == [
        "", "begun", f"1 of {len(templates(6))} exercises right",
    ]  # fmt: skip
    for each in templates(6):
        tried(each, "right")
    now = lesson_list()
    assert now.so_far[6] == "all exercises right"
    assert now.go_on.number == 7
    for each in templates():
        tried(each, "right")
    assert lesson_list().go_on == lessons[0]


def chooser_of(shown: Any) -> Any:
    """The widget that a notebook shows."""
    view = shown._repr_mimebundle_()["application/vnd.jupyter.widget-view+json"]
    return _instances[view["model_id"]]


def spoken(name: str) -> str:
    return name[0].upper() + " ".join(name[1:].split("-"))


def texts(widget: Any) -> list[str]:
    """What the open exercises ask, from top to bottom."""
    if isinstance(widget, FormView):
        return [widget.text]
    return [text for child in getattr(widget, "children", ()) for text in texts(child)]


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
    late = mine.replace("circut", "circuit").replace("mine", "late").replace("= 1", "= n")
    (tmp_path / "questions" / "late.md").write_text(late)
    listed = exercise_list(2)
    assert len(listed.shown_rows) == len(templates(2))
    chooser = chooser_of(listed)
    for said in ("broken.md, line 1: found", "mine.md, line 3, mine: found 'same circut: an aim'"):
        assert said in repr(listed)
        assert said in unescape(words(chooser))
    assert "picture.md: 'utf-8' codec" in repr(listed)
    assert "<b>" not in words(chooser)
    buttons(chooser)["Late"].click()  # it can be read, but not asked
    assert "late.md, line 5, late: " in words(chooser)
    with pytest.raises(
        AnswerError, match=r"found 'same circut: an aim'. Accepted: same circuit, new"
    ):
        exercise("mine")
    assert exercise(templates(2)[-1].name).tries == 0  # one of ours
    assert my_progress().lines
