"""The front door `own_readings`: type in your own meter readings, and see at once what they say
together and which test to do next.

Only what may be measured can be entered: resistance and the diode range on the unplugged appliance,
and power or current of the whole appliance on an energy meter at the plug. In plain code, use
`diagnose`.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from lessonlib.appliance.parts import TERMINALS, Appliance
from lessonlib.appliance.terminals import metalwork, plug_fuse
from lessonlib.circuit.opened import points
from lessonlib.diagnosis.bench_test import BenchTest
from lessonlib.diagnosis.checked import Checked, compare_readings
from lessonlib.diagnosis.diagnose import diagnose
from lessonlib.diagnosis.plan import Step, test_plan
from lessonlib.diagnosis.suspects import Diagnosis
from lessonlib.diagnosis.typed import Reading
from lessonlib.errors import LessonlibError, ReadingError, shown
from lessonlib.meter.readings import (
    CurrentReading,
    DiodeReading,
    PlugReading,
    PowerReading,
    ResistanceReading,
)
from lessonlib.questions.answers import Number
from lessonlib.questions.reading import Unread
from lessonlib.workbench.fields import read_number

if TYPE_CHECKING:
    from lessonlib.workbench.readings_view import ReadingsView

KINDS: Mapping[str, type[Reading]] = {
    "resistance": ResistanceReading,
    "diode": DiodeReading,
    "power": PowerReading,
    "current": CurrentReading,
}

METERS: Mapping[str, type[ResistanceReading] | type[PlugReading]] = {
    "ohmmeter": ResistanceReading,
    "energy meter": PlugReading,
}
"""The two meters, each with the kind of reading that has its usual accuracy."""

Typed = Mapping[str, Any]
"""A row as it is typed: "kind", "red", "black", "unhooked", "setting", "shown" and "volts"."""

_ONE_NUMBER = re.compile(r"[^0-9]*([0-9]+(?:[.,kKMRr][0-9]+)?)[^0-9]*")


@dataclass(frozen=True)
class JudgedRow:
    """A row against a sound appliance; or `missing` says what it still needs."""

    checked: Checked | None = None
    missing: str = ""


def judged_row(appliance: Appliance, typed: Typed, meters: Mapping[str, Typed]) -> JudgedRow:
    """Judge a row as it is typed. `meters` has "percent" and "digits" by meter: their accuracies.

    Nothing typed is ever evaluated, and no text raises an error.
    """
    reading = read_row(typed, meters)
    if isinstance(reading, Unread):
        return JudgedRow(missing=reading.reason)
    try:
        return JudgedRow(compare_readings(appliance, [reading]).rows[0])
    except LessonlibError as error:
        return JudgedRow(missing=str(error))


def read_row(typed: Typed, meters: Mapping[str, Typed]) -> Reading | Unread:
    """The reading that a row describes, or what it still needs."""
    kind = KINDS[typed["kind"]]
    value = _number("What the meter showed", typed["shown"], kind.unit)
    at_plug = issubclass(kind, PlugReading)
    meter = "energy meter" if at_plug else "ohmmeter"
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
    if at_plug:
        what |= {"power_W" if kind is PowerReading else "current_A": value}
        what |= {"supply_voltage_V": volts}
    else:
        is_open = isinstance(value, float) and math.isinf(value)
        what |= {key: typed[key] for key in ("red", "black", "unhooked")}
        what |= {"volts" if kind is DiodeReading else "ohm": None if is_open else value}
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
    """A number in `unit`; infinite where the meter shows an open path."""
    if unit in ("Ω", "V") and Number(math.inf, "Ω").read(text) == (math.inf,):
        return math.inf
    found = read_number(text, unit)
    return Unread(f"{name}: {found.reason}") if isinstance(found, Unread) else found


class OwnReadings:
    """Readings of one appliance as they are typed into a form. Made by `own_readings`.

    `diagnosis` has what they say together, None until there is a complete one.
    """

    def __init__(self, appliance: Appliance) -> None:
        self.appliance = appliance
        self.rows: tuple[JudgedRow, ...] = ()
        self.diagnosis: Diagnosis | None = None
        self._view: ReadingsView | None = None

    @property
    def points(self) -> tuple[str, ...]:
        """Where a lead can go: the pins of the plug, its fuse and the metalwork, every point of the
        file, and the ends of the parts."""
        beside = (metalwork(self.appliance), plug_fuse(self.appliance))
        known = points(self.appliance)
        first = [each for each in (*TERMINALS, *self.appliance.nodes, *beside) if each in known]
        return tuple(dict.fromkeys((*first, *known)))

    @property
    def readings(self) -> tuple[Reading, ...]:
        """The readings of the rows that are complete."""
        return tuple(row.checked.reading for row in self.rows if row.checked is not None)

    @property
    def next_test(self) -> BenchTest | None:
        """The test to do next; with no readings yet, the first of the plan."""
        if self.diagnosis is not None:
            return self.diagnosis.next_test
        try:
            root = test_plan(self.appliance).root
        except LessonlibError:  # too many switches to try them all
            return None
        return root.test if isinstance(root, Step) else None

    def take(
        self,
        rows: Sequence[Typed],
        meters: Mapping[str, Typed],
        *,
        pairs: bool = False,
        progress: Callable[[float], None] | None = None,
    ) -> None:
        """Judge the rows as typed, each by itself and all together; `pairs` and `progress` are
        those of `diagnose`."""
        self.rows = tuple(judged_row(self.appliance, row, meters) for row in rows)
        self.diagnosis = None
        if self.readings:
            self.diagnosis = diagnose(self.appliance, self.readings, pairs=pairs, progress=progress)

    def __repr__(self) -> str:
        if self.diagnosis is None:
            return f"{self.appliance.title}: no readings yet"
        return str(self.diagnosis)

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        if self._view is None:
            from lessonlib.workbench.readings_view import ReadingsView

            self._view = ReadingsView(self)
        return self._view.bundle(repr(self))


def own_readings(appliance: Appliance) -> OwnReadings:
    """A form for readings of your own: what they say together, and which test to do next.

    `.readings` has them afterwards, `.diagnosis` what they say. Raises `ReadingError` for anything
    but an appliance.
    """
    if not isinstance(appliance, Appliance):
        raise ReadingError(
            f"found {shown(appliance)}. Accepted: an appliance, as load_appliance gives it or as "
            "describe(...).appliance. Give one of these."
        )
    return OwnReadings(appliance)
