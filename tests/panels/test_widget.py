"""The widget without a browser: its state, and what it sends."""

from __future__ import annotations

import pytest

from lessonlib import load_appliance, panel, solve
from lessonlib.panels.data import key_of, row_of
from tests.panels.appliances import many_switches


def arrives(live, **message):
    """What arrives in Python from the browser; returns what is sent back."""
    sent = []
    live._send = lambda message, buffers=None: sent.append(message)
    live._handle_msg({"content": {"data": {"buffer_paths": [], **message}}, "buffers": []})
    return sent


def browser_sets(live, **state):
    """A person flips something. What went back would arrive after the next click and undo it."""
    sent = arrives(live, method="update", state=state)
    assert [message for message in sent if message["method"] == "update"] == []


def test_it_opens_with_the_start_of_the_appliance_or_with_the_setting_given():
    urn = panel(load_appliance("tea-urn"))
    assert (urn.position_0, urn.voltage, urn.plug, urn.fault) == (0, 1, 0, 0)
    assert urn.solution.power_W == solve(urn.appliance).power_W
    assert panel(load_appliance("towel-rail"), {"S1": "medium"}).position_0 == 2


def test_what_is_chosen_in_the_browser_is_what_python_solves():
    live = panel(load_appliance("garment-steamer"))
    welded = [fault and fault["words"] for fault in live.table["faults"]].index("P1 welded")
    browser_sets(live, position_0=1, fault=welded, voltage=2, plug=1)
    supply = {"supply_voltage_V": 253, "reversed_plug": True}
    expected = solve(live.appliance, {"S1": "on"}, fault="P1 welded", **supply)
    assert live.solution.power_W == expected.power_W
    assert live.solution.node["top"] == expected.node["top"]


def test_a_row_that_was_not_stored_is_computed_when_asked_for():
    live = panel(many_switches(14), faults=False)
    chosen = (1, 0, 0, *[1] * 14)
    key = key_of(chosen)
    assert key not in live.table["index"]
    (message,) = arrives(live, method="custom", content={"ask": list(chosen)})
    row = row_of(solve(live.appliance, {f"S{number}": "on" for number in range(1, 15)}))
    assert message["content"] == {"key": key, "row": row}
    assert row[1] == "1000 W"


@pytest.mark.parametrize(
    ("fault", "words"), [(0, "1600 W, 6.96 A"), (2, "short circuit L – S1 – boost – E2 – N")]
)
def test_where_widgets_do_not_show_a_line_says_what_the_panel_would(fault, words):
    urn = panel(load_appliance("tea-urn"), {"S1": "on"}, faults=["E1 open", "E2 shorted"])
    urn.fault = fault
    assert repr(urn) == f"Live picture of Six-litre tea urn (S1 on): {words}"
