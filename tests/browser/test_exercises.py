"""Exercises and predictions in real JupyterLab: by keyboard, over reloads and dead kernels."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from lessonlib.progress.progress import FILE_NAME, Progress
from lessonlib.questions.question import FROM_BEFORE
from tests.browser.lab import RUN_MS, Lesson, running_lab, write_notebook
from tests.questions.every_kind import CASES, Case

pytestmark = pytest.mark.browser

SETUP = "import sys; sys.path.insert(0, {!r})\nfrom tests.questions.every_kind import CASES"
SHOW = "CASES[{!r}].task()"
PREDICT = (
    "from lessonlib import recall\nfrom lessonlib.questions.question import Prediction\n"
    'options = {"a half": "It is cut.", "a quarter": "Twice."}\n'
    'half = Prediction("half", "What is left?", options, "a quarter")\nhalf'
)
KEY_NAMES = ("Tab", "Enter", "Space", "ArrowUp", "ArrowDown", "Control+a")
REPLY_MS = 10_000


@pytest.fixture(scope="module")
def lab(checkout: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, Path]]:
    with running_lab(checkout, tmp_path_factory.mktemp("home")) as found:
        yield found


@pytest.fixture
def lesson(browser: Any, lab: tuple[str, Path]) -> Iterator[Lesson]:
    context = browser.new_context(viewport={"width": 1100, "height": 1000})
    found = Lesson(context.new_page(), lab[0])
    yield found
    context.close()
    assert found.foreign == [], "requests to another host"
    assert found.errors == []


def open_and_run(lesson: Lesson, folder: Path, checkout: Path, name: str, *cells: str) -> None:
    write_notebook(folder, name, SETUP.format(str(checkout)), *cells)
    lesson.open(name)
    assert lesson.run_all(folder / name) == []


def in_front_of_the_first_field(lesson: Lesson) -> Any:
    """The form, with the focus so that one Tab leads to its first field."""
    form = lesson.page.locator("form:has(.hcq-standing)").first
    form.wait_for(timeout=RUN_MS)
    form.scroll_into_view_if_needed()
    form.evaluate("node => { node.tabIndex = -1; node.focus(); }")
    return form


def type_keys(page: Any, keys: tuple[str, ...]) -> None:
    for key in keys:
        if key in KEY_NAMES:
            page.keyboard.press(key)
        else:
            page.keyboard.insert_text(key)


def wait_for(form: Any, text: str) -> None:
    form.get_by_text(text).first.wait_for(timeout=REPLY_MS)


@pytest.mark.parametrize("case", CASES.values(), ids=CASES.keys())
def test_an_exercise_of_each_kind_is_worked_through_by_keyboard(
    lesson: Lesson, lab: tuple[str, Path], checkout: Path, case: Case
) -> None:
    kind = case.template.name.removeprefix("test-")
    open_and_run(lesson, lab[1], checkout, f"{kind}.ipynb", SHOW.format(kind))
    page = lesson.page
    cells = page.locator(".jp-Cell").count()
    form = in_front_of_the_first_field(lesson)
    type_keys(page, case.keys)
    wait_for(form, "This is what you get when this is thought.")
    check = form.get_by_role("button", name="Check")
    for standing in ("Two tries", "Three tries"):
        check.focus()
        page.keyboard.press("Enter")
        wait_for(form, standing)
    type_keys(page, ("Tab", "Enter"))
    wait_for(form, "First hint: Look at the supply.")
    type_keys(page, ("Tab", "Tab", "Enter"))  # past new numbers, to the worked answer
    wait_for(form, "Another line.")
    text = form.locator(".hcq-text").inner_text()
    for _ in range(2 if kind == "file" else 1):
        form.get_by_role("button", name="New numbers").focus()
        page.keyboard.press("Enter")
    wait_for(form, "Your tries start again.")
    assert form.locator(".hcq-text").inner_text() != text
    wait_for(form, "Not tried yet")
    # no key has reached the notebook, where letters and arrows add, cut and change cells
    assert page.locator(".jp-Cell").count() == cells
    tries = Progress(lab[1] / FILE_NAME).tries(case.template.name)
    assert [(one.verdict, one.slip) for one in tries] == [("wrong", "known")] * 3


def test_what_is_typed_is_still_there_after_a_reload_and_after_the_kernel_died(
    lesson: Lesson, lab: tuple[str, Path], checkout: Path
) -> None:
    open_and_run(lesson, lab[1], checkout, "typed.ipynb", SHOW.format("number"))
    page = lesson.page
    in_front_of_the_first_field(lesson)
    type_keys(page, ("Tab", "0.1"))
    page.wait_for_timeout(1000)  # typing is passed on once it pauses
    lesson.menu("File", "Save Notebook")
    page.wait_for_timeout(1000)

    page.reload()
    form = in_front_of_the_first_field(lesson)
    box = form.get_by_role("textbox")
    assert box.input_value() == "0.1"
    type_keys(page, ("Tab", "Control+a", "200 W", "Enter"))
    wait_for(form, "One try")

    box.fill("0.1 kW")
    lesson.menu("Kernel", "Shut Down Kernel")
    page.wait_for_function(
        "() => /No Kernel/.test(document.querySelector('.jp-Toolbar-kernelName')?.textContent)"
    )
    form.get_by_role("button", name="Check").click()
    wait_for(form, "Python has not answered yet.")
    assert box.input_value() == "0.1 kW"

    # as those words say: run the cell again, and then answer
    lesson.open("typed.ipynb")
    assert lesson.run_all(lab[1] / "typed.ipynb") == []
    form = in_front_of_the_first_field(lesson)
    assert form.get_by_role("textbox").input_value() == "0.1 kW"
    form.get_by_role("button", name="Check").click()
    wait_for(form, "Right: 0.1 kW")


def test_a_prediction_comes_back_when_the_kernel_was_restarted(
    lesson: Lesson, lab: tuple[str, Path], checkout: Path
) -> None:
    open_and_run(lesson, lab[1], checkout, "predicted.ipynb", PREDICT, "recall(half)")
    page = lesson.page
    form = page.locator("form.hcq").first
    form.wait_for(timeout=RUN_MS)
    form.get_by_label("a half").check()
    wait_for(form, "Noted: a half.")

    lesson.menu("Kernel", "Restart Kernel and Run All Cells")
    page.locator(".jp-Dialog .jp-mod-accept").click()
    recalled = page.get_by_text("You said: a half. The thought behind it: It is cut.")
    recalled.first.wait_for(timeout=RUN_MS)
    form = page.locator("form.hcq").first
    wait_for(form, FROM_BEFORE)
    assert form.get_by_label("a half").is_checked()
