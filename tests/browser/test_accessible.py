"""What axe-core, the open accessibility checker, finds on each kind of page: nothing.

A checker finds only what a program can: the tests of each form and picture say what it cannot, as
the order of Tab and what is said when.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe

from lessonlib import (
    family,
    fault_bench,
    heating_panel,
    load_appliance,
    own_lugs,
    own_readings,
    own_rewirings,
    own_spare,
)
from lessonlib.questions.form import FormView
from lessonlib.sheet.sheet import bench_sheet
from lessonlib.workbench.description import describe
from tests.page.notebook import Notebook
from tests.page.notebook import book as book
from tests.page.notebook import notebook as notebook
from tests.panels.conftest import PHONE, Open
from tests.panels.conftest import open_page as open_page
from tests.questions.every_kind import CASES

pytestmark = pytest.mark.browser

STANDARDS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
EXPERIMENTAL = ["label-content-name-mismatch"]
"""Off unless asked for, though a rule of WCAG: people who speak to the page say what they read."""

PAGE_OF_OTHERS = ["landmark-one-main", "page-has-heading-one", "region"]
"""Rules for whole pages; a widget is a part of one."""


def findings(page: Any, *, within: str = "", but: list[str] | None = None) -> list[str]:
    """Each finding: the rule, what it asks for, and the element."""
    rules = {name: {"enabled": True} for name in EXPERIMENTAL}
    rules |= {name: {"enabled": False} for name in but or ()}
    options = {"runOnly": {"type": "tag", "values": [*STANDARDS, "experimental"]}, "rules": rules}
    found = Axe().run(page, within or None, options)
    return [
        f"{rule['id']}: {rule['help']}: {node['html'][:200]} {node.get('failureSummary', '')}"
        for rule in found.response["violations"]
        for node in rule["nodes"]
    ]


def check_lesson(page: Any) -> None:
    """A lesson, or the start page, open in JupyterLab: other tests call this where one is open."""
    found = findings(page, within=".jp-RenderedHTMLCommon, .hck", but=PAGE_OF_OTHERS)
    assert found == [], json.dumps(found, indent=1)


JUPYTERLAB_THEMES = Path(sys.prefix) / "share/jupyter/lab/themes/@jupyterlab"
NOTEBOOK_BODY = "body { background: var(--jp-layout-color0); color: var(--jp-content-font-color1) }"


def found_in_both_themes(book: Notebook) -> list[str]:
    """What is found on the page in the colours of JupyterLab's own light and dark theme."""
    found = []
    for theme in ("light", "dark"):
        sheet = JUPYTERLAB_THEMES / f"theme-{theme}-extension" / "index.css"
        book.page.add_style_tag(content=sheet.read_text("utf-8") + NOTEBOOK_BODY)
        light = "true" if theme == "light" else "false"
        book.page.evaluate("light => (document.body.dataset.jpThemeLight = light)", light)
        found += findings(book.page, but=PAGE_OF_OTHERS)
    return found


def light_and_dark(page: Any) -> list[str]:
    """What is found on a page of our own, which follows what the system prefers."""
    found = []
    for theme in ("light", "dark"):
        page.emulate_media(color_scheme=theme)
        found += findings(page)
    return found


def test_a_saved_family(open_page: Open) -> None:
    members = [one.appliance for one in family("floor-steamer").members[:3]]
    assert light_and_dark(open_page(family(members)).page) == []


@pytest.mark.parametrize("name", ["tea-urn", "towel-rail", "garment-steamer"])
def test_a_saved_live_picture(open_page: Open, name: str) -> None:
    assert light_and_dark(open_page(load_appliance(name)).page) == []


def test_a_saved_heating_panel_on_a_phone(open_page: Open) -> None:
    live = heating_panel(load_appliance("garment-steamer"))
    assert light_and_dark(open_page(live, viewport=PHONE).page) == []


def test_a_saved_fault_bench(open_page: Open) -> None:
    page = open_page(fault_bench(load_appliance("wax-melter"), level=3)).page
    for pin in ("plug pin L", "plug pin N"):
        page.get_by_role("button", name=pin, exact=True).click()
    page.get_by_label("Wires off").select_option("E1")
    assert light_and_dark(page) == []
    page.get_by_role("button", name="Show me").click()
    assert light_and_dark(page) == []


def test_a_bench_sheet(browser: Any) -> None:
    page = browser.new_page()
    page.set_content(bench_sheet(load_appliance("garment-steamer")).html)
    assert findings(page) == []
    page.close()


@pytest.mark.parametrize("kind", CASES)
def test_an_exercise_asked_and_answered(book: Notebook, kind: str) -> None:
    task = CASES[kind].task()
    book.live(FormView(task))
    assert found_in_both_themes(book) == []
    task.try_answer(CASES[kind].wrong)
    book.draw(FormView(task))
    assert found_in_both_themes(book) == []


def test_the_form_for_an_appliance_of_ones_own(
    book: Notebook, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    description = describe("garment-steamer")
    description._repr_mimebundle_()
    assert description._view is not None
    book.live(description._view.form)
    assert found_in_both_themes(book) == []


def test_the_form_for_readings_of_ones_own(book: Notebook) -> None:
    book.live(own_readings(load_appliance("tea-urn")))
    assert found_in_both_themes(book) == []
    book.page.get_by_label("the meter shows").fill("66")
    book.page.get_by_text("Ruled out").click()
    assert found_in_both_themes(book) == []


def test_the_form_for_the_lugs_of_a_bare_block(book: Notebook) -> None:
    book.live(own_lugs())
    book.page.get_by_label("Ohms between 1 and 2").fill("60")
    book.page.get_by_text("1 element.").wait_for()
    assert found_in_both_themes(book) == []


def test_the_form_for_a_spare_part(book: Notebook) -> None:
    book.live(own_spare(load_appliance("wax-melter")))
    book.page.get_by_label("in place of").select_option("D1")
    book.page.get_by_text("D1: cannot tell.").wait_for()
    assert found_in_both_themes(book) == []


def test_the_form_for_rewiring_on_paper(book: Notebook) -> None:
    book.live(own_rewirings())
    book.press("Search")
    book.page.get_by_role("heading", name="Wiring 1").wait_for()
    assert found_in_both_themes(book) == []
