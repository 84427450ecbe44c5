"""The plan of tests: its leaves by brute force, and followed with a meter that is a little off."""

import math
import random

import numpy as np
import pytest

from lessonlib import appliance_names, load_appliance, possible_faults
from lessonlib import test_plan as plan_for
from lessonlib.appliance.parts import Element
from lessonlib.diagnosis.bench_test import CAUTION
from lessonlib.diagnosis.plan import Leaf, Outcome, Step
from lessonlib.diagnosis.predicted import predict
from lessonlib.diagnosis.ranges import plain_guesses
from lessonlib.errors import ReadingError
from tests.diagnosis.bench import Bench
from tests.networks import element, rig

PLANS = {name: plan_for(load_appliance(name)) for name in ("tea-urn", "wax-melter", "towel-rail")}


def plan_of(name):
    return PLANS.setdefault(name, plan_for(load_appliance(name)))


def by_brute_force(appliance):
    """Sets of faults that no test tells apart: every test splits every set, again and again, where
    nothing that it can show spans the gap."""
    predicted = predict(appliance, plain_guesses(appliance), 600.0)
    sets = [list(range(len(predicted.guesses)))]
    done = False
    while not done:
        done = True
        for test in range(len(predicted)):
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
        leaf = plan.follow(bench.measure)
        assert leaf is not None, fault
        assert ("no fault found" if fault is None else str(fault)) in leaf.words


@pytest.mark.parametrize("name", appliance_names())
def test_a_plan_starts_at_the_plug_and_is_read_from_its_text(name):
    plan = plan_of(name)
    assert isinstance(plan.root, Step)
    assert plan.root.test.place == "at the plug"
    lines = plan.text.splitlines()
    assert lines[0] == plan.caption
    assert lines[1] == CAUTION
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
    [sound] = [each for each in plan.root.outcomes if each.holds(132.25)]
    assert sound.text == "100 to 180 Ω"
    assert sound.then.test.words == "L to N, S1 on"
    [dead] = [each for each in plan.root.outcomes if each.holds(math.inf)]
    assert dead.text == "open"
    assert dead.then.test.words == "L to N, S1 on"  # before the case is opened
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
        steps = [plan.root]
        while steps:
            step = steps.pop()
            assert len(step.outcomes) > 1
            for one, next_one in zip(step.outcomes, step.outcomes[1:], strict=False):
                assert one.high < next_one.low
            steps += [each.then for each in step.outcomes if isinstance(each.then, Step)]
    assert PLANS["tea-urn"].follow(lambda test: 10_000.0) is None
    # in words too: rounded outwards to two figures, 21.2 and 21.6 ohm would meet
    assert "14 to 21.2 Ω" in plan_of("soup-kettle").text
    assert "21.6 to 41 Ω" in plan_of("soup-kettle").text


@pytest.mark.parametrize("value", [-1, "33", math.nan, True])
def test_what_no_meter_shows_is_refused(value):
    with pytest.raises(ReadingError, match=r"for L to N, S1 off; accepted: a number from 0, in Ω"):
        PLANS["tea-urn"].follow(lambda test: value)


def test_a_part_alone_has_a_plan_too():
    plan = plan_for(rig(element("E1", "L", "N", 100)))
    assert {"no fault found"} in [set(leaf.words) for leaf in plan.leaves]
    assert isinstance(plan.appliance.parts[0], Element)


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
