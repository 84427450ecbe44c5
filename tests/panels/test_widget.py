"""The widget without a browser: its state, what it sends, and what it refuses."""

from __future__ import annotations

import pytest

from lessonlib import load_appliance, solve
from lessonlib.errors import FaultError, SettingError, SupplyError
from lessonlib.panels.data import choices, key_of, row_of
from lessonlib.panels.widget import panel
from tests.panels.appliances import many_switches


@pytest.fixture
def urn():
    return panel(load_appliance("tea-urn"))


@pytest.fixture
def steamer():
    return panel(load_appliance("garment-steamer"))


def browser_sets(live, **state):
    """What arrives in Python when a person flips something in the browser."""
    message = {"data": {"method": "update", "state": state, "buffer_paths": []}}
    live.picture._handle_msg({"content": message, "buffers": []})


def record_sent(*widgets):
    sent = []
    for widget in widgets:
        widget._send = lambda message, buffers=None: sent.append(message)
    return sent


def test_it_opens_with_the_start_of_the_appliance_or_with_the_setting_given(urn):
    assert urn.positions == {"S1": "off"}
    assert urn.solution.power_W == solve(urn.appliance).power_W
    assert (urn.supply_voltage_V, urn.fault, urn.reversed_plug) == (230, None, False)
    live = panel(load_appliance("towel-rail"), {"S1": "medium"})
    assert live.positions == {"S1": "medium"}
    assert live.picture.position_0 == 2


def test_what_is_chosen_in_the_browser_reaches_observers_and_nothing_goes_back(steamer):
    heard = []
    steamer.observe(lambda change: heard.append(change.new), "positions")
    sent = record_sent(steamer, steamer.picture)
    browser_sets(steamer, position_0=1)
    on = {"S1": "on", "F1": "closed", "P1": "closed"}
    assert heard == [on]
    assert steamer.solution.setting == on
    browser_sets(steamer, fault=1, voltage=0, plug=1)
    assert str(steamer.fault) == steamer.picture.table["faults"][1]["words"]
    assert (steamer.supply_voltage_V, steamer.reversed_plug) == (207, True)
    # what went back would arrive after the next click and undo it
    assert [message for message in sent if message["method"] == "update"] == []


def test_positions_set_in_python_reach_the_picture(steamer):
    sent = record_sent(steamer.picture)
    steamer.positions = {"S1": "on", "P1": "open"}
    assert steamer.positions == {"S1": "on", "F1": "closed", "P1": "open"}
    # one message, so that the browser never shows a setting half changed
    states = [message["state"] for message in sent if message["method"] == "update"]
    assert states == [{"position_0": 1, "position_2": 1}]


@pytest.mark.parametrize("wrong", [{"S9": "on"}, {"S1": "half"}, {"E1": "on"}])
def test_unknown_parts_and_positions_are_refused_and_nothing_changes(urn, wrong):
    urn.positions = {"S1": "on"}
    with pytest.raises(SettingError):
        urn.positions = wrong
    assert urn.positions == {"S1": "on"}
    assert urn.picture.position_0 == 1


def test_fault_voltage_and_plug_are_set_from_python(steamer):
    steamer.positions = {"S1": "on"}
    steamer.fault = "P1 welded"
    steamer.supply_voltage_V = 253
    steamer.reversed_plug = True
    expected = solve(
        steamer.appliance,
        {"S1": "on"},
        fault="P1 welded",
        supply_voltage_V=253,
        reversed_plug=True,
    )
    assert steamer.solution.power_W == expected.power_W
    assert steamer.solution.node["top"] == expected.node["top"]
    index = steamer.picture.fault
    assert steamer.picture.table["faults"][index]["words"] == "P1 welded"
    assert (steamer.picture.voltage, steamer.picture.plug) == (2, 1)


def test_what_the_panel_does_not_offer_is_refused(urn):
    with pytest.raises(FaultError, match="no part"):
        urn.fault = "E9 open"
    with pytest.raises(FaultError, match="Accepted: None"):
        panel(urn.appliance, faults=False).fault = "E1 open"
    with pytest.raises(SupplyError, match="Accepted: 207, 230, 253"):
        urn.supply_voltage_V = 110
    with pytest.raises(SupplyError, match="reversible_plug"):
        urn.reversed_plug = True


def test_a_row_that_was_not_stored_is_computed_when_asked_for():
    live = panel(many_switches(14), faults=False)
    offer = choices(live.appliance, faults=False)
    key = key_of((1, 0, 0, *[1] * 14))
    assert key not in live.picture.table["index"]
    sent = record_sent(live.picture)
    ask = {"data": {"method": "custom", "content": {"ask": key}}}
    live.picture._handle_msg({"content": ask, "buffers": []})
    assert [message["content"] for message in sent] == [
        {"key": key, "row": row_of(offer.solve((1, 0, 0, *[1] * 14)))}
    ]
    assert sent[0]["content"]["row"][1] == "1000 W"


@pytest.mark.parametrize("content", [None, "x", {}, {"ask": 3}, {"ask": "9,9,9,9"}, {"ask": []}])
def test_a_message_that_makes_no_sense_is_not_answered(urn, content):
    sent = record_sent(urn.picture)
    ask = {"data": {"method": "custom", "content": content}}
    urn.picture._handle_msg({"content": ask, "buffers": []})
    assert sent == []


def test_where_widgets_do_not_show_a_line_says_what_the_panel_would(urn):
    urn.positions = {"S1": "on"}
    assert repr(urn) == "Live picture of Six-litre tea urn (S1 on): 1600 W, 6.96 A"
    urn.fault = "E1 shorted"
    assert repr(urn).startswith("Live picture of Six-litre tea urn (S1 on): short circuit L")
