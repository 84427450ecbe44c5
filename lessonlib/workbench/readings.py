"""The front door `own_readings`: type in your own meter readings, and each is judged at once.

Only what may be measured can be entered: resistance on the unplugged appliance, and power or
current of the whole appliance on an energy meter at the plug. In plain code, use
`compare_readings`.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from lessonlib.appliance.parts import TERMINALS, Appliance
from lessonlib.errors import LessonlibError, ReadingError, shown
from lessonlib.meter.agreement import (
    Agreement,
    AgreementTable,
    compare_reading,
    compare_readings,
)
from lessonlib.meter.readings import (
    AnyReading,
    CurrentReading,
    PlugReading,
    PowerReading,
    ResistanceReading,
)
from lessonlib.questions.answers import Number
from lessonlib.questions.reading import Unread
from lessonlib.workbench.fields import read_number

if TYPE_CHECKING:
    from lessonlib.workbench.readings_view import ReadingsView

KINDS: Mapping[str, type[AnyReading]] = {
    "resistance": ResistanceReading,
    "power": PowerReading,
    "current": CurrentReading,
}

METERS: Mapping[str, type[ResistanceReading] | type[PlugReading]] = {
    "ohmmeter": ResistanceReading,
    "energy meter": PlugReading,
}
"""The two meters, each with the kind of reading that has its usual accuracy."""

Typed = Mapping[str, Any]
"""A row as it is typed: "kind", "red", "black", "setting", "shown" and "volts"."""

_ONE_NUMBER = re.compile(r"[^0-9]*([0-9]+(?:[.,kKMRr][0-9]+)?)[^0-9]*")


@dataclass(frozen=True)
class JudgedRow:
    """A row that was judged; or `missing` says what it still needs."""

    agreement: Agreement | None = None
    missing: str = ""


def judged_row(appliance: Appliance, typed: Typed, meters: Mapping[str, Typed]) -> JudgedRow:
    """Judge a row as it is typed. `meters` has "percent" and "digits" by meter: their accuracies.

    Nothing typed is ever evaluated, and no text raises an error.
    """
    reading = read_row(typed, meters)
    if isinstance(reading, Unread):
        return JudgedRow(missing=reading.reason)
    try:
        return JudgedRow(compare_reading(appliance, reading))
    except LessonlibError as error:
        return JudgedRow(missing=str(error))


def read_row(typed: Typed, meters: Mapping[str, Typed]) -> AnyReading | Unread:
    """The reading that a row describes, or what it still needs."""
    kind = KINDS[typed["kind"]]
    value = _number("What the meter showed", typed["shown"], kind.unit)
    meter = "ohmmeter" if kind is ResistanceReading else "energy meter"
    percent = _number(f"Percent of the {meter}", meters[meter]["percent"], "")
    digits = _number(f"Digits of the {meter}", meters[meter]["digits"], "")
    volts = _number("Supply voltage", typed["volts"], "V") if typed["volts"].strip() else None
    for each in (value, percent, digits, volts):
        if isinstance(each, Unread):
            return each
    if isinstance(value, float) and value < 0:
        return Unread("What the meter showed: a negative number. Leave out the minus sign.")
    what: dict[str, Any] = {
        "setting": dict(typed["setting"]),
        "accuracy_percent": percent,
        "digits": digits,
        "resolution": last_step(typed["shown"], kind.unit) or kind.resolution,
    }
    if kind is ResistanceReading:
        is_open = isinstance(value, float) and math.isinf(value)
        what |= {"red": typed["red"], "black": typed["black"], "ohm": None if is_open else value}
    else:
        what |= {"power_W" if kind is PowerReading else "current_A": value}
        what |= {"supply_voltage_V": volts}
    try:
        return kind(**what)
    except ReadingError as error:
        return Unread(str(error))


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


def _number(name: str, text: str, unit: str) -> float | Unread:
    """A number in `unit`; infinite where the meter shows an open circuit."""
    if unit == "Ω" and Number(math.inf, unit).read(text) == (math.inf,):
        return math.inf
    found = read_number(text, unit)
    return Unread(f"{name}: {found.reason}") if isinstance(found, Unread) else found


class OwnReadings:
    """Readings of one appliance as they are typed into a form. Made by `own_readings`."""

    def __init__(self, appliance: Appliance) -> None:
        self.appliance = appliance
        self.rows: tuple[JudgedRow, ...] = ()
        self._view: ReadingsView | None = None

    @property
    def points(self) -> tuple[str, ...]:
        """Where a lead can go: the pins of the plug, and every node of the file."""
        return tuple(dict.fromkeys((*TERMINALS, *self.appliance.nodes)))

    @property
    def readings(self) -> tuple[AnyReading, ...]:
        """The readings of the rows that are complete."""
        return tuple(row.agreement.reading for row in self.rows if row.agreement is not None)

    @property
    def table(self) -> AgreementTable:
        """The complete rows as `compare_readings` gives them."""
        return compare_readings(self.appliance, self.readings)

    def take(self, rows: Sequence[Typed], meters: Mapping[str, Typed]) -> None:
        """Judge the rows as typed."""
        self.rows = tuple(judged_row(self.appliance, row, meters) for row in rows)

    def __repr__(self) -> str:
        if not self.readings:
            return f"{self.appliance.title}: no readings yet"
        return str(self.table)

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        if self._view is None:
            from lessonlib.workbench.readings_view import ReadingsView

            self._view = ReadingsView(self)
        return self._view.bundle(repr(self))


def own_readings(appliance: Appliance) -> OwnReadings:
    """A form for readings of your own, each compared with the file as you type.

    `.readings` has them afterwards, `.table` the comparison. Raises `ReadingError` for anything
    but an appliance.
    """
    if not isinstance(appliance, Appliance):
        raise ReadingError(
            f"found {shown(appliance)}. Accepted: an appliance, as load_appliance gives it or as "
            "describe(...).appliance. Give one of these."
        )
    return OwnReadings(appliance)
