"""The contents of a bench sheet: texts and tables as frozen values, before any page is laid out."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import Any

from lessonlib.appliance.fault import BAD_OHM, LEAK_OHM
from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.settings import complete, setting_count, switch_words
from lessonlib.circuit.condition import SHOCK_V
from lessonlib.circuit.live import live_words
from lessonlib.circuit.solution import Solution, solve
from lessonlib.circuit.table import StateTable, state_table
from lessonlib.errors import SheetError
from lessonlib.meter.ohm_table import MeterTable, meter_table
from lessonlib.quantities import format_quantity
from lessonlib.safety import ISOLATE
from lessonlib.schematics.schematic import Schematic
from lessonlib.sheet.finding import plan_grids, safety_rows, suspect_notes
from lessonlib.sheet.grid import SheetTable
from lessonlib.sheet.limits import Sources, half_wave_notes, limit_rows

MOST_SETTINGS = 200
"""With more rows it would be a book, not a sheet."""

WIRING = "Wiring, every switch at its start"

_MOST_COLUMNS = 9
"""A table with more puts its switches, and its elements, in one column each."""

# no line ends within "19 to 22" and "→ step 4"
_KEPT = re.compile(r"(?<=\d) (to) (?=\d)|(?<=→) (step) (?=\d)")
_BEFORE_UNIT = re.compile(r"(?<=\d) (?=(?:[kMGm]?(?:[AVWΩ]|Hz)|bar|°C|K|mm²|m|%)(?:\W|$))")


@dataclass(frozen=True)
class Drawn:
    """A schematic on a sheet, with its heading and the words below it."""

    heading: str
    schematic: Schematic
    below: str


@dataclass(frozen=True)
class Content:
    """One sheet. `at_start` says it in a few words."""

    title: str
    purpose: str
    supply: str
    at_start: str
    drawings: tuple[Drawn, ...]
    grids: tuple[SheetTable, ...]
    sources: tuple[str, ...]
    points: tuple[str, ...] = ()

    @property
    def below_title(self) -> tuple[str, ...]:
        """The paragraphs below the title; an appliance may have no purpose."""
        return tuple(filter(None, (self.purpose, self.supply, *self.points)))


def content_of(appliance: Appliance) -> Content:
    """Everything on the sheet. Raises `SheetError` for more than `MOST_SETTINGS` settings."""
    check_settings(appliance)
    sources, start, table = Sources(), solve(appliance), state_table(appliance)
    swapped = None
    if appliance.supply.reversible_plug:
        swapped = state_table(appliance, reversed_plug=True)
    limits = SheetTable(
        "Limits and ratings",
        ("what", "in the file", "limit, or highest met", "found"),
        (*limit_rows(appliance, table.solutions, sources), *safety_rows(appliance, sources)),
        own=frozenset({3}),
        notes=tuple(half_wave_notes(appliance, sources)),
    )
    at_start = _at_start(start, swapped)
    return Content(
        title=appliance.title,
        purpose=appliance.purpose,
        supply=supply_words(appliance),
        at_start=at_start,
        drawings=(Drawn(WIRING, Schematic(start, readings=False), at_start),),
        grids=(*_state_grids(appliance, table, swapped), _meter_grid(appliance), limits),
        sources=(*sources.listed, _origin(appliance)),
    )


def check_settings(appliance: Appliance) -> None:
    """Raises `SheetError` for more settings than a sheet can hold."""
    count = setting_count(appliance.switches)
    if count > MOST_SETTINGS:
        raise SheetError(
            f"{appliance.title} has {count:,} switch settings; accepted on a sheet: at most "
            f"{MOST_SETTINGS}. Describe one part of the appliance in a file of its own."
        )


def plan_contents(appliance: Appliance) -> Iterator[Content]:
    """The plan of tests in place of the tables, in all the ways that it may be set out. Raises what
    `content_of` raises."""
    single, double = plan_grids(appliance)
    start = switch_words(appliance, complete(appliance))
    plan = replace(
        content_of(appliance),
        title=f"{appliance.title}: what is wrong with it?",
        purpose="Start at step 1, and go on where the reading sends you. "
        f"Where a step does not say: {', '.join(filter(None, ('case open', start)))}.",
        supply="",
        sources=(
            "The plan finds single faults. Its readings allow for a hand meter of 1 % and for "
            f"marked powers. It takes a bad joint or contact as {BAD_OHM:g} Ω, a leak as "
            f"{LEAK_OHM / 1000:g} kΩ, a part short as half. Where no line fits, measure again, "
            "then type all readings into the form for readings.",
        ),
    )
    for drawings in (plan.drawings, ()):  # the bench sheet has the wiring too
        for grid in (single, double):
            yield replace(plan, grids=(grid,), drawings=drawings)


def tidied(one: Any) -> Any:
    """`one` with every text in it made fit for a line: see `tidy`."""
    if isinstance(one, str):
        return tidy(one)
    if isinstance(one, tuple):
        return tuple(map(tidied, one))
    if isinstance(one, Content | Drawn | SheetTable):
        return replace(one, **{each.name: tidied(getattr(one, each.name)) for each in fields(one)})
    return one


def tidy(text: str) -> str:
    """`text` in one line, with spaces that do not break within a range, and between a number and
    its unit; what cannot be printed becomes U+FFFD."""
    line = " ".join(text.split())
    shown = "".join(sign if sign.isprintable() else "\ufffd" for sign in line)
    kept = _KEPT.sub(lambda found: f"\u00a0{found[1] or found[2]}\u00a0", shown)
    return _BEFORE_UNIT.sub("\u00a0", kept)


def supply_words(appliance: Appliance) -> str:
    """Voltage, frequency and plug."""
    supply = appliance.supply
    plug = "plug goes in either way" if supply.reversible_plug else "plug goes in one way"
    return f"{supply.voltage_V:g} V, {supply.frequency_Hz:g} Hz, {plug}"


def _origin(appliance: Appliance) -> str:
    file = Path(appliance.source).name
    return f"All other values: computed from {file or 'the description of the appliance'}."


def _at_start(start: Solution, swapped: StateTable | None) -> str:
    """What the appliance draws, and what is live, as in the sheet's drawing."""
    if start.short is not None:
        said = f"As drawn, it shorts the supply: {start.short}."
    else:
        power, current = format_quantity(start.power_W, "W"), format_quantity(start.current_A, "A")
        said = f"As drawn, it takes {power} and {current}."
        if current == "0 A":
            said = "As drawn, no current flows."
    said += f" Live ends: {live_words(start.appliance, start.live)}."
    if swapped is not None:
        turned = solve(start.appliance, reversed_plug=True)
        said += f" With the plug reversed: {live_words(start.appliance, turned.live)}."
    return f"{said} {ISOLATE}"


def _state_grids(
    appliance: Appliance, table: StateTable, swapped: StateTable | None
) -> Iterator[SheetTable]:
    """One table, with a column for what is live with the plug reversed; two tables where reversing
    the plug changes more than that."""
    title = f"Every switch setting, at {appliance.supply.voltage_V:g} V"
    header, rows = table.header, table.shown_rows
    turned = [] if swapped is None else swapped.shown_rows
    if not turned:
        yield _state_grid(appliance, title, header, rows)
    elif [row[:-1] for row in rows] == [row[:-1] for row in turned]:
        both = [(*row, other[-1]) for row, other in zip(rows, turned, strict=True)]
        yield _state_grid(appliance, title, (*header, "live, plug reversed"), both)
    else:
        yield _state_grid(appliance, f"{title}, plug as drawn", header, rows)
        yield _state_grid(appliance, f"{title}, plug reversed", header, turned)


def _state_grid(
    appliance: Appliance, title: str, header: tuple[str, ...], rows: Sequence[tuple[str, ...]]
) -> SheetTable:
    names, elements = max(1, len(appliance.switches)), len(appliance.elements)
    lines = [header, *rows]
    if len(lines[0]) > _MOST_COLUMNS and elements > 1:
        lines = _joined(lines, names + 2, elements, "elements")
    if len(lines[0]) > _MOST_COLUMNS and names > 1:
        lines, names = _joined(lines, 0, names, "setting"), 1
    marks = [f"live: ends of parts that are joined to the line or above {SHOCK_V:g} V to earth"]
    if appliance.diodes:
        marks.append("currents are r.m.s.; a meter that averages reads half waves 29 % low")
    return SheetTable(title, lines[0], tuple(lines[1:]), names, notes=("; ".join(marks) + ".",))


def _joined(
    lines: Sequence[tuple[str, ...]], first: int, count: int, heading: str
) -> list[tuple[str, ...]]:
    """A header and its rows with `count` columns from `first` as one, each value after its column's
    name; an element without power is left out."""
    last, names = first + count, lines[0][first : first + count]
    found = [(*lines[0][:first], heading, *lines[0][last:])]
    for row in lines[1:]:
        cells = zip(names, row[first:last], strict=True)
        told = [f"{name} {value}" for name, value in cells if value not in ("0 W", "–")]
        found.append((*row[:first], ", ".join(told) or "–", *row[last:]))
    return found


def _meter_grid(appliance: Appliance) -> SheetTable:
    """A row for each setting, and one for pins between which every setting reads the same."""
    table = meter_table(appliance)
    names = max(1, len(appliance.switches))
    shown = table.shown_rows
    rows: list[tuple[str, ...]] = []
    for column, pair in enumerate(table.pairs):
        between = "–".join(pair)
        texts = [row[names + column] for row in shown]
        if column and len(set(texts)) == 1:
            rows.append((*("any",) * names, between, texts[0], "", _through(table, 0, column)))
            continue
        for index, row in enumerate(shown):
            sees = _through(table, index, column) if column else row[-1]
            rows.append((*row[:names], between, texts[index], "", sees))
    lacking = dict.fromkeys(
        name for row in table.readings for pair in row for name in pair[0].no_alloy
    )
    notes = tuple(suspect_notes(appliance))
    if lacking:
        cold = f"Cold taken equal to hot, as no alloy is named: {', '.join(lacking)}."
        notes = (cold, *notes)
    return SheetTable(
        "Ohmmeter at the pins of the plug: unplugged, cold",
        (*table.header[:names], "between", "expected", "own reading", "the meter sees"),
        tuple(rows),
        names + 1,
        frozenset({names + 2}),
        notes,
    )


def _through(table: MeterTable, row: int, column: int) -> str:
    reading = table.readings[row][column][0]
    return ", ".join((*reading.through, *reading.doubts)) or "no path"
