"""The heating panel without a browser: its state, what moves it, what it tells, what it refuses."""

from __future__ import annotations

import json
import math

import pytest

from lessonlib import heat_up, load_appliance, single_faults, solve, variant
from lessonlib.errors import FaultError, HeatError, SettingError
from lessonlib.heat.vessel import body_of
from lessonlib.heat.water import absolute_Pa
from lessonlib.panels import heating_data as heating_data_module
from lessonlib.panels.data import choices
from lessonlib.panels.heating import HeatingPanel, heating_panel
from lessonlib.panels.heating_data import FROM_C, heating_row
from tests.heat.kettles import fuse, kettle
from tests.panels.test_export import state_of
from tests.panels.test_widget import record_sent


@pytest.fixture
def steamer() -> HeatingPanel:
    return heating_panel(load_appliance("garment-steamer"), faults=["P1 welded", "P1 not making"])


def browser_sets(live, **state):
    """What arrives in Python from a run that plays in the browser."""
    message = {"data": {"method": "update", "state": state, "buffer_paths": []}}
    live._handle_msg({"content": message, "buffers": []})


def test_it_opens_cold_and_still(steamer):
    assert (steamer.time_s, steamer.temperature_C, steamer.running) == (0, 20, False)
    assert steamer.positions == {"S1": "off", "F1": "closed", "P1": "closed"}
    assert steamer.events == ()


def test_flips_and_runs_give_what_heat_up_gives(steamer):
    steamer.flip("S1", "on")
    steamer.run_to(minutes=9)
    steamer.flip("S1", "off")
    steamer.run_to(minutes=12)
    expected = heat_up(
        steamer.appliance, minutes=12, schedule=[(0, {"S1": "on"}), (9, {"S1": "off"})]
    )
    assert steamer.time_s == 720
    assert steamer.temperature_C == expected.temperature_C(720)
    assert [event.what for event in steamer.events] == [event.what for event in expected.events]
    assert steamer.run.energy == expected.energy
    assert steamer.positions == expected.setting(720)


def test_before_the_start_a_flip_is_where_the_run_starts_and_later_it_stands_at_once(steamer):
    steamer.flip("S1", "on")
    assert steamer.moves == [[0, "S1", "on"]]
    assert steamer.positions["S1"] == "on"
    steamer.flip("S1", "off")
    assert steamer.moves == []
    assert steamer.positions["S1"] == "off"
    steamer.run_to(minutes=5)
    steamer.flip("S1", "on")
    assert steamer.positions["S1"] == "on"
    assert steamer.moves == [[300, "S1", "on"]]
    assert [(event.time_s, event.part) for event in steamer.events] == [(300, "S1")]


@pytest.mark.parametrize("minutes", [0.27, 7 / 3, 59.99])
def test_a_flip_at_the_very_end_is_still_within_the_run(minutes):
    live = heating_panel(load_appliance("tea-urn"), minutes=minutes)
    live.run_to(minutes)
    live.flip("S1", "on")
    assert live.positions == {"S1": "on"}
    assert live.run.end_s == live.time_s


def test_start_over_is_cold_with_the_switches_where_they_stand(steamer):
    steamer.flip("S1", "on")
    steamer.run_to(minutes=30)
    steamer.start_over()
    assert (steamer.time_s, steamer.temperature_C) == (0, 20)
    assert steamer.positions == {"S1": "on", "F1": "closed", "P1": "closed"}
    steamer.flip("S1", "off")
    steamer.start_over()
    assert steamer.moves == []


def test_another_fault_starts_over_shows_in_the_run_and_holds_its_contact(steamer):
    steamer.flip("S1", "on")
    steamer.run_to(minutes=30)
    steamer.fault = "P1 welded"
    assert (steamer.time_s, steamer.temperature_C) == (0, 20)
    steamer.run_to(minutes=60)
    kinds = [event.kind for event in steamer.events]
    assert kinds[:5] == ["turned", "stuck", "vents", "dry", "opens"]
    # a welded contact counts as closed, as in a `HeatRun`
    assert steamer.positions == {"S1": "on", "F1": "open", "P1": "closed"}
    steamer.fault = "P1 not making"
    assert steamer.positions == {"S1": "on", "F1": "closed", "P1": "open"}


def test_the_run_stops_where_the_model_ends():
    kettle_without_guard = kettle(2000, water_kg=0.1, heat_capacity_J_per_K=300)
    live = heating_panel(kettle_without_guard)
    live.run_to(minutes=60)
    assert live.events[-1].kind == "melts"
    assert live.time_s == live.events[-1].time_s < 3600
    with pytest.raises(HeatError, match="after the end: the model stops: aluminium melts"):
        live.flip("S1", "off")


@pytest.mark.parametrize(
    ("loss_W_per_K", "told", "position"),
    [
        # without losses it stays as hot as it was
        (0, "F1 opens again at once: its place is at 60.0 °C", "open"),
        (4, "F1 reset by hand", "closed"),
    ],
)
def test_a_resettable_fuse_is_reset_by_hand_once_it_has_cooled(loss_W_per_K, told, position):
    guard = fuse(60, resettable=True)
    live = heating_panel(kettle(1000, guard, water_kg=0.5, loss_W_per_K=loss_W_per_K))
    live.run_to(minutes=10)
    live.flip("F1", "closed")
    assert live.events[-1].what.startswith(told)
    assert live.positions["F1"] == position


def test_what_the_browser_tells_reaches_observers_and_nothing_goes_back(steamer):
    heard = []
    steamer.observe(lambda change: heard.append(change.new), "temperature_C")
    sent = record_sent(steamer)
    on = {"S1": "on", "F1": "closed", "P1": "closed"}
    told = {"moves": [[0, "S1", "on"]], "positions": on}
    browser_sets(steamer, **told, time_s=60, temperature_C=35.5, running=True)
    assert heard == [35.5]
    assert (steamer.positions, steamer.running) == (on, True)
    assert steamer.run.end_s == 60
    # another fault starts over
    browser_sets(steamer, **told, time_s=0, temperature_C=20, running=False, fault="P1 welded")
    assert str(steamer.fault) == "P1 welded"
    assert [message for message in sent if message["method"] == "update"] == []


def test_what_python_moves_reaches_the_browser_in_one_message(steamer):
    steamer.flip("S1", "on")
    sent = record_sent(steamer)
    steamer.run_to(minutes=10)
    states = [message["state"] for message in sent if message["method"] == "update"]
    assert len(states) == 1
    assert states[0]["time_s"] == 600


def test_it_says_where_it_is_in_one_line(steamer):
    steamer.flip("S1", "on")
    steamer.run_to(minutes=12)
    celsius = heat_up(steamer.appliance, {"S1": "on"}, minutes=12).temperature_C(720)
    assert repr(steamer) == (
        f"Heating panel of Garment steamer at 12 min 00 s: {celsius:.1f} °C "
        "(S1 on, F1 closed, P1 open)"
    )


@pytest.mark.parametrize("minutes", [4, 61, "ten", math.nan])
def test_a_time_outside_what_is_left_is_refused(steamer, minutes):
    steamer.run_to(minutes=5)
    with pytest.raises(HeatError, match=r"accepted: 5, where the run is, to 60\. Make the panel"):
        steamer.run_to(minutes)
    assert steamer.time_s == 300


@pytest.mark.parametrize(
    ("part", "position", "error"),
    [("P1", "open", HeatError), ("F1", "closed", HeatError), ("S1", "half", SettingError)],
)
def test_what_no_hand_does_is_refused_and_nothing_changes(steamer, part, position, error):
    steamer.run_to(minutes=5)
    with pytest.raises(error):
        steamer.flip(part, position)
    assert steamer.moves == []


def test_what_the_panel_does_not_offer_is_refused(steamer):
    with pytest.raises(FaultError, match='Accepted: None, "P1 welded", "P1 not making"'):
        steamer.fault = "F1 welded"
    with pytest.raises(HeatError, match="accepted: 1, 10, 60, 300"):
        steamer.speed = 7
    with pytest.raises(HeatError, match=r"found minutes = 0; accepted"):
        heating_panel(steamer.appliance, minutes=0)
    with pytest.raises(HeatError, match="has no vessel"):
        heating_panel(load_appliance("towel-rail"))


def test_more_combinations_than_a_page_can_carry_are_refused(steamer, monkeypatch):
    monkeypatch.setattr(heating_data_module, "most_rows", lambda appliance: 15)
    with pytest.raises(HeatError, match=r"has 16 combinations .* at most 15 .*Offer fewer faults"):
        heating_panel(steamer.appliance, faults=["P1 welded"])


def test_every_row_holds_the_solvers_element_powers(steamer):
    table = steamer.table
    offer = choices(steamer.appliance, [230], ["P1 welded"])
    for fault in (None, "P1 welded"):
        for setting in ({}, {"S1": "on"}, {"S1": "on", "P1": "open"}):
            now = solve(steamer.appliance, setting, fault=fault)
            key = ",".join(map(str, (0, 0, int(fault is not None), *offer.positions(setting))))
            row = table["rows"][table["index"][key]]
            assert [*row[:6], table["live"][row[6]], *row[7:]] == heating_row(now)
            assert row[-1] == [now.part["E1"].power_W]


def test_a_short_circuit_gives_no_heat():
    appliance = load_appliance("tea-urn")
    assert heating_row(solve(appliance, {"S1": "on"}, fault="E2 shorted"))[-1] == [0.0, 0.0]


@pytest.mark.parametrize("name", ["garment-steamer", "wallpaper-steamer"])
def test_pressures_between_the_tables_steps_are_within_the_stated_share(name):
    appliance = load_appliance(name)
    line = heating_panel(appliance).table["vessel"]["saturation"]
    body = body_of(appliance)
    worst = 0.0
    for step in range(400):
        temperature_C = FROM_C + step * (body.held_C - FROM_C) / 400
        index, between = divmod((temperature_C - FROM_C) / line["step_K"], 1)
        low, high = line["ln_Pa"][int(index) : int(index) + 2]
        gauge_bar = (math.exp(low + (high - low) * between) - absolute_Pa(0)) / 1e5
        exact_bar = body.pressure_bar(temperature_C)
        if exact_bar > 0:
            worst = max(worst, abs(gauge_bar - exact_bar) / (exact_bar + 1.01325))
    assert 0 < worst < 3e-5


def test_the_table_is_plain_json_and_small(steamer):
    every = heating_panel(steamer.appliance, faults=True)
    assert len(every._offer.faults) == 1 + len(single_faults(steamer.appliance))
    text = json.dumps(every.table, allow_nan=False)
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
def test_a_switch_that_no_pressure_moves_is_saved_too_and_starts_closed(tmp_path, vessel) -> None:
    live = heating_panel(variant(load_appliance("garment-steamer"), {"vessel": vessel}))
    table = state_of(live.save(tmp_path / "run.html").read_text("utf-8"))["table"]
    (switch,) = [contact for contact in table["contacts"][0] if contact["name"] == "P1"]
    live.flip("S1", "on")
    live.run_to(minutes=60)
    opens = any((event.kind, event.part) == ("opens", "P1") for event in live.events)
    assert (switch["opens_C"] is not None) == opens
    assert switch["closes_C"] <= 660


def test_the_saved_page_carries_the_run_as_it_stands(steamer, tmp_path):
    steamer.fault = "P1 welded"
    steamer.flip("S1", "on")
    steamer.run_to(minutes=10)
    state = state_of(steamer.save(tmp_path / "run.html").read_text("utf-8"))
    assert state["moves"] == [[0, "S1", "on"]]
    assert (state["time_s"], state["fault"], state["running"]) == (600, "P1 welded", False)
    assert state["table"] == json.loads(json.dumps(steamer.table))
