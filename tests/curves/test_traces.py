"""What a heating curve is drawn from: exact at events, smooth between, few points for a day."""

from itertools import pairwise

import numpy as np
import pytest

from lessonlib import heat_up, load_appliance
from lessonlib.curves.traces import bands, happenings, line, spans, steps, stretches_of

STEAMER = load_appliance("garment-steamer")
HOUR = heat_up(STEAMER, {"S1": "on"}, minutes=60)
DAY = heat_up(
    STEAMER, {"S1": "on"}, minutes=1440, schedule=[(400, {"S1": "off"}), (700, {"S1": "on"})]
)
DRY = heat_up(STEAMER, {"S1": "on"}, minutes=60, fault="P1 welded")


def warmth(run):
    return lambda _, time_s: run.temperature_C(time_s)


def drawn(run, step_s=8.0, corner_C=None):
    """The line of a run's temperature, each piece by itself."""
    return line(warmth(run), stretches_of(run, 0, run.end_s, 0.0), step_s, corner_C)


@pytest.mark.parametrize("run", [HOUR, DRY])
def test_each_event_in_the_run_is_a_point_with_its_own_temperature(run):
    time_s, values = drawn(run)
    assert (time_s[0], time_s[-1]) == (0, run.end_s)
    found = dict(zip(time_s, values, strict=True))
    assert [found[event.time_s] for event in run.events] == pytest.approx(
        [event.temperature_C for event in run.events],
        abs=1e-9,  # of 200 °C: rounding of the closed form
    )


def test_between_points_the_line_is_within_a_hairline_of_the_exact_curve():
    time_s, values = drawn(DRY)
    middle_s = (time_s[1:] + time_s[:-1]) / 2
    exact = [DRY.temperature_C(time_s) for time_s in middle_s]
    # 0.2 K is 0.2 pt in a panel of 150 pt that spans 180 K
    assert np.max(np.abs(exact - (values[1:] + values[:-1]) / 2)) < 0.2
    assert max(np.diff(time_s)) <= 8.0


def test_the_moment_at_which_gauge_pressure_begins_to_rise_is_a_point():
    parts = stretches_of(DRY, 0, DRY.end_s, 0.0)
    boils_C = 99.97
    time_s, _ = line(warmth(DRY), parts, 600.0, boils_C)
    without, _ = line(warmth(DRY), parts, 600.0, None)
    added = sorted(set(time_s) - set(without))
    assert len(added) == 2  # on the way up, and on the way down
    # found by halving to 1e-9 of the time, where it warms by up to 0.3 K/s
    assert [DRY.temperature_C(time_s) for time_s in added] == pytest.approx([boils_C] * 2, abs=1e-5)


def test_a_day_of_cycling_becomes_two_bands_and_few_points():
    assert len(DAY.events) > 900
    parts = stretches_of(DAY, 0, DAY.end_s, 800.0)
    assert [part.dense for part in parts].count(True) == 2
    time_s, values = line(warmth(DAY), parts, 200.0, None)
    assert len(time_s) < 600
    assert np.isnan(values).sum() == 2
    low, high = DAY.cycle.lowest_C, DAY.cycle.highest_C
    last = bands(warmth(DAY), parts, 400.0)[-1]
    # the first columns hold the warming up; from then on it is the cycle, to rounding
    assert last.low[3:] == pytest.approx(low, abs=1e-9)
    assert last.high[3:] == pytest.approx(high, abs=1e-9)
    assert last.time_s[-1] == DAY.end_s


def test_a_band_holds_every_temperature_of_the_run():
    parts = stretches_of(DAY, 0, DAY.end_s, 800.0)
    for band in bands(warmth(DAY), parts, 400.0):
        for time_s in np.linspace(band.time_s[1], band.time_s[-2], 997):
            value = DAY.temperature_C(time_s)
            # at a column's edge the outline slopes to the next column: allow half a cycle's rise
            near = np.abs(band.time_s - time_s) <= 400.0
            assert band.low[near].min() <= value <= band.high[near].max()


def test_stretches_cover_the_time_asked_for_without_gap():
    found = stretches_of(DAY, 3000.0, 50_000.0, 800.0)
    pieces = [each for stretch in found for each in stretch.intervals]
    assert (pieces[0].start_s, pieces[-1].end_s) == (3000.0, 50_000.0)
    assert [one.end_s for one in pieces[:-1]] == [one.start_s for one in pieces[1:]]


def test_a_hand_on_a_switch_is_drawn_also_amid_cycling():
    busy = heat_up(
        STEAMER, {"S1": "on"}, minutes=600, schedule=[(300, {"S1": "off"}), (303, {"S1": "on"})]
    )
    found = spans("S1", stretches_of(busy, 0, busy.end_s, 800.0))
    assert [(span.start_s, span.position) for span in found] == [
        (0, "on"),
        (18_000, "off"),
        (18_180, "on"),
    ]


def test_spans_say_where_a_contact_is_and_for_how_long():
    found = spans("P1", stretches_of(HOUR, 0, HOUR.end_s, 0.0))
    moves = [event.time_s for event in HOUR.events if event.part == "P1"]
    assert [span.end_s for span in found[:-1]] == moves
    assert [span.position for span in found[:3]] == ["closed", "open", "closed"]
    assert [one.end_s for one in found[:-1]] == [two.start_s for two in found[1:]]
    welded = spans("P1", stretches_of(DRY, 0, DRY.end_s, 0.0))
    assert [(span.start_s, span.end_s, span.position) for span in welded] == [
        (0, DRY.end_s, "closed")
    ]


def test_a_dense_span_counts_what_it_does_not_draw():
    found = spans("P1", stretches_of(DAY, 0, DAY.end_s, 800.0))
    counted = sum(span.moves for span in found)
    alone = sum(
        one.end_s == two.start_s and not (one.moves or two.moves) for one, two in pairwise(found)
    )
    events = [event for event in DAY.events if event.part == "P1"]
    # a move on the border of a dense span is seen as that border
    assert len(events) - 4 <= counted + alone <= len(events)


def test_the_steps_of_power_hold_the_energy_drawn():
    time_s, watts = steps(stretches_of(HOUR, 0, HOUR.end_s, 0.0))
    assert np.trapezoid(watts, time_s) == pytest.approx(HOUR.energy.drawn_J, rel=1e-12)


def test_each_different_thing_is_told_once_with_how_often_it_happens():
    found = happenings(HOUR, 0, HOUR.end_s)
    assert [one.words for one in found] == [
        "P1 opens at 0.6 bar gauge (113.5 °C), the first of 29",
        "P1 closes at 0.45 bar gauge (110.6 °C), the first of 28",
    ]
    opened = [event.time_s for event in HOUR.events if event.kind == "opens"]
    assert found[0].first.time_s == opened[0]
    later = happenings(HOUR, opened[1] - 1, opened[2] - 1)
    assert [(one.first.kind, one.times) for one in later] == [("opens", 1), ("closes", 1)]
    assert later[0].words == "P1 opens at 0.6 bar gauge (113.5 °C)"
