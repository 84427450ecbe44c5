"""The bench sheet: what stands on it, on how many pages, as HTML and as PDF."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

from lessonlib import load_appliance, state_table, variant
from lessonlib.appliance.bundled import appliance_names
from lessonlib.errors import SheetError
from lessonlib.limits.half_wave import CONDITIONS
from lessonlib.limits.half_wave import SOURCE as HALF_WAVE
from lessonlib.limits.mains import mains_range
from lessonlib.meter.ohm_table import meter_table
from lessonlib.safety import CAUTIONS, MODEL
from lessonlib.schematics.layout import layout
from lessonlib.schematics.text import NAME_PX, SMALL_PX
from lessonlib.sheet.files import write_files
from lessonlib.sheet.pages import DrawingPiece, Ruled
from lessonlib.sheet.sheet import BenchSheet, bench_sheet
from tests.networks import element, rig
from tests.sheet import odd
from tests.sheet.reading import html_rows, html_tags, html_words, pdf, pdf_words, plain

JOINED = ("many positions", "many settings")
"""These have too many columns, so that some are put together."""


@cache
def _made(name: str, paper: str) -> BenchSheet:
    return bench_sheet(odd.every()[name], paper=paper)


def sheet_of(name: str, paper: str = "A4") -> BenchSheet:
    return _made(name, paper)  # one entry for the paper left out and for the same one named


def unspaced(text: str) -> str:
    """Without white space: a word too long for its column is cut, anywhere."""
    return "".join(text.split())


def both(name: str) -> list[str]:
    """All that a sheet says, as HTML and as PDF."""
    sheet = sheet_of(name)
    return [html_words(sheet.html), pdf_words(sheet.pdf)]


def rows_of(name: str) -> list[list[str]]:
    return html_rows(sheet_of(name).html)


@pytest.mark.parametrize(("paper", "size"), [("A4", (595, 842)), ("letter", (612, 792))])
@pytest.mark.parametrize("name", appliance_names())
def test_a_bundled_appliance_fits_on_one_page_and_the_largest_two_on_two(
    name: str, paper: str, size: tuple[int, int]
) -> None:
    sheet = sheet_of(name, paper)
    assert sheet.pages == (2 if name == "hot-trolley" else 1)
    assert sheet.html.count('<section class="hc-sheet-page">') == sheet.pages
    assert f"size: {paper};" in sheet.html
    boxes = [page.mediabox for page in pdf(sheet.pdf).pages]
    assert [(round(box.width), round(box.height)) for box in boxes] == [size] * sheet.pages


@pytest.mark.parametrize("name", odd.every())
def test_everything_that_belongs_on_a_sheet_can_be_read_in_html_and_pdf(name: str) -> None:
    appliance, rows = odd.every()[name], rows_of(name)
    html, in_pdf = map(unspaced, both(name))
    mains = mains_range(appliance.supply.voltage_V)
    assert mains is not None
    said = (appliance.title, appliance.purpose, MODEL, *CAUTIONS, "computed from")
    for words in (*said, f"[1] {mains.source}"):
        assert unspaced(words) in html
        assert unspaced(words) in in_pdf
    for word in (*appliance.nodes, *(part.name for part in appliance.parts)):
        assert unspaced(word) in in_pdf  # in the drawing
    lines = [plain(" ".join(row)) for row in rows]
    for row in state_table(appliance).shown_rows if name not in JOINED else ():
        assert any(line.startswith(plain(" ".join(row))) for line in lines), row
        assert all(unspaced(cell) in in_pdf for cell in row), row
    # each expected reading stands beside room for one's own
    switches = len(appliance.switches) or 1
    between = [row for row in rows if "L–N" in row]
    for found, shown in zip(between, meter_table(appliance).shown_rows, strict=True):
        expected, sees = plain(shown[switches]), plain(shown[-1])
        assert found[-3:] == [expected, "", sees]
        assert unspaced(expected) in in_pdf
    # no letters are smaller than seven points, and few lines are left empty
    sheet = sheet_of(name).layout
    pieces = [piece for page in sheet.pages for piece in page]
    [scale_pt] = [piece.scale_pt for piece in pieces if isinstance(piece, DrawingPiece)]
    smallest_pt = scale_pt * min(SMALL_PX, NAME_PX)
    assert smallest_pt >= 7 or scale_pt * layout(appliance, False).width > 540
    assert min(sheet.text_pt, sheet.note * sheet.text_pt) >= 7
    assert sum(piece.lines for piece in pieces if isinstance(piece, Ruled)) <= 6


def test_what_is_live_when_off_is_told_for_both_ways_of_the_plug() -> None:
    for text in both("curtain-steamer"):
        assert (
            "no current flows. Live ends: F1, E1, P1, H1 and H2 at both ends; S1 at return." in text
        )
        assert "With the plug reversed: only the switch, S1 at N." in text
    for text in both("garment-steamer"):
        assert "Live ends: only the switch, S1 at L." in text
        assert "plug reversed: S1 at fed; F1, E1, P1, H1 and H2 at both ends." in text
    for text in both("tea-urn"):
        assert "As drawn, it takes 400 W and 1.74 A. Live ends: E1 and S1 at L." in text
        assert "With the plug reversed" not in text


def test_limits_of_the_garment_steamer_are_the_published_ones() -> None:
    # 1501 W at the plug: -10 % is 1351 W, +5 % is 1576 W (IEC 335-1 table 1); a thermal link of
    # 192 C opens from 182 C on (IEC 60691); steam of 0.6 and of 0.45 bar gauge is
    # at 113.5 C and 110.6 C (IF97)
    rows = {row[0]: row[1:3] for row in rows_of("garment-steamer")}
    assert rows["supply"] == ["230 V, 50 Hz", "207 V to 253 V [1]"]
    assert rows["power at the plug"][1] == "1351 W to 1576 W, hot [2]"
    assert rows["F1, thermal fuse"] == [
        "opens at 192 °C, one-shot, rated 10 A",
        "+0/−10 K: 182 to 192 °C [3]; carries 7.17 A at 253 V",  # 6.52 A at 230 V
    ]
    assert rows["P1, pressure switch"][1] == (
        "steam at 114 °C and 111 °C [4]; carries 7.18 A at 253 V"
    )


def test_a_finding_that_fails_has_a_row_on_the_sheet() -> None:
    weak = variant(load_appliance("wax-melter"), {"D1": {"rated_A": 1}})
    text = html_words(bench_sheet(weak).html)
    assert "D1, mean current" in text
    assert "at most 1 A" in text
    assert "fails" in text


def test_a_diode_brings_the_half_wave_caution_and_its_own_load() -> None:
    for text in both("wax-melter"):
        # 800 W is 3.478 A r.m.s. on whole waves: root 2 of it at the peak, 4.919 A, and that by pi
        # in the mean of half waves, 1.566 A; at 253 V 1.1 times that, and a peak of 357.8 V
        assert "carries 1.72 A mean at 253 V; blocks 358 V peak at 253 V" in text
        assert "D1 controls 800 W" in text
        assert "reads half waves 29 % low" in text
        for words in (*CONDITIONS, HALF_WAVE):
            assert words in text
    for text in both("diode"):  # what is behind the diode, and not what is beside it
        assert "D1 controls 800 W" in text
    for text in both("tea-urn"):
        assert "half wave" not in text.lower()
        # suspects for the first reading, and boxes for earth and insulation
        for words in ("L to N, S1 off: at most 1.3 Ω → E1", "at most 0.3 Ω", "at least 300 kΩ"):
            assert unspaced(words) in unspaced(text)


def test_a_short_circuit_is_told_and_gets_no_power() -> None:
    for text in both("short"):
        assert "As drawn, it shorts the supply" in text
        assert "x short circuit –" in text
        assert "power at the plug 100 W in the highest setting" in text


def test_where_a_reversed_plug_changes_the_powers_the_states_have_a_table_of_their_own() -> None:
    rows = rows_of("earthed")
    states = [row for row in rows if row[0] == "as it is" and len(row) == 6]
    assert [row[1] for row in states if row[1].endswith("W")] == ["300 W", "200 W"]


def test_too_many_columns_are_put_together() -> None:
    rows = rows_of("many positions")
    row = next(row for row in rows if row[0] == "step 3")
    assert row[1] == "300 W"
    assert row[3] == "E3 300 W"
    rows = rows_of("many settings")
    row = next(row for row in rows if row[0].startswith("S0 on, S1 off, S2 off"))
    assert row[1] == "100 W"


def test_more_settings_than_a_sheet_can_hold_are_refused() -> None:
    with pytest.raises(SheetError, match="256 switch settings; accepted on a sheet: at most 200"):
        bench_sheet(odd.many_settings(8))


def test_a_long_table_is_cut_between_rows_and_its_heading_repeated() -> None:
    sheet = sheet_of("many settings")
    assert sheet.pages > 1
    rows = [row for row in html_rows(sheet.html) if row[0].startswith("S0 ") and len(row) == 6]
    assert len({tuple(row) for row in rows}) == 32 == len(rows)
    for text in both("many settings"):
        assert "Every switch setting, at 230 V (continued)" in text
        assert f"Page {sheet.pages} of {sheet.pages}." in text


def test_markup_in_names_stays_text_and_a_long_title_is_cut_in_the_foot() -> None:
    html, short = sheet_of("markup").html, sheet_of("short").html
    assert set(html_tags(html)) <= set(html_tags(short)) | {"b"}
    assert "<script" not in html
    assert "&lt;script&gt;alert(1)" in html
    for text in both("markup"):
        assert "$style" in text
        assert re.search(r"Bench sheet: <script>.*…\. Page 1 of 1\.", text)
    assert "<p></p>" not in short  # it has no purpose


def test_a_value_is_not_parted_from_its_unit() -> None:
    html = sheet_of("garment-steamer").html
    assert "rated 10\u00a0A" in html
    assert not re.search(r"\d (?:V|A|W|Ω|°C|bar)[,;<.]", html.split("</svg>")[1])


def test_an_appliance_that_came_from_no_file_has_a_sheet() -> None:
    one = bench_sheet(rig(element("E1", "L", "N")))
    assert "computed from the description of the appliance" in html_words(one.html)


def test_the_same_sheet_has_the_same_bytes() -> None:
    first, second = (bench_sheet(load_appliance("wax-melter")) for _ in range(2))
    assert first.html == second.html
    assert first.pdf == second.pdf
    assert first._repr_mimebundle_() == second._repr_mimebundle_()


def test_save_writes_html_and_pdf_by_the_suffix_and_refuses_others(tmp_path: Path) -> None:
    sheet = sheet_of("tea-urn")
    assert sheet.save(tmp_path / "a.HTML").read_text("utf-8") == sheet.html
    assert sheet.save(str(tmp_path / "a.pdf")).read_bytes() == sheet.pdf
    with pytest.raises(SheetError, match=r"Accepted: \.html, \.pdf"):
        sheet.save(tmp_path / "a.png")
    with pytest.raises(SheetError, match="accepted: 'A4', 'letter'"):
        bench_sheet(load_appliance("tea-urn"), paper="A5")
    assert sorted(file.name for file in tmp_path.iterdir()) == ["a.HTML", "a.pdf"]


def test_in_a_notebook_it_is_a_box_with_a_hint_and_a_line_of_text() -> None:
    sheet = sheet_of("tea-urn")
    shown = sheet._repr_mimebundle_()
    assert '<div class="hc-sheet-frame" tabindex="0" role="region"' in shown["text/html"]
    assert '.save("sheet.pdf")' in shown["text/html"]
    assert "<body" not in shown["text/html"]
    assert shown["text/plain"] == repr(sheet)
    assert repr(sheet).replace("\u00a0", " ") == (
        "Bench sheet of Six-litre tea urn (A4, 1 page). As drawn, it takes 400 W and 1.74 A. "
        "Live ends: E1 and S1 at L. Only the pulled plug isolates it: then prove dead."
    )


def test_files_are_written_once_and_those_that_hold_something_else_are_kept(
    tmp_path: Path,
) -> None:
    sheet = sheet_of("tea-urn")
    targets = [tmp_path / "a.html", tmp_path / "a.pdf"]
    assert write_files(sheet, targets) == targets
    assert write_files(sheet, targets) == []
    targets[0].unlink()
    targets[1].write_text("mine")
    with pytest.raises(FileExistsError, match=r"a\.pdf, with something else"):
        write_files(sheet, targets)
    assert targets[1].read_text() == "mine"
    assert not targets[0].exists()
