"""The sheet's HTML in a real browser: printed, on a wide and a narrow screen, light and dark."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import pytest

from lessonlib import load_appliance
from lessonlib.schematics.layout import layout
from lessonlib.sheet.pages import DrawingPiece
from lessonlib.sheet.sheet import BenchSheet, bench_sheet
from tests.sheet import odd
from tests.sheet.reading import pdf

pytestmark = pytest.mark.browser

WIDE_FONT = '* { font-family: "DejaVu Sans", Verdana, sans-serif !important; }'


@cache
def sheet_of(name: str, paper: str = "A4") -> BenchSheet:
    return bench_sheet(odd.every()[name], paper=paper)


@pytest.mark.parametrize(
    ("paper", "font"), [("A4", ""), ("letter", WIDE_FONT)], ids=["its own font", "a wide font"]
)
def test_the_browser_prints_as_many_pages_as_promised(browser: Any, paper: str, font: str) -> None:
    page = browser.new_page()
    printed, promised = {}, {}
    for name in odd.every():
        sheet = sheet_of(name, paper)
        page.set_content(sheet.html)
        if font:
            page.add_style_tag(content=font)
        file = pdf(page.pdf(prefer_css_page_size=True))
        printed[name], promised[name] = len(file.pages), sheet.pages
        size = file.pages[0].mediabox
        wanted = pdf(sheet.pdf).pages[0].mediabox
        # a browser rounds paper to its own pixels, of 0.75 points
        assert abs(size.width - wanted.width) < 1
        assert abs(size.height - wanted.height) < 1
    page.close()
    assert printed == promised


def test_on_a_printed_page_nothing_is_cut_off_and_the_drawing_is_as_large_as_in_the_pdf(
    browser: Any,
) -> None:
    page = browser.new_page(viewport={"width": 733, "height": 1000})  # A4 between its margins
    page.emulate_media(media="print")
    for name, appliance in odd.every().items():
        sheet = sheet_of(name)
        page.set_content(sheet.html)
        assert page.evaluate(OUTSIDE) == []
        box = page.locator("svg.hc-schematic").bounding_box()
        [picture] = [piece for piece in sheet.layout.pages[0] if isinstance(piece, DrawingPiece)]
        width_pt = layout(appliance, False).width * picture.scale_pt
        # a hundredth of an em of rounding in the page's own style, and a pixel of the browser's
        assert abs(box["width"] * 0.75 - width_pt) < 1, name
    page.close()


OUTSIDE = """() => [...document.querySelectorAll(".hc-sheet :is(h1, h2, p, li, th, td, footer)")]
  .filter(element => {
    const words = document.createRange();
    words.selectNodeContents(element);
    const right = element.getBoundingClientRect().right;
    return words.getBoundingClientRect().right > right + 0.5 || right > innerWidth;
  }).map(element => element.outerHTML)"""
"""Elements whose text reaches out of them to the right, or which are not on the page."""


@pytest.mark.parametrize("name", ["hot-trolley", "markup", "many settings", "many positions"])
def test_a_narrow_screen_scrolls_tables_and_drawing_not_the_page(browser: Any, name: str) -> None:
    page = browser.new_page(viewport={"width": 400, "height": 800})
    page.set_content(sheet_of(name).html)
    assert page.evaluate("document.documentElement.scrollWidth") == 400
    page.close()


def test_the_sheet_is_white_paper_on_a_dark_screen_too(browser: Any) -> None:
    sheet = bench_sheet(load_appliance("tea-urn"))
    in_notebook = sheet._repr_mimebundle_()["text/html"]
    page = browser.new_page(color_scheme="dark")
    for html in (sheet.html, f'<body data-jp-theme-light="false">{in_notebook}</body>'):
        page.set_content(html)
        look = "getComputedStyle(document.querySelector('.hc-sheet'))"
        assert page.evaluate(f"{look}.backgroundColor") == "rgb(255, 255, 255)"
        assert page.evaluate(f"{look}.color") == "rgb(29, 29, 31)"
    page.close()


def test_opened_from_disk_it_asks_for_nothing_and_reports_nothing(
    browser: Any, tmp_path: Path
) -> None:
    asked: list[str] = []
    page = browser.new_page()
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: asked.append(message.text))
    file = bench_sheet(odd.markup()).save(tmp_path / "sheet.html")
    page.goto(file.as_uri())
    assert page.title().startswith("<script>alert(1)</script>")
    assert [url for url in asked if not url.startswith(("file:", "data:"))] == []
    page.close()
