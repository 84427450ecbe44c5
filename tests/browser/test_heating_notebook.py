"""The heating run as a person plays it in a notebook in JupyterLab."""

from __future__ import annotations

import re

import pytest

from tests.browser.heating_run import Run
from tests.browser.lab import Lesson
from tests.browser.waiting import frames

pytestmark = pytest.mark.browser

SOURCE = """from lessonlib import load_appliance
from lessonlib.panels.heating import heating_panel
steamer = heating_panel(load_appliance("garment-steamer"), {"S1": "on"}, speed=300)
steamer"""
TOLD = "print(round(steamer.temperature_C, 1), steamer.positions, len(steamer.moves))"


def test_it_plays_in_a_notebook_tells_python_and_lives_on_without_a_kernel(
    lesson: Lesson,
) -> None:
    lesson.open_and_run("run.ipynb", SOURCE, TOLD)
    page = lesson.page
    run = Run(page, lesson.scroll_to_panel())
    run.press("Start")
    run.wait_for("P1 opens")
    run.flip("S1")
    run.wait_for("S1 turned to off")
    run.press("Pause")
    hot = run.temperature_C

    # what the browser played, Python has heard of
    page.locator(".jp-CodeCell .cm-content", has_text="print").click()
    page.keyboard.press("Control+Enter")
    page.locator(".jp-OutputArea-output", has_text=re.compile(rf"^{hot} .*'S1': 'off'")).wait_for()
    lesson.save()
    lesson.shut_down_kernel()
    run.press("Go on")
    run.wait_until(f"now < {hot}")

    # reload, still without a kernel: the saved run is there, and plays on
    page.reload()
    page.locator(".jp-Notebook").first.wait_for()
    run = Run(page, lesson.scroll_to_panel())
    frames(page)
    assert run.temperature_C == hot
    # on a slow machine P1 may have closed before the pause
    assert "S1 turned to off" in [event[1] for event in run.events[-2:]]
    run.flip("S1")
    run.press("Go on")
    run.wait_for("P1 closes")  # its seconds of heat may pass between two looks; the list keeps it
