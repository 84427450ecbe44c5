"""Every pair of points at once: against networkx, against the ohmmeter, and its bounds."""

import math
import random
from dataclasses import replace

import networkx as nx
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lessonlib import appliance_names, load_appliance, possible_faults
from lessonlib.appliance.parts import Appliance, Resistive
from lessonlib.appliance.settings import settings as every_setting
from lessonlib.circuit.opened import points
from lessonlib.meter.ohmmeter import resistance, resistances
from lessonlib.meter.pairs import pairs
from tests.networks import appliances, diode, element, link, random_appliance, rig

ON_WAY_OHM = 0.031  # each of up to three diodes that conduct counts as 10 milliohm


@pytest.mark.parametrize("seed", range(6))
def test_resistors_read_as_networkx_says(seed):
    rng = random.Random(seed)
    appliance = random_appliance(rng, switches=0)
    resistors = tuple(part for part in appliance.parts if isinstance(part, Resistive))
    appliance = replace(appliance, parts=resistors)
    graph = nx.MultiGraph()
    for part in resistors:
        graph.add_edge(*part.between, weight=part.resistance_ohm)
    found = pairs(appliance, [{}], [((),)], [n for n in appliance.nodes if n in graph])
    for i, red in enumerate(found.points):
        for j, black in enumerate(found.points):
            if not nx.has_path(graph, red, black):
                assert math.isinf(found.usual_ohm[0, i, j])
            elif red != black:
                island = graph.subgraph(nx.node_connected_component(graph, red))
                published = nx.resistance_distance(island, red, black, weight="weight")
                assert found.usual_ohm[0, i, j] == pytest.approx(published, rel=1e-9)


def compare(appliance: Appliance, rng: random.Random, count: int) -> None:
    some = possible_faults(appliance)
    faults = (None, *rng.sample(some, min(len(some), 30)))
    every, chosen = points(appliance), every_setting(appliance)
    found = pairs(appliance, chosen, [((fault,) if fault else ((),)) for fault in faults], every)
    for _ in range(count):
        red, black = rng.sample(every, 2)
        at = every.index(red), every.index(black)
        shown = resistances(appliance, red=red, black=black, faults=faults)
        ohms = [math.inf if one.ohm is None else one.ohm for one in shown]
        mine = found.usual_ohm[:, *at]
        assert (np.isinf(ohms) == np.isinf(mine)).all()
        finite = np.isfinite(ohms)
        assert mine[finite] == pytest.approx(np.array(ohms)[finite], rel=1e-6, abs=ON_WAY_OHM)


@pytest.mark.parametrize("name", appliance_names())
def test_every_fault_of_a_bundled_appliance_reads_as_on_the_ohmmeter(name):
    compare(load_appliance(name), random.Random(name), 3)


@given(appliances(diodes=3), st.randoms(use_true_random=False))
@settings(max_examples=12, deadline=None)
def test_random_appliances_with_diodes_read_as_on_the_ohmmeter(appliance, rng):
    ideal = tuple(
        replace(part, forward_drop_V=0.0) if part.kind == "diode" else part
        for part in appliance.parts
    )
    compare(replace(appliance, parts=ideal), rng, 1)


@given(appliances(diodes=1), st.randoms(use_true_random=False))
@settings(max_examples=25, deadline=None)
def test_whatever_parts_may_be_the_reading_is_within_its_bounds(appliance, rng):
    every = points(appliance)
    fault = rng.choice(possible_faults(appliance))
    setting = rng.choice(every_setting(appliance))
    found = pairs(appliance, [setting], [(fault,)], every)
    # an element of a maker who went to the limits, of an alloy that is 2 % up when hot
    parts = tuple(
        replace(part, resistance_ohm=part.resistance_ohm / rng.uniform(0.95, 1.04) / 1.02)
        if part.kind == "element"
        else part
        for part in appliance.parts
    )
    red, black = rng.sample(every, 2)
    shown = resistance(
        replace(appliance, parts=parts), setting, red=red, black=black, fault=fault
    ).ohm
    at = 0, every.index(red), every.index(black)
    assert found.least_ohm[at] <= found.usual_ohm[at] + 1e-9
    if shown is None:
        assert math.isinf(found.most_ohm[at])
    else:
        assert found.least_ohm[at] - ON_WAY_OHM <= shown <= found.most_ohm[at] + ON_WAY_OHM


def test_a_diode_conducts_from_red_to_black_only_and_may_not_conduct_at_all():
    bench = rig(diode("D1", "L", "a") + element("E1", "a", "N", 100))
    found = pairs(bench, [{}], [((),)], ("L", "N"))
    assert found.usual_ohm[0, 0, 1] == pytest.approx(100, abs=ON_WAY_OHM)
    assert math.isinf(found.most_ohm[0, 0, 1])  # a meter's low voltage may not turn it on
    assert math.isinf(found.usual_ohm[0, 1, 0])
    assert (found.forward[0, 0, 1], found.forward[0, 1, 0]) == (1, 0)


def test_a_size_between_two_is_between_their_readings():
    bench = rig(element("E1", "L", "a", 100) + link("W1", "a", "N", 1))
    [leak] = [fault for fault in possible_faults(bench) if fault.kind == "leaking"]
    ends = tuple(replace(leak, share=share, ohm=ohm) for share in (0.0, 1.0) for ohm in (0.0, 1e3))
    within = pairs(bench, [{}], [ends], ("L", "case"))
    for share, ohm in ((0.3, 200.0), (0.0, 0.0), (1.0, 1e3)):
        one = resistance(bench, red="L", black="case", fault=replace(leak, share=share, ohm=ohm))
        assert within.least_ohm[0, 0, 1] <= one.ohm <= within.most_ohm[0, 0, 1]
