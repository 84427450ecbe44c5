"""What the browser gets, without a browser."""

from __future__ import annotations

import json
from itertools import product

import pytest

from lessonlib import load_appliance, solve
from lessonlib.circuit.live import live_words
from lessonlib.circuit.solution import CONDITIONS
from lessonlib.errors import FaultError, SettingError, SupplyError
from lessonlib.panels.data import MOST_ROWS, choices, key_of, panel_data, rows
from lessonlib.quantities import format_quantity
from tests.panels.appliances import many_switches, potential_of, texts_of

# tea-urn: shorts under fault; wax-melter: a diode; towel-rail: four positions, several contacts;
# curtain-steamer: reversible plug, self-acting contacts, floating nodes
APPLIANCES = ("tea-urn", "wax-melter", "towel-rail", "curtain-steamer")


@pytest.mark.parametrize("name", APPLIANCES)
def test_every_row_holds_what_solve_gives(name):
    appliance = load_appliance(name)
    offer = choices(appliance)
    data = panel_data(offer, "", "")
    keys = list(product(*map(range, offer.ways)))
    assert set(data["index"]) == {",".join(map(str, key)) for key in keys}
    shorts = 0
    for voltage, plug, fault, *positions in keys:
        key = ",".join(map(str, (voltage, plug, fault, *positions)))
        row = data["rows"][data["index"][key]]
        short, power, current, rungs, potentials, conditions, live = row
        now = solve(
            appliance,
            {
                part.name: part.positions[i]
                for part, i in zip(appliance.movable, positions, strict=True)
            },
            fault=data["faults"][fault] and data["faults"][fault]["words"],
            reversed_plug=bool(plug),
            supply_voltage_V=float(data["voltages"][voltage].split()[0]),
        )
        nodes = [now.node[node] for node in data["nodes"]]
        assert [CONDITIONS[int(c)] for c in conditions] == [node.condition for node in nodes]
        assert live == live_words(appliance, now.live)
        assert short == (None if now.short is None else str(now.short))
        shorts += short is not None
        assert power == format_quantity(now.power_W, "W")
        assert current == format_quantity(now.current_A, "A")
        assert potentials == list(map(potential_of, nodes))
        assert rungs == [
            text
            for part in data["parts"]
            for reading in now.part[part["name"]].contacts
            for text in texts_of(reading)
        ]
    assert shorts > 0  # shorted elements are among the faults, so short rows were compared too


def test_data_is_plain_json():
    data = panel_data(choices(load_appliance("food-warmer")), "<svg/>", "Careful.")
    assert json.loads(json.dumps(data, allow_nan=False)) == data


def test_what_is_offered_when_nothing_else_is_asked_for():
    urn = load_appliance("tea-urn")
    assert choices(urn).voltages_V == (207, 230, 253)
    words = panel_data(choices(load_appliance("food-warmer")), "", "")["voltages"]
    assert words == ["108 V (−10 %)", "120 V (nominal)", "132 V (+10 %)"]
    assert choices(urn).plugs == (False,)
    assert choices(load_appliance("garment-steamer")).plugs == (False, True)
    assert choices(urn, faults=False).faults == (None,)
    assert [str(fault) for fault in choices(urn, faults=["E1 open"]).faults] == ["None", "E1 open"]


def test_unfit_choices_are_refused():
    urn = load_appliance("tea-urn")
    with pytest.raises(FaultError):
        choices(urn, faults=["E9 open"])
    with pytest.raises(SupplyError):
        panel_data(choices(urn, [-5]), "", "")
    with pytest.raises(SettingError):
        choices(urn).positions({"S1": "half"})


def test_beyond_the_limit_the_settings_nearest_the_start_come_first():
    offer = choices(many_switches(6))
    start = offer.positions({"S1": "on"})
    _, index = rows(offer, start, limit=20)
    keys = [tuple(map(int, key.split(","))) for key in index]
    assert len(keys) == 20
    assert {key[:3] for key in keys} == {(offer.nominal, 0, 0)}
    moved = [sum(a != b for a, b in zip(key[3:], start, strict=True)) for key in keys]
    assert moved == [0] + [1] * 6 + [2] * 13


def test_what_has_room_is_stored_with_faults_first_and_then_with_supplies():
    offer = choices(load_appliance("garment-steamer"))  # 8 settings, 13 faults, 6 supplies
    for limit, faults, supplies in (
        (8, 1, 1),
        (60, 7, 1),
        (103, 12, 1),
        (210, 13, 2),
        (623, 13, 5),
    ):
        _, index = rows(offer, offer.positions(None), limit)
        keys = [tuple(map(int, key.split(","))) for key in index]
        assert len(keys) == 8 * faults * supplies <= limit
        assert keys[0][:3] == (offer.nominal, 0, 0)
        assert {key[2] for key in keys} == set(range(faults))
        assert len({key[:2] for key in keys}) == supplies


def test_an_appliance_with_too_many_settings_still_gets_a_table_of_bounded_size():
    offer = choices(many_switches(20))  # a million settings, times faults and voltages
    data = panel_data(offer, "", "")
    assert 1000 < len(data["index"]) <= MOST_ROWS
    assert key_of((offer.nominal, 0, 0, *offer.positions(None))) in data["index"]
    assert len(json.dumps(data)) < 1_200_000
