"""The sheet as PDF: what a reader program and a screen reader find in it; and the plan of tests."""

from __future__ import annotations

import re
from typing import Any

import pytest
from matplotlib.colors import to_rgb

from lessonlib import load_appliance, plan_sheet, test_plan
from lessonlib.appliance.bundled import appliance_names
from lessonlib.diagnosis.plan_shown import numbered_steps
from lessonlib.palette import LIGHT
from lessonlib.safety import CAUTIONS
from lessonlib.sheet.content import WIRING
from tests.sheet.reading import html_words, pdf, pdf_words, plain
from tests.sheet.test_sheet import sheet_of, unspaced


def test_pdf_has_title_language_and_no_time_stamp() -> None:
    reader = pdf(sheet_of("tea-urn").pdf)
    assert reader.metadata is not None
    assert reader.metadata.title == "Six-litre tea urn"
    assert reader.root_object["/Lang"] == "en"
    assert reader.root_object["/ViewerPreferences"]["/DisplayDocTitle"]
    # the library's fixed date, not today's
    assert str(reader.metadata.get("/CreationDate")).startswith("D:2000")


def test_pdf_embeds_its_fonts_and_draws_the_wiring_in_lines() -> None:
    for page in pdf(sheet_of("garment-steamer").pdf).pages:
        assert not page.images
        code = page.get_contents().get_data().decode("latin-1")
        fonts = {name: one.get_object() for name, one in page["/Resources"]["/Font"].items()}
        # the PDF library lists a default font of its own; nothing is written in it
        written = [font for name, font in fonts.items() if f"{name} " in code]
        assert len(written) == 3
        for font in written:
            assert "/FontFile2" in font["/FontDescriptor"]
            assert "/ToUnicode" in font
        stroked = {tuple(map(float, one.split())) for one in re.findall(r"([ \d.]+) RG", code)}
        for name in ("ink", "live", "neutral"):
            assert any(near == pytest.approx(to_rgb(LIGHT[name]), abs=1e-3) for near in stroked)


def structure(element: Any) -> list[tuple[str, Any]]:
    """Every element of the PDF's structure below one, from the top: its kind and the element."""
    found = []
    for kid in element.get("/K", []):
        if not isinstance(kid, int):
            inner = kid.get_object()
            found += [(inner["/S"], inner), *structure(inner)]
    return found


def test_pdf_is_tagged_with_headings_tables_and_words_for_the_drawing() -> None:
    elements = structure(pdf(sheet_of("garment-steamer").pdf).root_object["/StructTreeRoot"])
    kinds = [kind for kind, _ in elements]
    assert kinds[:2] == ["/Document", "/H1"]
    assert kinds.count("/Table") == 3
    assert kinds.count("/LI") == len(CAUTIONS)
    [figure] = [one for kind, one in elements if kind == "/Figure"]
    assert "Garment steamer, S1 off; L live; N, fed, top, bottom neutral" in figure["/Alt"]
    scopes = {one["/A"]["/Scope"] for kind, one in elements if kind == "/TH"}
    assert scopes == {"/Column", "/Row"}


@pytest.mark.parametrize("name", ["garment-steamer", "hot-trolley"])
def test_every_marked_piece_of_the_pdf_belongs_to_one_element_of_its_page(name: str) -> None:
    reader = pdf(sheet_of(name).pdf)
    numbers = reader.root_object["/StructTreeRoot"]["/ParentTree"]["/Nums"]
    lists = dict(zip(numbers[::2], numbers[1::2], strict=True))
    for page in reader.pages:
        owners = lists[page["/StructParents"]].get_object()
        code = page.get_contents().get_data().decode("latin-1")
        marked = [int(number) for number in re.findall(r"/MCID (\d+)", code)]
        assert marked == list(range(len(owners)))
        for number, owner in enumerate(owners):
            assert number in owner.get_object()["/K"]
            assert owner.get_object()["/Pg"].get_object() == page.get_object()
        assert code.count("BDC") + code.count("BMC") == code.count("EMC")


@pytest.mark.parametrize("name", appliance_names())
def test_the_plan_of_tests_fits_on_one_page_and_the_largest_leaves_out_the_wiring(
    name: str,
) -> None:
    appliance = load_appliance(name)
    sheet = plan_sheet(appliance)
    assert sheet.pages == len(pdf(sheet.pdf).pages) == 1
    assert sheet.layout.text_pt >= 7
    assert (WIRING in sheet.html) == (name != "hot-trolley")
    words, printed = unspaced(html_words(sheet.html)), unspaced(pdf_words(sheet.pdf))
    for number, test, thens in numbered_steps(test_plan(appliance)):
        for cell in (number, test, thens):
            assert unspaced(cell) in words
            assert unspaced(cell) in printed
    assert CAUTIONS[0] in plain(sheet.html)


def test_a_long_plan_has_two_steps_in_a_row_each_with_a_heading_of_its_own() -> None:
    sheet = plan_sheet(load_appliance("hot-trolley"))
    assert sheet.html.count('<th scope="row">') == 42
    assert '<th scope="row">42</th>' in sheet.html
    assert "19\u00a0to\u00a022" in sheet.html  # no line ends within a range
