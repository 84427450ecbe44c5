"""Finding a fault on paper: what the first reading may mean, the whole plan of tests, and boxes
for the tests of earth and insulation."""

from __future__ import annotations

from collections.abc import Iterator

from lessonlib.appliance.parts import Appliance
from lessonlib.diagnosis.plan import Leaf, Step, test_plan
from lessonlib.diagnosis.plan_shown import STEP_HEADER, numbered_steps
from lessonlib.limits.earth import (
    HEATER_INSULATION_OHM,
    INSULATION_OHM,
    INSULATION_TEST_V,
    SHORT_CORD_OHM,
    SOURCE,
)
from lessonlib.quantities import format_quantity
from lessonlib.sheet.grid import SheetTable
from lessonlib.sheet.limits import Sources

_MOST_NAMED = 6


def safety_grid(appliance: Appliance, sources: Sources) -> SheetTable:
    """Boxes for what is tested after a repair, with the limits."""
    mark = sources.mark(SOURCE)
    least = HEATER_INSULATION_OHM if appliance.elements else INSULATION_OHM
    limits = (
        ("earth pin to metalwork (class I)", f"at most {format_quantity(SHORT_CORD_OHM, 'Ω')}"),
        (
            f"L and N together to metalwork, at {INSULATION_TEST_V} V, all switches on (class I)",
            f"at least {format_quantity(least, 'Ω')}",
        ),
    )
    return SheetTable(
        "After a repair, unplugged: earth and insulation, by somebody competent",
        ("between", "limit", "own reading"),
        tuple((between, f"{limit}{mark}", "") for between, limit in limits),
        own=frozenset({2}),
    )


def suspect_grid(appliance: Appliance) -> Iterator[SheetTable]:
    """What each reading of the plan's first test may mean; none where no test tells anything."""
    root = test_plan(appliance).root
    if isinstance(root, Step):
        rows = tuple((outcome.text, _suspects(outcome.then)) for outcome in root.outcomes)
        title = f"First test for a single fault, unplugged and cold: {root.test.words}"
        yield SheetTable(title, ("the meter shows", "suspect"), rows)


def _suspects(node: Step | Leaf) -> str:
    words = [word for leaf in _leaves(node) for word in leaf.words]
    more = len(words) - _MOST_NAMED
    said = ", ".join(words[:_MOST_NAMED])
    return f"{said}, {more} more: see the plan of tests" if more > 0 else said


def _leaves(node: Step | Leaf) -> Iterator[Leaf]:
    if isinstance(node, Leaf):
        yield node
    else:
        for outcome in node.outcomes:
            yield from _leaves(outcome.then)


def plan_grid(appliance: Appliance) -> SheetTable:
    """The whole plan of tests, step by step."""
    return SheetTable("Go from step to step", STEP_HEADER, numbered_steps(test_plan(appliance)))
