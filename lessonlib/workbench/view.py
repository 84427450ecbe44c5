"""The form of a description, drawn by `describe.js`, with the live panel below it: passes what is
typed and pressed to the `Description` and shows what follows."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

import ipywidgets
import traitlets

from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.schema import PART_KEYS
from lessonlib.errors import DescriptionError, FileKept, LessonlibError, Problem, shown
from lessonlib.page.join import script, style
from lessonlib.panels.widget import Panel, panel
from lessonlib.questions.view import Displayed
from lessonlib.schematics.schematic import schematic
from lessonlib.workbench import edit, fields
from lessonlib.workbench.blocks import WHOLE
from lessonlib.workbench.outline import next_names, nodes_of, outlined, row_of
from lessonlib.workbench.own_files import offered_names

if TYPE_CHECKING:
    from lessonlib.workbench.description import Description


def draft_name(what: str) -> str:
    """The name of a draft in the browser. It names the cell, so that running it again finds it."""
    from IPython import get_ipython

    request: dict[str, Any] = getattr(get_ipython(), "get_parent", dict)()
    return f"heater {what} {request.get('metadata', {}).get('cellId', '')}"


class DescriptionView(Displayed):
    """Synced state of one description. With each `action` the browser sends `text` and counts up
    `asked`; once Python has acted it sets `heard` to that, and `done` to whether it could."""

    _esm = script("workbench/describe.js")
    _css = style("workbench/workbench.css", ".hcw")

    text = traitlets.Unicode().tag(sync=True)
    action = traitlets.Dict().tag(sync=True)
    asked = traitlets.Int(0).tag(sync=True)
    heard = traitlets.Int(0).tag(sync=True)
    done = traitlets.Bool(True).tag(sync=True)
    said = traitlets.Unicode(help="The reply to the last action.").tag(sync=True)
    forms = traitlets.List(traitlets.Dict(), help="The fields of each kind of part.").tag(sync=True)
    parts = traitlets.List(traitlets.Dict(), help="Rows of the list of parts.").tag(sync=True)
    nodes = traitlets.List(traitlets.Unicode()).tag(sync=True)
    names = traitlets.Dict(help="The next free name of each kind.").tag(sync=True)
    editable = traitlets.Bool(True, help="Whether the form can edit the text.").tag(sync=True)
    problems = traitlets.List(traitlets.Dict()).tag(sync=True)
    standing = traitlets.Unicode().tag(sync=True)
    findings = traitlets.List(traitlets.Dict(), help="What is dangerous or odd.").tag(sync=True)
    picture = traitlets.Unicode(help="Our own schematic as HTML.").tag(sync=True)
    stale = traitlets.Bool(help="Whether the picture is of an earlier text.").tag(sync=True)
    live = traitlets.Bool(help="Whether the live panel is open.").tag(sync=True)
    steps_back = traitlets.Int().tag(sync=True)
    steps_forward = traitlets.Int().tag(sync=True)
    offered = traitlets.List(traitlets.Unicode()).tag(sync=True)
    save_as = traitlets.Unicode(help="The name to save it under.").tag(sync=True)
    unsaved = traitlets.Bool().tag(sync=True)
    in_the_way = traitlets.Unicode(help="Name of a file that a save would replace.").tag(sync=True)
    begun_from = traitlets.Unicode(help="Name of the appliance it began with.").tag(sync=True)
    draft = traitlets.Unicode().tag(sync=True)


class DescriptionBox(ipywidgets.VBox):  # type: ignore[misc]
    """The form, and the live panel below it when it is asked for."""

    def __init__(self, description: Description) -> None:
        self._description = description
        self._drawn: Appliance | None = None
        self._shown_live: Panel | None = None
        kinds = (WHOLE, *PART_KEYS, "vessel")
        self.form = DescriptionView(
            forms=[fields.form_of(kind) for kind in kinds],
            draft=draft_name(f"description {description.name or ''}"),
        )
        super().__init__([self.form])
        self.refresh()
        self.form.observe(self._act, "asked")

    def bundle(self, text: str) -> dict[str, Any]:
        """What a notebook displays: the form and the panel, or `text`."""
        self.refresh()
        bundle: dict[str, Any] = self._repr_mimebundle_()
        return {**bundle, "text/plain": text}

    def refresh(self) -> None:
        """Show the description as it is now."""
        form, description = self.form, self._description
        with form.hold_sync():
            form.text = description.text
            form.problems = [_as_json(problem) for problem in description.problems]
            form.steps_back = description.steps_back
            form.steps_forward = description.steps_forward
            form.save_as = description.file_name
            form.unsaved = description.unsaved
            form.offered = offered_names()
            form.begun_from = description.name or ""
            self._outline()
            self._draw()

    def _outline(self) -> None:
        """List the parts; the list stays as it was while the text cannot be parsed."""
        form = self.form
        try:
            document = edit.parsed(self._description.text)
        except DescriptionError:
            form.editable = False
            return
        form.editable = True
        whole = [WHOLE, *(["vessel"] if "vessel" in document else [])]
        form.parts = [
            *(row_of(name, name, _found(document, name)[1]) for name in whole),
            *(row_of(part.name, part.kind, part.table) for part in outlined(document)),
        ]
        form.nodes = nodes_of(document)
        form.names = next_names(document)

    def _draw(self) -> None:
        """Draw the last text without problems, and say how the text stands."""
        form, appliance = self.form, self._description.last_valid
        problems, form.findings = self._description.problems, []
        form.stale = bool(problems) and appliance is not None
        form.standing = problems.counted if problems else "The text can be read."
        if appliance is None:
            form.picture = ""
            self._show_live(False)
        try:
            if not problems:
                found = self._description.findings
                form.findings = [{"warning": one.warning, "words": one.words} for one in found]
            if appliance is not None and appliance != self._drawn:
                form.picture = schematic(appliance)._repr_mimebundle_()["text/html"]
                self._show_live(form.live)
            self._drawn = appliance
        except LessonlibError as error:  # the solution failed the solver's own check
            form.standing = f"The text can be read, but the circuit could not be solved. {error}"
            form.stale = bool(form.picture)

    def _show_live(self, wanted: bool) -> None:
        appliance, earlier = self._description.last_valid, self._shown_live
        self._shown_live = panel(appliance) if wanted and appliance else None
        self.form.live = self._shown_live is not None
        self.children = [self.form, *([self._shown_live] if self._shown_live else [])]
        if earlier is not None:
            earlier.close()

    def _act(self, change: Any) -> None:
        """Take over the text, then do what was pressed."""
        form, action = self.form, self.form.action
        with form.hold_sync():
            form.in_the_way = form.said = ""
            form.done = True
            try:
                self._description.text = form.text
                form.said = _ACTIONS[action.get("do", "type")](self, action)
            except FileKept as error:
                form.in_the_way, form.said, form.done = action["name"], str(error), False
            except (LessonlibError, OSError) as error:
                form.said, form.done = str(error), False
            self.refresh()
            form.heard = form.asked

    def _type(self, action: Any) -> str:
        return ""

    def _add(self, action: Any) -> str:
        kind, text = action["kind"], self._description.text
        free = next_names(edit.parsed(text))
        values = _read(kind, action["typed"], {})
        if kind == "vessel":
            self._description.text = edit.change(text, kind, values)
            return "Added the vessel."
        name = values.get("name", free[kind])
        self._description.text = edit.add_part(text, kind, {**values, "name": name})
        return f"Added {name}, {fields.word_of(kind)}."

    def _change(self, action: Any) -> str:
        name, text = action["name"], self._description.text
        kind, table = _found(edit.parsed(text), name)
        values = _read(kind, action["typed"], table)
        supply = {
            key: values.pop(key)
            for key in list(values)
            if name == WHOLE and key in edit.TABLES["supply"]
        }
        new_name = values.pop("name", None)
        if supply:
            text = edit.change(text, "supply", supply)
        if values:
            text = edit.change(text, name, values)
        if new_name:
            text = edit.rename(text, name, new_name)
        if text == self._description.text:
            return "No value was different, so nothing was changed."
        self._description.text = text
        called = new_name or (name if kind in PART_KEYS else fields.word_of(name))
        return f"Changed: {called}."

    def _remove(self, action: Any) -> str:
        self._description.remove(action["name"])
        return f"Removed {action['name']}. Undo brings it back."

    def _point(self, action: Any) -> str:
        point, new_name = action["name"], action["new_name"].strip()
        if not new_name:
            raise DescriptionError(f"Type a new name for {point} first.")
        self._description.rename_point(point, new_name)
        return f"{point} is now called {new_name}."

    def _undo(self, action: Any) -> str:
        return "Undone." if self._description.undo() else "There is nothing to undo."

    def _redo(self, action: Any) -> str:
        return "Redone." if self._description.redo() else "There is nothing to redo."

    def _start(self, action: Any) -> str:
        name = action["name"] or None
        self._description.start_from(name)
        return f"{f'Opened {name}' if name else 'Started a new one'}. Undo goes back to your text."

    def _save(self, action: Any) -> str:
        path = self._description.save(action["name"], replace=action["replace"])
        said, kept = f"Saved as {path.as_posix()}.", self._description.kept
        if kept is not None:
            said += f" The old text is kept as {kept.stem}."
        if self._description.problems:
            said += f" It still has {self.form.standing}."
        return said

    def _live(self, action: Any) -> str:
        if self._description.problems and not self.form.live:
            raise DescriptionError(
                "The live panel needs a text without problems. Correct what is listed under the "
                "text, then press again."
            )
        self._show_live(not self.form.live)
        return ""


_ACTIONS = {
    "type": DescriptionBox._type,
    "add": DescriptionBox._add,
    "change": DescriptionBox._change,
    "remove": DescriptionBox._remove,
    "point": DescriptionBox._point,
    "undo": DescriptionBox._undo,
    "redo": DescriptionBox._redo,
    "start": DescriptionBox._start,
    "save": DescriptionBox._save,
    "live": DescriptionBox._live,
}


def _found(document: Mapping[str, Any], name: str) -> tuple[str, Mapping[str, Any]]:
    """Kind and keys of `name`: a part, or a table of the whole appliance."""
    for part in outlined(document):
        if part.name == name:
            return part.kind, part.table
    if name not in edit.TABLES:
        raise DescriptionError(
            f"found no part {shown(name)} any more. Accepted: a part in the list. Choose it there."
        )
    if name == WHOLE:
        supply = document.get("supply")
        return name, {**document, **(supply if isinstance(supply, dict) else {})}
    found = document.get(name)
    return name, found if isinstance(found, dict) else {}


def _read(kind: str, typed: Mapping[str, Any], present: Mapping[str, Any]) -> dict[str, Any]:
    """The values of the form's fields; an emptied name is left as it was. Raises `DescriptionError`
    for fields that cannot be read."""
    values, said = fields.typed_values(kind, typed, present)
    if said:
        raise DescriptionError(" ".join((*said, "Nothing was changed yet.")))
    return {key: value for key, value in values.items() if (key, value) != ("name", None)}


def _as_json(problem: Problem) -> dict[str, str]:
    place = " ".join(filter(None, (problem.table, problem.key))) or "the whole text"
    return {
        "place": place,
        "found": problem.found,
        "accepted": problem.accepted,
        "next": problem.next_step,
    }
