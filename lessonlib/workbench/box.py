"""The form of a description and what is shown below it: passes what is typed and pressed to the
`Description`, and shows what follows."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import ipywidgets

from lessonlib.appliance.bundled import appliance_files
from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.reader import read_appliance
from lessonlib.appliance.schema import PART_KEYS
from lessonlib.errors import (
    ApplianceError,
    DescriptionError,
    FileKept,
    LessonlibError,
)
from lessonlib.ratings.remarks import remarks
from lessonlib.schematics.schematic import schematic
from lessonlib.workbench import edit, fields
from lessonlib.workbench.beside import BesideForm
from lessonlib.workbench.blocks import WHOLE
from lessonlib.workbench.looks import LOOKS, PAPERS
from lessonlib.workbench.outline import begun_values, listed, nodes_of, outlined, row_of
from lessonlib.workbench.own_files import saved_names
from lessonlib.workbench.papers import write_papers
from lessonlib.workbench.plain import plain
from lessonlib.workbench.suggest import SUGGESTIONS
from lessonlib.workbench.view import DescriptionView

if TYPE_CHECKING:
    from lessonlib.workbench.description import Description


class DescriptionBox(ipywidgets.VBox):  # type: ignore[misc]
    """The form, and below it the panel or the readings that a button of it asks for."""

    def __init__(self, description: Description) -> None:
        self._description = description
        self._drawn: Appliance | None = None
        self._below: Any = None
        self._papers: dict[Path, bytes] = {}  # what was written of the page to print
        kinds = (WHOLE, *PART_KEYS, "vessel")
        self.form = DescriptionView(
            f"description {description.name or ''}",
            forms=[fields.form_of(kind) for kind in kinds],
            looks=[[name, button] for name, (button, _) in LOOKS.items()],
            printable=list(PAPERS),
        )
        super().__init__([self.form])
        self.refresh()
        self.form.observe(self._act, "asked")

    def bundle(self, text: str) -> dict[str, Any]:
        """What a notebook displays: the form and what is below it, or `text`."""
        self.refresh()
        bundle: dict[str, Any] = self._repr_mimebundle_()
        return {**bundle, "text/plain": text}

    def refresh(self) -> None:
        """Show the description as it is now."""
        form, description = self.form, self._description
        with form.hold_sync():
            form.text = description.text
            form.steps_back = len(description.earlier)
            form.steps_forward = len(description.later)
            form.save_as = description.file_name
            form.unsaved = description.unsaved
            form.saved = saved_names()
            form.examples = list(appliance_files())
            form.begun_from = description.name or ""
            self._outline()
            self._draw()

    def _outline(self) -> None:
        """List the parts and problems; the parts stay as they were while nothing can be parsed."""
        form = self.form
        try:
            document = edit.parsed(self._description.text)
        except DescriptionError:
            document = None
        form.editable = document is not None
        if document is not None:
            form.parts = [row_of(part) for part in listed(document)]
            form.nodes = nodes_of(document)
            form.begins = begun_values(document)
        form.problems = [plain(problem, document) for problem in self._description.problems]
        form.begun = all(each["unfinished"] for each in form.problems)

    def _draw(self) -> None:
        """Draw the last text without problems, and say how the text stands."""
        form, appliance = self.form, self._description.last_valid
        problems, form.remarks = self._description.problems, []
        form.stale = bool(problems) and appliance is not None
        form.standing = problems.counted if problems else "The description is complete."
        if problems and form.begun:
            form.standing = "Not complete yet"
        if appliance is None:
            form.picture = ""
            self._show("")
        try:
            if appliance is not None and not problems:
                found = remarks(appliance)
                form.remarks = [{"warning": one.warning, "words": one.words} for one in found]
            if appliance is not None and appliance != self._drawn:
                form.picture = schematic(appliance)._repr_mimebundle_()["text/html"]
                self._show_again()
            self._drawn = appliance
        except LessonlibError as error:  # the solution failed the solver's own check
            form.standing = f"The text can be read, but the circuit could not be solved. {error}"
            form.stale = bool(form.picture)

    def _show_again(self) -> None:
        """What is shown below, of the appliance as it is now; closed where it cannot be."""
        try:
            self._show(self.form.look)
        except LessonlibError as error:
            self._show("")
            self.form.said = str(error)

    def _show(self, name: str) -> None:
        """Show that look of the last appliance without problems instead of the one before."""
        appliance = self._description.last_valid
        if appliance and name == self.form.look and isinstance(self._below, BesideForm):
            self._below.take(appliance)
            return
        made = LOOKS[name][1](appliance) if name and appliance else ""
        form, earlier = self.form, self._below
        is_html = isinstance(made, str)
        self._below = None if is_html else made
        form.look, form.shown, form.papers = name, made if is_html else "", []
        self.children = [form, *([] if is_html else [made])]
        if earlier is not None:
            earlier.close()

    def _act(self, change: Any) -> None:
        """Take over the text, then do what was pressed."""
        form, action = self.form, self.form.action
        with form.hold_sync():
            form.in_the_way = form.said = ""
            form.wrong, form.suggested = {}, {}
            form.done = True
            try:
                self._description.text = form.text
                said = getattr(self, f"do_{action['do']}")(action)
                form.said = " ".join(filter(None, (said, form.said)))
            except FileKept as error:
                form.in_the_way, form.said = action.get("name", ""), str(error)
                form.done = False
            except _Refused as error:
                form.wrong, form.said, form.done = error.at, str(error), False
            except (LessonlibError, OSError) as error:
                form.said, form.done = str(error), False
            self.refresh()
            form.heard = form.asked

    def do_type(self, action: Any) -> str:
        return ""

    def do_add(self, action: Any) -> str:
        kind, text = action["kind"], self._description.text
        begun = begun_values(edit.parsed(text)).get(kind, {})
        values = _read(kind, action["typed"], {})
        if kind == "vessel":
            self._take("vessel", kind, edit.change(text, kind, values))
            return "Added the vessel."
        name = values.setdefault("name", begun["name"])
        _check_free(text, name)
        by_resistance = "resistance_ohm" in values and "power_W" not in values
        if by_resistance and fields.as_typed(values.get("voltage_V")) == begun.get("voltage_V"):
            values.pop("voltage_V", None)  # it was filled in for a marked power
        self._take(name, kind, edit.add_part(text, kind, values))
        return f"Added {name}, {fields.word_of(kind)}."

    def do_change(self, action: Any) -> str:
        name, text = action["name"], self._description.text
        part = {each.name: each for each in listed(edit.parsed(text))}.get(name)
        if part is None:
            raise DescriptionError(f"There is no {name} any more. Choose a part of the list.")
        kind = part.kind
        values = _read(kind, action["typed"], part.table)
        new_name = values.get("name")
        if new_name:
            _check_free(text, new_name)
        supply = {key: values.pop(key) for key in [*values] if _is_of_supply(name, key)}
        for holder, changed in (("supply", supply), (name, values)):
            if changed:
                text = edit.change(text, holder, changed)
        if text == self._description.text:
            return "No value was different, so nothing was changed."
        self._take(new_name or name, kind, text)
        called = new_name or (name if kind in PART_KEYS else fields.word_of(name))
        return f"Changed: {called}."

    def _take(self, name: str, kind: str, text: str) -> None:
        """Take the text unless something is wrong with that part in it. Raises `_Refused` then."""
        try:
            read_appliance(text)
        except ApplianceError as error:
            document = edit.parsed(text)
            found = [plain(problem, document) for problem in error.problems]
            at = {
                each["key"]: each["at"]
                for each in reversed(found)
                if (each["part"], each["kind"]) == (name, kind) and not each["unfinished"]
            }
            if at:
                raise _Refused(at) from None
        self._description.text = text

    def do_remove(self, action: Any) -> str:
        self._description.remove(action["name"])
        return f"Removed {action['name']}. Undo brings it back."

    def do_point(self, action: Any) -> str:
        point, new_name = action["name"], action["new_name"].strip()
        if not new_name:
            raise DescriptionError(f"Type a new name for {point} first.")
        self._description.rename_point(point, new_name)
        return f"{point} is now called {new_name}."

    def do_suggest(self, action: Any) -> str:
        kind, key = action["kind"], action["key"]
        values, _ = fields.typed_values(kind, action["typed"], {})
        value, reason = SUGGESTIONS[kind, key](values)
        typed = f"{value:.2g}" if value < 100 else f"{value:.0f}"
        self.form.suggested = {"key": key, "typed": typed}
        return f"Filled in {typed} {fields.unit_of(fields.keys_of(kind)[key])}: {reason}"

    def do_undo(self, action: Any) -> str:
        return "Undone." if self._description.undo() else "There is nothing to undo."

    def do_redo(self, action: Any) -> str:
        return "Redone." if self._description.redo() else "There is nothing to redo."

    def do_start(self, action: Any) -> str:
        name = action["name"] or None
        self._description.start_from(name)
        return f"{f'Opened {name}' if name else 'Started a new one'}. Undo goes back to your text."

    def do_save(self, action: Any) -> str:
        path = self._description.save(action["name"], replace=action["replace"])
        said, kept = f"Saved as {path.as_posix()}.", self._description.kept
        if kept is not None:
            said += f" The old text is kept as {kept.stem}."
        if self._description.problems:
            said += f" It still has {self._description.problems.counted}."
        return said

    def do_look(self, action: Any) -> str:
        wanted = action["name"]
        if wanted == self.form.look:
            self._show("")
            return f"{LOOKS[wanted][0]}: closed."
        if self._description.problems:
            raise DescriptionError(
                "This needs a description without problems. Put right what is listed first, then "
                "press again."
            )
        self._show(wanted)
        return f"{LOOKS[wanted][0]}: shown below."

    def do_paper(self, action: Any) -> str:
        look = self.form.look if self.form.look in PAPERS else "sheet"
        sheet = PAPERS[look](self._description.appliance)
        stem = self._description.file_name
        said, self.form.papers = write_papers(sheet.written, f"{stem}-{look}", self._papers)
        return said


class _Refused(DescriptionError):
    """What was typed for a part does not fit; `at` says by key what is wrong with a field."""

    def __init__(self, at: Mapping[str, str]) -> None:
        self.at = dict(at)
        super().__init__("Nothing was changed yet. First put right what is marked with ▲.")


def _is_of_supply(name: str, key: str) -> bool:
    """Whether a field of the whole appliance is in another table of the file."""
    return name == WHOLE and key in edit.TABLES["supply"]


def _check_free(text: str, name: str) -> None:
    """Raises `_Refused` for the name of a part."""
    if name in {part.name for part in outlined(edit.parsed(text))}:
        raise _Refused({"name": f"Another part is called {name}. Choose another name."})


def _read(kind: str, typed: Mapping[str, Any], present: Mapping[str, Any]) -> dict[str, Any]:
    """The values of the form's fields; an emptied name is left as it was. Raises `_Refused` for
    fields that cannot be read."""
    values, wrong = fields.typed_values(kind, typed, present)
    if wrong:
        raise _Refused(wrong)
    return {key: value for key, value in values.items() if (key, value) != ("name", None)}
