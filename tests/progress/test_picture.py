"""The picture of progress: what it says and shows, from nothing to a full course."""

import random
from xml.etree import ElementTree

import pytest

from lessonlib.progress.picture import progress_picture
from lessonlib.progress.progress import Progress
from tests.progress.conftest import record_try

SLIPS = (
    "halved-the-voltage",
    "added-resistances-that-are-in-parallel",
    "used-the-peak",
    "counted-the-lamp-as-a-heating-element-that-adds-to-the-power-of-the-whole-appliance",
    "half-wave-as-a-quarter",
    "forgot-the-cord",
)


def course(exercises, lessons=8):
    """Progress with so many exercises in so many lessons, two in three of them right."""
    progress, chance = Progress(), random.Random(3)
    for number in range(exercises):
        lesson = number % lessons  # the short checks too
        details = {"answer": "", "lesson": lesson, "objective": f"objective {number % 3}"}
        for _ in range(chance.choice([0, 1, 4]) or number % 3 == 0):
            slip = chance.choice(SLIPS)
            record_try(progress, f"exercise {number}", 1, verdict="wrong", slip=slip, **details)
        if number % 3:
            record_try(progress, f"exercise {number}", 1, verdict="right", **details)
    return progress


def elements(picture, tag):
    root = ElementTree.fromstring(picture.svg)
    return list(root.iter(f"{{http://www.w3.org/2000/svg}}{tag}"))


def titles(picture):
    return [each.text for each in elements(picture, "title")]


def texts(picture):
    return [each.text for each in elements(picture, "text")]


def test_its_words_say_what_is_met_by_lesson_and_which_slips():
    progress = Progress()
    for slip in ("used-the-peak", "forgot-the-cord", "used-the-peak"):
        record_try(progress, "series", 1, verdict="wrong", slip=slip, answer="", lesson=3)
    record_try(progress, "ohm", 1, verdict="right", answer="", lesson=2, objective="use the law")
    assert progress_picture(progress).finding == (
        "Progress: 1 of 2 questions right, 4 tries. "
        "Lesson 2: 1 of 1 right, 1 try, 1 objective met: use the law. "
        "Lesson 3: 0 of 1 right, 3 tries, no objective met yet. "
        "Most frequent slips: used the peak (2 times); forgot the cord (1 time)."
    )


def test_without_any_try_it_says_how_it_will_fill():
    picture = progress_picture(Progress())
    assert picture.finding == "Progress: Nothing tried yet."
    assert "Each question that you try appears here as a box." in texts(picture)


def test_each_exercise_tried_has_a_box_whose_mark_tells_its_state():
    picture = progress_picture(course(60))
    assert len(titles(picture)) == 60
    for group in elements(picture, "g"):
        title = group.find("{*}title")
        if title is not None:
            right = title.text.endswith(": right")
            assert (group.find("{*}path") is not None) == right
            assert (group.find("{*}circle") is None) == right
    assert sum(title.endswith(": right") for title in titles(picture)) == 40


def test_slips_beyond_the_first_five_are_counted():
    said = texts(progress_picture(course(60)))
    assert "and 1 other slip" in said


def test_names_may_hold_any_character():
    progress = Progress()
    record_try(progress, "<b>&\x00", 1, verdict="wrong", slip='"><script>', lesson=0)
    picture = progress_picture(progress)
    assert titles(picture) == ["<b>&\ufffd: tried, not right yet"]
    assert '"><script>' in texts(picture)
    assert "Short checks" in texts(picture)


def test_the_short_checks_have_no_objectives():
    progress = Progress()
    record_try(progress, "sum", 1, verdict="right", lesson=0)
    assert "objective" not in " ".join(texts(progress_picture(progress)))
    assert str(progress.summary()).splitlines()[1] == "Short checks: 1 of 1 right, 1 try."


def test_what_is_wrong_with_keeping_stands_in_the_picture(tmp_path):
    progress = Progress(tmp_path / "gone" / "progress.jsonl")
    record_try(progress, "ohm", 1, verdict="wrong", answer="", lesson=2)
    picture = progress_picture(progress)
    assert picture.finding.endswith(progress.note)
    assert "Your progress is not being kept." in " ".join(texts(picture))


@pytest.mark.browser
@pytest.mark.parametrize("exercises", [0, 3, 60, 160])
def test_on_a_narrow_page_nothing_overlaps_is_cut_or_is_tiny(browser, exercises, tmp_path):
    progress = course(exercises)
    if exercises == 3:
        progress = Progress(tmp_path / ("long" * 40) / "progress.jsonl")
        record_try(progress, "ohm", 1, verdict="wrong", answer="", lesson=2)
    page = browser.new_page(viewport={"width": 400, "height": 600})
    page.set_content(progress_picture(progress)._repr_mimebundle_()["text/html"])
    found = page.evaluate(
        """() => {
            const svg = document.querySelector("svg").getBoundingClientRect();
            const boxes = [...document.querySelectorAll("svg text, svg rect")].map(each => {
                const box = each.getBoundingClientRect();
                return [each.textContent || "box", box.left, box.top, box.right, box.bottom];
            });
            return {svg: [svg.left, svg.top, svg.right, svg.bottom], boxes};
        }"""
    )
    page.close()
    left, top, right, bottom = found["svg"]
    assert right <= 400
    boxes = found["boxes"]
    for index, (name, x1, y1, x2, y2) in enumerate(boxes):
        assert left < x1 < x2 < right, name
        assert top < y1 < y2 < bottom, name
        if name != "box":
            assert y2 - y1 > 12, name  # the line height of an 11 px font, the smallest to read well
        for other, a1, b1, a2, b2 in boxes[:index]:
            # lines of text keep room for accents, which may overlap by a pixel
            apart = x2 <= a1 or a2 <= x1 or y2 <= b1 + 1 or b2 <= y1 + 1
            assert apart, (name, other)
