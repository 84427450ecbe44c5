"""The live picture of a family in a notebook, and the same as one page that opens offline."""

from __future__ import annotations

from os import PathLike
from pathlib import Path

import anywidget
import traitlets

from lessonlib.families.data import family_data
from lessonlib.families.family import Family
from lessonlib.page.join import script, style
from lessonlib.panels.export import PANEL, save_page


class FamilyPicture(anywidget.AnyWidget):
    """What the browser shows: `family.js` draws it from `table`, and needs no kernel."""

    _esm = script("families/family.js")
    _css = style("families/family.css", PANEL, own_paper=True)

    table = traitlets.Dict().tag(sync=True)

    def __init__(self, family: Family) -> None:
        super().__init__(table=family_data(family))


def save_family(family: Family, path: str | PathLike[str]) -> Path:
    """Write the page to `path` and return that. Raises `DrawingError` for another suffix."""
    picture = family.picture
    return save_page({"table": picture.table}, path, picture._esm, picture._css)
