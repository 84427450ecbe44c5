"""The page on ratings and hazards: what to do comes first, every danger is drawn and open."""

from __future__ import annotations

from lessonlib import load_appliance
from lessonlib.limits.published import published
from lessonlib.sheet.sheet import safety_sheet
from lessonlib.workbench.safety_page import safety_page

STEAMER = load_appliance("curtain-steamer")


def test_what_to_do_comes_first_and_a_danger_is_open_and_drawn_with_words() -> None:
    page = safety_page(STEAMER)
    begin = page.partition("<svg")[0]
    assert "1 thing to put right, 1 thing to find out" in begin
    assert "Have a switch fitted that cuts both conductors." in begin
    assert "Look up its holding temperature" in begin
    opened = page.partition("<details open>")[2].partition("</details>")[0]
    assert "▲ Put right, off: S1 off" in opened
    assert 'aria-label="danger: S1 off – nothing heats, but these stay live: F1, E1' in opened
    assert page.count("<details open>") == 1
    for row in published():
        assert row.source in page
        assert row.clause in page
    assert "edition not stated" in page


def test_it_prints_with_the_same_drawings() -> None:
    sheet = safety_sheet(STEAMER)
    assert "To put right 1: S1 off: nothing heats, but these stay live" in sheet.html
    assert "Put right, off: S1 off" in sheet.html
    assert sheet.html.count("<svg") == 8
    assert sheet.pdf.startswith(b"%PDF")
