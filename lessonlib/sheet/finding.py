"""Finding a fault, on paper: boxes for the tests of earth and insulation, what a reading at the plug
may mean, and the whole plan of tests on a sheet of its own."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from lessonlib.appliance.parts import Appliance
from lessonlib.diagnosis.plan import Leaf, Step, TestPlan, test_plan
from lessonlib.diagnosis.plan_shown import STEP_HEADER, numbered_steps
from lessonlib.limits.earth import (
    HEATER_INSULATION_OHM,
    INSULATION_OHM,
    INSULATION_TEST_V,
    SHORT_CORD_OHM,
    SOURCE,
)
from lessonlib.quantities import format_quantity
from lessonlib.sheet.content import Content, SheetTable, content_of, tidied
from lessonlib.sheet.limits import Sources
from lessonlib.sheet.pages import PAPERS, lay_out
from lessonlib.sheet.sheet import BenchSheet, paper_of

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


def suspect_grid(appliance: Appliance) -> SheetTable | None:
    """What each reading of the plan's first test may mean; None where no test tells anything."""
    plan = test_plan(appliance)
    if isinstance(plan.root, Leaf):
        return None
    rows = tuple(
        (outcome.text, _suspects(outcome.then)) for outcome in plan.root.outcomes
    )
    title = f"First test for a single fault, unplugged and cold: {plan.root.test.words}"
    return SheetTable(title, ("the meter shows", "suspect"), rows)


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


def plan_sheet(appliance: Appliance, *, paper: str = "A4") -> BenchSheet:
    """The plan of tests of `appliance` for the bench, with its wiring: on one page where it fits.

    `paper` and errors are those of `bench_sheet`.
    """
    return BenchSheet(lay_out(_plan_content(test_plan(appliance)), PAPERS[paper_of(paper)]))


def _plan_content(plan: TestPlan) -> Content:
    steps = SheetTable("Go from step to step", STEP_HEADER, numbered_steps(plan), names=1)
    return tidied(
        replace(
            content_of(plan.appliance),
            title=f"{plan.appliance.title}: what is wrong with it?",
            purpose="For a single fault. Start at step 1, and go on where the reading sends you.",
            grids=(steps,),
            sources=("The readings allow for a hand meter of 1 % and for marked powers.",),
        )
    )
