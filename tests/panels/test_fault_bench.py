"""What a fault bench sends to the browser, and what its browser's engine makes of it."""

from __future__ import annotations

import math
from collections import Counter
from functools import cache
from itertools import combinations

import pytest

from lessonlib import (
    appliance_names,
    family,
    fault_bench,
    load_appliance,
    possible_faults,
    test_plan,
)
from lessonlib.appliance.fault import KINDS
from lessonlib.appliance.settings import settings
from lessonlib.circuit.opened import points
from lessonlib.diagnosis.bench_test import bench_test
from lessonlib.diagnosis.plan import Leaf, planned
from lessonlib.errors import FaultError, SettingError
from lessonlib.meter.ohmmeter import resistances
from lessonlib.page.join import script
from lessonlib.panels.export import json_in_html
from lessonlib.panels.fault_bench_data import LEVELS, drawn, findable
from tests.panels.appliances import many_switches

SEEDS = range(200)

LOAD = """async ([sources, table, seeds]) => {
  const load = async (source) => {
    const url = URL.createObjectURL(new Blob([source], { type: 'text/javascript' }));
    const found = await import(url);
    URL.revokeObjectURL(url);
    return found;
  };
  const [engine, words] = await Promise.all(sources.map(load));
"""

# Reads the meter in some of the tests with the fault of each seed.
READ = (
    LOAD
    + """
  const text = (value) => (value === Infinity ? null : value);
  return seeds.map((seed) => {
    const hidden = engine.drawn(table, seed);
    const readings = [];
    let turn = 0;
    table.loose.forEach(({ points, rows }, unhooked) =>
      ['Ω', 'V'].filter((range) => rows[range]).forEach((range) =>
        rows[range].forEach((_, setting) =>
          points.forEach((red) => points.filter((black) => black !== red).forEach((black) => {
            if (turn++ % 31) return;
            const test = [unhooked, range, setting, red, black];
            const value = engine.readingOf(table, hidden, test);
            const fits = engine.fitting(table, test, value);
            readings.push([test, text(value), words.shown(value, range), fits[hidden.fault],
              words.testWords(table, test)]);
          })))));
    return [hidden.fault, readings, engine.planFor(table, hidden.fault)];
  });
}"""
)

# What is advised for the faults at each step and leaf of Python's plan.
ADVISE = (
    LOAD
    + """
  return seeds.map(([left, opened]) => {
    const next = engine.nextTest(table, left, opened);
    if (!next) return null;
    const { test, groups } = next;
    return [`${engine.placeOf(table, test)}: ${words.testWords(table, test)}`, groups.length];
  });
}"""
)


def planned_steps(bench, node, opened=False):
    """Each step and leaf of the plan in Python: its faults, whether the case is open, and the test
    with the number of its outcomes."""
    if isinstance(node, Leaf):
        left = [bench.faults.index(fault) for fault in node.faults]
        return [([left, opened], None)]
    after = opened or node.test.place in ("case open", "wire off")
    below = [planned_steps(bench, each.then, after) for each in node.outcomes]
    left = [number for steps in below for number in steps[0][0][0]]
    test = [f"{node.test.place}: {node.test.words}", len(node.outcomes)]
    return [([left, opened], test), *(step for steps in below for step in steps)]


def seeds_of_all(bench):
    """A seed for every fault of `bench`."""
    found = {}
    for seed in range(5000):
        found.setdefault(drawn(seed, bench.table["tiers"]), seed)
    assert len(found) == len(bench.faults)
    return list(found.values())


@pytest.fixture(scope="module")
def read(browser):
    page = browser.new_page()
    sources = [script(f"panels/fault_bench_{name}.js") for name in ("engine", "words")]
    yield lambda bench, seeds, run=READ: page.evaluate(run, [sources, bench.table, seeds])
    page.close()


@cache
def with_every_fault(name):
    return fault_bench(load_appliance(name), level=3)


@pytest.mark.browser
@pytest.mark.parametrize("name", sorted({*appliance_names()} - {"hot-trolley"}))  # takes long
def test_the_browser_advises_what_the_plan_in_python_has(read, name):
    bench = with_every_fault(name)
    root = planned(bench.appliance, findable(bench.appliance, 3)).root
    asked, steps = zip(*planned_steps(bench, root), strict=True)
    assert len(steps) > 30
    assert read(bench, asked, ADVISE) == list(steps)


@pytest.mark.browser
@pytest.mark.parametrize("name", ["tea-urn", "bottle-warmer", "wax-melter"])
def test_the_browser_reads_what_the_ohmmeter_reads(read, name):
    bench = with_every_fault(name)
    appliance = bench.appliance
    every, chosen = points(appliance), settings(appliance)
    lamps = {lamp.name for lamp in appliance.lamps}
    seeds = seeds_of_all(bench)
    played = read(bench, seeds)
    for seed, (number, readings, plan) in zip(seeds, played, strict=True):
        assert number == drawn(seed, bench.table["tiers"])
        assert number in plan["end"]
        # whatever the meter's error, no test rules out the fault that is there
        assert all(fits for _, _, _, fits, _ in readings)
    texts = {text for _, readings, _ in played for _, _, text, *_ in readings} - {"OL"}
    assert all(int(text.split()[0].replace(".", "")) < 2000 for text in texts)  # as a meter rounds
    assert {text.split()[1] for text in texts} <= {"Ω", "kΩ", "MΩ", "V"}
    compared = 0
    for place in range(len(played[0][1])):
        (unhooked, unit, setting, red, black), *_, said = played[0][1][place]
        test = bench_test(
            appliance,
            every[red],
            every[black],
            chosen[setting],
            diode_range=unit == "V",
            unhooked=bench.table["loose"][unhooked]["name"],
        )
        assert said == test.words
        if unhooked or unit == "V":
            continue
        faults = [bench.faults[number] for number, _, _ in played]
        found = resistances(
            appliance, [chosen[setting]], red=every[red], black=every[black], faults=faults
        )
        for one, (_, readings, _) in zip(found, played, strict=True):
            if lamps & set(one.through):
                continue  # a meter does not light neon
            compared += 1
            value = readings[place][1]
            if one.ohm is None or one.ohm >= 20e6:
                assert value is None, one
            else:
                # the meter's 1 %, its leads, and half a step of the last digit
                assert abs(value - one.ohm) <= 0.012 * one.ohm + 0.55, one
    assert compared > 150


def test_a_meter_does_not_light_neon():
    bench = fault_bench(load_appliance("bottle-warmer"))
    [lamp] = bench.appliance.lamps
    [rows] = [each["rows"]["Ω"] for each in bench.table["loose"] if each["name"] == lamp.name]
    columns = [bench.table["columns"][number] for row in rows for number in row]
    for number, fault in enumerate(bench.faults):
        usual = {bench.table["values"][column[number]][1] for column in columns}
        assert (usual == {bench.table["top"]["Ω"]}) == (fault.part != lamp.name)


@pytest.mark.parametrize("name", appliance_names())
def test_every_fault_is_on_offer_once_points_lie_apart_and_the_page_stays_small(name):
    bench = with_every_fault(name)
    assert len(set(bench.faults)) == len(bench.faults) == len(bench.table["faults"])
    assert sorted(n for tier in bench.table["tiers"] for n in tier) == list(
        range(len(bench.faults))
    )
    assert len(json_in_html(bench.table).encode()) < 650_000
    assert {len(column) for column in bench.table["columns"]} == {len(bench.faults)}
    places = bench.table["points"]
    assert [place["name"] for place in places] == list(points(bench.appliance))
    for one, other in combinations(places, 2):
        apart = math.hypot(one["x"] - other["x"], one["y"] - other["y"])
        assert apart >= 24, (one, other)  # px: WCAG 2.2, 2.5.8 target size


def test_a_neon_lamp_is_not_lost_beside_the_conductance_of_a_diode():
    newest = family("floor-steamer").members[-1].appliance
    assert newest.lamps
    assert any(fault.part == "D1" for fault in fault_bench(newest).faults)


def test_a_hidden_fault_is_one_that_the_whole_plan_can_find():
    """The same by way of the plan: what shares a leaf with a sound appliance is not hidden."""
    for name in ("tea-urn", "wallpaper-steamer", "wax-melter"):
        appliance = load_appliance(name)
        lost = {f for leaf in test_plan(appliance).leaves if leaf.sound for f in leaf.faults}
        kinds = {kind for level in LEVELS for kind in level}
        wanted = {f for f in possible_faults(appliance) if f.kind in kinds}
        assert set(with_every_fault(name).faults) == wanted - lost


def test_levels_add_kinds_and_every_level_is_drawn():
    every = [kind for some in LEVELS for kind in some]
    assert sorted([*every, "drifted"]) == sorted(KINDS)
    for level in (1, 2, 3):
        bench = fault_bench(load_appliance("tea-urn"), level=level)
        drawn_ones = (drawn(seed, bench.table["tiers"]) for seed in SEEDS)
        kinds = Counter(bench.faults[number].kind for number in drawn_ones)
        assert set(kinds) <= {kind for some in LEVELS[:level] for kind in some}
        for some in LEVELS[:level]:
            assert sum(kinds[kind] for kind in some) > len(SEEDS) / level / 2


def test_the_generator_is_park_and_millers():
    """Park, Miller and Stockmeyer 1993: with 48271, the 10,000th number from 1 is 399268537."""
    assert pow(48271, 10_000, 2147483647) == 399268537
    assert drawn(0, [range(2147483647)]) == pow(48271, 5, 2147483647)


def test_the_widget_says_what_was_done():
    bench = fault_bench(load_appliance("tea-urn"), seed=7)
    assert bench.fault in possible_faults(load_appliance("tea-urn"))
    bench.taken, bench.ended = [[0, "Ω", 0, 0, 1]], "found"
    assert repr(bench) == "Fault bench of Six-litre tea urn, level 1, seed 7: 1 test, found"


@pytest.mark.parametrize(
    ("options", "said"),
    [
        ({"seed": -1}, "found seed = -1; accepted: a whole number from 0 to 999999"),
        ({"seed": 1_000_000}, "found seed = 1000000"),
        ({"seed": 1.5}, "found seed = 1.5"),
        ({"seed": True}, "found seed = True"),
        ({"level": 4}, "found level = 4; accepted: 1, 2 or 3"),
        ({"level": "easy"}, "found level = 'easy'"),
    ],
)
def test_a_seed_or_level_that_cannot_be_is_refused(options, said):
    with pytest.raises(FaultError, match=said):
        fault_bench(load_appliance("tea-urn"), **options)


def test_what_is_no_appliance_or_too_large_is_refused():
    with pytest.raises(FaultError, match="found 'tea-urn'; accepted: an appliance"):
        fault_bench("tea-urn")
    with pytest.raises(SettingError, match="settings of its switches; accepted for a fault bench"):
        fault_bench(many_switches(9))
