"""What the browser gets, without a browser."""

from __future__ import annotations

import json
from itertools import product
from math import prod

import pytest

from lessonlib import load_appliance, solve
from lessonlib.circuit.live import live_words
from lessonlib.circuit.solution import CONDITIONS, solutions_of
from lessonlib.errors import FaultError, SettingError, SupplyError
from lessonlib.panels.data import (
    MOST_ROWS,
    choices,
    key_of,
    panel_data,
    read_key,
    rows,
)
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
        assert data["live"][live] == live_words(appliance, now.live)
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
    assert len(set(data["live"])) == len(data["live"])  # each text is sent once
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
    with pytest.raises(SupplyError, match=r"Accepted: at least one"):
        choices(urn, [])
    with pytest.raises(SupplyError):
        panel_data(choices(urn, [-5]), "", "")
    with pytest.raises(SettingError):
        choices(urn).positions({"S1": "half"})


def test_beyond_the_limit_the_settings_nearest_the_start_come_first_without_fault_at_nominal():
    offer = choices(many_switches(6))
    start = offer.positions({"S1": "on"})
    _, index = rows(offer, start, limit=20)
    keys = [tuple(map(int, key.split(","))) for key in index]
    assert len(keys) == 20
    assert {key[:3] for key in keys} == {(offer.nominal, 0, 0)}
    moved = [sum(a != b for a, b in zip(key[3:], start, strict=True)) for key in keys]
    assert moved == [0] + [1] * 6 + [2] * 13


def test_rows_with_one_circumstance_changed_follow_once_nominal_is_whole():
    offer = choices(load_appliance("garment-steamer"))
    start = offer.positions(None)
    _, index = rows(offer, start, limit=60)
    keys = [tuple(map(int, key.split(","))) for key in index]
    settings = 8
    assert {key[:3] for key in keys[:settings]} == {(offer.nominal, 0, 0)}
    for voltage, plug, fault, *_ in keys[settings:]:
        assert (voltage != offer.nominal) + (plug != 0) + (fault != 0) == 1


def test_an_appliance_with_too_many_settings_still_gets_a_table_of_bounded_size():
    offer = choices(many_switches(20))  # a million settings, times faults and voltages
    data = panel_data(offer, "", "")
    assert len(data["index"]) <= MOST_ROWS
    assert key_of((offer.nominal, 0, 0, *offer.positions(None))) in data["index"]
    assert len(json.dumps(data)) < 1_000_000


def test_all_faults_of_a_supply_are_solved_in_one_batch(monkeypatch):
    calls = []

    def counted(base, settings, faults):
        calls.append(faults)
        return solutions_of(base, settings, faults)

    monkeypatch.setattr("lessonlib.panels.data.solutions_of", counted)
    offer = choices(load_appliance("curtain-steamer"))  # of 4 ways, as its plug is reversible
    _, index = rows(offer, offer.positions(None), MOST_ROWS)
    assert len(index) == prod(offer.ways)
    assert len(calls) <= 2 * len(offer.voltages_V) * len(offer.plugs)
    assert sum(map(len, calls)) * 8 == len(index)


@pytest.mark.parametrize("limit", [1, 7, 8, 9, 20, 63, 64, 65, 200])
def test_a_limit_within_a_batch_cuts_the_same_rows_off(limit):
    offer = choices(load_appliance("garment-steamer"))
    start = offer.positions({"S1": "on"})
    kept, index = rows(offer, start, limit)
    every, whole = rows(offer, start, MOST_ROWS)
    assert list(index) == list(whole)[:limit]
    assert [kept[number] for number in index.values()] == [every[whole[key]] for key in index]


def test_keys_are_read_back_and_anything_else_is_refused():
    offer = choices(load_appliance("wax-melter"))
    for chosen in product(*map(range, offer.ways)):
        assert read_key(offer, key_of(chosen)) == chosen
    for wrong in (None, 7, "", "0", "0,0,0,0,9", "0,0,0,0,-1", "0,0,0,0,x", "0,0,0,0,²", "," * 4):
        assert read_key(offer, wrong) is None
