"""Exercises of lessons 4 and 5: what holds for them beyond what holds for every exercise."""

from __future__ import annotations

import re
from collections import Counter

from lessonlib.appliance.bundled import load_appliance
from lessonlib.appliance.variant import variant
from lessonlib.circuit.diode import diode_duty
from lessonlib.circuit.solution import solve
from lessonlib.heat.run import heat_up
from lessonlib.questions.answers import Choice, OneSetting
from lessonlib.questions.bank import find
from tests.questions.variants import variants


def test_nobody_does_well_by_always_ticking_the_same_points_of_the_kettle() -> None:
    answers = [find("kettle-live-points").draw(seed).answer for seed in range(100)]
    right = Counter(answer.value for answer in answers)
    assert max(right.values()) <= 0.3 * right.total()


def test_the_rail_stands_in_one_position_only_whichever_way_the_lead_is() -> None:
    rail = load_appliance("towel-rail")
    faults = {
        "All its parts are sound": None,
        "E1 has burnt through": "E1 open",
        "E2 has burnt through": "E2 open",
        "The contact from L to a does not make": "S1 contact 1 not making",
        "The contact from middle to N does not make": "S1 contact 2 not making",
        "The contact from L to b does not make": "S1 contact 3 not making",
        "The contact from b to N does not make": "S1 contact 4 not making",
        "The contact from L to a has welded": "S1 contact 1 welded",
    }
    for exercise in variants("rail-from-its-words"):
        (fault,) = (fault for told, fault in faults.items() if f" {told}. " in exercise.text)
        said = re.search(r"says: a (\w+), middle (\w+), b (\w+)\.", exercise.text)
        assert said is not None
        found = {
            position
            for position in ("off", "low", "medium", "high")
            for way in (False, True)
            for node in [solve(rail, {"S1": position}, fault=fault, reversed_plug=way).node]
            if tuple(node[name].condition for name in ("a", "middle", "b")) == said.groups()
        }
        assert isinstance(exercise.answer, OneSetting)
        assert found == {exercise.answer.value["S1"]}, exercise.text


def test_the_smallest_diode_is_within_its_ratings_and_the_weaker_ones_are_not() -> None:
    for exercise in variants("smallest-diode"):
        marked = re.search(r"(\d+) W at 230 V", exercise.text)
        assert marked is not None
        melter = variant(load_appliance("wax-melter"), {"E1": {"power_W": float(marked[1])}})
        half = solve(melter, {"S1": "on", "S2": "half"}, supply_voltage_V=253)
        duty = diode_duty(half, "D1")
        assert isinstance(exercise.answer, Choice)
        rated = {
            option: tuple(map(float, re.findall(r"[\d.]+", option)))
            for option in exercise.answer.options
        }
        enough = {
            option
            for option, (amps, volts) in rated.items()
            if amps >= duty.current_mean_A and volts >= duty.reverse_peak_V
        }
        assert exercise.answer.value == min(enough, key=lambda option: rated[option])
        assert len(enough) == 2
        assert duty.reading.current_A > 3  # so that the r.m.s. current would ask for the larger one


def test_with_its_diode_shorted_the_melter_boils_dry_sooner_and_its_fuse_opens() -> None:
    def run(fault: str | None) -> tuple[float, float]:
        """When it is dry and when F1 opens, in s, at half."""
        melter = load_appliance("wax-melter")
        found = heat_up(melter, {"S1": "on", "S2": "half"}, minutes=300, fault=fault)
        at_s = {event.kind: event.time_s for event in found.events}
        return at_s["dry"], at_s["opens"]

    sound_dry_s, sound_opens_s = run(None)
    dry_s, opens_s = run("D1 shorted")
    assert dry_s < sound_dry_s / 2
    assert dry_s < opens_s < sound_opens_s
