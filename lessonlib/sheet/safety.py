"""Whether an appliance is good enough and safe, on paper: what to do, hazards drawn, findings."""

from __future__ import annotations

from lessonlib.appliance.parts import Appliance
from lessonlib.ratings.advice import FIRST, Advice, advice
from lessonlib.ratings.finding import Findings
from lessonlib.ratings.findings import findings
from lessonlib.ratings.hazard import Hazard, Hazards
from lessonlib.ratings.hazards import hazards
from lessonlib.ratings.metalwork import ABOUT, has_earth
from lessonlib.schematics.painter import MARKED
from lessonlib.schematics.schematic import Schematic
from lessonlib.sheet.content import Content, Drawn, supply_words, tidied
from lessonlib.sheet.grid import SheetTable

KEY = f"{MARKED} marks the parts that a drawing warns of; thick lines are live."


def hazard_drawing(row: Hazard) -> Schematic | None:
    """The case of a hazard with its parts marked; None where it has none to draw."""
    if row.seen is None:
        return None
    earth = row.about == ABOUT and has_earth(row.seen.appliance)
    note = f"{row.level}: {row.told}"
    return Schematic(row.seen, readings=False, earth=earth, marked=row.marked, note=note)


def hazard_heading(row: Hazard) -> str:
    """What to do with it, what it is about, and when it is."""
    return f"{'Put right' if row.level == 'danger' else 'Reckon with'}, {row.about}: {row.when}"


def safety_content(appliance: Appliance) -> Content:
    """Everything on that sheet."""
    found, table = findings(appliance), hazards(appliance)
    done = advice(found, table)
    drawn = [(row, hazard_drawing(row)) for row in table.rows]
    return tidied(
        Content(
            title=f"{appliance.title}: good enough, and safe?",
            purpose=done.standing,
            supply=f"{FIRST} {supply_words(appliance)}.",
            at_start=done.standing,
            drawings=tuple(
                Drawn(hazard_heading(row), picture, row.then)
                for row, picture in drawn
                if picture is not None
            ),
            grids=(*_undrawn(table), _findings(found)),
            sources=tuple(f"[{n}] {source}." for n, source in enumerate(found.sources, 1)),
            points=(*_points(done), KEY),
        )
    )


def _points(done: Advice) -> tuple[str, ...]:
    both = [("To put right", done.put_right), ("To find out", done.find_out)]
    return tuple(
        f"{word} {number}: {said}" for word, told in both for number, said in enumerate(told, 1)
    )


def _undrawn(table: Hazards) -> tuple[SheetTable, ...]:
    rows = [shown for row, shown in zip(table.rows, table.shown_rows, strict=True)
            if row.seen is None]  # fmt: skip
    return (SheetTable("Besides", table.header, tuple(rows), 2),) if rows else ()


def _findings(found: Findings) -> SheetTable:
    return SheetTable("Against published limits", found.header, tuple(found.shown_rows), 1)
