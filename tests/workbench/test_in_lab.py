"""Describing an appliance in real JupyterLab: form, live panel, reload, and a file saved."""

from __future__ import annotations

from typing import Any

import pytest

from lessonlib import load_appliance
from tests.browser.lab import Lesson

pytestmark = pytest.mark.browser

SHOW = "from lessonlib.workbench.description import describe\npot = describe('tea-urn')\npot"
READ = (
    "from lessonlib.workbench.readings import own_readings\n"
    "mine = own_readings(pot.appliance)\nmine"
)


def form_on(lesson: Lesson) -> Any:
    form = lesson.page.locator("div.hcw").first
    form.wait_for()
    form.scroll_into_view_if_needed()
    return form


def wait_for(where: Any, text: str) -> None:
    where.get_by_text(text).first.wait_for()


def test_a_part_is_added_seen_live_and_saved_and_an_unsaved_text_survives_a_reload(
    lesson: Lesson,
) -> None:
    lesson.open_and_run("made.ipynb", SHOW, READ)
    form, page = form_on(lesson), lesson.page
    cells = page.locator(".jp-Cell").count()
    form.get_by_label("Add a part").select_option("element")
    for label, typed in [
        ("from point", "boost"),
        ("to point", "N"),
        ("power (W)", "0.8 kW"),  # at the supply's voltage, which stands there
    ]:
        form.get_by_label(label).focus()
        page.keyboard.type(typed)  # letters that would add, cut and move cells
    page.keyboard.press("Enter")
    wait_for(form, "Added E3, heating element.")
    assert page.locator(".jp-Cell").count() == cells

    form.get_by_role("button", name="Live picture").click()
    panel = page.locator(".hcp").first
    panel.wait_for()
    panel.locator('.hc-contact[data-part="S1"] [role="button"]').click()
    panel.get_by_text("2400 W").first.wait_for()  # 400 + 1200 + 800

    form.get_by_label("Save as").fill("my-urn")
    page.keyboard.press("Enter")
    wait_for(form, "Saved as appliances/my-urn.toml.")
    saved = load_appliance(lesson.folder / "appliances" / "my-urn.toml")
    assert [part.name for part in saved.elements] == ["E1", "E2", "E3"]

    readings = page.locator("form.hcw").last
    readings.scroll_into_view_if_needed()
    readings.get_by_label("the meter shows").fill("131.5 ohm")
    wait_for(readings, "Agrees. You read 132 Ω ± 1.6 Ω; by the file 132 Ω.")
    form.get_by_label("Text of the file").focus()
    page.keyboard.press("Control+End")
    page.keyboard.type("# not saved anywhere")
    lesson.save_with("# not saved anywhere")
    page.reload()
    form = form_on(lesson)
    assert form.get_by_label("Text of the file").input_value().endswith("# not saved anywhere")
    # and it is as alive as before
    form.get_by_role("button", name="Remove S1").click()
    wait_for(form, "Removed S1.")
    form.get_by_role("button", name="Undo").click()
    wait_for(form, "Undone.")
    assert form.get_by_label("Text of the file").input_value().endswith("# not saved anywhere")


def test_after_a_restart_of_the_kernel_the_same_cell_offers_the_unsaved_text_and_no_other_does(
    lesson: Lesson,
) -> None:
    new = "from lessonlib.workbench.description import describe\ndescribe()"
    lesson.open_and_run("restarted.ipynb", new, new)
    form = form_on(lesson)
    form.get_by_label("Text of the file").fill("# not saved anywhere")
    wait_for(form, "no parts")
    old = "document.querySelectorAll('div.hcw').forEach((form) => form.classList.add('old'))"
    lesson.page.evaluate(old)
    lesson.menu("Kernel", "Restart Kernel and Run All Cells")
    lesson.page.locator(".jp-Dialog .jp-mod-accept").click()
    forms = lesson.page.locator("div.hcw:not(.old)")
    texts = forms.get_by_label("Text of the file")
    texts.nth(1).wait_for()  # each offers what it has kept as it is drawn
    offer = lesson.page.get_by_role("button", name="Restore it")
    assert offer.count() == 1
    offer.click()
    assert texts.first.input_value() == "# not saved anywhere"
    assert texts.nth(1).input_value().startswith('title = "My appliance"')
