"""Modules and styles as one text each: nothing is left to import, and each is there once."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

import lessonlib
from lessonlib.page.join import EXPORT, IMPORT, PACKAGE, script, style

ORDER = re.findall(r"^- `(\w+)`", lessonlib.__doc__ or "", flags=re.MULTILINE)
SCRIPTS = sorted(PACKAGE.rglob("*.js"))
STYLES = sorted(PACKAGE.rglob("*.css"))
WIDGETS = (
    "panels/panel.js",
    "panels/heating.js",
    "panels/fault_bench.js",
    "questions/form.js",
    "workbench/describe.js",
)


def name_of(path: Path) -> str:
    return path.relative_to(PACKAGE).as_posix()


@pytest.mark.parametrize("path", SCRIPTS, ids=name_of)
def test_a_module_imports_what_another_room_above_it_exports(path: Path) -> None:
    text = path.read_text("utf-8")
    assert len(IMPORT.findall(text)) == len(re.findall("^import", text, flags=re.MULTILINE))
    for names, other in IMPORT.findall(text):
        source = (path.parent / other).resolve()
        wanted = set(re.findall(r"\w+", names))
        assert wanted <= set(EXPORT.findall(source.read_text("utf-8")))
        assert all(len(re.findall(rf"\b{name}\b", text)) > 1 for name in wanted), "not used"
        assert ORDER.index(source.parent.name) <= ORDER.index(path.parent.name)


@pytest.mark.parametrize("path", [*SCRIPTS, *STYLES], ids=name_of)
def test_nothing_is_left_to_import_and_each_file_is_there_once(path: Path) -> None:
    name = name_of(path)
    text = script(name) if path.suffix == ".js" else style(name, ".here")
    assert not re.search(r"^(import|@import)\b", text, flags=re.MULTILINE)
    firsts = [one.read_text("utf-8").splitlines()[0] for one in (*SCRIPTS, *STYLES)]
    assert max(text.count(first) for first in firsts) == 1
    assert path.read_text("utf-8").splitlines()[-1] in text


@pytest.mark.browser
def test_a_browser_takes_the_files_as_they_are_and_joined(browser: Any) -> None:
    page = browser.new_page()
    page.route(
        "http://workbook.example/**",
        lambda route: (
            route.fulfill(path=PACKAGE / route.request.url.split("example/")[1])
            if route.request.url.endswith(".js")
            else route.fulfill(body="<!doctype html>", content_type="text/html")
        ),
    )
    page.goto("http://workbook.example/")
    load = "async (url) => typeof (await import(url)).default.render"
    for name in WIDGETS:
        assert page.evaluate(load, f"/{name}") == "function"
        joined = "source => URL.createObjectURL(new Blob([source], { type: 'text/javascript' }))"
        assert page.evaluate(load, page.evaluate(joined, script(name))) == "function"
    page.close()
