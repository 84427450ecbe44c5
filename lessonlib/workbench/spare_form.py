"""The front door `own_spare`: is the part that I have good enough, and what would be?

`spare.js` draws the form. In plain code, use `replacement`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import traitlets

from lessonlib.appliance.bundled import appliance_files, load_appliance
from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.reader import read_appliance
from lessonlib.errors import LessonlibError, RatingError
from lessonlib.page.join import script
from lessonlib.ratings.replacement import PLACE, Replacement, keys_for, replaceable, replacement
from lessonlib.workbench.blocks import WHOLE
from lessonlib.workbench.fields import form_of, label_of, typed_values
from lessonlib.workbench.own_files import saved_names, source_of
from lessonlib.workbench.own_form import OwnForm

_WORDS = {
    "volts": "mains voltage",
    "watts": "power on its plate",
    "fitted_C": "mark of the one fitted",
    "mains": "used on another mains",
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
    **{"appliance": "", "part": "", "typed": {}, "mains": ""},
    **{"volts": "230", "watts": "", "fitted_C": ""},
}
_VERDICTS = {True: "right", False: "wrong", None: ""}


class OwnSpare(OwnForm):
    """A part that somebody has, as it is typed in. Made by `own_spare`.

    `found` is the judgement, None until a part is chosen.
    """

    _esm = script("workbench/spare.js")

    appliances = traitlets.List(
        traitlets.Unicode(), allow_none=True, help="Names; None where it is given."
    ).tag(sync=True)
    parts = traitlets.List(traitlets.Unicode()).tag(sync=True)
    form = traitlets.Dict(help="The fields of the part chosen.").tag(sync=True)
    verdict = traitlets.Unicode().tag(sync=True)

    found: Replacement | None = None
    none_yet = "A spare part: none chosen yet"

    def __init__(self, appliance: Appliance | None) -> None:
        self._fixed = appliance
        names = None if appliance else [*saved_names(), *appliance_files()]
        of = f" of {appliance.title}" if appliance else ""
        super().__init__(f"spare{of}", given=_START, appliances=names)
        self._answer({})

    def take(self, given: Mapping[str, Any]) -> dict[str, Any]:
        """Read the form: the "appliance" by name or else "volts", "watts" and "fitted_C", the
        "part", the "mains" if another, and what was "typed" by key."""
        self.found, self.missing = None, []
        shown: dict[str, Any] = {"parts": [], "form": {}, "verdict": ""}
        said = ""
        try:
            appliance, shown["parts"] = self._appliance(given)
            if appliance is not None and given["part"] in shown["parts"]:
                kind, keys = self._fields(appliance, given)
                shown["form"] = _form(kind, keys)
                self._judge(appliance, given, kind, keys)
        except LessonlibError as error:
            said = str(error)
        if self.found is None:
            shown["reply"] = "\n".join([*(f"- {each}" for each in self.missing), said])
        else:
            shown |= {"reply": str(self.found), "verdict": _VERDICTS[self.found.good]}
        return shown

    def _appliance(self, given: Mapping[str, Any]) -> tuple[Appliance | None, Sequence[str]]:
        """The appliance, if it is known already, and the parts that can be chosen."""
        name, part = str(given["appliance"]), given["part"]
        if self._fixed or name:
            appliance = self._fixed or load_appliance(source_of(name))
            return appliance, replaceable(appliance)
        volts, watts = self._typed(given, "volts", "V"), self._typed(given, "watts", "W")
        if volts is None or watts is None:
            return None, ()
        fitted_C = self._typed(given, "fitted_C", "°C")
        numbers = {"volts": volts, "watts": watts, "fitted_C": fitted_C or 1000.0}
        return _plain(part, numbers), replaceable(_plain(DIODE, numbers))

    def _typed(self, given: Mapping[str, Any], key: str, unit: str) -> float | None:
        """The number in a field that may be empty."""
        text = str(given.get(key) or "").strip()
        return self._number(_WORDS[key], text, unit) if text else None

    def _fields(self, appliance: Appliance, given: Mapping[str, Any]) -> tuple[str, Sequence[str]]:
        """The kind of the part chosen, and the keys of its fields."""
        part = given["part"]
        is_plain = not (self._fixed or given["appliance"])
        if is_plain and part == FUSE and not str(given["fitted_C"]).strip():
            raise RatingError("Type the mark of the one fitted: a replacement must not open later.")
        keys = keys_for(appliance, part)
        names = [each.name for each in appliance.parts]
        return (appliance.part(part).kind if part in names else WHOLE), keys

    def _judge(
        self, appliance: Appliance, given: Mapping[str, Any], kind: str, keys: Sequence[str]
    ) -> None:
        """Judge the part chosen by what was typed."""
        typed = {key: text for key, text in given["typed"].items() if key in keys and text}
        values, wrong = typed_values(kind, typed, {})
        place = self._typed(typed, PLACE, "°C")
        values |= {} if place is None else {PLACE: place}
        self.missing += [f"{label_of(key)}: {words}" for key, words in wrong.items()]
        volts = self._typed(given, "mains", "V")
        if not self.missing:
            self.found = replacement(appliance, given["part"], supply_voltage_V=volts, **values)


def own_spare(appliance: Appliance | None = None) -> OwnSpare:
    """A form for a part that one has: whether it is good enough in the place of another, by how
    much, and what would be. Without an `appliance` one is chosen in the form, or its power typed.

    `.found` has the judgement afterwards.
    """
    return OwnSpare(appliance)


def _plain(part: str, numbers: Mapping[str, float]) -> Appliance:
    kind, diode = (DIODE, "") if part == DIODE else ("link", "resistance_ohm = 1e-6")
    try:
        return read_appliance(_PLAIN.format(kind=kind, diode=diode, **numbers))
    except LessonlibError:
        raise RatingError(
            f"found {numbers['watts']:g} W at {numbers['volts']:g} V; accepted: what a heater on a "
            "mains of up to 1000 V takes. Read both off its plate."
        ) from None


def _form(kind: str, keys: Sequence[str]) -> dict[str, Any]:
    form = form_of(kind)
    found = [field for field in form["fields"] if field["key"] in keys]
    if PLACE in keys:
        found.append({**found[0], "key": PLACE, "label": _WORDS[PLACE], "example": ""})
    plain = {"suggests": False, "required": False}
    return {**form, "fields": [{**field, **plain} for field in found]}
