"""Compares readings with the file: does each agree, and if not, what would give that reading.

A reading *agrees* if it is what the file says, to the meter's tolerance. It is *within the limits*
if marked powers may be that far off (`input_power`; the table is for whole appliances, and is used
here for every setting and every path), or if diodes, lamps or wire of an unnamed alloy can explain
it (`ohmmeter`). Otherwise it is *off*, and every other switch setting and every single fault of the
file is tried for one that fits.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from html import escape
from typing import Literal

from lessonlib.appliance.fault import single_faults
from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.settings import complete, setting_words
from lessonlib.appliance.settings import settings as every_setting
from lessonlib.errors import ReadingError, shown
from lessonlib.limits.mains import UK, mains_range
from lessonlib.meter.alloys import WIRE_C
from lessonlib.meter.expected import Expected, expected_readings
from lessonlib.meter.hints import before_the_parts, hint, leads_or_contact
from lessonlib.meter.readings import AnyReading, PlugReading, ResistanceReading
from lessonlib.safety import CAUTIONS
from lessonlib.tables import Table

Verdict = Literal["agrees", "within the limits", "off"]

_MOST_NAMED = 8
# The caution that applies here, word for word, and what follows from it.
_CAUTION = (
    f"{next(line for line in CAUTIONS if 'resistance' in line)} "
    "Measure power and current on an energy meter at the plug, nowhere else."
)


@dataclass(frozen=True, repr=False)
class Agreement:
    """One reading judged. `causes` are leads swapped, switches turned and single faults that fit
    it; `meaning` says, line by line, what it may mean."""

    reading: AnyReading
    setting: str
    expected: Expected
    verdict: Verdict
    causes: tuple[str, ...]
    meaning: tuple[str, ...]

    @property
    def words(self) -> str:
        """The verdict, and how far off it is: "off, 9 % low"."""
        expected, value = self.expected.value, self.reading.value
        if self.verdict != "off" or not (0 < expected < math.inf and value < math.inf):
            return self.verdict
        if value > 2 * expected:
            times = float(f"{value / expected:.3g}")
            return f"off, {times:.9g} times as much"
        percent = 100 * abs(value / expected - 1)
        if value < expected and percent >= 99.5:
            return "off, more than 99 % low"
        return f"off, {percent:.0f} % {'low' if value < expected else 'high'}"

    def __repr__(self) -> str:
        reading = self.reading
        head = f"{reading.where}, {self.setting}: {reading.text}; by the file {self.expected.text}"
        return "\n".join((f"{head}: {self.words}", *(f"  {line}" for line in self.meaning)))


def compare_reading(
    appliance: Appliance, reading: AnyReading, *, wire_C: float = WIRE_C
) -> Agreement:
    """Judge one reading against the file. `wire_C` is how hot the wire is at work, degrees Celsius.

    Raises `ReadingError` or `SettingError` (both `ValueError`) for points, a setting or a supply
    voltage that do not fit the appliance, and for anything that is not a reading.
    """
    if not isinstance(reading, AnyReading):
        raise ReadingError(
            f"found {shown(reading)}; accepted: a ResistanceReading, PowerReading or "
            "CurrentReading. Make one from what the meter showed."
        )
    setting = complete(appliance, reading.setting)
    lines = _supply_lines(appliance, reading)
    [expected] = expected_readings(appliance, reading, [setting], (None,), wire_C)
    verdict = _verdict(reading, expected)
    causes = _causes(appliance, reading, setting, wire_C) if verdict == "off" else []
    if verdict == "off":
        lines.append(_would_fit(causes) if causes else hint(appliance, reading, setting, expected))
    elif verdict == "within the limits":
        lines += [expected.slack, *leads_or_contact(appliance, reading, setting, expected)]
    return Agreement(
        reading=reading,
        setting=setting_words(appliance, setting) or "as it is",
        expected=expected,
        verdict=verdict,
        causes=tuple(causes),
        meaning=(*lines, *expected.doubts),
    )


def _supply_lines(appliance: Appliance, reading: AnyReading) -> list[str]:
    if not isinstance(reading, PlugReading) or reading.supply_voltage_V is None:
        return []
    volts, marked_V = reading.supply_voltage_V, appliance.supply.voltage_V
    if not 0.5 * marked_V <= volts <= 1.5 * marked_V:
        next_step = "No harm is done, but too little flows to judge it by: check the number."
        if volts > marked_V:
            next_step = "If that is so, pull the plug: it does not belong on that supply."
        raise ReadingError(
            f"found {volts:g} V at the plug of {appliance.title}, made for {marked_V:g} V; "
            f"accepted: {0.5 * marked_V:g} to {1.5 * marked_V:g} V. {next_step}"
        )
    mains = mains_range(marked_V)
    if mains is None:
        return []
    if not mains.low_V <= volts <= mains.high_V:
        return [f"{volts:g} V is outside {mains.low_V:g} to {mains.high_V:g} V, {mains.source}"]
    if mains.nominal_V == UK.nominal_V and volts < UK.low_V:
        least = f"the least in the United Kingdom, {UK.source}"
        return [f"{volts:g} V is below {UK.low_V:g} V, {least}"]
    return []


def _verdict(reading: AnyReading, expected: Expected) -> Verdict:
    value, tolerance = reading.value, reading.tolerance
    if any(value == sure or abs(value - sure) <= tolerance for sure in expected.sure):
        return "agrees"
    within = expected.low - tolerance <= value <= expected.high + tolerance
    return "within the limits" if within else "off"


def _causes(
    appliance: Appliance, reading: AnyReading, setting: Mapping[str, str], wire_C: float
) -> list[str]:
    """What fits: plug fuse and cord, leads swapped, the fewest switches turned, single faults."""

    def fits(name: str, expected: Expected) -> list[str]:
        return [name] if _verdict(reading, expected) != "off" else []

    causes = before_the_parts(reading)
    if isinstance(reading, ResistanceReading):
        swapped = replace(reading, red=reading.black, black=reading.red)
        [expected] = expected_readings(appliance, swapped, [setting], (None,), wire_C)
        causes += fits("the leads swapped", expected)
    hand = [part.name for part in appliance.switches]
    others = [{**setting, **{name: row[name] for name in hand}} for row in every_setting(appliance)]
    fitting: dict[int, list[str]] = {}
    found = expected_readings(appliance, reading, others, (None,), wire_C)
    for other, expected in zip(others, found, strict=True):
        turned = [f"{name} at {other[name]}" for name in hand if other[name] != setting[name]]
        fitting.setdefault(len(turned), []).extend(fits(" with ".join(turned), expected))
    causes += next((names for _, names in sorted(fitting.items()) if names), [])
    faults = single_faults(appliance)
    found = expected_readings(appliance, reading, [setting], faults, wire_C)
    for fault, expected in zip(faults, found, strict=True):
        causes += fits(str(fault), expected)
    return causes


def _would_fit(causes: Sequence[str]) -> str:
    more = len(causes) - _MOST_NAMED
    rest = f", and {more} more" if more > 0 else ""
    return f"would fit: {', '.join(causes[:_MOST_NAMED])}{rest}"


@dataclass(frozen=True, repr=False)
class AgreementTable(Table):
    """One row for each reading."""

    appliance: Appliance
    agreements: tuple[Agreement, ...]

    @property
    def caption(self) -> str:
        return f"{self.appliance.title}: readings against the file"

    @property
    def header(self) -> tuple[str, ...]:
        return ("measured", "setting", "reading", "by the file", "verdict", "what it may mean")

    @property
    def shown_rows(self) -> list[tuple[str, ...]]:
        return [
            (
                one.reading.where,
                one.setting,
                one.reading.text,
                one.expected.text,
                one.words,
                "; ".join(one.meaning),
            )
            for one in self.agreements
        ]

    def __str__(self) -> str:
        return f"{_CAUTION}\n{super().__str__()}"

    __repr__ = __str__

    def _repr_html_(self) -> str:
        return f"<p>{escape(_CAUTION)}</p>{super()._repr_html_()}"


def compare_readings(
    appliance: Appliance, readings: Sequence[AnyReading], *, wire_C: float = WIRE_C
) -> AgreementTable:
    """Judge every reading against the file, in one table; see `compare_reading`."""
    judged = tuple(compare_reading(appliance, reading, wire_C=wire_C) for reading in readings)
    return AgreementTable(appliance, judged)
