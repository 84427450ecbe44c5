"""The plan as a drawn tree and as numbered steps: the same tests and endings as its text."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from lessonlib import appliance_names, load_appliance, read_appliance
from lessonlib.appliance.fault import CORD
from lessonlib.appliance.settings import complete, switch_words
from lessonlib.diagnosis.bench_test import BenchTest
from lessonlib.diagnosis.plan import Leaf, Step, test_plan
from lessonlib.diagnosis.plan_shown import STEP_HEADER, numbered_steps, what_would_tell
from lessonlib.safety import AT_BENCH


@pytest.mark.parametrize("name", appliance_names())
def test_the_numbers_on_paper_lead_to_the_part_at_fault_with_whatever_the_meter_shows(
    name: str,
) -> None:
    appliance = load_appliance(name)
    plan = test_plan(appliance)
    rows = {number: (test, thens.split("; ")) for number, test, thens in numbered_steps(plan)}
    at_start = switch_words(appliance, complete(appliance))
    used = {"1"}
    for way, leaf in _ways(plan.root, ()):
        number, said = "1", ""
        for test, reading in way:
            if not said:
                where, thens = rows[number]
                place, _, points = where.rpartition(": ")
                assert place == ("" if test.place == "case open" else test.place)
                switched = not test.switches or test.switches == at_start
                assert points == (
                    test.words.removesuffix(f", {at_start}") if switched else test.words
                )
                then = dict(line.split(" → ") for line in thens)[reading]
                if then.startswith("step "):
                    number = then.removeprefix("step ")
                    used.add(number)
                else:
                    said = then
        for fault in leaf.faults:  # its part, its kind and its point stand in the ending
            for word in (fault.part, fault.kind, fault.node):
                assert word.removeprefix(CORD) in said
        assert ("no fault found" in said) == leaf.sound
    assert used == set(rows)
    assert len(rows) < len(plan.tests)
    assert len(STEP_HEADER) == 3


def _ways(
    node: Step | Leaf, way: tuple[tuple[BenchTest, str], ...]
) -> Iterator[tuple[tuple[tuple[BenchTest, str], ...], Leaf]]:
    if isinstance(node, Leaf):
        yield way, node
        return
    for outcome in node.outcomes:
        yield from _ways(outcome.then, (*way, (node.test, outcome.text)))


def test_an_ending_on_paper_holds_one_part_with_its_wires_or_the_wires_of_one_point() -> None:
    endings = {
        then.partition(" → ")[2]
        for _, _, thens in numbered_steps(test_plan(load_appliance("tea-urn")))
        for then in thens.split("; ")
    }
    assert "S1 not making or wire off at L" in endings
    assert "E2 bad joint at boost or N" in endings
    assert "S1 at L: bad joint or E1 at L: bad joint" in endings
    assert {"plug fuse blown", "cord: line core broken", "cord: neutral core broken"} <= endings


def test_what_would_tell_more_is_said_once() -> None:
    lines = what_would_tell(test_plan(load_appliance("garment-steamer")))
    assert len(lines) == len(set(lines))
    assert any("neon lamp" in line for line in lines)


def test_the_drawn_tree_has_the_caution_every_test_and_every_ending() -> None:
    plan = test_plan(load_appliance("garment-steamer"))
    html = plan._repr_html_()
    assert AT_BENCH in html
    assert html.count("<li>") == len(plan.leaves) + len(plan.tests) - 1
    for leaf in plan.leaves:
        assert " or ".join(leaf.words) in html


def test_names_are_text_and_never_markup() -> None:
    text = """title = "<b>"
[supply]
voltage_V = 230
[[element]]
name = "<i>"
between = ["L", "N"]
resistance_ohm = 50
"""
    html = test_plan(read_appliance(text))._repr_html_()
    assert html.startswith("<div")  # its style within, so that it goes wherever the tree goes
    assert "<b>" not in html
    assert "<i>" not in html
