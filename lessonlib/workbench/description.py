"""The front door `describe`: describe an appliance step by step.

The description is the text of an appliance file. Each step edits that text; its problems, the
appliance and the drawing are worked out from it. A notebook shows it as a form, with the text
beside it and the drawing below.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from os import PathLike, fspath
from pathlib import Path
from typing import TYPE_CHECKING, Any

from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.reader import read_appliance
from lessonlib.errors import ApplianceError, DescriptionError, LessonlibError, Problem, shown
from lessonlib.ratings.remarks import remarks
from lessonlib.words import counted
from lessonlib.workbench import edit, own_files
from lessonlib.workbench.outline import begun_values

if TYPE_CHECKING:
    from lessonlib.workbench.box import DescriptionBox

START = """\
title = "My appliance"

[supply]
voltage_V = 230
frequency_Hz = 50
reversible_plug = false
"""

MOST_STEPS = 500
"""How many steps can be undone at most."""


class ProblemList(tuple[Problem, ...]):
    """Everything wrong with a text, in the reader's words. `more`: the reader gave up early."""

    more: bool = False

    @property
    def counted(self) -> str:
        """How many there are: "2 problems"."""
        return f"{'more than ' if self.more else ''}{counted(len(self), 'problem')}"

    def __repr__(self) -> str:
        return "\n".join(map(str, self)) or "no problems"


@dataclass(eq=False)
class _Origin:
    """Where a text comes from. `name` is that of its file, if it has one; `title` is the last one
    that could be read."""

    name: str | None
    begun: str
    title: str | None = None


_Step = tuple[str, _Origin]


class Description:
    """A text that describes an appliance. Made by `describe`.

    `problems` is everything wrong with the text. `last_valid` is the appliance of the last text
    without problems, or None. `earlier` has the steps that can be undone, `later` those undone.
    `kept` is the copy of the file that the last save replaced, or None.
    """

    def __init__(self, name: str | PathLike[str] | None = None) -> None:
        self.last_valid: Appliance | None = None
        self.kept: Path | None = None
        self._saved: dict[str, str] = {}  # by name, what this description saved last
        self.earlier: list[_Step] = []
        self.later: list[_Step] = []
        self._view: DescriptionBox | None = None
        self._text, self._origin = _opened(name)
        self._take(self._text, self._origin)

    @property
    def name(self) -> str | None:
        """Name or path of the appliance that was opened, or saved last; None for a new one."""
        return self._origin.name

    @property
    def text(self) -> str:
        """The text of the appliance file; set it to change it."""
        return self._text

    @text.setter
    def text(self, text: str) -> None:
        if not isinstance(text, str):
            raise DescriptionError(
                f"found {shown(text)} as the text. Accepted: the text of an appliance file. "
                "Give it as a string."
            )
        self._step(own_files.whole_characters(text), self._origin)

    def _step(self, text: str, origin: _Origin) -> None:
        if (text, origin) != (self._text, self._origin):
            self.earlier = [*self.earlier[1 - MOST_STEPS :], (self._text, self._origin)]
            self.later = []
            self._take(text, origin)

    def _take(self, text: str, origin: _Origin) -> None:
        if origin is not self._origin or not text.strip():
            self.last_valid = None  # of another appliance, or of none any more
        self._text, self._origin = text, origin
        origin.title = own_files.title_of(text) or origin.title
        file = "description" if origin.name is None else Path(origin.name).stem
        try:
            self.last_valid = read_appliance(text, file)
            self.problems = ProblemList()
        except ApplianceError as error:
            self.problems = ProblemList(error.problems)
            self.problems.more = error.more
        if self._view is not None:
            self._view.refresh()

    @property
    def appliance(self) -> Appliance:
        """The appliance described. Raises `ApplianceError` while there are problems."""
        if self.problems or self.last_valid is None:
            raise ApplianceError(self.problems, self.problems.more)
        return self.last_valid

    @property
    def unsaved(self) -> bool:
        """Whether the text has changed since it was opened or saved."""
        saved = self._saved.get(Path(self.name).stem) if self.name else None
        return self._text not in (self._origin.begun, saved)

    @property
    def file_name(self) -> str:
        """The name to save it under: that of its own file, or else a free one made of its title."""
        if self.name in self._saved:
            return self.name
        return own_files.own_name(self.name) or own_files.free_name(self._origin.title)

    def add(
        self,
        kind: str,
        *,
        name: str | None = None,
        between: Sequence[str] | None = None,
        **values: Any,
    ) -> None:
        """Add a part of that `kind` (a table's name in the file, such as "element") with its
        values by key. Without a `name` it gets the next free one, such as E2.

        Raises `DescriptionError` for an unknown kind, a name that another part has, or a text that
        is not valid TOML. Values that do not fit are written too, and show up in `problems`.
        """
        begun = begun_values(edit.parsed(self._text)).get(kind, {})
        given = {"name": begun.get("name") if name is None else name, **values}
        if between is not None:
            given["between"] = list(between)
        self.text = edit.add_part(self._text, kind, given)

    def change(self, name: str, **values: Any) -> None:
        """Change values of the part of that name, by key; None removes a key.

        `name` can also be "supply", "vessel" or "appliance" (its title and purpose). Raises
        `DescriptionError` for a name that the text does not have.
        """
        self.text = edit.change(self._text, name, values)

    def rename(self, name: str, new_name: str) -> None:
        """Rename a part, also in a thermal fuse that is placed on it.

        Raises `DescriptionError` for a name that another part has.
        """
        self.text = edit.change(self._text, name, {"name": new_name})

    def rename_point(self, point: str, new_name: str) -> None:
        """Rename a point in every part that ends there.

        Raises `DescriptionError` for an unknown point, for L, N and PE, and for a name that another
        point has: that would join the two.
        """
        self.text = edit.rename_point(self._text, point, new_name)

    def remove(self, name: str) -> None:
        """Remove the part of that name. Raises `DescriptionError` where there is none."""
        self.text = edit.remove_part(self._text, name)

    def undo(self) -> bool:
        """Undo the last step; says whether there was one."""
        return self._move(self.earlier, self.later)

    def redo(self) -> bool:
        """Redo the step that was undone last; says whether there was one."""
        return self._move(self.later, self.earlier)

    def _move(self, there: list[_Step], here: list[_Step]) -> bool:
        if not there:
            return False
        here.append((self._text, self._origin))
        self._take(*there.pop())
        return True

    def start_from(self, name: str | PathLike[str] | None) -> None:
        """Start from another appliance, or a new one for None, as one step that can be undone."""
        self._step(*_opened(name))

    def save(self, name: str, *, replace: bool = False) -> Path:
        """Write the text to `appliances/NAME.toml` in the folder of the notebook; returns the path.

        A file that holds something else, or another appliance, is left alone, and `FileKept` (a
        `FileExistsError`) raised, unless `replace` is True; then `kept` is its copy.
        Raises `DescriptionError` for a name that no file can have.
        """
        stem = own_files.own_path(name).stem
        path, self.kept = own_files.save_text(
            name, self._text, replace=replace, ours=self._saved.get(stem)
        )
        self._saved[stem] = self._text
        self._origin.name = stem
        return path

    def __repr__(self) -> str:
        try:
            found = [] if self.problems else [str(each) for each in remarks(self.appliance)]
        except LessonlibError as error:  # the solution failed the solver's own check
            found = [str(error)]
        return "\n".join((f"{self._text.rstrip()}\n", repr(self.problems), *found))

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        if self._view is None:
            from lessonlib.workbench.box import DescriptionBox

            self._view = DescriptionBox(self)
        return self._view.bundle(repr(self))


def _opened(name: str | PathLike[str] | None) -> tuple[str, _Origin]:
    text = START if name is None else own_files.found_text(name)
    return text, _Origin(None if name is None else fspath(name), text)


def describe(name: str | PathLike[str] | None = None) -> Description:
    """Describe an appliance step by step: a form in a notebook, `.add(...)` and so on in code.

    `name` is an appliance to start from: one of yours in `appliances/`, a bundled one, or a path to
    a .toml file. Raises `ApplianceNotFound` where there is none. A file with problems is opened
    as it is, for you to put right.
    """
    return Description(name)
