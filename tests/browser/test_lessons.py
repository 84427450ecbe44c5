"""Real Chromium drives real JupyterLab, as a trainee does: lessons, and their live pictures.

nbval runs every lesson and compares what it says. Here run those whose pictures and forms no other
test of this folder brings up in a lesson, and all of them with `--wide`.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from lessonlib import load_appliance, solve
from lessonlib.quantities import format_quantity
from tests.browser.lab import Lesson
from tests.browser.test_accessible import check_lesson

pytestmark = pytest.mark.browser

WORKBOOK = Path(__file__).resolve().parents[2] / "workbook"
LESSONS = sorted(path.name for path in WORKBOOK.glob("*.ipynb"))
PANEL_LESSON = next((name for name in LESSONS if name.startswith("03")), "")
CHECKED = "01"  # for what an accessibility checker finds
ONLY_HERE = (CHECKED, "09", "11")  # the fault bench; the forms for an appliance of one's own


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    if "lesson_name" in metafunc.fixturenames:
        wide = metafunc.config.getoption("--wide")
        names = [name for name in LESSONS if wide or name.startswith(ONLY_HERE)]
        metafunc.parametrize("lesson_name", names)


def test_a_lesson_runs_through_without_an_error(lesson: Lesson, lesson_name: str) -> None:
    lesson.open(lesson_name)
    assert lesson.run_all() == []
    if lesson_name.startswith(CHECKED):
        lesson.page.locator(".jp-Notebook").first.press("Control+Home")
        for theme in ("dark", "light"):
            lesson.turn_to(theme)
            check_lesson(lesson.page)


def test_an_error_in_a_lesson_would_be_seen(lesson: Lesson) -> None:
    # The check of the lessons is worth nothing if it cannot fail.
    lesson.write("broken.ipynb", "1 / 0")
    lesson.open("broken.ipynb")
    assert "ZeroDivisionError" in lesson.run_all()[0]


def expect_power(lesson: Lesson, panel: Any, watts: float | None) -> None:
    """The whole appliance's power as shown, against the solver's own."""
    wanted = format_quantity(watts, "W")
    lesson.page.wait_for_function(
        "([node, text]) => node.textContent === text",
        arg=[panel.locator(".hcp-power").element_handle(), wanted],
    )


def test_switches_flip_by_mouse_and_by_keyboard_and_live_on_without_a_kernel(
    lesson: Lesson,
) -> None:
    rail = load_appliance("towel-rail")

    def watts(position: str) -> float | None:
        return solve(rail, {"S1": position}).power_W

    lesson.open(PANEL_LESSON)
    assert lesson.run_all() == []
    panel = lesson.scroll_to_panel()
    switch = panel.locator('.hc-contact[data-part="S1"] [role="button"]')
    label = switch.get_attribute("aria-label") or ""
    order = rail.part("S1").positions
    now = next(i for i, position in enumerate(order) if re.search(rf"\b{position}\b", label))

    # by mouse, in the drawing itself
    switch.click()
    now = (now + 1) % len(order)
    expect_power(lesson, panel, watts(order[now]))
    # by keyboard
    switch.focus()
    lesson.page.keyboard.press("Enter")
    now = (now + 1) % len(order)
    expect_power(lesson, panel, watts(order[now]))
    lesson.page.keyboard.press("Space")
    now = (now + 1) % len(order)
    expect_power(lesson, panel, watts(order[now]))
    # the positions below the drawing have followed, and move the picture too
    group = panel.get_by_role("group", name="S1", exact=True)
    assert group.get_by_role("radio", name=order[now], exact=True).is_checked()
    group.get_by_role("radio", name=order[1], exact=True).check()
    expect_power(lesson, panel, watts(order[1]))

    # stop the kernel, and flip on
    lesson.shut_down_kernel()
    switch.click()
    expect_power(lesson, panel, watts(order[2]))
