"""Readings as they are typed: "L to N = 33.1 at S1 on"."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.settings import complete, setting_words
from lessonlib.circuit.opened import points
from lessonlib.diagnosis.bench_test import BenchTest, bench_test
from lessonlib.diagnosis.predicted import unhook
from lessonlib.errors import ReadingError, SettingError, shown
from lessonlib.meter.ohmmeter import check_points
from lessonlib.meter.readings import (
    CurrentReading,
    DiodeReading,
    PlugReading,
    PowerReading,
    ResistanceReading,
    UnpluggedReading,
)
from lessonlib.safety import NO_VOLTS

Reading = ResistanceReading | DiodeReading | PowerReading | CurrentReading

EXAMPLE = '"L to N = 33.1 at S1 on"'
_OPEN = ("ol", "o.l", "o.l.", "0l", "open", "inf", "∞")
_FACTORS = {"": 1.0, "k": 1e3, "K": 1e3, "m": 1e-3, "M": 1e6}
_VALUE = re.compile(r"([0-9]+(?:[.,][0-9]+)?)\s*([kKmM]?)\s*(Ω|Ω|ohms?|R|V|W|A|)", re.IGNORECASE)
_UNITS = {"power": "W", "current": "A", "diode range": "V"}


def readings_of(appliance: Appliance, given: object) -> tuple[Reading, ...]:
    """`given` as readings: one or several, each a reading or a line of text, or a text of several
    lines.

    A line is `RED to BLACK = VALUE`, then, where they are needed, `at` with the switches' positions
    and `with PART unhooked`; `power = 1200 W at S1 on` and `current = 5.2 A` are those at the plug.
    Raises `ReadingError` or `SettingError` (both `ValueError`) for what cannot be read, and for a
    point, part or position that the appliance does not have.
    """
    lines = [given]
    if isinstance(given, str):
        lines = [line for line in given.splitlines() if line.strip()]
    elif isinstance(given, Iterable) and not isinstance(given, Mapping | bytes):
        lines = list(given)
    if not lines:
        raise ReadingError(f"found no readings; accepted: one or more, such as {EXAMPLE}.")
    return tuple(_reading(appliance, each) for each in lines)


def _reading(appliance: Appliance, given: object) -> Reading:
    found = _read(appliance, given) if isinstance(given, str) else given
    if not isinstance(found, Reading):
        raise ReadingError(
            f"found {shown(given)}; accepted: a line such as {EXAMPLE}, or a reading such as "
            "ResistanceReading. Write it that way."
        )
    complete(appliance, found.setting)
    if isinstance(found, UnpluggedReading):
        check_points(appliance, found.red, found.black)
        unhook(appliance, found.unhooked)
    else:
        _check_supply(appliance, found)
    return found


def as_test(appliance: Appliance, reading: ResistanceReading | DiodeReading) -> BenchTest:
    """The test that gave `reading`."""
    return bench_test(
        appliance,
        reading.red,
        reading.black,
        complete(appliance, reading.setting),
        diode_range=isinstance(reading, DiodeReading),
        unhooked=reading.unhooked,
    )


def where_words(appliance: Appliance, reading: Reading) -> str:
    """What was measured, and how the switches stood: "L to N, S1 on"."""
    if isinstance(reading, PlugReading):
        setting = setting_words(appliance, complete(appliance, reading.setting))
        return f"{reading.where}, {setting}" if setting else reading.where
    return as_test(appliance, reading).words


def _check_supply(appliance: Appliance, reading: PlugReading) -> None:
    volts, marked_V = reading.supply_voltage_V, appliance.supply.voltage_V
    if volts is not None and not 0.5 * marked_V <= volts <= 1.5 * marked_V:
        raise ReadingError(
            f"found {shown(volts)} V at the plug of {appliance.title}, made for {marked_V:g} V; "
            f"accepted: {0.5 * marked_V:g} to {1.5 * marked_V:g} V. If it is higher, pull the plug."
        )


def _read(appliance: Appliance, line: str) -> Reading:
    place, equals, rest = line.partition("=")
    if not equals:
        raise ReadingError(
            f"found {shown(line)}, without a =; accepted: a line such as {EXAMPLE}. Put = between "
            "the points and what the meter showed."
        )
    rest, _, unhooked = rest.partition(" with ")
    figure, _, switches = rest.partition(" at ")
    value, unit = _value(figure, line)
    setting = _setting(appliance, switches)
    on_diode_range = place.strip().lower().startswith("diode range")
    quantity = "diode range" if on_diode_range else place.strip().lower()
    wanted = _UNITS.get(quantity, "Ω")
    if unit not in ("", wanted):
        raise ReadingError(
            f"found {shown(line)}, in {unit}; accepted: ohms for a resistance, V after 'diode "
            "range', W for power and A for current at the plug. Nothing else is measured at this "
            f"bench. {NO_VOLTS}"
        )
    if wanted in ("W", "A"):
        if value is None:
            raise ReadingError(
                f"found {shown(line)}; accepted: a number for {quantity}. Give 0 for none."
            )
        if wanted == "W":
            return PowerReading(power_W=value, setting=setting)
        return CurrentReading(current_A=value, setting=setting)
    named = place.strip()[len("diode range") :] if on_diode_range else place
    red, black = _points(appliance, named.strip(" ,"))
    wire = unhooked.strip().removesuffix(" unhooked")
    if on_diode_range:
        return DiodeReading(red=red, black=black, volts=value, setting=setting, unhooked=wire)
    return ResistanceReading(red=red, black=black, ohm=value, setting=setting, unhooked=wire)


def _points(appliance: Appliance, words: str) -> tuple[str, str]:
    """Both points of "E1 at a to N" or "L–N", whatever is in their names."""
    known = points(appliance)
    halves = [
        (words[: gap.start()].strip(), words[gap.end() :].strip())
        for gap in re.finditer(r" to |\s*[–-]\s*|\s*/\s*|\s+", words)
    ]
    for red, black in halves:
        if red in known and black in known:
            return red, black
    if not halves:
        raise ReadingError(
            f"found {shown(words)}; accepted: two points with 'to' between them, such as "
            f"{EXAMPLE}. Name both."
        )
    clear = next((half for half in halves if f"{half[0]} to {half[1]}" == words), halves[0])
    check_points(appliance, *clear)
    return clear


def _value(figure: str, line: str) -> tuple[float | None, str]:
    """The number in base units, None for open, and its unit without a prefix."""
    said = figure.strip()
    if said.lower() in _OPEN:
        return None, ""
    found = _VALUE.fullmatch(said)
    if not found:
        negative = said.startswith(("-", "−"))
        raise ReadingError(
            f"found {shown(said)} in {shown(line)}; accepted: a number from 0, with k or M if need "
            f"be, or OL for an open path. "
            f"{'Swap the leads, or leave the sign out' if negative else 'Write it that way'}."
        )
    written = found[3]
    unit = "Ω" if written[:1] in ("Ω", "Ω", "o", "O", "R", "r") and written else written.upper()
    return float(found[1].replace(",", ".")) * _FACTORS[found[2]], unit


def _setting(appliance: Appliance, words: str) -> dict[str, str]:
    """ "S1 on, S2 low" as a setting."""
    setting = {}
    for each in filter(None, (piece.strip() for piece in words.split(","))):
        name = next(
            (p.name for p in appliance.movable if each.startswith(f"{p.name} ")),
            each.partition(" ")[0],
        )
        position = each[len(name) :].strip()
        if not position:
            raise SettingError(
                f"found {shown(each)}; accepted: a switch with its position, such as 'S1 on'. "
                "Write both."
            )
        setting[name] = position
    return setting
