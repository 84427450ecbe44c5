"""A vessel that has run dry: the steam left in it, fire, and where the model stops."""

from __future__ import annotations

import math

import pytest

from lessonlib import heat_up
from lessonlib.errors import HeatError
from lessonlib.heat.contacts import contacts_of
from lessonlib.heat.vessel import body_of
from tests.heat.kettles import (
    bare_and_guarded,
    fuse,
    kettle,
    kinds,
    pressure_switch,
    thermostat,
)

AIR_PA = 101_325
ROUNDING = 1e-9  # both sides are closed forms


# --- the steam left in a sealed vessel


def test_a_pressure_switch_on_dry_steam_closes_hotter_than_over_water_and_says_no_wet_figure():
    run = heat_up(bare_and_guarded(2.2, 1.8), minutes=30, schedule=[(15, {"S1": "off"})])
    off = next(event for event in run.events if event.kind == "turned")
    closes = run.events[-1]
    assert (closes.kind, closes.part) == ("closes", "P1")
    by_hand_C = (off.temperature_C + 273.15) * (1.8e5 + AIR_PA) / (2.5e5 + AIR_PA) - 273.15
    assert closes.temperature_C == pytest.approx(by_hand_C, abs=ROUNDING)
    assert by_hand_C > 131.3 + 200  # over water it closes at 131.3 °C
    assert closes.what == "P1 closes at 1.8 bar gauge"


def test_a_pressure_switch_set_at_the_valve_s_own_pressure_moves_with_it() -> None:
    hand = [(10, {"S1": "off"}), (14, {"S1": "on"})]
    run = heat_up(bare_and_guarded(2.5, 2), minutes=20, schedule=hand)
    again = [event for event in run.events if event.time_s > 14 * 60]
    assert [(e.kind, e.part) for e in again[:2]] == [("opens", "P1"), ("vents", "")]
    # two ways to the same pressure: rounding only
    assert again[0].time_s == pytest.approx(again[1].time_s, rel=1e-13)


def test_ideal_steam_is_within_the_stated_share_of_real_steam() -> None:
    """2.1 % of the absolute pressure behind 2.5 bar, 4.4 % behind 10 bar, always too high."""
    from CoolProp.CoolProp import PropsSI

    for relief_bar, stated in ((2.5, 0.021), (10, 0.044)):
        body = body_of(kettle(water_kg=1, sealed=True, relief_bar=relief_bar))
        worst = 0.0
        for hottest_C in range(round(body.held_C) + 1, 661, 130):
            full_Pa = body.relief_Pa
            density = PropsSI("D", "P", full_Pa, "T", hottest_C + 273.15, "Water")
            dew_C = PropsSI("T", "D", density, "Q", 1, "Water") - 273.15
            for above_K in [*(0.05 + 0.2 * step for step in range(15)), *range(3, 500, 50)]:
                at_C = dew_C + above_K  # ours condenses within 2 K above it, and is worst there
                if at_C > hottest_C:
                    break
                real_Pa = PropsSI("P", "T", at_C + 273.15, "D", density, "Water")
                ours_Pa = AIR_PA + 1e5 * body.pressure_bar(at_C, hottest_C)
                worst = max(worst, ours_Pa / real_Pa - 1)
                assert ours_Pa > real_Pa * (1 - 3e-4)  # IF97 against IAPWS-95, at the dew point
        assert stated - 0.002 < worst < stated


@pytest.mark.parametrize(
    ("vessel", "opens_C", "closes_C"),
    [
        ({"water_kg": 1, "sealed": True, "relief_bar": 0.5}, math.inf, 110.6),
        ({"water_kg": 1, "sealed": True, "relief_bar": 0.4}, math.inf, math.inf),
        ({"water_kg": 1}, math.inf, math.inf),
        ({"sealed": True}, math.inf, math.inf),
        ({"water_kg": 1, "sealed": True}, 113.5, 110.6),
    ],
)
def test_a_pressure_that_is_never_reached_is_told_so(vessel, opens_C, closes_C) -> None:
    appliance = kettle(guard=pressure_switch(0.6, 0.45), heat_capacity_J_per_K=500, **vessel)
    (contact,) = contacts_of(appliance, body_of(appliance), None)
    assert contact.opens_C == pytest.approx(opens_C, abs=0.051)
    assert contact.closes_C == pytest.approx(closes_C, abs=0.051)
    # held open at first, it closes at once where there is no pressure
    first = heat_up(appliance, {"P1": "open"}, minutes=1).events[0]
    assert (first.kind, first.time_s) == ("closes", 0)


# --- fire, and where the model stops


def test_a_dry_vessel_is_said_to_burn_at_200_degrees_and_ends_the_run_where_aluminium_melts():
    hand = [(55, {"S1": "off"})]  # after the end nothing more happens
    run = heat_up(kettle(2000, water_kg=0.1, heat_capacity_J_per_K=500), minutes=60, schedule=hand)
    assert kinds(run) == ["boils", "dry", "fire", "melts"]
    dry, fire, melts = run.events[1:]
    # 2 kW into 500 J/K, without losses: 4 K/s from 99.97 °C
    assert fire.time_s - dry.time_s == pytest.approx((200 - 99.974) / 4, abs=1e-3)
    assert melts.time_s - fire.time_s == pytest.approx(460 / 4, rel=1e-6)  # the joint W1
    assert (fire.temperature_C, melts.temperature_C) == (200, 660)
    assert fire.what == "fire: above 200 °C wax, fat, sugar or cloth can catch fire"
    assert melts.what == "the model stops: aluminium melts at 660 °C"
    assert run.end_s == melts.time_s < 3300
    assert run.shown_rows[-1][-1] == melts.what
    with pytest.raises(HeatError, match="where the run ends"):
        run.temperature_C(3600)


def test_fire_is_told_once_however_often_a_thermostat_passes_it_and_at_once_where_it_starts_so():
    hot = kettle(1000, thermostat(220, 180), heat_capacity_J_per_K=500, loss_W_per_K=2)
    run = heat_up(hot, minutes=120)
    assert kinds(run).count("opens") > 5
    assert kinds(run).count("fire") == 1
    hot = kettle(1000, fuse(150), heat_capacity_J_per_K=500, loss_W_per_K=2, start_C=200)
    events = heat_up(hot, minutes=5).events
    assert [(e.kind, e.time_s) for e in events] == [("opens", 0), ("fire", 0)]


def test_a_sealed_vessel_without_a_relief_valve_is_said_to_burst_at_10_bar() -> None:
    sealed = kettle(2000, water_kg=0.5, sealed=True, altitude_m=2000)
    run = heat_up(sealed, minutes=60, schedule=[(55, {"S1": "off"})])
    assert kinds(run) == ["bursts"]
    assert run.events[-1].time_s == run.end_s < 3300
    assert run.pressure_bar(run.end_s) == pytest.approx(10, abs=1e-6)  # IF97 there and back
    assert run.events[0].what == (
        "the vessel bursts, here or long before: the model stops at 10 bar gauge"
    )
    assert run.water_kg(run.end_s) == 0.5
