"""A row of the form for readings: what is typed into it as a reading, against a sound appliance."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from typing import Any

from lessonlib.appliance.parts import Appliance
from lessonlib.diagnosis.checked import Checked, compare_readings
from lessonlib.diagnosis.typed import Reading
from lessonlib.errors import LessonlibError, ReadingError
from lessonlib.meter.expected import LEADS_OHM
from lessonlib.meter.readings import (
    CurrentReading,
    DiodeReading,
    PlugReading,
    PowerReading,
    ResistanceReading,
)
from lessonlib.questions.reading import Unread
from lessonlib.workbench.fields import read_number
from lessonlib.workbench.own_form import is_open

KINDS: Mapping[str, tuple[type[Reading], str]] = {
    "resistance": (ResistanceReading, "ohm"),
    "diode": (DiodeReading, "volts"),
    "power": (PowerReading, "power_W"),
    "current": (CurrentReading, "current_A"),
}
"""Each kind of reading, and the name that its value has there."""

Typed = Mapping[str, Any]
"""A row as it is typed: "kind", "red", "black", "unhooked", "setting", "shown" and "volts"."""

_ONE_NUMBER = re.compile(r"[^0-9]*([0-9]+(?:[.,kKMRr][0-9]+)?)[^0-9]*")
_MOST_SLIPS = 3
_LEADS = (
    f"Leads and contacts may add up to {LEADS_OHM:g} Ω. Touch the leads together: if that does not "
    "read the same, a contact is bad"
)
_SIGNS = {"agrees": "✓", "within the limits": "≈", "off": "✗"}


def judged_row(appliance: Appliance, typed: Typed, meters: Mapping[str, Typed]) -> Checked | str:
    """The row against a sound appliance, or what it still needs. `meters` has "percent" and
    "digits" by meter: their accuracies. Nothing typed is ever evaluated, and no text raises an
    error."""
    try:
        return compare_readings(appliance, [read_row(typed, meters)]).rows[0]
    except LessonlibError as error:
        return str(error)


def read_row(typed: Typed, meters: Mapping[str, Typed]) -> Reading:
    """The reading that a row describes. Raises `ReadingError` with what it still needs."""
    kind, name = KINDS[typed["kind"]]
    at_plug = issubclass(kind, PlugReading)
    meter = "energy meter" if at_plug else "ohmmeter"
    value: float | None = _number("What the meter showed", typed["shown"], kind.unit)
    if value is not None and value < 0:
        raise ReadingError("What the meter showed: a negative number. Leave out the minus sign.")
    what: dict[str, Any] = {
        "setting": dict(typed["setting"]),
        "accuracy_percent": _number(f"Percent of the {meter}", meters[meter]["percent"], ""),
        "digits": _number(f"Digits of the {meter}", meters[meter]["digits"], ""),
        "resolution": last_step(typed["shown"], kind.unit) or kind.resolution,
    }
    if not at_plug:
        value = None if value == math.inf else value
        what |= {key: typed[key] for key in ("red", "black", "unhooked")}
    elif typed["volts"].strip():
        what["supply_voltage_V"] = _number("Supply voltage", typed["volts"], "V")
    what[name] = value
    return kind(**what)


def last_step(text: str, unit: str) -> float | None:
    """What one step of the last digit typed is worth in `unit`: 0.1 for "66.8", 100 for "1.2 k".

    None where the text does not show it.
    """
    found = _ONE_NUMBER.fullmatch(text.strip())
    if found is None:
        return None
    digits = re.sub("[0-9]", "0", found[1])[:-1] + "1"
    step = read_number(text.strip().replace(found[1], digits), unit)
    return None if isinstance(step, Unread) or step <= 0 else step


def _number(name: str, text: str, unit: str) -> float:
    """A number in `unit`; infinite where the meter shows an open path."""
    if unit in ("Ω", "V") and is_open(text):
        return math.inf
    found = read_number(text, unit)
    if isinstance(found, Unread):
        raise ReadingError(f"{name}: {found.reason}")
    return found


def reply_to(row: Checked | str) -> dict[str, Any]:
    """What stands below a row, as JSON."""
    if isinstance(row, str):
        return {"sign": "…", "head": "Not compared yet.", "lines": [row]}
    said = f"{row.words}. You read {row.reading.text}; by the file {row.by_the_file}"
    if row.verdict != "agrees" and row.may_be != row.by_the_file:
        said += f", and with nothing wrong {row.may_be}"
    lines = [_LEADS] if row.verdict == "within the limits" and row.usual < LEADS_OHM else []
    lines += [f"{each} would give it too: is that how it was?" for each in row.slips[:_MOST_SLIPS]]
    head = f"{said[0].upper()}{said[1:]}."
    return {"sign": _SIGNS[row.verdict], "head": head, "lines": lines}
