"""The picture of progress: what it says and shows, from nothing to a full course."""

import random
import re

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
        lesson = 1 + number % lessons
        details = {"answer": "", "lesson": lesson, "objective": f"objective {number % 3}"}
        for _ in range(chance.choice([0, 1, 4]) or number % 3 == 0):
            slip = chance.choice(SLIPS)
            record_try(progress, f"exercise {number}", 1, verdict="wrong", slip=slip, **details)
        if number % 3:
            record_try(progress, f"exercise {number}", 1, verdict="right", **details)
    return progress


def drawn(progress):
    return progress_picture(progress.summary())


def test_without_any_try_it_says_how_it_will_fill():
    picture = drawn(Progress())
    assert "Nothing tried yet" in picture
    assert "Each question that you try appears here as a box." in picture


def test_each_exercise_tried_has_a_box_whose_mark_tells_its_state():
    picture = drawn(course(60))
    boxes = re.findall(
        r'<i class="(\S*)" role="img" title="exercise \d+: ([^"]+)">(.)</i>', picture
    )
    right, open_ = ("hc-done", "right", "✓"), ("", "tried, not right yet", "•")
    assert (len(boxes), boxes.count(right), boxes.count(open_)) == (60, 40, 20)
    assert picture.count("<u style=") == 5
    assert "and 1 other slip" in picture


def test_names_may_hold_any_character():
    progress = Progress()
    record_try(progress, '<b>"&', 1, verdict="wrong", slip='"><script>', lesson=2)
    picture = drawn(progress)
    assert 'title="&lt;b&gt;&quot;&amp;: tried, not right yet"' in picture
    assert "&quot;&gt;&lt;script&gt;" in picture


@pytest.mark.browser
@pytest.mark.parametrize("width", [320, 800])
def test_it_fits_its_page_and_a_screen_reader_hears_each_box(browser, width):
    page = browser.new_page(viewport={"width": width, "height": 600})
    page.set_content(drawn(course(160)))
    assert page.evaluate("document.documentElement.scrollWidth") == width
    assert page.get_by_role("img", name="exercise 7: right").count() == 1
    page.close()


@pytest.mark.browser
def test_on_a_phone_a_lesson_stands_in_one_row(browser):
    page = browser.new_page(viewport={"width": 333, "height": 600})
    page.set_content(f'<body style="margin: 0; font-size: 13px">{drawn(course(90, lessons=15))}')
    tops = "row => new Set([...row.children].map((each) => each.offsetTop)).size"
    rows = page.locator("div.hc-lesson").all()
    assert [row.evaluate(tops) for row in rows] == [1] * 15
    page.close()
