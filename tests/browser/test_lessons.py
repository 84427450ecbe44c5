"""Real Chromium drives real JupyterLab, as a trainee does: a lesson, and every picture and form.

nbval runs every lesson and compares what it says. Here the first is run, and all with `--wide`.
"""

from __future__ import annotations

import random
import re
import string
from pathlib import Path
from typing import Any

import pytest

from lessonlib import load_appliance, solve
from lessonlib.quantities import format_quantity
from tests.browser.lab import Lesson
from tests.browser.test_accessible import check_lesson
from tests.browser.test_keys import cells_of

pytestmark = pytest.mark.browser

WORKBOOK = Path(__file__).resolve().parents[2] / "workbook"
LESSONS = sorted(path.name for path in WORKBOOK.glob("*.ipynb"))

KEYS = (
    *string.ascii_lowercase,
    *string.digits,
    *(f"Shift+{letter}" for letter in string.ascii_uppercase),
    *("Space", "Tab", "Enter", "Escape", "Delete", "Backspace"),
    *("ArrowUp", "ArrowDown", "ArrowLeft", "ArrowRight"),
)
# After Tab has left the notebook, for JupyterLab's own buttons, the person comes back.
DIALOGS = """() => {
    const [cell] = document.querySelectorAll('.jp-Notebook .jp-Cell.jp-mod-active');
    if (!document.activeElement.closest('.jp-Notebook')) cell?.focus();
    return document.querySelectorAll('.jp-Dialog').length;
}"""

BEGIN = "from lessonlib import *\nrail = load_appliance('towel-rail')"
SHOWN = {  # each picture and form, and what it has that no other has
    "panel(rail)": ".hcp-power",
    "fault_bench(rail)": "button:has-text('Show me')",
    "heating_panel(load_appliance('tea-urn'))": "button:has-text('Next event')",
    "own_readings(rail)": "text=the meter shows",
    "own_lugs()": "[aria-label='Ohms between 1 and 2']",
    "own_spare(rail)": "text=in place of",
    "own_rewirings()": "button:has-text('Search')",
    "describe('tea-urn')": "button:has-text('Undo')",
    "family('floor-steamer')": ".hcf-card",
}


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    if "lesson_name" in metafunc.fixturenames:
        wide = metafunc.config.getoption("--wide")
        metafunc.parametrize("lesson_name", LESSONS if wide else LESSONS[1:2])


def test_a_lesson_runs_through_and_then_random_keys_change_no_text_and_open_no_dialog(
    lesson: Lesson, lesson_name: str, wide: bool
) -> None:
    lesson.open(lesson_name)
    assert lesson.run_all() == []
    page, pressed = lesson.page, random.Random(lesson_name)
    page.locator(".jp-Notebook").first.press("Control+Home")
    for theme in ("dark", "light"):
        lesson.turn_to(theme)
        check_lesson(page)
    before = cells_of(lesson)
    page.locator(".jp-MarkdownCell").first.click()
    last: list[str] = []
    for _ in range(2000 if wide else 150):
        last = [*last[-7:], pressed.choice(KEYS)]
        page.keyboard.press(last[-1])
        assert page.evaluate(DIALOGS) == 0, f"a dialog after {last}"
    page.keyboard.press("Escape")
    after = cells_of(lesson)
    # Enter on JupyterLab's button below the last cell adds an empty one there, in nobody's way
    added = after[len(before) :]
    assert {cell["cell_type"] for cell in added} <= {"code"}
    for was, now in zip(before, after[: len(before)], strict=True):
        assert was["id"] == now["id"]
        assert was["cell_type"] == now["cell_type"]
        assert was["cell_type"] == "code" or was["source"] == now["source"]


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


def test_every_picture_and_form_comes_up_and_a_switch_flips_also_without_a_kernel(
    lesson: Lesson,
) -> None:
    lesson.open_and_run("all.ipynb", BEGIN, *SHOWN)
    for number, what in enumerate(SHOWN.values(), 1):
        cell = lesson.page.locator(".jp-Cell").nth(number)
        cell.scroll_into_view_if_needed()
        cell.locator(what).first.wait_for()
    rail = load_appliance("towel-rail")

    def watts(position: str) -> float | None:
        return solve(rail, {"S1": position}).power_W

    panel = lesson.page.locator(".jp-Cell").nth(1)
    switch = panel.locator('.hc-contact[data-part="S1"] [role="button"]')
    label = switch.get_attribute("aria-label") or ""
    order = rail.part("S1").positions
    now = next(i for i, position in enumerate(order) if re.search(rf"\b{position}\b", label))
    switch.click()  # by mouse, in the drawing itself
    expect_power(lesson, panel, watts(order[(now + 1) % len(order)]))
    switch.focus()
    for step, key in ((2, "Enter"), (3, "Space")):
        lesson.page.keyboard.press(key)
        expect_power(lesson, panel, watts(order[(now + step) % len(order)]))
    # the positions below the drawing have followed, and move the picture too
    group = panel.get_by_role("group", name="S1", exact=True)
    assert group.get_by_role("radio", name=order[(now + 3) % len(order)], exact=True).is_checked()
    group.get_by_role("radio", name=order[1], exact=True).check()
    expect_power(lesson, panel, watts(order[1]))
    lesson.shut_down_kernel()
    switch.click()
    expect_power(lesson, panel, watts(order[2]))
