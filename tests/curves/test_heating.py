"""Pictures of heating runs: every appliance and fault, words that are true and clear of each other,
small however long the run."""

import json
import re

import pytest

from lessonlib import heat_up, load_appliance, read_appliance, single_faults
from lessonlib.curves.heating import heating_curve
from lessonlib.errors import DrawingError
from tests.curves.svg_words import boxes, crossed, outside, overlaps, words
from tests.heat.kettles import VESSELS, all_on, element, table, toml

STEAMER = load_appliance("garment-steamer")
MELTER = load_appliance("wax-melter")
ON = {"S1": "on"}
HOUR = heat_up(STEAMER, ON, minutes=60)


def pot(title, *parts):
    vessel = toml({"water_kg": 1, "loss_W_per_K": 2})
    return read_appliance(
        "\n".join([toml({"title": title}), "[supply]\nvoltage_V = 230", *parts, "[vessel]", vessel])
    )


def switch(name, positions):
    """One pole, open in the first position."""
    contact = f'contacts = [{{ between = ["L", "fed"], closed_in = {json.dumps(positions[1:])} }}]'
    return "[[switch]]\n" + toml({"name": name, "positions": positions}) + contact


def pictures():
    """Every bundled vessel, a sealed and an open one with each fault that makes it do something
    else, and some runs that crowd the picture."""
    for name in VESSELS:
        appliance, seen = load_appliance(name), set()
        faults = single_faults(appliance) if name in ("garment-steamer", "wax-melter") else ()
        for fault in (None, *faults):
            run = heat_up(appliance, all_on(appliance), minutes=90, fault=fault)
            does = run.events, run.energy
            if does not in seen:
                yield f"{name}, {fault}", run, {}
            seen.add(does)
    hand = [(minute, {"S1": "off" if minute % 2 else "on"}) for minute in range(20, 30)]
    for minutes in (1, 240, 18_000):
        yield f"{minutes} min", heat_up(STEAMER, ON, minutes=minutes), {}
    yield "no part that moves", heat_up(pot("Pot", element("E1", ("L", "N"), 500)), minutes=5), {}
    yield "hand", heat_up(STEAMER, ON, minutes=60, schedule=hand), {}
    yield "one cycle", HOUR, {"from_min": 8.5, "to_min": 10.9}
    yield "between events", HOUR, {"from_min": 9, "to_min": 9.5}
    low = heat_up(STEAMER, ON, minutes=40, supply_voltage_V=200)
    yield "predicted", HOUR, {"predicted": low, "predicted_name": "my own guess at 200 volts"}
    yield "other vessel", HOUR, {"predicted": heat_up(MELTER, ON, minutes=20)}


@pytest.mark.parametrize(
    ("run", "options"), [pytest.param(run, options, id=name) for name, run, options in pictures()]
)
def test_words_stay_in_the_picture_and_clear_of_each_other_and_of_lines(run, options):
    picture = heating_curve(run, **options)
    found = boxes(picture)
    assert overlaps(found) == []
    assert crossed(picture, found) == []
    assert outside(picture, found) == []
    assert len(picture.svg) < 300_000
    moves = sum(event.part == "P1" for event in run.events)
    if moves > 10_000:  # a long run is in hours, and small
        assert "time, hours" in words(picture)
        (said,) = [int(text.split()[0]) for text in words(picture) if text.endswith(" moves")]
        assert moves - 2 <= said <= moves  # those before the first short interval are drawn
        assert len(picture.svg) < 80_000


def test_an_hour_of_the_steamer_says_when_it_is_ready_and_how_it_cycles():
    picture = heating_curve(HOUR)
    cycle = HOUR.cycle
    assert repr(picture) == (
        "Garment steamer over 60 min 00 s: S1 on, 230 V: 20.0 °C at the start; ready after "
        "6 min 16 s: P1 opens at 0.6 bar gauge (113.5 °C), the first of 29; P1 opens every "
        f"1 min 53 s, is closed for {100 * cycle.duty:.3g} % of the time, between 110.6 °C and "
        f"113.5 °C, drawing {cycle.mean_power_W:.0f} W on average; 112.0 °C at the end, "
        "0.52 bar gauge"
    )
    shown = words(picture)
    assert {"temperature, °C", "gauge, bar", "power, W", "time, minutes"} <= set(shown)
    assert {"P1 opens 113.5 °C", "P1 closes 110.6 °C"} <= set(shown)
    assert {"P1 opens 0.6 bar", "P1 closes 0.45 bar"} <= set(shown)
    assert {"1501 W", "mean 166 W", "closed 11 %"} <= set(shown)
    assert {"S1", "on", "F1", "closed", "P1"} <= set(shown)
    assert "F1 opens 192 °C" not in shown  # far above the curve


def test_a_welded_pressure_switch_shows_what_ends_it():
    picture = heating_curve(heat_up(STEAMER, ON, minutes=60, fault="P1 welded"))
    for part in (
        "not ready: no thermostat or pressure switch opens; ",
        "after 8 min 06 s the relief valve lifts at 2.5 bar gauge; ",
        "after 41 min 30 s boiled dry",
        "after 41 min 58 s F1 opens at 192 °C, and stays open; ",
    ):
        assert part in picture.finding
    shown = words(picture)
    assert {"F1 opens 192 °C", "relief valve 139 °C", "relief valve 2.5 bar"} <= set(shown)
    assert {"P1 should open 113.5 °C", "P1 should open 0.6 bar"} <= set(shown)
    assert not any("should close" in said for said in shown)  # it never opens
    assert shown.count("welded") == 3  # in the row and beside it, and a line of the list
    assert shown.count("open") == 1  # the fuse, at last
    # what happens is numbered above and listed below
    assert [shown.count(str(number)) for number in range(3, 8)] == [2, 2, 2, 2, 0]
    times = [said for said in shown if re.fullmatch(r"\d+ min \d\d s", said)]
    assert times == ["6 min 16 s", "8 min 06 s", "41 min 30 s", *["41 min 58 s"] * 2, "45 min 49 s"]


def test_an_open_vessel_has_no_pressure_and_a_boiling_point():
    run = heat_up(
        MELTER,
        {"S1": "on", "S2": "full"},
        minutes=90,
        schedule=[(8, {"S2": "half"}), (40, {"S1": "off"}), (70, {"S1": "on", "S2": "full"})],
    )
    picture = heating_curve(run)
    assert "ready after 7 min 43 s: the water boils at 100.0 °C" in picture.finding
    shown = words(picture)
    assert "gauge, bar" not in shown
    assert "boils 100 °C" in shown
    assert [said for said in shown if said in ("half", "full", "on", "off")] == [
        *("on", "off", "on"),
        *("full", "half", "full"),
    ]
    assert {"400 W", "800 W"} <= set(shown)


def test_too_many_different_things_are_cut_short_and_said_to_be():
    steps = [str(number) for number in range(12)]
    stepped = pot("Pot", switch("S1", steps), element("E1", ("fed", "N"), 500))
    turns = [(int(step), {"S1": step}) for step in steps[1:]]
    picture = heating_curve(heat_up(stepped, minutes=12, schedule=turns))
    shown = words(picture)
    assert [said for said in shown if said.startswith("S1 turned")][-1] == "S1 turned to 9"
    assert "… and 2 further, listed in the run's table" in shown
    assert picture.finding.count("S1 turned") == 11
    assert overlaps(boxes(picture)) == []


def test_a_fuse_on_an_element_has_a_line_of_its_own():
    run = heat_up(load_appliance("punch-warmer"), {"S1": "boost"}, minutes=180)
    shown = words(heating_curve(run))
    assert "thin: F1 on E2" in shown
    assert "F1 opens 172 °C" in shown
    assert "thin: F1 on E2" not in words(heating_curve(HOUR))
    # while it boils, the fuse is 39 K warmer than the water, and its line ends that much higher
    boiling = dict(boxes(heating_curve(run, to_min=60)))
    bottom = {said: box[3] for said, box in boiling.items()}
    share = (bottom["100"] - bottom["thin: F1 on E2"]) / (bottom["100"] - bottom["120"])
    assert share == pytest.approx(39 / 20, abs=0.1)  # words at an axis sit a little lower


def test_a_window_shows_no_more_than_what_is_in_it():
    picture = heating_curve(HOUR, from_min=8.5, to_min=10.9)
    assert "(from 8 min 30 s to 10 min 54 s)" in picture.finding
    assert "ready" not in picture.finding
    assert "P1 opens at 0.6 bar gauge (113.5 °C)" in words(picture)
    assert "mean 166 W" in words(picture)
    calm = heating_curve(HOUR, from_min=9, to_min=9.5)
    assert "mean 166 W" not in words(calm)
    assert "open" in words(calm)


def test_the_prediction_is_named_in_each_panel_and_told_in_words():
    low = heat_up(STEAMER, ON, minutes=40, supply_voltage_V=200)
    picture = heating_curve(HOUR, predicted=low, predicted_name="at 200 V")
    assert words(picture).count("at 200 V") == 2
    assert ". at 200 V, dashed: ready after 8 min 27 s, " in picture.finding
    assert "stroke-dasharray" in picture.svg
    open_vessel = heat_up(MELTER, ON, minutes=20)  # it has no pressure to compare
    assert words(heating_curve(HOUR, predicted=open_vessel)).count("predicted") == 1
    short = heat_up(STEAMER, ON, minutes=5)  # it ends before the window
    assert "predicted" not in words(heating_curve(HOUR, predicted=short, from_min=10))


def test_names_are_text_and_no_markup_or_formula():
    odd = pot(
        "A & B <i>",
        switch("<S>$x^2$", ["off", 'on & "up"']),
        element("E1", ("fed", "t"), 500),
        table("thermostat", "T$1$ 温控", ("t", "N"), opens_at_C=80, closes_at_C=70),
    )
    run = heat_up(odd, {"<S>$x^2$": 'on & "up"'}, minutes=60)
    picture = heating_curve(run, predicted=run, predicted_name="$\\frac<b>\x00")
    shown = words(picture)
    assert {'on & "up"', "T$1$ 温控 opens 80 °C", "$\\frac<b>\ufffd"} <= set(shown)
    html = picture._repr_mimebundle_()["text/html"]
    assert "<b>" not in html
    assert "<i>" not in html


@pytest.mark.parametrize(
    ("from_min", "to_min"),
    [
        *((-1, None), (None, 60.1), (20, 20), (float("nan"), None), (None, "20")),
    ],
)
def test_a_time_outside_the_run_is_refused_with_what_is_accepted(from_min, to_min):
    with pytest.raises(DrawingError, match="0 to 60, where the run ends"):
        heating_curve(HOUR, from_min=from_min, to_min=to_min)
