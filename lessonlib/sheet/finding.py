"""Finding a fault on paper: what the first reading may mean, the whole plan of tests, and boxes
for the tests of earth and insulation."""

from __future__ import annotations

from collections.abc import Iterator

from lessonlib.appliance.parts import Appliance
from lessonlib.diagnosis.plan import Leaf, Step, nodes, test_plan
from lessonlib.diagnosis.plan_shown import STEP_HEADER, numbered_steps, what_would_tell
from lessonlib.limits.earth import (
    INSULATION_TEST_V,
    SHORT_CORD_OHM,
    SOURCE,
    least_insulation_ohm,
)
from lessonlib.quantities import format_quantity
from lessonlib.sheet.grid import SheetTable
from lessonlib.sheet.limits import LimitRow, Sources

_MOST_NAMED = 3
_BOTH = "test, unplugged: the meter shows → then"
_WIRES = "Where a step ends with a part and its wires, look at these and measure the part alone"


def safety_rows(appliance: Appliance, sources: Sources) -> Iterator[LimitRow]:
    """Boxes for what is tested after a repair, with the limits."""
    mark = sources.mark(SOURCE)
    kind = appliance.supply.protection_class or "I"
    least = least_insulation_ohm(kind, bool(appliance.elements))
    if kind == "I":
        earth = format_quantity(SHORT_CORD_OHM, "Ω")
        yield "earth continuity, class I", "earth pin to metalwork", f"at most {earth}{mark}", ""
    yield (
        f"insulation, class {kind}",
        f"L with N to metalwork, {INSULATION_TEST_V} V, all on",
        f"at least {format_quantity(least, 'Ω')}{mark}",
        "",
    )


def suspect_notes(appliance: Appliance) -> Iterator[str]:
    """What each reading of the plan's first test may mean, in a line; none where no test tells
    anything."""
    root = test_plan(appliance).root
    if isinstance(root, Step):
        said = "; ".join(f"{each.text} → {_suspects(each.then)}" for each in root.outcomes)
        yield f"Reading → suspect, {root.test.words}: {said}."


def _suspects(node: Step | Leaf) -> str:
    # without sizes, which are only those that the plan reckons with
    leaves = (each for each in nodes(node) if isinstance(each, Leaf))
    words = dict.fromkeys(word.partition(",")[0] for leaf in leaves for word in leaf.words)
    more = len(words) - _MOST_NAMED
    said = ", ".join(list(words)[:_MOST_NAMED])
    return f"{said}, {more} more" if more > 0 else said


def plan_grids(appliance: Appliance) -> Iterator[SheetTable]:
    """The whole plan of tests, step by step: one step in a row, and two for a long plan."""
    plan = test_plan(appliance)
    rows = numbered_steps(plan)
    lines = [f"{line[0].upper()}{line[1:]}." for line in (_WIRES, *what_would_tell(plan))]
    notes = (" ".join(lines),)
    yield SheetTable("Go from step to step", STEP_HEADER, rows, notes=notes)
    short = [(number, f"{test}: {thens}") for number, test, thens in rows]
    if len(short) % 2:
        short.append(("", ""))
    pairs = tuple(left + right for left, right in zip(short[::2], short[1::2], strict=True))
    yield SheetTable("Go from step to step", ("no.", _BOTH) * 2, pairs, notes=notes, across=2)
