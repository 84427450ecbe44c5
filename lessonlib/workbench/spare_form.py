"""The front door `own_spare`: is the part that I have good enough, and what would be?

`spare.js` draws the form. In plain code, use `replacement`.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import traitlets

from lessonlib.appliance.bundled import appliance_files, load_appliance
from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.reader import read_appliance
from lessonlib.errors import LessonlibError, RatingError
from lessonlib.page.join import script, style
from lessonlib.questions.reading import Unread
from lessonlib.questions.view import Displayed
from lessonlib.ratings.replacement import (
    PLACE,
    Replacement,
    keys_for,
    replaceable,
    replacement,
)
from lessonlib.safety import ONE_LINE
from lessonlib.workbench.blocks import WHOLE
from lessonlib.workbench.fields import form_of, label_of, read_number, typed_values
from lessonlib.workbench.own_files import FOLDER, saved_names

VOLTS, WATTS, FITTED, MAINS = "volts", "watts", "fitted_C", "mains"
_WORDS = {
    VOLTS: "mains voltage",
    WATTS: "power on its plate",
    FITTED: "mark of the one fitted",
    MAINS: "used on another mains",
    PLACE: "hottest at its place",
}
DIODE, FUSE = "diode", "thermal fuse"
_PLAIN = """\
title = "A heater"
[supply]
voltage_V = {volts}
power_W = {watts}
[[switch]]
name = "switch"
positions = ["off", "on"]
contacts = [{{ between = ["L", "a"], closed_in = ["on"] }}]
[[thermal_fuse]]
name = "thermal fuse"
between = ["a", "b"]
opens_at_C = {fitted_C}
[[{kind}]]
name = "{kind}"
between = ["b", "c"]
{diode}
[[element]]
name = "element"
between = ["c", "N"]
power_W = {watts}
voltage_V = {volts}
"""
"""Where somebody types the power alone: everything in series."""
_START = {
    **{"appliance": "", "part": "", "typed": {}, MAINS: ""},
    **{VOLTS: "230", WATTS: "", FITTED: ""},
}


class OwnSpare:
    """A part that somebody has, as it is typed into a form. Made by `own_spare`.

    `found` is the judgement, None until a part is chosen; `wrong` says by the name of its field
    what could not be read.
    """

    def __init__(self, appliance: Appliance | None = None) -> None:
        self.fixed = appliance
        self.found: Replacement | None = None
        self.parts: tuple[str, ...] = ()
        self.form: dict[str, Any] = {}
        self.wrong: dict[str, str] = {}
        self.said = ""
        self._view: SpareView | None = None

    def take(self, given: Mapping[str, Any]) -> None:
        """Read the form: the "appliance" by name or else "volts", "watts" and "fitted_C", the
        "part", the "mains" if another, and what was "typed" by key. No text raises an error."""
        self.found, self.parts, self.form, self.wrong, self.said = None, (), {}, {}, ""
        try:
            appliance = self.fixed or self._appliance(given)
            if appliance is None:
                return
            self.parts = self.parts or replaceable(appliance)
            part = given["part"]
            if part in self.parts and self._known(given):
                self._judge(appliance, part, given)
        except LessonlibError as error:
            self.said = str(error)

    def _appliance(self, given: Mapping[str, Any]) -> Appliance | None:
        name = str(given["appliance"])
        if name:
            return load_appliance(FOLDER / f"{name}.toml" if name in saved_names() else name)
        volts, watts = self._number(given, VOLTS, "V"), self._number(given, WATTS, "W")
        if volts is None or watts is None:
            return None
        fitted_C = self._number(given, FITTED, "°C") or 1000.0
        self.parts = replaceable(_plain(volts, watts, fitted_C, DIODE))
        return _plain(volts, watts, fitted_C, given["part"])

    def _known(self, given: Mapping[str, Any]) -> bool:
        """Whether a thermal fuse has one to be compared with."""
        plain = self.fixed is None and not given["appliance"]
        if plain and given["part"] == FUSE and not str(given[FITTED]).strip():
            self.said = "Type the mark of the one fitted: a replacement must not open later."
            return False
        return True

    def _number(self, given: Mapping[str, Any], key: str, unit: str) -> float | None:
        """The number of a field by itself; None where it is empty or cannot be read."""
        text = str(given.get(key) or "").strip()
        value = read_number(text, unit) if text else None
        if isinstance(value, Unread):
            self.wrong[_WORDS[key]] = value.reason
            return None
        return value

    def _judge(self, appliance: Appliance, part: str, given: Mapping[str, Any]) -> None:
        keys = keys_for(appliance, part)
        names = [each.name for each in appliance.parts]
        kind = appliance.part(part).kind if part in names else WHOLE
        self.form = _form(kind, keys)
        typed = {key: text for key, text in given["typed"].items() if key in keys and text}
        values, wrong = typed_values(kind, typed, {})
        if PLACE in typed:
            place = self._number(typed, PLACE, "°C")
            values |= {} if place is None else {PLACE: place}
        self.wrong |= {label_of(key): words for key, words in wrong.items()}
        volts = self._number(given, MAINS, "V")
        if not self.wrong:
            self.found = replacement(appliance, part, supply_voltage_V=volts, **values)

    def __repr__(self) -> str:
        return "A spare part: none chosen yet" if self.found is None else str(self.found)

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        if self._view is None:
            self._view = SpareView(self)
        return self._view.bundle(repr(self))


def own_spare(appliance: Appliance | None = None) -> OwnSpare:
    """A form for a part that one has: whether it is good enough in the place of another, by how
    much, and what would be. Without an `appliance` one is chosen in the form, or its power typed.

    `.found` has the judgement afterwards.
    """
    return OwnSpare(appliance)


def _plain(volts: float, watts: float, fitted_C: float, part: str) -> Appliance:
    kind, diode = (DIODE, "") if part == DIODE else ("link", "resistance_ohm = 1e-6")
    numbers = {VOLTS: volts, WATTS: watts, FITTED: fitted_C}
    try:
        return read_appliance(_PLAIN.format(kind=kind, diode=diode, **numbers))
    except LessonlibError:
        raise RatingError(
            f"found {watts:g} W at {volts:g} V; accepted: what a heater on a mains of up to 1000 V "
            "takes. Read both off its plate."
        ) from None


def _form(kind: str, keys: tuple[str, ...]) -> dict[str, Any]:
    form = form_of(kind)
    found = [field for field in form["fields"] if field["key"] in keys]
    if PLACE in keys:
        found.append({**found[0], "key": PLACE, "label": _WORDS[PLACE], "example": ""})
    plain = {"suggests": False, "required": False}
    return {**form, "fields": [{**field, **plain} for field in found]}


class SpareView(Displayed):
    """Synced state of the form. The browser keeps `given` up to date and counts up `asked`; Python
    sets `heard` to it once the others are those to what was given."""

    _esm = script("workbench/spare.js")
    _css = style("workbench/workbench.css", ".hcw")

    caution = traitlets.Unicode(ONE_LINE).tag(sync=True)
    appliances = traitlets.List(
        traitlets.Unicode(), allow_none=True, help="Names; None where it is given."
    ).tag(sync=True)
    given = traitlets.Dict().tag(sync=True)
    parts = traitlets.List(traitlets.Unicode()).tag(sync=True)
    form = traitlets.Dict(help="The fields of the part chosen.").tag(sync=True)
    reply = traitlets.Unicode().tag(sync=True)
    verdict = traitlets.Unicode().tag(sync=True)
    asked = traitlets.Int(0).tag(sync=True)
    heard = traitlets.Int(0).tag(sync=True)
    draft = traitlets.Unicode().tag(sync=True)

    def __init__(self, own: OwnSpare) -> None:
        names = None if own.fixed else [*saved_names(), *appliance_files()]
        of = f" of {own.fixed.title}" if own.fixed else ""
        super().__init__(given=dict(_START), appliances=names, draft=f"heater workbook spare{of}")
        self._own = own
        self._read({})
        self.observe(self._read, "asked")

    def _read(self, change: Any) -> None:
        own = self._own
        with self.hold_sync():
            own.take(self.given)
            self.parts, self.form = list(own.parts), own.form
            good = None if own.found is None else own.found.good
            self.verdict = {True: "right", False: "wrong", None: ""}[good]
            wrong = [f"- {name}: {words}" for name, words in own.wrong.items()]
            self.reply = str(own.found) if own.found else "\n".join([*wrong, own.said])
            self.heard = self.asked
