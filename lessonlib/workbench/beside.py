"""The form for a family of one's own: which appliances, in which order, under which labels.

`beside.js` draws it, with the picture of the family below. A list is saved as `families/NAME.toml`,
which `family("NAME")` reads too.
"""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from contextlib import suppress
from functools import partial
from pathlib import Path
from typing import Any

import tomlkit
import traitlets

from lessonlib.appliance.bundled import load_appliance
from lessonlib.appliance.parts import Appliance
from lessonlib.errors import DescriptionError, FileKept, LessonlibError
from lessonlib.families.data import family_data
from lessonlib.families.family import family
from lessonlib.families.members import LISTS, family_files, listed_in, own_lists
from lessonlib.families.picture import FamilyPicture
from lessonlib.page.join import script, style
from lessonlib.panels.export import PANEL
from lessonlib.sheet.pages import PAPERS
from lessonlib.workbench.own_files import offered_names, save_text, saved_names, source_of
from lessonlib.workbench.papers import write_papers

Row = Mapping[str, str]
"""A member in the form: its "label", and its "name", which is empty for the appliance that is
described above and not saved."""

_TITLE = "My appliances side by side"


class BesideForm(FamilyPicture):
    """What the browser shows. With each `action` it sends all `rows` and the `title`, and counts up
    `asked`; once Python has acted it sets `said`, and `heard` to that."""

    _esm = script("workbench/beside.js")
    _css = style("families/family.css", PANEL, own_paper=True)

    rows: traitlets.List[Any] = traitlets.List().tag(sync=True)
    title = traitlets.Unicode(_TITLE).tag(sync=True)
    offered = traitlets.List(traitlets.Unicode(), help="Names to add.").tag(sync=True)
    lists = traitlets.List(traitlets.Unicode(), help="Names to open.").tag(sync=True)
    save_as = traitlets.Unicode("my-family").tag(sync=True)
    papers = traitlets.List(traitlets.Dict(), help="Files written last.").tag(sync=True)
    paper_names = traitlets.List(list(PAPERS)).tag(sync=True)
    action = traitlets.Dict().tag(sync=True)
    asked = traitlets.Int(0).tag(sync=True)
    heard = traitlets.Int(0).tag(sync=True)
    said = traitlets.Unicode().tag(sync=True)

    def __init__(self, appliance: Appliance) -> None:
        self._described, self._name = appliance, _name_of(appliance)
        self._saved: dict[str, str] = {}  # by name, what this form opened or saved last
        self._written: dict[Path, bytes] = {}
        rows = [{"label": name, "name": name} for name in saved_names()]
        if not self._name:
            rows.append({"label": appliance.title, "name": ""})
        super().__init__(family([self._pair(row) for row in rows], _TITLE, safety=True))
        self.rows, self.offered, self.lists = rows, offered_names(), [*own_lists(), *family_files()]
        self.said = _alone(rows)
        self.observe(self._act, "asked")

    def take(self, appliance: Appliance) -> None:
        """Show the appliance as it is described now; labels and order stay."""
        before, self._described, self._name = self._name, appliance, _name_of(appliance)
        if not before:  # it may have been saved meanwhile
            self.rows = [{**row, "name": row["name"] or self._name} for row in self.rows]
        self.offered = offered_names()
        self.said = self.do_show()

    def _pair(self, row: Row) -> tuple[str, Appliance | Path | str]:
        """Label and member: of a file that is described above, what is described."""
        is_above = row["name"] == self._name
        return row["label"], self._described if is_above else source_of(row["name"])

    def _act(self, change: Any) -> None:
        self.papers = []
        try:
            self.said = getattr(self, f"do_{self.action['do']}")()
        except (LessonlibError, OSError) as error:
            self.said = str(error)
        self.lists = [*own_lists(), *family_files()]
        self.heard = self.asked

    def _tell(self, done: str, count: int, every: int) -> None:
        self.said = f"{done} {count} of {every}".capitalize()

    def do_show(self) -> str:
        if not self.rows:
            raise DescriptionError("No appliance is left. Add one.")
        self._family = family(
            list(map(self._pair, self.rows)), self.title, safety=True, progress=self._tell
        )
        table = family_data(self._family)
        with self.hold_sync():
            self.sheets, self.wanted = {}, -1
            self.table = table
        return _alone(self.rows)

    def do_save(self) -> str:
        """The list as a file."""
        if any(not row["name"] for row in self.rows):
            raise DescriptionError(
                "A list has the names of files, and the appliance described above has none yet. "
                "Save it above first, then press Beside my others again."
            )
        members = [{"label": row["label"], "file": _beside_lists(row["name"])} for row in self.rows]
        text = tomlkit.dumps({"title": self.title, "member": members})
        name = self.action["name"].strip()
        ours = self._saved.get(name)
        try:
            path, kept = save_text(name, text, replace=ours is not None, ours=ours, folder=LISTS)
        except FileKept as error:
            raise DescriptionError(
                f"{error} Choose another name, or open that list first."
            ) from error
        self._saved[path.stem] = text
        also = f" The old list is kept as {kept.stem}." if kept else ""
        return f"Saved as {path.as_posix()}.{also}"

    def do_open(self) -> str:
        name = self.action["name"]
        title, pairs = listed_in(name)
        self.title, self.save_as = title or _TITLE, name
        self.rows = [{"label": label, "name": str(source)} for label, source in pairs]
        if name in own_lists():
            self._saved[name] = own_lists()[name].read_text("utf-8")
        return f"Opened {name}. {self.do_show()}".strip()

    def do_write(self) -> str:
        """The family as PDF and as a page, beside the notebook."""
        self.do_show()
        stem = self.action["name"].strip() or self.save_as
        written = partial(self._family.written, paper=self.action["paper"])
        said, self.papers = write_papers(written, f"{stem}-family", self._written)
        return said


def _beside_lists(file: str) -> str:
    """The file as a list has it, which takes a path from where the list is."""
    return Path(os.path.relpath(file, LISTS)).as_posix() if file.endswith(".toml") else file


def _name_of(appliance: Appliance) -> str:
    """The name of the own file with the same title; empty where there is none."""
    for name in saved_names():
        with suppress(LessonlibError):  # what cannot be read is named below the others
            if load_appliance(source_of(name)).title == appliance.title:
                return name
    return ""


def _alone(rows: Sequence[Row]) -> str:
    if len(rows) > 1:
        return ""
    return "This one is alone. Add another one, or save more appliances of your own first."
