"""The front door `describe`: an appliance described step by step, with its text as the one truth.

Every step edits the text; the problems, the appliance and the drawing follow from it. In a notebook
it shows as a form, with the text beside it and the live picture below.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.reader import read_appliance
from lessonlib.errors import ApplianceError, DescriptionError, Problem, shown
from lessonlib.workbench import edit, own_files
from lessonlib.workbench.outline import next_names

if TYPE_CHECKING:
    from lessonlib.workbench.view import DescriptionBox

START = """\
title = "My appliance"

[supply]
voltage_V = 230
frequency_Hz = 50
reversible_plug = false
"""

MOST_STEPS = 500
"""Most steps that can be undone."""


class ProblemList(tuple[Problem, ...]):
    """Everything wrong with a text, written out as the reader gives it."""

    def __repr__(self) -> str:
        return "\n".join(map(str, self)) or "no problems"


class Description:
    """A text that describes an appliance. Made by `describe`."""

    def __init__(self, name: str | None = None) -> None:
        self.name = name
        self.last_valid: Appliance | None = None
        self._saved: tuple[str, str] | None = None  # name and text
        self._earlier: list[str] = []
        self._text = ""
        self._view: DescriptionBox | None = None
        self._take(START if name is None else own_files.found_text(name))
        self._begun = self._text

    @property
    def text(self) -> str:
        """The text of the appliance file, which may be set."""
        return self._text

    @text.setter
    def text(self, text: str) -> None:
        if not isinstance(text, str):
            raise DescriptionError(
                f"found {shown(text)} as the text. Accepted: the text of an appliance file. "
                "Give it as a string."
            )
        if text != self._text:
            self._earlier = [*self._earlier[1 - MOST_STEPS :], self._text]
            self._take(text)

    def _take(self, text: str) -> None:
        self._text = text
        file = "description" if self.name is None else Path(self.name).stem
        try:
            self.last_valid = read_appliance(text, file)
            self._problems = ProblemList()
        except ApplianceError as error:
            self._problems = ProblemList(error.problems)
        if self._view is not None:
            self._view.refresh()

    @property
    def problems(self) -> ProblemList:
        """Everything wrong with the text, all together; empty when the appliance can be used."""
        return self._problems

    @property
    def appliance(self) -> Appliance:
        """The appliance described. Raises `ApplianceError` while there are problems."""
        if self._problems or self.last_valid is None:
            raise ApplianceError(self._problems)
        return self.last_valid

    @property
    def steps_back(self) -> int:
        """How many steps can be undone."""
        return len(self._earlier)

    @property
    def unsaved(self) -> bool:
        """Whether the text is neither what it began with nor what was saved last."""
        return self._text not in (self._begun, self._saved and self._saved[1])

    def add(
        self,
        kind: str,
        *,
        name: str | None = None,
        between: Sequence[str] | None = None,
        **values: Any,
    ) -> None:
        """Put in a part of that `kind` (a table's name in the file, such as "element") with its
        values by key. Without a `name` it gets the next free one, such as E2.

        Raises `DescriptionError` for a kind there is none of, or a text that is not valid TOML.
        Values that do not fit are written down and come up in `problems`.
        """
        free = next_names(edit.parsed(self._text))
        given = {"name": free.get(kind) if name is None else name, **values}
        if between is not None:
            given["between"] = list(between)
        self.text = edit.add_part(self._text, kind, given)

    def change(self, name: str, **values: Any) -> None:
        """Give the part of that name new values by key; None takes a key out.

        `name` can be "supply", "vessel" or "appliance" (its title and purpose) as well. Raises
        `DescriptionError` for a name that the text does not have.
        """
        self.text = edit.change(self._text, name, values)

    def rename(self, name: str, new_name: str) -> None:
        """Call the part of that name `new_name`, also where a thermal fuse is placed on it."""
        self.text = edit.rename(self._text, name, new_name)

    def remove(self, name: str) -> None:
        """Take the part of that name out. Raises `DescriptionError` where there is none."""
        self.text = edit.remove_part(self._text, name)

    def undo(self) -> bool:
        """Go back by one step; says whether there was one."""
        if not self._earlier:
            return False
        self._take(self._earlier.pop())
        return True

    def start_from(self, name: str | None) -> None:
        """Take the text of another appliance, or an empty one for None, as one step."""
        text = START if name is None else own_files.found_text(name)
        self.name = name
        self.text = text
        self._begun = text

    def save(self, name: str, *, replace: bool = False) -> Path:
        """Write the text to `appliances/NAME.toml` in the folder of the notebook; returns the path.

        A file that says something else is left alone, and `FileKept` (a `FileExistsError`) raised,
        unless `replace` is True. Raises `DescriptionError` for a name that no file should have.
        """
        stem, saved = own_files.own_path(name).stem, self._saved
        ours = saved[1] if saved and saved[0] == stem else None
        path = own_files.save_text(name, self._text, replace=replace, ours=ours)
        self.name, self._saved = stem, (stem, self._text)
        return path

    def __repr__(self) -> str:
        return f"{self._text.rstrip()}\n\n{self._problems!r}"

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        if self._view is None:
            from lessonlib.workbench.view import DescriptionBox

            self._view = DescriptionBox(self)
        return self._view.bundle(repr(self))


def describe(name: str | None = None) -> Description:
    """Describe an appliance step by step: a form in a notebook, `.add(...)` and so on in code.

    `name` is an appliance to start from: one of yours in `appliances/`, a bundled one, or a path to
    a .toml file. Raises `ApplianceNotFound` where there is none. A file with problems is taken as
    it is, for you to put right.
    """
    return Description(name)
