"""`compare_readings`: each reading by itself against a sound appliance.

A reading *agrees* if it is what the file says, to the meter's tolerance. It is *within the limits*
if marked powers may be that far off, or if diodes, leads or wire of an unnamed alloy can explain
it. Otherwise it is *off*. `diagnose` has what all readings say together.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import ClassVar, Literal

from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.settings import complete
from lessonlib.diagnosis.at_readings import shown_at
from lessonlib.diagnosis.bench_test import span_words, value_words
from lessonlib.diagnosis.ranges import exact
from lessonlib.diagnosis.typed import Reading, readings_of, where_words
from lessonlib.meter.expected import LEADS_OHM
from lessonlib.meter.readings import UnpluggedReading
from lessonlib.safety import AT_BENCH, AT_PLUG
from lessonlib.tables import Table

Verdict = Literal["agrees", "within the limits", "off"]


@dataclass(frozen=True)
class Checked:
    """A reading against a sound appliance, which gives `usual` and may give `low` to `high`, in
    the reading's unit (infinite for open). `slips` has what would give it with nothing wrong: the
    leads swapped, or a switch that stands elsewhere."""

    reading: Reading
    where: str
    low: float
    usual: float
    high: float
    verdict: Verdict
    slips: tuple[str, ...]

    @property
    def by_the_file(self) -> str:
        """What the file gives, in words."""
        return value_words(self.usual, self.reading.unit)

    @property
    def may_be(self) -> str:
        """What it may be with nothing wrong, in words."""
        unit = self.reading.unit
        if self.low == self.high or math.isinf(self.low):
            return value_words(self.low, unit)
        if math.isinf(self.high):
            return f"{value_words(self.low, unit)} or more, or open"
        return span_words(self.low, self.high, unit)

    @property
    def words(self) -> str:
        """The verdict, and how far off it is: "off, 9 % low"."""
        usual, value = self.usual, self.reading.value
        if self.verdict != "off" or not (0 < usual < math.inf and value < math.inf):
            return self.verdict
        if value > 2 * usual:
            return f"off, {float(f'{value / usual:.3g}'):.9g} times as much"
        percent = 100 * abs(value / usual - 1)
        if value < usual and percent >= 99.5:
            return "off, more than 99 % low"
        return f"off, {percent:.0f} % {'low' if value < usual else 'high'}"


@dataclass(frozen=True, repr=False)
class CheckedTable(Table):
    """One row for each reading."""

    above: ClassVar[str] = f"{AT_BENCH} {AT_PLUG}"
    appliance: Appliance
    rows: tuple[Checked, ...]

    @property
    def caption(self) -> str:
        return f"{self.appliance.title}: each reading against the file"

    @property
    def header(self) -> tuple[str, ...]:
        return ("measured", "reading", "by the file", "may be", "verdict", "would fit")

    @property
    def shown_rows(self) -> list[tuple[str, ...]]:
        return [
            (
                one.where,
                one.reading.text,
                one.by_the_file,
                one.may_be,
                one.words,
                ", ".join(one.slips),
            )
            for one in self.rows
        ]


def compare_readings(appliance: Appliance, readings: object) -> CheckedTable:
    """Each of `readings` by itself against a sound `appliance`: see `readings_of` for the forms
    they may have.

    Raises `ReadingError` or `SettingError` (both `ValueError`) as `diagnose` does.
    """
    given = readings_of(appliance, readings)
    sound = shown_at(appliance, given, [exact(())])
    agrees = sound.agrees()[0]
    rows = []
    for number, reading in enumerate(given):
        low, usual, high = sound.values[:, 0, number].tolist()
        near = reading.value == usual or abs(reading.value - usual) <= reading.tolerance
        verdict: Verdict = "off"
        slips: tuple[str, ...] = ()
        if agrees[number]:
            verdict = "agrees" if near else "within the limits"
        else:
            slips = tuple(_slips(appliance, reading))
        leads = LEADS_OHM if reading.unit == "Ω" else 0.0
        where = where_words(appliance, reading)
        rows.append(Checked(reading, where, low, usual, high + leads, verdict, slips))
    return CheckedTable(appliance, tuple(rows))


def _slips(appliance: Appliance, reading: Reading) -> Iterator[str]:
    """What a sound appliance would give the same reading with."""
    others: dict[str, Reading] = {}
    if isinstance(reading, UnpluggedReading):
        others["the leads swapped"] = replace(reading, red=reading.black, black=reading.red)
    setting = complete(appliance, reading.setting)
    for part in appliance.switches:
        for position in part.positions:
            if position != setting[part.name]:
                turned = {**setting, part.name: position}
                others[f"{part.name} at {position}"] = replace(reading, setting=turned)
    if others:
        given = list(others.values())
        sound = shown_at(appliance, given, [exact(())]).agrees()[0]
        yield from (name for name, fits in zip(others, sound, strict=True) if fits)
