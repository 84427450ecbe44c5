"""The live picture of a family in a notebook, and the same as one page that opens offline."""

from __future__ import annotations

from html import escape
from typing import Any

import anywidget
import traitlets

from lessonlib.errors import SheetError
from lessonlib.families.data import family_data
from lessonlib.families.family import Family
from lessonlib.page.join import script, style
from lessonlib.panels.export import PANEL, page
from lessonlib.sheet.sheet import bench_sheet


class FamilyPicture(anywidget.AnyWidget):
    """What the browser shows: `family.js` draws it from `table`, and needs no kernel.

    A bench sheet is a whole page of its own. It is made when it is `wanted` (the number of a
    member, from 0), and kept in `sheets`; the page that opens offline has all of them.
    """

    _esm = script("families/family.js")
    _css = style("families/family.css", PANEL, own_paper=True)

    table = traitlets.Dict().tag(sync=True)
    wanted = traitlets.Int(-1).tag(sync=True)
    sheets: traitlets.Dict[str, str] = traitlets.Dict().tag(sync=True)

    def __init__(self, family: Family) -> None:
        super().__init__(table=family_data(family))
        self._family = family
        self.observe(self._want, "wanted")

    def _want(self, change: Any) -> None:
        if 0 <= self.wanted < len(self._family.members):
            key = str(self.wanted)
            self.sheets = {**self.sheets, key: sheet_html(self._family, self.wanted)}


def sheet_html(family: Family, place: int) -> str:
    """The bench sheet of a member as a page, or why there is none."""
    try:
        return bench_sheet(family.members[place].appliance).html
    except SheetError as error:
        return f"<p>{escape(str(error))}</p>"


def family_page(family: Family) -> str:
    """The page that opens offline, with all bench sheets in it."""
    picture = family.picture
    sheets = {}
    for place in range(len(family.members)):
        family.progress("written", place + 1, len(family.members))
        sheets[str(place)] = sheet_html(family, place)
    return page({"table": picture.table, "sheets": sheets}, picture._esm, picture._css)
