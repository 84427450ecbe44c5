"""The heating panel without a browser: its state, what it sends, what it refuses."""

from __future__ import annotations

import json
import math

import pytest

from lessonlib import heat_up, heating_panel, load_appliance, single_faults, solve, variant
from lessonlib.errors import HeatError
from lessonlib.panels import heating_data as heating_data_module
from lessonlib.panels.data import choices
from lessonlib.panels.heating_data import heating_row
from tests.panels.test_export import state_of
from tests.panels.test_widget import browser_sets

STEAMER = load_appliance("garment-steamer")
ON = {"S1": "on", "F1": "closed", "P1": "closed"}


def test_it_opens_cold_and_what_the_browser_tells_is_saved_and_said_in_one_line(tmp_path):
    live = heating_panel(STEAMER, faults=["P1 welded"])
    assert (live.time_s, live.temperature_C, live.positions["S1"]) == (0, 20, "off")
    told = {"moves": [[0, "S1", "on"]], "positions": ON, "fault": "P1 welded"}
    browser_sets(live, **told, time_s=600, temperature_C=112.34)
    assert repr(live) == (
        "Heating panel of Garment steamer at 10 min 00 s: 112.3 °C "
        "(S1 on, F1 closed, P1 closed, fault: P1 welded)"
    )
    state = state_of(live.save(tmp_path / "run.html").read_text("utf-8"))
    assert state["table"] == json.loads(json.dumps(live.table))
    assert state.items() >= {**told, "time_s": 600, "speed": 60, "alone": True}.items()


def test_what_cannot_be_is_refused(monkeypatch):
    with pytest.raises(HeatError, match="found speed = 7; accepted: 1, 10, 60, 300"):
        heating_panel(STEAMER, speed=7)
    for minutes in (0, "ten", math.nan):
        with pytest.raises(HeatError, match=r"found minutes = .*; accepted"):
            heating_panel(STEAMER, minutes=minutes)
    with pytest.raises(HeatError, match="has no vessel"):
        heating_panel(load_appliance("towel-rail"))
    monkeypatch.setattr(heating_data_module, "most_rows", lambda appliance: 15)
    with pytest.raises(HeatError, match=r"has 16 combinations .* at most 15 .*Offer fewer faults"):
        heating_panel(STEAMER, faults=["P1 welded"])


def test_every_row_holds_the_solvers_element_powers():
    table = heating_panel(STEAMER, faults=["P1 welded"]).table
    offer = choices(STEAMER, [230], ["P1 welded"])
    for fault in (None, "P1 welded"):
        for setting in ({}, {"S1": "on"}, {"S1": "on", "P1": "open"}):
            now = solve(STEAMER, setting, fault=fault)
            key = ",".join(map(str, (0, 0, int(fault is not None), *offer.positions(setting))))
            row = table["rows"][table["index"][key]]
            assert row == heating_row(now)
            assert row[-1] == [now.part["E1"].power_W]
    shorted = solve(load_appliance("tea-urn"), {"S1": "on"}, fault="E2 shorted")
    assert heating_row(shorted)[-1] == [0.0, 0.0]


def test_the_table_is_plain_json_and_small():
    table = heating_panel(STEAMER, faults=True).table
    assert len(table["contacts"]) == len(table["faults"]) == 1 + len(single_faults(STEAMER))
    text = json.dumps(table, allow_nan=False)
    assert len(text) < 200_000  # bytes: a saved notebook carries it for each panel


@pytest.mark.parametrize(
    "vessel",
    [
        {"water_kg": 0},
        {"sealed": False},
        {"relief_bar": 0.5},  # lifts below where P1 opens
        {"relief_bar": 0.4},  # and below where it closes
        {"relief_bar": 12},
        {"loss_W_per_K": 0},
    ],
)
def test_a_switch_that_no_pressure_moves_is_sent_too_and_starts_closed(vessel):
    steamer = variant(STEAMER, {"vessel": vessel})
    table = json.loads(json.dumps(heating_panel(steamer).table, allow_nan=False))
    (switch,) = [contact for contact in table["contacts"][0] if contact["name"] == "P1"]
    events = heat_up(steamer, {"S1": "on"}, minutes=60).events
    opens = any((event.kind, event.part) == ("opens", "P1") for event in events)
    assert (switch["opens_C"] is not None) == opens
    assert switch["closes_C"] <= 660
