"""The plan of tests: its leaves by brute force, and followed with a meter that is a little off."""

import math
import random
from itertools import pairwise

import numpy as np
import pytest

from lessonlib import appliance_names, load_appliance, possible_faults
from lessonlib import test_plan as plan_for
from lessonlib.diagnosis.plan import Leaf, Outcome, Step, nodes
from lessonlib.diagnosis.predicted import TOP, predict
from lessonlib.diagnosis.ranges import plain_guesses
from lessonlib.safety import AT_BENCH
from tests.diagnosis.bench import Bench
from tests.networks import element, rig

PLANS = {name: plan_for(load_appliance(name)) for name in ("tea-urn", "wax-melter", "towel-rail")}


def plan_of(name):
    return PLANS.setdefault(name, plan_for(load_appliance(name)))


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
    leaves = [frozenset(leaf.words) for leaf in plan_of(name).leaves]
    assert len(leaves) == len(set(leaves))
    assert set(leaves) == by_brute_force(load_appliance(name))


@pytest.mark.parametrize("name", appliance_names())
def test_followed_with_a_meter_within_its_accuracy_it_ends_at_the_fault(name):
    appliance, plan = load_appliance(name), plan_of(name)
    for number, fault in enumerate((None, *possible_faults(appliance))):
        bench = Bench(appliance, fault, random.Random(f"{name} {number}"))
        leaf = followed(plan, bench.measure)
        assert leaf is not None, fault
        assert ("no fault found" if fault is None else str(fault)) in leaf.words


@pytest.mark.parametrize("name", appliance_names())
def test_a_plan_starts_at_the_plug_and_is_read_from_its_text(name):
    plan = plan_of(name)
    assert isinstance(plan.root, Step)
    assert plan.root.test.place == "at the plug"
    lines = plan.text.splitlines()
    assert lines[0] == plan.caption
    assert lines[1] == AT_BENCH
    assert str(plan) == repr(plan) == plan.text
    for leaf in plan.leaves:
        assert any(line.endswith("; ".join(leaf.words)) for line in lines)
        assert bool(leaf.would_tell) == (len(leaf.words) > 1)
    for test in plan.tests:
        assert f"{test.place}: {test.words}" in plan.text
    told = {fault for leaf in plan.leaves for fault in leaf.faults}
    assert told == set(possible_faults(plan.appliance))


def test_the_urn_begins_with_the_pins_and_a_knob_and_leaves_the_case_shut():
    plan = PLANS["tea-urn"]
    assert plan.root.test.words == "L to N, S1 off"
    assert [each.text for each in plan.root.outcomes][-2:] == ["100 to 180 Ω", "open"]
    assert after(plan.root, 132.25).test.words == "L to N, S1 on"
    assert after(plan.root, math.inf).test.words == "L to N, S1 on"  # before the case is opened
    assert not any("E1 open" in leaf.words and len(leaf.words) > 1 for leaf in plan.leaves)


def test_what_looks_alike_cold_stays_together_and_the_plan_says_what_tells():
    [leaf] = [leaf for leaf in PLANS["wax-melter"].leaves if leaf.sound]
    assert leaf.words == ("no fault found", "F1 welded", "F1 drifted")
    # warming a thermal fuse would be the end of it
    assert leaf.would_tell == (
        "F1: cold, it reads as a sound one. One that opens for good cannot be tried: in doubt, fit "
        "a new one of the same marking",
    )
    [steamer] = [leaf for leaf in plan_of("garment-steamer").leaves if leaf.sound]
    told = "; ".join(steamer.would_tell)
    assert (
        "P1: cold, it reads as a sound one, which opens at 0.6 bar and closes at 0.45 bar" in told
    )
    assert "a pump and a gauge. If that does not reach its marking, fit a new one" in told
    assert "a competent person" in told


def test_outcomes_do_not_meet_and_a_reading_between_them_ends_the_plan():
    for plan in PLANS.values():
        for step in (node for node in nodes(plan.root) if isinstance(node, Step)):
            assert len(step.outcomes) > 1
            assert all(one.high < other.low for one, other in pairwise(step.outcomes))
    assert followed(PLANS["tea-urn"], lambda test: 10_000.0) is None
    # in words too: rounded outwards to two figures, 21.2 and 21.6 ohm would meet
    assert "14 to 21.2 Ω" in plan_of("soup-kettle").text
    assert "21.6 to 41 Ω" in plan_of("soup-kettle").text


def test_a_part_alone_has_a_plan_too():
    plan = plan_for(rig(element("E1", "L", "N", 100)))
    assert {"no fault found"} in [set(leaf.words) for leaf in plan.leaves]


def test_outcomes_in_words():
    def text(low, high, unit="Ω"):
        return Outcome(low, high, unit, Leaf((), True, ())).text

    assert text(0, 1.3) == "at most 1.3 Ω"
    assert text(0, 0) == "0 Ω"
    assert text(28.7, 36.4) == "28 to 37 Ω"
    assert text(970, 12_100) == "970 Ω to 13 kΩ"
    assert text(math.inf, math.inf) == "open"
    assert text(5e4, math.inf) == "50 kΩ or more, or open"
    assert text(0, math.inf) == "anything, or open"
    assert text(0.31, 0.9, "V") == "0.31 to 0.9 V"


def test_groups_of_ranges_that_overlap_through_others_stay_together():
    from lessonlib.diagnosis.separate import groups

    low = np.array([[0.0, 1.0], [4.0, 7.0], [1.0, 3.0], [9.0, 0.0]])
    high = np.array([[5.0, 2.0], [6.0, 7.0], [2.0, 4.0], [9.5, 0.5]])
    assert groups(low, high).T.tolist() == [[0, 0, 0, 1], [1, 3, 2, 0]]
