"""The plan of tests: its leaves by brute force, followed with a meter that is a little off, drawn,
and on paper."""

import math
import random
from functools import cache
from itertools import pairwise

import pytest

from lessonlib import appliance_names, load_appliance, possible_faults
from lessonlib import test_plan as plan_for
from lessonlib.appliance.fault import CORD
from lessonlib.appliance.settings import complete, switch_words
from lessonlib.diagnosis.bench_test import reading_words
from lessonlib.diagnosis.plan import Leaf, Step, nodes
from lessonlib.diagnosis.plan_shown import numbered_steps, what_would_tell
from lessonlib.diagnosis.predicted import TOP, predict
from lessonlib.diagnosis.ranges import plain_guesses
from lessonlib.safety import AT_BENCH
from tests.diagnosis.bench import Bench
from tests.networks import element, rig


@cache
def plan_of(name):
    return plan_for(load_appliance(name))


def after(step, value):
    """What a reading leads to, infinite for open; None where it fits no outcome."""
    return next((one.then for one in step.outcomes if one.low <= value <= one.high), None)


def followed(plan, measure):
    """The leaf that the readings lead to; None where one of them fits no outcome."""
    node = plan.root
    while isinstance(node, Step):
        shows = measure(node.test)
        is_open = shows is None or shows >= TOP[node.test.unit]
        node = after(node, math.inf if is_open else shows)
    return node


def by_brute_force(appliance):
    """Sets of faults that no test tells apart: every test splits every set, again and again, where
    nothing that it can show spans the gap."""
    predicted = predict(appliance, plain_guesses(appliance))
    sets = [list(range(len(predicted.guesses)))]
    done = False
    while not done:
        done = True
        for test in range(len(predicted.tests)):
            for some in list(sets):
                some.sort(key=lambda guess: predicted.low[guess, test])
                for cut in range(1, len(some)):
                    reached = max(predicted.high[guess, test] for guess in some[:cut])
                    if reached < predicted.low[some[cut], test]:
                        sets.remove(some)
                        sets += [some[:cut], some[cut:]]
                        done = False
                        break
    return {
        frozenset(str(fault) for guess in some for fault in predicted.guesses[guess].faults)
        | ({"no fault found"} if 0 in some else set())
        for some in sets
    }


@pytest.mark.parametrize("name", appliance_names())
def test_leaves_are_the_sets_of_faults_that_no_test_tells_apart(name):
    appliance, plan = load_appliance(name), plan_of(name)
    leaves = [frozenset(leaf.words) for leaf in plan.leaves]
    assert len(leaves) == len(set(leaves))
    assert set(leaves) == by_brute_force(appliance)
    told = {fault for leaf in plan.leaves for fault in leaf.faults}
    assert told == set(possible_faults(appliance))


@pytest.mark.parametrize("name", appliance_names())
def test_followed_with_a_meter_within_its_accuracy_it_ends_at_the_fault(name, wide):
    appliance, plan = load_appliance(name), plan_of(name)
    rng = random.Random(name)
    faults = possible_faults(appliance)
    for fault in (None, *(faults if wide else rng.sample(faults, min(len(faults), 12)))):
        leaf = followed(plan, Bench(appliance, fault, rng).measure)
        assert leaf is not None, fault
        assert ("no fault found" if fault is None else str(fault)) in leaf.words


@pytest.mark.parametrize("name", appliance_names())
def test_a_plan_starts_at_the_plug_and_is_read_from_its_text_or_its_drawing(name):
    plan = plan_of(name)
    assert plan.root.test.place == "at the plug"
    html, lines = plan._repr_html_(), plan.text.splitlines()
    assert lines[:2] == [plan.caption, AT_BENCH]
    assert AT_BENCH in html
    assert html.count("<li>") == len(plan.leaves) + len(plan.tests) - 1
    for leaf in plan.leaves:
        assert any(line.endswith("; ".join(leaf.words)) for line in lines)
        assert " or ".join(leaf.words) in html
        assert bool(leaf.would_tell) == (len(leaf.words) > 1)
    for test in plan.tests:
        assert f"{test.place}: {test.words}" in plan.text


def test_the_urn_begins_with_the_pins_and_a_knob_and_leaves_the_case_shut():
    plan = plan_of("tea-urn")
    assert plan.root.test.words == "L to N, S1 off"
    assert [each.text for each in plan.root.outcomes][-2:] == ["100 to 180 Ω", "open"]
    assert after(plan.root, 132.25).test.words == "L to N, S1 on"
    assert after(plan.root, math.inf).test.words == "L to N, S1 on"  # before the case is opened


def test_what_looks_alike_cold_stays_together_and_the_plan_says_what_tells():
    [leaf] = [leaf for leaf in plan_of("wax-melter").leaves if leaf.sound]
    assert leaf.words == ("no fault found", "F1 welded", "F1 drifted")
    # warming a thermal fuse would be the end of it
    assert leaf.would_tell == (
        "F1: cold, it reads as a sound one. One that opens for good cannot be tried: in doubt, fit "
        "a new one of the same marking",
    )
    told = "; ".join(what_would_tell(plan_of("garment-steamer")))
    assert (
        "P1: cold, it reads as a sound one, which opens at 0.6 bar and closes at 0.45 bar" in told
    )
    assert "a pump and a gauge. If that does not reach its marking, fit a new one" in told
    assert "a competent person" in told
    assert told.count("neon lamp") == 2  # H1 and H2, each once


def test_outcomes_do_not_meet_and_a_reading_between_them_ends_the_plan():
    for name in ("tea-urn", "wax-melter", "towel-rail"):
        for step in (node for node in nodes(plan_of(name).root) if isinstance(node, Step)):
            assert len(step.outcomes) > 1
            assert all(one.high < other.low for one, other in pairwise(step.outcomes))
    assert followed(plan_of("tea-urn"), lambda test: 10_000.0) is None
    # in words too: rounded outwards to two figures, 21.2 and 21.6 ohm would meet
    assert "14 to 21.2 Ω" in plan_of("soup-kettle").text
    assert "21.6 to 41 Ω" in plan_of("soup-kettle").text


@pytest.mark.parametrize(
    ("low", "high", "unit", "words"),
    [
        (0, 1.3, "Ω", "at most 1.3 Ω"),
        (0, 0, "Ω", "0 Ω"),
        (28.7, 36.4, "Ω", "28 to 37 Ω"),
        (970, 12_100, "Ω", "970 Ω to 13 kΩ"),
        (math.inf, math.inf, "Ω", "open"),
        (5e4, math.inf, "Ω", "50 kΩ or more, or open"),
        (0, math.inf, "Ω", "anything, or open"),
        (0.31, 0.9, "V", "0.31 to 0.9 V"),
    ],
)
def test_outcomes_in_words(low, high, unit, words):
    assert reading_words(low, high, unit) == words


def test_names_are_text_and_never_markup():
    html = plan_for(rig(element("<i>", "L", "N")))._repr_html_()
    assert html.startswith("<div")  # its style within, so that it goes wherever the tree goes
    assert "<i>" not in html


# --- on paper ------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", appliance_names())
def test_the_numbers_on_paper_lead_to_the_part_at_fault_with_whatever_the_meter_shows(name):
    plan = plan_of(name)
    rows = {number: (test, thens.split("; ")) for number, test, thens in numbered_steps(plan)}
    at_start = switch_words(plan.appliance, complete(plan.appliance))
    used = {"1"}
    for way, leaf in ways(plan.root, ()):
        number, said = "1", ""
        for test, reading in way:
            if not said:
                where, thens = rows[number]
                place, _, points = where.rpartition(": ")
                assert place == ("" if test.place == "case open" else test.place)
                assert points == test.words.removesuffix(f", {at_start}")
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


def ways(node, way):
    """Every leaf, with the tests and readings that lead to it."""
    if isinstance(node, Leaf):
        yield way, node
        return
    for outcome in node.outcomes:
        yield from ways(outcome.then, (*way, (node.test, outcome.text)))


def test_an_ending_on_paper_holds_one_part_with_its_wires_or_the_wires_of_one_point():
    rows = numbered_steps(plan_of("tea-urn"))
    endings = {then.partition(" → ")[2] for *_, thens in rows for then in thens.split("; ")}
    assert "S1 not making or wire off at L" in endings
    assert "E2 bad joint at boost or N" in endings
    assert "S1 at L: bad joint or E1 at L: bad joint" in endings
    assert {"plug fuse blown", "cord: line core broken", "cord: neutral core broken"} <= endings
