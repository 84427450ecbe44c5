"""A thermal fuse on an element: warmer than the vessel by a rise for each watt; and resetting one.

Two elements of 1000 and 500 W warm a dry block of 500 J/K without losses: 3 K/s, 2 K/s, 1 K/s.
"""

from __future__ import annotations

import math

import pytest

from lessonlib import heat_up, read_appliance
from tests.heat.kettles import element, fuse, kettle, table

ON = {"S1": "on", "S2": "on"}
ON_E1 = {"placed_on": "E1", "rise_K_per_W": 0.05}


def block(placed=ON_E1, loss: float = 0, resettable: bool = False):
    return read_appliance(
        f"""
title = "Block"
[supply]
voltage_V = 230
[[switch]]
name = "S1"
positions = ["off", "on", "half"]
contacts = [
  {{ between = ["safe", "e1"], closed_in = ["on"] }},
  {{ between = ["safe", "d1"], closed_in = ["half"] }},
]
{table("diode", "D1", ("d1", "e1"))}
[[switch]]
name = "S2"
positions = ["off", "on"]
contacts = [{{ between = ["safe", "e2"], closed_in = ["on"] }}]
{table("thermal_fuse", "F1", ("L", "safe"), opens_at_C=150, resettable=resettable, **placed)}
{element("E1", ("e1", "N"), 1000)}
{element("E2", ("e2", "N"), 500)}
[vessel]
heat_capacity_J_per_K = 500
loss_W_per_K = {loss}
"""
    )


def opens(run) -> list[float]:
    return [e.time_s for e in run.events if (e.kind, e.part) == ("opens", "F1")]


# 1000 W make E1's place 50 K warmer: the vessel is then at 100 °C, 80 K above its start
@pytest.mark.parametrize(
    ("appliance", "setting", "supply_V", "seconds"),
    [
        (block(), {"S1": "on", "S2": "off"}, 230, 80 / 2),
        (block(), ON, 230, 80 / 3),  # E2 warms the vessel, not the place
        (block(), {"S1": "half", "S2": "off"}, 230, 105 / 1),  # half of the power and of the 50 K
        (block(), {"S1": "off", "S2": "on"}, 230, 130 / 1),  # E1 gives nothing: as on the wall
        (block(), {"S1": "on"}, 115, 117.5 / 0.5),  # a quarter of the power, so 12.5 K and 0.5 K/s
        (block(placed={}), {"S1": "on"}, 230, 130 / 2),  # on the wall
        # from 20 °C towards 270 °C with a time constant of 125 s, to 100 °C
        (block(loss=4), {"S1": "on"}, 230, 125 * math.log(250 / 170)),
    ],
)
def test_a_fuse_opens_when_vessel_and_rise_make_up_its_mark(appliance, setting, supply_V, seconds):
    run = heat_up(appliance, setting, minutes=5, supply_voltage_V=supply_V)
    assert opens(run) == [pytest.approx(seconds, rel=1e-12)]  # rounding
    assert run.hottest_place_C("F1") == pytest.approx(150)  # it cools by the rise when it opens
    where = " on E1" if appliance.part("F1").placed_on else ""
    assert run.events[-1].what == f"F1 opens at 150 °C{where}, and stays open"


def test_it_stays_closed_where_losses_hold_its_place_below_the_mark() -> None:
    # losses hold the vessel at 95 °C: 145 °C on the element
    run = heat_up(block(loss=1000 / 75), {"S1": "on"}, minutes=600)
    assert run.events == ()
    assert run.hottest_place_C("F1") == pytest.approx(145)


def test_a_welded_fuse_on_an_element_says_where_it_should_have_opened() -> None:
    run = heat_up(block(), {"S1": "on"}, minutes=2, fault="F1 welded")
    assert run.events[0].what == "F1 should open at 150 °C on E1, but its contact is welded"
    assert run.power_W(120) == pytest.approx(1000)


# --- a hand that resets


def test_a_resettable_fuse_is_closed_by_hand_once_it_is_cold_enough_and_heats_again() -> None:
    # losses 4 W/K, time constant 125 s; opens at 100 °C of the vessel, and cools from there
    appliance = block(loss=4, resettable=True)
    run = heat_up(appliance, {"S1": "on"}, minutes=10, schedule=[(5, {"F1": "closed"})])
    first, second = opens(run)
    reset = next(event for event in run.events if event.kind == "turned")
    assert (reset.part, reset.position, reset.what) == ("F1", "closed", "F1 reset by hand")
    cold = 20 + 80 * math.exp(-(300 - first) / 125)
    assert reset.temperature_C == pytest.approx(cold, rel=1e-9)  # rounding
    again = 125 * math.log((270 - cold) / 170)
    assert second == pytest.approx(300 + again, rel=1e-9)  # rounding


def test_a_resettable_fuse_that_is_still_too_hot_opens_again_at_once() -> None:
    appliance = block(resettable=True)  # without losses it never cools
    run = heat_up(appliance, {"S1": "on"}, minutes=5, schedule=[(2, {"F1": "closed"})])
    assert opens(run) == [pytest.approx(40), pytest.approx(120)]
    assert run.events[-1].what == (
        "F1 opens again at once: its place is at 150.0 °C, and it opens at 150 °C on E1"
    )
    assert run.power_W(200) == 0


def test_resetting_a_fuse_that_is_closed_changes_nothing() -> None:
    appliance = block(loss=4, resettable=True)
    plain = heat_up(appliance, {"S1": "on"}, minutes=5)
    run = heat_up(appliance, {"S1": "on"}, minutes=5, schedule=[(0.2, {"F1": "closed"})])
    assert run.events[0].what == "F1 reset by hand, which changes nothing: it is closed"
    assert opens(run) == [pytest.approx(opens(plain)[0], rel=1e-12)]  # rounding


@pytest.mark.parametrize(
    ("resettable", "position", "says"),
    [
        (False, "closed", r"F1 is one-shot.* must be replaced, and what made it open found"),
        (False, "open", "F1 is one-shot"),
        (True, "open", "accepted: closed, which resets it"),
        (True, "shut", "no position 'shut'"),
    ],
)
def test_a_hand_does_nothing_else_to_a_thermal_fuse(resettable, position, says) -> None:
    appliance = kettle(guard=fuse(150, resettable), water_kg=1)
    with pytest.raises(ValueError, match=says):
        heat_up(appliance, minutes=30, schedule=[(5, {"F1": position})])
