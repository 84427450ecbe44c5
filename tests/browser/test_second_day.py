"""The next day, and after a kernel has gone: everything is there, and one press goes on."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from tests.browser.lab import CLOSED_OR_ASKED, RUN_MS, TOKEN, Lesson, Text
from tests.browser.test_exercises import PREDICT, SETUP, SHOW, wait_for
from tests.browser.test_keys import answering, cells_of, on
from tests.browser.waiting import until

pytestmark = pytest.mark.browser

PANELS = (
    "from lessonlib import *\npanel(load_appliance('towel-rail'))",
    "heating_panel(load_appliance('garment-steamer'))",
)
LEFT = "This is as you left it."
BROKEN = """() => [...document.querySelectorAll('.jupyter-widgets-disconnected')]
    .filter((node) => getComputedStyle(node, '::before').display !== 'none').length"""


def go_on_from(form: Any) -> None:
    form.get_by_role("button", name="Set up and go on").click()


def counts(lesson: Lesson) -> list[int | None]:
    return [one["execution_count"] for one in cells_of(lesson) if one["cell_type"] == "code"]


def test_the_next_day_everything_shows_what_it_showed_and_looking_takes_nothing_away(
    lesson: Lesson, checkout: Path
) -> None:
    cells = SETUP.format(str(checkout)), SHOW.format("number"), PREDICT, *PANELS
    lesson.open_and_run("tomorrow.ipynb", *cells)
    page = lesson.page
    form, prediction = page.locator("form.hcq").first, page.locator("form.hcq").nth(1)
    prediction.get_by_label("a half").check()
    wait_for(prediction, "Noted: a half.")
    form.get_by_role("textbox").fill("200 W")
    form.get_by_role("textbox").press("Enter")
    wait_for(form, "1 try")
    lesson.save_with("Noted: a half.")
    saved = lesson.states()
    for _ in range(2):  # on the third day, too
        lesson.next_day()
        form.get_by_text(LEFT).wait_for()
        assert form.get_by_role("textbox").input_value() == "200 W"
        assert form.get_by_text("1 try").is_visible()
        assert not form.get_by_role("button", name="Check").is_visible()
        assert prediction.get_by_label("a half").is_checked()
        assert prediction.get_by_text("Noted: a half.").is_visible()
        for panel in (page.locator(".hcp").nth(0), page.locator(".hcp").nth(1)):
            switch = panel.locator('.hc-contact [role="button"]').first
            was = switch.get_attribute("aria-label")
            switch.focus()
            page.keyboard.press("Enter")
            page.wait_for_function(
                "([node, was]) => node.getAttribute('aria-label') !== was",
                arg=[switch.element_handle(), was],
            )
        assert page.evaluate(BROKEN) == 0
        assert page.get_by_text("model not found").count() == 0
        lesson.save()
        assert lesson.states().keys() == saved.keys()
    go_on_from(form)
    answering(lesson, 1)
    form.get_by_role("textbox").fill("0.1 kW")
    page.keyboard.press("Enter")
    wait_for(form, "Right: 0.1 kW")
    assert not form.get_by_text(LEFT).is_visible()


def restart(lesson: Lesson) -> None:
    lesson.menu("Kernel", "Restart Kernel…")
    lesson.page.locator(".jp-Dialog .jp-mod-accept").click()
    lesson.page.get_by_text(LEFT).wait_for()


def shut_down(lesson: Lesson) -> None:
    lesson.shut_down_kernel()
    lesson.page.locator(".hck-main").click()
    lesson.page.get_by_text("Python has not answered yet.").wait_for()


def test_when_the_kernel_has_gone_one_press_sets_up_all_that_is_needed_and_goes_on(
    lesson: Lesson, checkout: Path
) -> None:
    cells = "a = 1", SETUP.format(str(checkout)), Text("Read."), "b = a", SHOW.format("number"), "2"
    lesson.open_and_run("gone.ipynb", *cells)
    form = lesson.page.locator("form.hcq")
    for lose, typed, reply in ((shut_down, "200 W", "1 try"), (restart, "0.1 kW", "Right: 0.1")):
        form.get_by_role("textbox").fill(typed)
        lose(lesson)
        go_on_from(form)
        answering(lesson, 4)
        lesson.idle()
        assert form.get_by_role("textbox").input_value() == typed
        lesson.page.keyboard.type(typed)  # takes the place of what stands there
        lesson.page.keyboard.press("Enter")
        wait_for(form, reply)
        assert counts(lesson)[:4] == [1, 2, 3, 4]


def test_a_page_that_is_saved_while_it_opens_brings_back_what_was_saved_and_asks_nothing(
    lesson: Lesson,
) -> None:
    """Asks nothing when it is closed, where nobody did anything but look."""
    page, held = lesson.page, []
    lesson.open_and_run("early.ipynb", *PANELS)
    page.locator(".hcp").first.wait_for()
    lesson.leave()
    saved = lesson.states()
    # JupyterLab gets its kernel late, as on a busy machine, and brings back nothing before that
    asks = re.compile(r"/api/sessions(\?|$)")
    page.route(
        asks,
        lambda route: held.append(route) if route.request.method == "POST" else route.continue_(),
    )
    lesson.come_back()
    page.locator(".jp-Notebook .jp-Cell").first.wait_for()
    lesson.save()
    assert page.locator(".hcp").count() == 0
    assert lesson.states() == saved
    until(lambda: page.evaluate("1") and held, RUN_MS / 1000, lambda: "no kernel was asked for")
    for route in held:
        route.continue_()
    page.unroute(asks)
    page.locator(".hcp").first.wait_for()
    lesson.idle()
    page.mouse.move(800, 500)
    page.mouse.wheel(0, 400)
    lesson.menu("File", "Close Tab")
    page.wait_for_function(CLOSED_OR_ASKED)
    assert page.locator(".jp-Dialog").count() == 0


def test_shift_enter_is_not_lost_on_a_page_whose_kernel_still_starts(lesson: Lesson) -> None:
    lesson.write("early.ipynb", "1", "2", "3", "4")
    lesson.file = lesson.folder / "early.ipynb"
    lesson.page.goto(f"{lesson.address}/lab/tree/early.ipynb?token={TOKEN}&reset")
    first = lesson.page.locator(".jp-Cell").first
    first.locator(".jp-InputPrompt").click()
    for _ in range(3):
        on(lesson)
    first.get_by_text("[1]:").first.wait_for()
    lesson.idle()
    assert counts(lesson) == [1, 2, 3, None]


def write_locked(lesson: Lesson, name: str, *cells: str) -> None:
    """A notebook whose cells cannot be deleted, as in a trainee's copy of a lesson."""
    lesson.write(name, *cells)
    file = lesson.folder / name
    made = json.loads(file.read_text("utf-8"))
    for cell in made["cells"]:
        cell["metadata"]["deletable"] = False
    file.write_text(json.dumps(made), encoding="utf-8")


def test_a_cell_of_a_lesson_that_is_run_in_a_new_kernel_brings_along_what_was_run_above_it(
    lesson: Lesson,
) -> None:
    """And Shift+Enter on its last cell adds nothing to its file."""
    write_locked(lesson, "go_on.ipynb", "a = 1", "1 / 0", "b = a + 1", "never = 1", "b + 40", "b")
    lesson.open("go_on.ipynb")
    for number in (0, 1, 2):
        lesson.page.locator(".jp-Cell").nth(number).locator(".jp-InputPrompt").click()
        on(lesson)
        lesson.idle()
    assert counts(lesson) == [1, 2, 3, None, None, None]
    lesson.next_day()
    lesson.page.locator(".jp-Cell").nth(4).locator(".jp-InputPrompt").click()
    on(lesson)
    on(lesson)
    lesson.page.locator(".jp-OutputArea-output", has_text="42").wait_for()
    lesson.page.locator(".jp-Cell").nth(6).wait_for()  # JupyterLab's own, below the last one
    on(lesson)
    lesson.idle()
    for _ in range(2):
        assert counts(lesson) == [1, 2, 3, None, 4, 5]
    assert lesson.page.locator(".jp-Dialog").count() == 0
