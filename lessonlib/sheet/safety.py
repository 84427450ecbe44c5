"""Whether an appliance is good enough and safe, on paper: what to do, hazards drawn, findings."""

from __future__ import annotations

from collections.abc import Container

from lessonlib.appliance.parts import Appliance
from lessonlib.ratings.advice import FIRST, Advice, advice
from lessonlib.ratings.finding import Findings
from lessonlib.ratings.findings import findings
from lessonlib.ratings.hazard import Hazard, Hazards
from lessonlib.ratings.hazards import hazards
from lessonlib.ratings.metalwork import ABOUT
from lessonlib.schematics.painter import MARKED
from lessonlib.schematics.schematic import Schematic
from lessonlib.sheet.content import Content, Drawn, check_settings, supply_words
from lessonlib.sheet.grid import SheetTable

MOST_DRAWN = 24
"""More than anybody looks through: the rest is told in words."""
KEY = f"{MARKED} marks the parts that a drawing warns of; thick lines are live."


def drawn_hazards(table: Hazards) -> dict[Hazard, Schematic]:
    """The cases of the hazards that are to be drawn, in their order, with their parts marked."""
    shown = [row for row in table.rows if row.seen is not None][:MOST_DRAWN]
    return {row: _drawing(row) for row in shown}


def _drawing(row: Hazard) -> Schematic:
    assert row.seen is not None
    note, metal = f"{row.level}: {row.told}", row.about == ABOUT
    return Schematic(row.seen, readings=False, earth=metal, marked=row.marked, note=note)


def hazard_heading(row: Hazard) -> str:
    """Whether it has to be put right, what it is about, and when it is."""
    said = f"put right, {row.about}" if row.level == "danger" else row.about
    return f"{said[0].upper()}{said[1:]}: {row.when}"


def safety_content(appliance: Appliance) -> Content:
    """Everything on that sheet. Raises what `content_of` raises, and `SettingError`."""
    check_settings(appliance)
    found, table = findings(appliance), hazards(appliance)
    done = advice(found, table)
    drawn = drawn_hazards(table)
    return Content(
        title=f"{appliance.title}: good enough, and safe?",
        purpose=done.standing,
        supply=f"{FIRST} {supply_words(appliance)}.",
        at_start=done.standing,
        drawings=tuple(
            Drawn(hazard_heading(row), picture, row.then) for row, picture in drawn.items()
        ),
        grids=(*_undrawn(table, drawn), _findings(found)),
        sources=tuple(f"[{n}] {source}." for n, source in enumerate(found.sources, 1)),
        points=(*_points(done), KEY),
    )


def _points(done: Advice) -> tuple[str, ...]:
    both = [("To put right", done.put_right), ("To find out", done.find_out)]
    return tuple(
        f"{word} {number}: {said}" for word, told in both for number, said in enumerate(told, 1)
    )


def _undrawn(table: Hazards, drawn: Container[Hazard]) -> tuple[SheetTable, ...]:
    rows = [shown for row, shown in zip(table.rows, table.shown_rows, strict=True)
            if row not in drawn]  # fmt: skip
    return (SheetTable("Besides", table.header, tuple(rows), 2),) if rows else ()


def _findings(found: Findings) -> SheetTable:
    return SheetTable("Against published limits", found.header, tuple(found.shown_rows), 1)
