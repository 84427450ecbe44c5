"""Exercises of lesson 7: what a pressure switch does, how hot it lets the water get, and who acts
when it has welded."""

from __future__ import annotations

from functools import lru_cache
from itertools import product
from math import log

from lessonlib.appliance.parts import Appliance, PressureSwitch, ThermalFuse
from lessonlib.appliance.reader import read_appliance
from lessonlib.electric.solution import solve
from lessonlib.exercises.answers import CellTable, Choice, CircuitFile, Number, Order, Points
from lessonlib.exercises.bank.live import cold_ends, distinct, inside, live_inside, one_by_answer
from lessonlib.exercises.draw import Draw
from lessonlib.exercises.exercise import Exercise, Slip, Template
from lessonlib.exercises.reading import written
from lessonlib.heat.result import Cycle, HeatRun
from lessonlib.heat.run import heat_up
from lessonlib.heat.vessel import body_of
from lessonlib.heat.water import (
    HEAT_OF_WATER_J_PER_KGK,
    PA_PER_BAR,
    saturation_temperature_C,
    steam_temperature_C,
)

_OPENS = "say what a pressure switch does as pressure rises, and what is live while it is open"
_HOW_HOT = "turn gauge pressure into water temperature, at sea level and in the mountains"
_TIMES = "work out the time to ready, the share of time with heat, and the mean power"
_GAP = "explain why a pressure switch closes lower than it opens"
_WELDED = "say what protects a steamer once its pressure switch has welded"

_ON = {"S1": "on"}
_ROOM_C = 20.0


def _p1(steamer: Appliance) -> PressureSwitch:
    found = steamer.part("P1")
    assert isinstance(found, PressureSwitch)
    return found


def _f1_C(steamer: Appliance) -> float:
    found = steamer.part("F1")
    assert isinstance(found, ThermalFuse)
    return found.opens_at_C


def _ready_cycle(draw: Draw, name: str, changes: dict[str, dict[str, object]]) -> Cycle:
    """How a steamer cycles that stands ready; begun hot, which changes nothing about it."""
    hot = {**changes, "vessel": {**changes.get("vessel", {}), "start_C": 112.0}}
    cycle = heat_up(draw.appliance(name, hot), _ON, minutes=30).cycle
    assert cycle is not None
    return cycle


def _standing_ready(draw: Draw) -> Exercise:
    power_W = draw.number(1000, 2000, 100)
    loss_W_per_K = draw.number(1.2, 2.4, 0.2)
    changes: dict[str, dict[str, object]] = {
        "E1": {"power_W": power_W},
        "vessel": {"loss_W_per_K": loss_W_per_K},
    }
    cycle = _ready_cycle(draw, "garment-steamer", changes)
    opens_C, closes_C = cycle.highest_C, cycle.lowest_C
    middle_C = (opens_C + closes_C) / 2
    return Exercise(
        text=(
            f"A garment steamer with an element E1 of {power_W:g} W stands ready, and nobody takes "
            f"steam. P1 opens when the water is at {opens_C:.1f} °C and closes at {closes_C:.1f} "
            f"°C. The vessel loses {loss_W_per_K:g} W for each kelvin above the room, which is at "
            f"{_ROOM_C:g} °C. What does E1 give on average?"
        ),
        answer=Number(
            cycle.mean_heat_W,
            "W",
            because="three figures, and 2 % for rounding on the way; the slips are 20 % apart",
        ),
        slips=(
            Slip(
                "marking-as-mean",
                power_W,
                thought="E1 is taken to be on all the time",
                why="P1 opens again and again, and while it is open E1 gives nothing.",
                attempt="Start the heating panel of lesson 7 and watch the power once it is ready.",
            ),
            Slip(
                "on-half-the-time",
                power_W / 2,
                thought="P1 is taken to be closed half of the time",
                why="Warming up and cooling down between the two pressures take different times.",
                attempt="Compare the times between dots and rings in the heating panel.",
            ),
            Slip(
                "room-forgotten",
                loss_W_per_K * middle_C,
                thought="the loss is counted from 0 °C",
                why="Water as warm as the room loses nothing, so kelvins count from there.",
                attempt="Work out the loss of a vessel that stands at room temperature.",
            ),
        ),
        hints=(
            "After one cycle the water is as hot as before. Where has the heat gone?",
            "Loss for a kelvin, times how far the water is above the room on average.",
        ),
        worked=(
            "Over a cycle nothing is stored: what E1 gives is what the vessel loses.",
            f"On average the water is at {middle_C:.1f} °C, {middle_C - _ROOM_C:.1f} K above the "
            "room.",
            f"{loss_W_per_K:g} W/K × {middle_C - _ROOM_C:.1f} K = "
            f"{written(round(cycle.mean_heat_W, 1), 'W')}, whatever is marked on E1.",
        ),
        appliance=draw.appliance("garment-steamer", changes),
        setting=_ON,
    )


def _live(steamer: Appliance, switch: str, pressure: str, swapped: bool) -> frozenset[str]:
    return live_inside(steamer, {"S1": switch, "P1": pressure}, swapped=swapped)


def _live_under_pressure(draw: Draw) -> Exercise:
    bundled = [draw.appliance(f"{kind}-steamer") for kind in ("garment", "curtain", "wallpaper")]
    steamers = (*bundled, _costume_steamer(1500, _IN_LINE, (0.5, 0.35)))
    ways = product(steamers, ("off", "on"), ("closed", "open"), (False, True))
    cases = [(way, _live(*way)) for way in ways]
    steamer, switch, pressure, swapped = one_by_answer(draw, cases, 3)
    points, right = inside(steamer), _live(steamer, switch, pressure, swapped)
    setting = {"S1": switch, "P1": pressure}
    cold = cold_ends(steamer, setting, swapped=swapped)
    line, neutral = ("N", "L") if swapped else ("L", "N")
    lead = (
        "The lead swaps line and neutral: terminal N is on the line"
        if swapped
        else "L is on the line, as marked"
    )
    bar = f"{_p1(steamer).opens_at_bar:g} bar"
    is_open = pressure == "open"
    state = f"at {bar}, and P1 has opened" if is_open else "cold, and P1 is closed"
    slips = (
        Slip(
            "no-current-no-danger",
            right - cold,
            thought="a point is taken as dead because no current flows",
            why="Live means joined to the line, with or without a current.",
            attempt="Set S1 to on and P1 to open in panel(steamer), and read the words.",
        ),
        Slip(
            "p1-the-other-way",
            _live(steamer, switch, "closed" if is_open else "open", swapped),
            thought=f"P1 is taken as {'closed' if is_open else 'open'}",
            why=f"At {bar} the pressure opens it."
            if is_open
            else "Pressure opens it, and there is none.",
            attempt="Watch P1 in the heating panel of lesson 7 as the pressure rises.",
        ),
        Slip(
            "s1-the-other-way",
            _live(steamer, "on" if switch == "off" else "off", pressure, swapped),
            thought=f"S1 is taken as {'on' if switch == 'off' else 'off'}",
            why=f"S1 is {switch} here.",
            attempt="Follow the wires in the drawing, with S1 as it is drawn.",
        ),
        Slip(
            "plug-the-other-way",
            _live(steamer, switch, pressure, not swapped),
            thought=f"{neutral} is taken for the line",
            why=f"Here terminal {line} is on the line.",
            attempt=f"Put a finger on {line} in the drawing, and go on through what is closed.",
        ),
        Slip(
            "voltage-used-up-in-e1",
            right - {steamer.part("E1").rungs[0][0 if swapped else 1]},
            thought="E1 is taken to use up the voltage, as it does while it heats",
            why="Here no current flows through E1, and without current nothing is used up.",
            attempt="Set P1 to open in panel(steamer) and read the volts across E1.",
        ),
        Slip(
            "ends-of-s1",
            frozenset(points) & {end for rung in steamer.part("S1").rungs for end in rung},
            thought="S1 is taken to have the line at both its ends",
            why="An end is live only if something joins it to the line.",
            attempt="Ask of each end of S1 in the drawing what it is joined to.",
        ),
        Slip(
            "everything-inside",
            frozenset(points),
            thought="every point inside is taken as live",
            why="To be live a point has to be joined to the line.",
            attempt=f"Start at {line} in the drawing: where do you come to an open contact?",
        ),
    )
    return Exercise(
        text=(
            f"The vessel of the {steamer.title.lower()} is {state}. S1 is {switch}. {lead}. Which "
            "of these points are live?"
        ),
        answer=Points(right, points),
        slips=tuple(distinct(right, slips)),
        hints=(
            "Which terminal is on the line, and through which closed contacts do you get on?",
            "Closed fuses lead on, and so do elements and lamps that carry no current.",
        ),
        worked=(
            f"Start at {line}, which is on the line. P1 is {pressure}; S1 is {switch}.",
            "Contacts that are closed lead on, and so does an element or a lamp without current.",
            f"Live: {', '.join(name for name in points if name in right) or 'none of them'}.",
            "What is not live here is at neutral or joined to nothing, but not isolated.",
        ),
        appliance=steamer,
        setting=setting,
    )


def _wait_s(power_W: float, loss_W_per_K: float, capacity: float, above_K: float) -> float:
    """How long until the vessel is so far above the room: lesson 7's formula."""
    return capacity / loss_W_per_K * log(power_W / (power_W - loss_W_per_K * above_K))


def _time_to_ready(draw: Draw) -> Exercise:
    power_W = draw.number(1000, 1500, 100)
    loss_W_per_K = draw.number(2.0, 2.6, 0.2)
    water_kg = draw.number(0.8, 1.6, 0.2)
    steamer = draw.appliance(
        "garment-steamer",
        {
            "E1": {"power_W": power_W},
            "vessel": {"loss_W_per_K": loss_W_per_K, "water_kg": water_kg},
        },
    )
    ready_s = heat_up(steamer, _ON, minutes=30).time_to_ready_s
    assert ready_s is not None
    assert steamer.vessel is not None
    metal = steamer.vessel.heat_capacity_J_per_K
    capacity = body_of(steamer).capacity_J_per_K(water_kg)
    opens_C = steam_temperature_C(_p1(steamer).opens_at_bar)
    above_K = opens_C - _ROOM_C
    return Exercise(
        text=(
            f"A garment steamer has an element of {power_W:g} W and {water_kg:g} kg of water, for "
            f"which one kelvin takes 4190 J a kilogram; its metal takes {metal:g} J/K. It loses "
            f"{loss_W_per_K:g} W for each kelvin above the room. Water and room are at "
            f"{_ROOM_C:g} °C when S1 is switched on. P1 opens at {opens_C:.1f} °C. After how long?"
        ),
        answer=Number(
            ready_s,
            "s",
            because="three figures, and 2 % for rounding on the way; the slips are 4 % apart",
        ),
        slips=(
            Slip(
                "loss-forgotten",
                capacity * above_K / power_W,
                thought="all heat is taken to stay in the vessel",
                why="The hotter it gets, the more of the heat goes to the room.",
                attempt="Look at the heating curve: is it as steep at the end as at the start?",
            ),
            Slip(
                "ready-at-100",
                _wait_s(power_W, loss_W_per_K, capacity, 100 - _ROOM_C),
                thought="the steamer is taken as ready when its water would boil in a pot",
                why=f"The vessel is closed, and P1 acts at {opens_C:.1f} °C.",
                attempt="In the heating panel read the temperature at the first ring.",
            ),
            Slip(
                "temperature-for-rise",
                _wait_s(power_W, loss_W_per_K, capacity, opens_C),
                thought="degrees are put in place of kelvins above the room",
                why=f"The water does not start at 0 °C but at {_ROOM_C:g} °C.",
                attempt="Ask how far the water is above the room before S1 is switched on.",
            ),
            Slip(
                "full-loss-from-the-start",
                capacity * above_K / (power_W - loss_W_per_K * above_K),
                thought="the loss is taken as large from the start as it is at the end",
                why="Cold water loses nothing. The loss grows as it warms.",
                attempt="Look at the heating curve: where is it steepest?",
            ),
        ),
        hints=(
            "How much heat does one kelvin take, and how many kelvins are needed?",
            "Lesson 7 has the formula: C ÷ k × ln(P ÷ (P − k × G)), with G in kelvins above the "
            "room.",
        ),
        worked=(
            f"C = {water_kg:g} kg × 4190 J + {metal:g} J/K = {written(capacity, 'J/K')}.",
            f"P1 acts at {opens_C:.1f} °C − {_ROOM_C:g} °C = {above_K:.1f} K above the room.",
            f"Loss there: {loss_W_per_K:g} W/K × {above_K:.1f} K = "
            f"{written(round(loss_W_per_K * above_K, 1), 'W')}.",
            f"{written(capacity)} ÷ {loss_W_per_K:g} × ln({power_W:g} ÷ "
            f"{written(round(power_W - loss_W_per_K * above_K, 1))}) = "
            f"{written(round(ready_s), 's')}.",
        ),
        appliance=steamer,
        setting=_ON,
    )


_DUE = "P1 should open, and does not"
_VALVE = "the relief valve lifts"
_DRY = "the last water is gone"
_FUSE = "F1 opens"
_HAPPENING = {"stuck": _DUE, "vents": _VALVE, "dry": _DRY, "opens": _FUSE}


def _welded_run(steamer: Appliance) -> HeatRun:
    return heat_up(steamer, _ON, minutes=240, fault="P1 welded")


def _welded_order(draw: Draw) -> Exercise:
    power_W = draw.number(1200, 2000, 100)
    water_kg = draw.number(0.8, 1.4, 0.2)
    relief_bar = draw.one_of([2.0, 2.5, 3.0])
    steamer = draw.appliance(
        "garment-steamer",
        {
            "E1": {"power_W": power_W},
            "vessel": {"water_kg": water_kg, "relief_bar": relief_bar},
        },
    )
    run = _welded_run(steamer)
    order = tuple(dict.fromkeys(_HAPPENING[e.kind] for e in run.events if e.kind in _HAPPENING))
    held_C = body_of(steamer).held_C
    assert held_C is not None
    p1_bar, f1_C = _p1(steamer).opens_at_bar, _f1_C(steamer)
    return Exercise(
        text=(
            f"A garment steamer with {power_W:g} W and {water_kg:g} kg of water is switched on. "
            f"The contact of P1 has welded; it is marked {p1_bar:g} bar. The relief valve lifts at "
            f"{relief_bar:g} bar, and F1 opens at {f1_C:g} °C. Nobody comes. Put in order what "
            "happens."
        ),
        answer=Order(order),
        slips=(
            Slip(
                "fuse-next-in-line",
                (_DUE, _FUSE, _VALVE, _DRY),
                thought="the thermal fuse is taken as the next guard after P1",
                why=f"At {relief_bar:g} bar the water is at {held_C:.1f} °C; F1 opens at "
                f"{f1_C:g} °C.",
                attempt="Choose the fault 'P1 welded' in the heating panel of lesson 7, and read "
                "its list from the bottom up.",
            ),
            Slip(
                "fuse-before-dry",
                (_DUE, _VALVE, _FUSE, _DRY),
                thought="F1 is taken to open while the valve still blows steam",
                why=f"As long as there is water, the open valve holds it at {held_C:.1f} °C.",
                attempt="Look at the flat stretch of the curve with P1 welded: when does it end?",
            ),
            Slip(
                "dry-before-the-valve",
                (_DUE, _DRY, _VALVE, _FUSE),
                thought="the water is taken to be gone before the valve lifts",
                why="As long as the valve is shut no steam gets out, so no water is lost.",
                attempt="In the heating panel with P1 welded, read the water left when the valve "
                "lifts.",
            ),
            Slip(
                "valve-before-p1",
                (_VALVE, _DUE, _DRY, _FUSE),
                thought="the relief valve is taken to act before P1 is due",
                why=f"P1 is due at {p1_bar:g} bar, and the valve waits for {relief_bar:g} bar.",
                attempt="Watch the gauge in the heating panel: which of the two lines comes first?",
            ),
        ),
        hints=(
            "Put pressures and temperatures of the four in a row, from low to high.",
            "A valve that is open holds pressure and temperature for as long as there is water.",
        ),
        worked=(
            f"{p1_bar:g} bar are {steam_temperature_C(p1_bar):.1f} °C; the valve's "
            f"{relief_bar:g} bar are {held_C:.1f} °C.",
            f"There it stays until the water is gone. Only a dry vessel gets to {f1_C:g} °C.",
            "So: " + "; ".join(order) + ".",
        ),
        appliance=steamer,
        setting=_ON,
    )


_AIR_BAR = {500: 0.95, 1000: 0.9, 1500: 0.85, 2000: 0.8, 2500: 0.75}
"""Air by altitude, rounded to 0.05 bar: US Standard Atmosphere 1976 has 0.955, 0.899, 0.846, 0.795
and 0.747 bar."""


def _in_the_mountains(draw: Draw) -> Exercise:
    metres = draw.one_of(list(_AIR_BAR))
    air_bar = _AIR_BAR[metres]
    gauge_bar = draw.one_of([0.5, 0.6, 0.65, 0.7, 1.1, 1.2, 1.3, 1.4])
    absolute_bar = round(air_bar + gauge_bar, 2)

    def option(bar: float) -> str:
        return f"{saturation_temperature_C(bar * PA_PER_BAR):.1f} °C"

    pressures = sorted({gauge_bar, air_bar, absolute_bar, round(1 + gauge_bar, 2), 1.0})
    steam_table = "; ".join(f"{bar:.2f} bar, {option(bar)}" for bar in pressures)
    return Exercise(
        text=(
            f"The theatre group plays in a hut at {metres} m. The steam boiler there has a "
            f"pressure switch that opens at {gauge_bar:g} bar gauge. The air up there presses with "
            f"{air_bar:.2f} bar. A table of saturated steam, by absolute pressure, has: "
            f"{steam_table}. How hot is the water when the switch opens?"
        ),
        answer=Choice(
            option(absolute_bar),
            tuple(
                draw.shuffled(
                    [
                        option(absolute_bar),
                        option(gauge_bar),
                        option(round(1 + gauge_bar, 2)),
                        option(air_bar),
                    ]
                )
            ),
        ),
        slips=(
            Slip(
                "gauge-as-absolute",
                option(gauge_bar),
                thought="gauge pressure is looked up as if it were absolute",
                why="Absolute pressure counts from vacuum, gauge pressure from the air outside.",
                attempt="Look up 0 bar in the steam table of lesson 7. Which row here is nearest?",
            ),
            Slip(
                "air-at-sea-level",
                option(round(1 + gauge_bar, 2)),
                thought="the air at sea level is added",
                why=f"At {metres} m there is less air above the boiler: {air_bar:.2f} bar.",
                attempt="Compare steam_temperature_C(0.6) and steam_temperature_C(0.6, 2000).",
            ),
            Slip(
                "boiling-point-up-there",
                option(air_bar),
                thought="the boiling point of an open pot is given",
                why="The boiler is closed; its steam presses harder than the air.",
                attempt="In the heating panel read the temperature when the gauge leaves zero, "
                "and again when P1 opens.",
            ),
        ),
        hints=(
            "Gauge pressure counts from the air outside. What is the absolute pressure?",
            "Add the air of that place, and find the sum in the table.",
        ),
        worked=(
            f"Absolute: {air_bar:.2f} bar + {gauge_bar:g} bar = {absolute_bar:.2f} bar.",
            f"The table has {option(absolute_bar)} for it.",
        ),
    )


def _share_of_the_time(draw: Draw) -> Exercise:
    weak_W, strong_W = draw.one_of(
        [(1000, 1500), (1000, 2000), (1200, 1800), (1200, 2400), (1400, 2100), (1500, 2400)]
    )
    loss_W_per_K = draw.number(2.0, 3.2, 0.2)
    cycles = [
        _ready_cycle(
            draw,
            "wallpaper-steamer",
            {
                "E1": {"power_W": power_W},
                "vessel": {"loss_W_per_K": loss_W_per_K, "water_kg": 1.5},
            },
        )
        for power_W in (weak_W, strong_W)
    ]
    (weak_share, loss_W), (strong_share, strong_loss_W) = (
        (100 * cycle.duty, cycle.mean_heat_W) for cycle in cycles
    )
    more = strong_W / weak_W
    return Exercise(
        text=(
            "The wallpaper steamer stands ready, and nobody takes steam. It loses "
            f"{loss_W:.0f} W to the room. How long is P1 closed, in per cent of the time, and what "
            f"does the element give on average? Answer for an element of {weak_W} W, and again for "
            f"one of {strong_W} W."
        ),
        answer=CellTable(
            rows=(f"{weak_W} W", f"{strong_W} W"),
            columns=(("P1 closed", "%"), ("mean power", "W")),
            value=((weak_share, loss_W), (strong_share, strong_loss_W)),
            because="three figures, and 2 % for rounding on the way; the slips are 30 % apart",
        ),
        slips=(
            Slip(
                "mean-follows-marking",
                ((weak_share, loss_W), (weak_share, loss_W * more)),
                thought="P1 is taken to be closed for the same share of the time with either",
                why="Then more heat would go in than gets lost, and the water would get hotter.",
                attempt="Run heat_up with both elements, and compare the duty of their cycles.",
            ),
            Slip(
                "stronger-is-on-longer",
                ((weak_share, loss_W), (weak_share * more, loss_W)),
                thought="the stronger element is taken to be on for longer",
                why="It warms the water faster, so that P1 opens sooner.",
                attempt="Compare how long the blocks of power are in the picture of lesson 7.",
            ),
            Slip(
                "always-on",
                ((100.0, float(weak_W)), (100.0, float(strong_W))),
                thought="the element is taken to be on all the time",
                why="Its heat would go on raising the pressure, and P1 opens.",
                attempt="Watch the power in a heating panel once P1 has opened.",
            ),
        ),
        hints=(
            "While it stands ready, the heat that goes in on average is the heat that is lost.",
            "The share of the time, times the element's power, gives the mean.",
        ),
        worked=(
            f"Either element gives what is lost on average: {loss_W:.0f} W.",
            f"{weak_W} W: {loss_W:.0f} W ÷ {weak_W} W = {weak_share:.3g} %.",
            f"{strong_W} W: {loss_W:.0f} W ÷ {strong_W} W = {strong_share:.3g} %.",
        ),
        appliance=draw.appliance("wallpaper-steamer"),
        setting=_ON,
    )


def _valve_blows_for(draw: Draw) -> Exercise:
    power_W = draw.number(1400, 2000, 100)
    water_kg = draw.number(2.0, 4.0, 0.5)
    boiler = draw.appliance(
        "wallpaper-steamer",
        {
            "E1": {"power_W": power_W},
            "vessel": {"water_kg": water_kg, "loss_W_per_K": 3.0},
        },
    )
    at_s = {event.kind: event.time_s for event in _welded_run(boiler).events}
    minutes = (at_s["dry"] - at_s["vents"]) / 60
    body = body_of(boiler)
    held_C, heat_MJ = body.held_C, body.latent_J_per_kg / 1e6
    assert held_C is not None
    lost_W = 3.0 * (held_C - _ROOM_C)
    steam_J = water_kg * body.latent_J_per_kg
    return Exercise(
        text=(
            f"In the wallpaper steamer, {power_W:g} W, P1 has welded. Its relief valve has just "
            f"lifted, at 2.5 bar, and its {water_kg:g} kg of water stay at "
            f"{held_C:.1f} °C. A kilogram of it takes {heat_MJ:.3f} MJ to become steam. The "
            f"vessel loses 3 W for each kelvin above the room, which is at {_ROOM_C:g} °C. For how "
            "many minutes does the valve blow until the vessel is dry?"
        ),
        answer=Number(
            minutes,
            "min",
            because="three figures, and 2 % for rounding on the way; the slips are 15 % apart",
        ),
        slips=(
            Slip(
                "loss-forgotten",
                steam_J / power_W / 60,
                thought="all of the element's heat is taken to make steam",
                why=f"A vessel at {held_C:.1f} °C loses some of it to the room.",
                attempt="Run heat_up with the fault 'P1 welded' and read energy.lost_J.",
            ),
            Slip(
                "heating-instead-of-boiling",
                water_kg * HEAT_OF_WATER_J_PER_KGK * (held_C - _ROOM_C) / (power_W - lost_W) / 60,
                thought="the heat for warming the water is taken, not the heat for steam",
                why="The water is as hot already as it will get; now it turns into steam.",
                attempt="Look at the flat stretch in lesson 7's picture with P1 welded.",
            ),
            Slip(
                "one-kilogram",
                body.latent_J_per_kg / (power_W - lost_W) / 60,
                thought="the heat for one kilogram is taken for all of the water",
                why=f"There are {water_kg:g} kg in the vessel.",
                attempt="Work out how many grams a minute become steam, and then for how long.",
            ),
        ),
        hints=(
            "How much of the element's power is left for steam, once the room has had its share?",
            "Heat for all of the water, divided by the watts that are left, gives seconds.",
        ),
        worked=(
            f"Lost: 3 W/K × ({held_C:.1f} − {_ROOM_C:g}) K = {lost_W:.0f} W.",
            f"Left for steam: {power_W:g} W − {lost_W:.0f} W = {power_W - lost_W:.0f} W.",
            f"{water_kg:g} kg × {heat_MJ:.3f} MJ ÷ {power_W - lost_W:.0f} W = "
            f"{steam_J / (power_W - lost_W):.0f} s, which is {written(round(minutes, 1), 'min')}.",
        ),
        appliance=boiler,
        setting=_ON,
    )


_SUSPECTS = {
    "P1 does not make": "P1 not making",
    "P1 has welded": "P1 welded",
    "E1 is open": "E1 open",
    "S1 does not make": "S1 not making",
    "H1 is open": "H1 open",
    "H2 is open": "H2 open",
}


@lru_cache(maxsize=256)
def _signs(steamer: Appliance, fault: str) -> str:
    """What a steamer with that fault shows, from cold, over 15 minutes."""
    first = solve(steamer, _ON, fault=fault)
    kinds = {event.kind for event in heat_up(steamer, _ON, minutes=15, fault=fault).events}
    if "vents" in kinds:
        goes = "within 15 minutes its pressure rises until the relief valve blows"
    else:
        goes = (
            f"within 15 minutes its pressure rises to {_p1(steamer).opens_at_bar:g} bar and no "
            "higher"
            if "opens" in kinds
            else "after 15 minutes it is still cold"
        )
    lamps = [
        f"{name} {'glows' if first.part[name].power_W else 'is dark'}" for name in ("H1", "H2")
    ]
    return f"when switched on, {' and '.join(lamps)}; {goes}"


def _steamer_with_signs(draw: Draw) -> Exercise:
    power_W = draw.number(1200, 1600, 50)
    steamer = draw.appliance("garment-steamer", {"E1": {"power_W": power_W}})
    right = draw.one_of(list(_SUSPECTS))
    found = _signs(steamer, _SUSPECTS[right])
    return Exercise(
        text=(
            f"A garment steamer with an element of {power_W:g} W is switched on, cold and full. "
            f"What is seen: {found}. Which one fault explains it?"
        ),
        answer=Choice(right, tuple(draw.shuffled(list(_SUSPECTS)))),
        slips=tuple(
            Slip(
                f"signs-do-not-fit-{fault.replace(' ', '-')}",
                option,
                thought=f"{fault.split()[0]} is suspected without asking what else would be seen",
                why=f"With that fault you would see: {_signs(steamer, fault)}.",
                attempt=f"Choose the fault '{fault}' in the heating panel of lesson 7, and press "
                "Start.",
            )
            for option, fault in _SUSPECTS.items()
            if option != right
        ),
        hints=(
            "H1 needs S1 alone. What does H2 need, and what does the heat need?",
            "A lamp across a part tells whether the rest of its loop is closed.",
        ),
        worked=(
            "H1 needs S1. H2 needs S1 and P1. Heat needs S1, F1, E1 and P1; P1 ends it.",
            f"{found[0].upper()}{found[1:]}: {right}.",
        ),
        appliance=steamer,
        setting=_ON,
    )


@lru_cache(maxsize=64)
def _openings_per_hour(steamer: Appliance) -> float:
    cycle = heat_up(steamer, _ON, minutes=30).cycle
    assert cycle is not None
    return 3600 / cycle.period_s


def _closing_pressure(draw: Draw) -> Exercise:
    loss_W_per_K = draw.one_of([1.5, 1.8, 2.1])
    opens_bar = _p1(draw.appliance("garment-steamer")).opens_at_bar
    closes_bar = sorted(draw.some_of([0.2, 0.3, 0.35, 0.4, 0.45, 0.5, 0.55], 4), reverse=True)
    times = [
        _openings_per_hour(
            draw.appliance(
                "garment-steamer",
                {
                    "P1": {"closes_at_bar": bar},
                    "vessel": {"loss_W_per_K": loss_W_per_K, "start_C": 100.0},
                },
            )
        )
        for bar in closes_bar
    ]
    place = draw.one_of([1, 2])
    most = round((times[place - 1] + times[place]) / 2)
    assert times[place] < most < times[place - 1]

    def option(index: int) -> str:
        return f"{closes_bar[index]:g} bar"

    order = draw.one_of([[0, 1, 2, 3], [3, 2, 1, 0]])
    too_often = [
        Slip(
            f"opens-too-often-with-{option(index)}".replace(" ", "-"),
            option(index),
            thought="the steadier steam is chosen, and the openings are not counted",
            why=f"Closing at {option(index)}, P1 would open {times[index]:.0f} times an hour.",
            attempt="Run the cell with the four closing pressures of lesson 7 with yours.",
        )
        for index in range(place)
    ]
    too_cool = [
        Slip(
            f"cooler-than-asked-with-{option(index)}".replace(" ", "-"),
            option(index),
            thought="a wider gap is taken as better, as it spares the contact",
            why=f"That is {times[index]:.0f} openings an hour, and the steam gets cooler than "
            "it has to.",
            attempt="Count the openings for the closing pressure next above yours.",
        )
        for index in range(place + 1, 4)
    ]
    return Exercise(
        text=(
            "Somebody designs a pressure switch for a garment steamer that loses "
            f"{loss_W_per_K:g} W for each kelvin above the room. It opens at {opens_bar:g} bar. So "
            f"that its contact lasts, it should open at most {most} times an hour while the "
            "steamer stands ready. Choose the highest closing pressure that keeps to it."
        ),
        answer=Choice(option(place), tuple(option(index) for index in order)),
        slips=(*too_often, *too_cool),
        hints=(
            "A smaller gap gives hotter steam and more openings. Which of the two has a limit?",
            "Lesson 7 has a cell with four closing pressures. Change them to these; the loss is "
            "loss_W_per_K of the vessel.",
        ),
        worked=(
            "Openings in an hour: "
            + "; ".join(
                f"closing at {option(index)}, {count:.0f}" for index, count in enumerate(times)
            )
            + ".",
            f"At most {most} are wanted. The highest pressure that keeps to it is {option(place)}.",
        ),
    )


def _costume_steamer(
    power_W: float, wires: tuple[str, str, str, str], bar: tuple[float, float]
) -> Appliance:
    """`wires`: between what S1, P1, F1 and E1 lie; F1 is left out where that is empty. `bar`: where
    P1 opens and closes."""
    switch, pressure, fuse, element = (
        ", ".join(f'"{node}"' for node in pair.split()) for pair in wires
    )
    guard = f'thermal_fuse = [{{ name = "F1", between = [{fuse}], opens_at_C = 192 }}]'
    return read_appliance(
        f"""\
title = "Costume steamer"
supply.voltage_V = 230
switch = [{{ name = "S1", positions = ["off", "on"], contacts = [
  {{ between = [{switch}], closed_in = ["on"] }}] }}]
{guard if fuse else ""}
element = [{{ name = "E1", between = [{element}], power_W = {power_W:g}, voltage_V = 230 }}]
[[pressure_switch]]
name = "P1"
between = [{pressure}]
opens_at_bar = {bar[0]:g}
closes_at_bar = {bar[1]:g}
"""
    )


_IN_LINE = ("L fed", "fed high", "high top", "top N")
"""Between what the parts of the costume steamer belong."""


def _switch_in_the_line(draw: Draw) -> Exercise:
    power_W = draw.number(900, 2000, 50)
    bar = draw.one_of([(0.5, 0.35), (0.6, 0.4), (0.8, 0.65)])
    right, in_neutral, fuse_in_neutral, before, none = (
        _costume_steamer(power_W, wires, bar)
        for wires in (
            _IN_LINE,
            ("L fed", "bottom N", "fed top", "top bottom"),
            ("L fed", "fed top", "bottom N", "top bottom"),
            ("high fed", "L high", "fed top", "top N"),
            ("L fed", "fed top", "", "top N"),
        )
    )
    return Exercise(
        text=(
            f"A costume steamer has one element, {power_W:g} W at 230 V; one switch S1, off and "
            "on, with one contact; a thermal fuse that opens at 192 °C; and a pressure switch that "
            f"opens at {bar[0]:g} bar and closes at {bar[1]:g} bar. Write its file so that with "
            "the pressure switch or the fuse open neither end of the element is live, and with S1 "
            "off nothing inside is. Mains 230 V, line and neutral as marked. Leave out lamps."
        ),
        answer=CircuitFile(
            right,
            start_text='title = "Costume steamer"\n\n[supply]\nvoltage_V = 230\n',
            must=("live points", "lamps", "protection", "marks", "positions"),
        ),
        slips=(
            Slip(
                "pressure-switch-in-the-neutral",
                in_neutral,
                thought="the pressure switch sits between the element and N",
                why="It stops the heat, and leaves the whole element on the line.",
                attempt="Set the pressure switch to open in the panel of your file and read the "
                "ends of the element.",
            ),
            Slip(
                "fuse-in-the-neutral",
                fuse_in_neutral,
                thought="the thermal fuse sits between the element and N",
                why="Open, it stops the heat, and leaves the whole element on the line.",
                attempt="Set the fuse to open in the panel of your file and read the ends of the "
                "element.",
            ),
            Slip(
                "pressure-switch-before-s1",
                before,
                thought="the pressure switch comes before S1",
                why="Then the wire from one to the other is live while S1 is off.",
                attempt="Set S1 to off in the panel of your file and read every point.",
            ),
            Slip(
                "fuse-left-out",
                none,
                thought="there is no thermal fuse in the file",
                why="With the pressure switch welded and the vessel dry, nothing would stop it.",
                attempt="Count the parts in the drawing of your file.",
            ),
        ),
        hints=(
            "On which side of the element must a contact sit to part it from the line?",
            "One chain from L to N: which part comes first, and which last?",
        ),
        worked=(
            'S1 joins "L" to a node, such as "fed".',
            'The pressure switch lies between "fed" and "high", the fuse between "high" and "top".',
            'The element goes from "top" to "N".',
        ),
    )


EXERCISES = (
    Template("steamer-standing-ready", 7, "same circuit", _TIMES, _standing_ready),
    Template("live-points-under-pressure", 7, "same circuit", _OPENS, _live_under_pressure),
    Template("steamer-time-to-ready", 7, "same circuit", _TIMES, _time_to_ready),
    Template("welded-p1-in-order", 7, "same circuit", _WELDED, _welded_order),
    Template("boiler-in-the-mountains", 7, "new circuit", _HOW_HOT, _in_the_mountains),
    Template("share-of-the-time", 7, "new circuit", _TIMES, _share_of_the_time),
    Template("relief-valve-blows", 7, "new circuit", _WELDED, _valve_blows_for),
    Template("steamer-with-signs", 7, "find or design", _OPENS, _steamer_with_signs),
    Template("closing-pressure", 7, "find or design", _GAP, _closing_pressure),
    Template("pressure-switch-in-the-line-file", 7, "find or design", _OPENS, _switch_in_the_line),
)
