"""A family as PDF: few pages, all of it said in words too, and the drawings to one scale."""

import io

import pytest
from pypdf import PdfReader

from lessonlib import family
from lessonlib.errors import SheetError
from lessonlib.families.paper import family_pdf
from lessonlib.sheet.pages import PAPERS


@pytest.fixture(scope="module")
def steamers():
    return family("floor-steamer")


@pytest.mark.parametrize("paper", PAPERS)
def test_seven_members_are_two_pages_that_say_every_change(steamers, paper, tmp_path):
    saved = steamers.save(tmp_path / "steamers.pdf", paper=paper)
    reader = PdfReader(saved)
    assert len(reader.pages) == 2
    assert tuple(map(float, reader.pages[0].mediabox[2:])) == pytest.approx(
        (PAPERS[paper].width_pt, PAPERS[paper].height_pt), abs=0.01
    )
    text = " ".join(" ".join(page.extract_text().split()) for page in reader.pages)
    for changes in steamers.changes:
        for change in changes:
            assert change.words in text
    assert "cannot tell you that a real wire is dead" in text
    for member in steamers.members:
        assert member.label in text
    assert saved.read_bytes() == family_pdf(steamers, PAPERS[paper])  # the same bytes every time


def test_many_members_go_on_over_pages_and_more_tables(tmp_path):
    names = ["tea-urn", "soup-kettle", "wax-melter"] * 3
    found = family([(f"number {place}", name) for place, name in enumerate(names, 1)])
    reader = PdfReader(io.BytesIO(family_pdf(found, PAPERS["A4"])))
    text = " ".join(page.extract_text() for page in reader.pages)
    assert text.count("What each can do at 230 V") == 2
    assert f"Page {len(reader.pages)} of {len(reader.pages)}" in text


def test_other_paper_is_refused(steamers, tmp_path):
    with pytest.raises(SheetError, match="accepted"):
        steamers.save(tmp_path / "steamers.pdf", paper="A3")
