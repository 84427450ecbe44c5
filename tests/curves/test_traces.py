"""What a heating curve is drawn from: exact at events, smooth between, few points for a day."""

from itertools import pairwise

import numpy as np
import pytest

from lessonlib import heat_up, load_appliance
from lessonlib.curves.traces import View, line, spans, steps
from lessonlib.heat.segment import Segment

STEAMER = load_appliance("garment-steamer")
HOUR = heat_up(STEAMER, {"S1": "on"}, minutes=60)
DAY = heat_up(
    STEAMER, {"S1": "on"}, minutes=1440, schedule=[(400, {"S1": "off"}), (700, {"S1": "on"})]
)
DRY = heat_up(STEAMER, {"S1": "on"}, minutes=60, fault="P1 welded")


def view(run, point_s=10.0):
    return View(run, 0.0, run.end_s, point_s)


def drawn(run, point_s=10.0, corner_C=None):
    """The line of a run's temperature."""
    return line(view(run, point_s), Segment.temperature_C, corner_C)


@pytest.mark.parametrize("run", [HOUR, DRY])
def test_each_event_in_the_run_is_a_point_with_its_own_temperature(run):
    time_s, values = drawn(run, point_s=1.0)
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
    assert max(np.diff(time_s)) <= 7.5


def test_the_moment_at_which_gauge_pressure_begins_to_rise_is_a_point():
    boils_C = 99.97
    added = sorted(set(drawn(DRY, 20.0, boils_C)[0]) - set(drawn(DRY, 20.0)[0]))
    assert len(added) == 2  # on the way up, and on the way down
    # of 100 °C: rounding of the closed form
    assert [DRY.temperature_C(time_s) for time_s in added] == pytest.approx([boils_C] * 2, abs=1e-9)


def test_the_few_points_of_a_day_reach_as_high_and_as_low_as_the_run_in_every_stretch():
    assert len(DAY.events) > 900
    time_s, values = drawn(DAY, point_s=300.0)
    assert len(time_s) < 600
    for start_s in np.arange(0, DAY.end_s - 2700, 2700):
        near = values[(time_s > start_s - 900) & (time_s < start_s + 3600)]
        exact = [DAY.temperature_C(at_s) for at_s in np.linspace(start_s, start_s + 2700, 997)]
        assert near.min() <= min(exact)
        assert max(exact) <= near.max()


def test_spans_say_where_a_contact_is_and_for_how_long():
    found = spans(view(HOUR, point_s=1.0), "P1")
    moves = [event.time_s for event in HOUR.events if event.part == "P1"]
    assert [span.end_s for span in found[:-1]] == moves
    assert [span.position for span in found[:3]] == ["closed", "open", "closed"]
    assert [one.end_s for one in found[:-1]] == [two.start_s for two in found[1:]]
    (welded,) = spans(view(DRY), "P1")
    assert (welded.start_s, welded.end_s, welded.position) == (0, DRY.end_s, "closed")


def test_spans_too_short_to_be_drawn_are_counted_and_a_hand_on_a_switch_is_drawn_amid_them():
    turns = spans(view(DAY, point_s=300.0), "S1")
    assert [(span.start_s / 60, span.position) for span in turns] == [
        *((0, "on"), (400, "off"), (700, "on"))
    ]
    found = spans(view(DAY, point_s=300.0), "P1")
    moves = sum(event.part == "P1" for event in DAY.events)
    assert sum(span.moves for span in found) + len(found) - 1 == moves
    assert [bool(span.moves) for span in found].count(True) == 2
    assert all(one.end_s == two.start_s for one, two in pairwise(found))


def test_the_steps_of_power_hold_the_energy_drawn():
    time_s, watts = steps(view(HOUR, point_s=1.0))
    assert np.trapezoid(watts, time_s) == pytest.approx(HOUR.energy.drawn_J, rel=1e-12)
