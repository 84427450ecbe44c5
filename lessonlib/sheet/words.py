"""The sheet's own headings and footers, the same on paper, on screen and for a screen reader."""

from __future__ import annotations

from lessonlib.sheet.grid import SheetTable
from lessonlib.sheet.measure import cut_to, width_em
from lessonlib.sheet.pages import Pages

ENTRIES = ("Date", "Name", "Meter")
NOTES = "Notes"


def heading(grid: SheetTable, continued: bool) -> str:
    """The heading above a table."""
    return f"{grid.title} (continued)" if continued else grid.title


def footer(sheet: Pages, number: int) -> str:
    """The line at the bottom of a page."""
    before, after = "Bench sheet: ", f". Page {number} of {len(sheet.pages)}."
    room = sheet.width_em / sheet.note - width_em(before + after)
    return before + cut_to(sheet.content.title, room) + after


def subject(sheet: Pages) -> str:
    """What the file is about, for its properties."""
    return f"Bench sheet. {sheet.content.purpose}".strip()
