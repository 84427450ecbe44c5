"""The whole state table of every bundled appliance.

Expected powers are worked out by hand from the marked ratings (all at the file's own voltage):
parallel parts add, an element of R in series with its equal gives half its power in all, an ideal
diode halves.
"""

import pytest

from lessonlib import (
    appliance_names,
    load_appliance,
    single_faults,
    solve,
    solve_all,
    state_table,
)
from lessonlib.appliance.parts import TERMINALS
from tests.trade import EITHER_OR

# Lamps: 0.5 W or 0.6 W or 0.4 W as marked. Rows are (positions, watts, live nodes, between nodes).
EXPECTED = {
    "tea-urn": [
        ({"S1": "off"}, 400, "", ""),
        ({"S1": "on"}, 1600, "boost", ""),
    ],
    "plate-warmer": [
        ({"S1": "low"}, 250, "low", ""),
        ({"S1": "off"}, 0, "", ""),
        ({"S1": "high"}, 650, "high", ""),
    ],
    "bottle-warmer": [
        ({"S1": "low"}, 180 + 0.5, "low lamp", ""),
        ({"S1": "off"}, 0, "", ""),
        ({"S1": "high"}, 420 + 0.5, "high lamp", ""),
    ],
    "punch-warmer": [
        ({"S1": "off"}, 0, "", ""),
        ({"S1": "keep warm"}, 550, "warm", ""),
        ({"S1": "boost"}, 550 + 1300, "warm boost", ""),
    ],
    "soup-kettle": [
        ({"S1": "off", "S2": "simmer"}, 0, "", ""),
        ({"S1": "off", "S2": "boil"}, 0, "", ""),
        ({"S1": "on", "S2": "simmer"}, 450 + 0.6, "fed simmer", ""),
        ({"S1": "on", "S2": "boil"}, 1500 + 0.6, "fed boil", ""),
    ],
    "pie-cabinet": [
        ({"S1": "off", "S2": "low"}, 0, "", ""),
        ({"S1": "off", "S2": "high"}, 0, "", ""),
        ({"S1": "on", "S2": "low"}, 500 + 0.6, "fed low", ""),
        ({"S1": "on", "S2": "high"}, 900 + 0.6, "fed high", ""),
    ],
    "wax-melter": [
        ({"S1": "off", "S2": "half"}, 0, "", ""),
        ({"S1": "off", "S2": "full"}, 0, "", ""),
        ({"S1": "on", "S2": "half"}, 800 / 2, "switched fed", "heat"),
        ({"S1": "on", "S2": "full"}, 800, "switched fed heat", ""),
    ],
    "garment-steamer": [
        ({"S1": "off"}, 0, "", ""),
        ({"S1": "on"}, 1500 + 0.5 + 0.5, "fed top", ""),
    ],
    "wallpaper-steamer": [
        ({"S1": "off"}, 0, "", ""),
        ({"S1": "on"}, 2000 + 0.5 + 0.5, "fed top", ""),
    ],
    "curtain-steamer": [
        ({"S1": "off"}, 0, "top bottom return", ""),
        ({"S1": "on"}, 1600 + 0.5 + 0.5, "top", ""),
    ],
    "towel-rail": [
        ({"S1": "off"}, 0, "", ""),
        ({"S1": "low"}, 500 / 2, "a", "middle"),
        ({"S1": "medium"}, 500, "a", ""),
        ({"S1": "high"}, 500 + 500, "a b", ""),
    ],
    "hot-trolley": [
        *(({"S1": "off", "S2": heat}, 0, "", "") for heat in ("off", "low", "medium", "high")),
        ({"S1": "on", "S2": "off"}, 450 + 0.5, "fed safe upper lower", ""),
        ({"S1": "on", "S2": "low"}, 450 + 600 / 2 + 0.5, "fed safe upper lower a", "middle"),
        ({"S1": "on", "S2": "medium"}, 450 + 600 + 0.5, "fed safe upper lower a", ""),
        ({"S1": "on", "S2": "high"}, 450 + 1200 + 0.5, "fed safe upper lower a b", ""),
    ],
    "food-warmer": [
        ({"S1": "off", "S2": "one side"}, 0, "", ""),
        ({"S1": "off", "S2": "both sides"}, 0, "", ""),
        ({"S1": "on", "S2": "one side"}, 600 + 0.4, "fed warm", ""),
        ({"S1": "on", "S2": "both sides"}, 600 + 600 + 0.4, "fed warm second", ""),
    ],
}


def test_every_bundled_appliance_has_its_table_here():
    assert sorted(EXPECTED) == appliance_names()


@pytest.mark.parametrize("name", EXPECTED)
def test_the_state_table_is_as_worked_out_by_hand(name):
    appliance = load_appliance(name)
    table, supply_V = state_table(appliance), appliance.supply.voltage_V
    for now, expected in zip(table.solutions, EXPECTED[name], strict=True):
        setting, watts, live, between = expected
        assert {part.name: now.setting[part.name] for part in appliance.switches} == setting
        # Exact arithmetic by hand; 1e-12 is rounding only.
        assert now.power_W == pytest.approx(watts, rel=1e-12, abs=1e-9)
        inside = {n: point.condition for n, point in now.node.items() if n not in TERMINALS}
        assert {n for n, c in inside.items() if c == "live"} == set(live.split())
        assert {n for n, c in inside.items() if c == "between"} == set(between.split())
        if not between:  # no diode and no series pair: current is in step, I = P / V
            assert now.current_A == pytest.approx(watts / supply_V, rel=1e-12, abs=1e-9)


@pytest.mark.parametrize("name", EXPECTED)
def test_off_leaves_nothing_floating_unless_both_conductors_are_opened(name):
    for solution in solve_all(load_appliance(name)):
        floating = {n for n, r in solution.node.items() if r.condition == "floating"}
        opened_both = name in ("wallpaper-steamer", "towel-rail", "hot-trolley")
        trolley_off = name == "hot-trolley" and solution.setting["S2"] == "off"
        expected = (opened_both and solution.setting["S1"] == "off") or trolley_off
        assert bool(floating) == expected


@pytest.mark.parametrize("name", EXPECTED)
def test_all_settings_reversed_swap_what_is_live_but_not_the_power(name):
    appliance = load_appliance(name)
    for one, other in zip(
        solve_all(appliance), solve_all(appliance, reversed_plug=True), strict=True
    ):
        assert one.power_W == pytest.approx(other.power_W, rel=1e-12, abs=1e-9)
        swap = {"live": "neutral", "neutral": "live"}
        for node, reading in one.node.items():
            expected = swap.get(reading.condition, reading.condition)
            assert other.node[node].condition == expected


def test_an_either_or_selector_with_300_and_700_W_gives_300_or_700_never_1000():
    # common practice, no source; with every single fault too, welded contacts apart
    powers = [solution.power_W for solution in solve_all(EITHER_OR)]
    assert powers == pytest.approx([300, 0, 700], rel=1e-12)
    for solution in solve_all(EITHER_OR, faults=single_faults(EITHER_OR)):
        if solution.short is None and solution.fault.kind != "welded":
            assert solution.power_W < 701
    both = solve(EITHER_OR, {"S1": "high"}, fault="S1 welded")
    assert both.power_W == pytest.approx(1000, rel=1e-12)


def test_the_lamp_after_the_pressure_switch_goes_out_when_it_opens():
    steamer = load_appliance("garment-steamer")
    heating = solve(steamer, {"S1": "on"})
    waiting = solve(steamer, {"S1": "on", "P1": "open"})
    assert heating.part["H2"].power_W == pytest.approx(0.5)
    assert waiting.part["H2"].power_W == pytest.approx(0, abs=1e-9)
    assert waiting.part["H1"].power_W == pytest.approx(0.5)
    assert waiting.node["bottom"].condition == "live"  # through the element, with no current


def test_an_open_fuse_in_the_common_return_leaves_both_elements_live():
    cabinet = load_appliance("pie-cabinet")
    solution = solve(cabinet, {"S1": "on", "S2": "low", "F1": "open"})
    assert solution.part["E1"].current_A == pytest.approx(0, abs=1e-9)
    for node in ("low", "return", "high"):
        assert solution.node[node].condition == "live"
