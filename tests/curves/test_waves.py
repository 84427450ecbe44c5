"""Pictures of waveforms: a finding in words, and marks that are true and clear of each other."""

import re

import pytest

from lessonlib import load_appliance, solve, waveform
from lessonlib.curves.waves import waves
from tests.curves.svg_words import boxes, crossed, outside, overlaps, words

MELTER = load_appliance("wax-melter")
HALF = solve(MELTER, {"S1": "on", "S2": "half"})
STEAMER = solve(load_appliance("garment-steamer"), {"S1": "on"})
FULL = solve(MELTER, {"S1": "on", "S2": "full"})


def test_the_finding_names_every_mark_that_the_picture_shows():
    picture = waves(waveform(HALF, "E1"))
    assert repr(picture) == (
        "E1 over 20 ms: voltage peak 325 V, r.m.s. 163 V, mean 104 V; current peak 4.92 A, "
        "r.m.s. 2.46 A, mean 1.57 A; power peak 1600 W, mean 400 W"
    )
    shown = words(picture)
    marks = re.findall(r"(?:peak|r\.m\.s\.|mean) [^,;]+", picture.finding)
    assert len(marks) == 8
    assert [mark for mark in marks if mark not in shown] == []


def test_axes_carry_units_and_the_prediction_its_name():
    picture = waves(waveform(HALF, "E1"), predicted=waveform(FULL, "E1"), predicted_name="no diode")
    shown = words(picture)
    assert {"voltage, V", "current, A", "power, W", "time, ms"} <= set(shown)
    assert shown.count("dashed: no diode") == 3
    assert not any("dashed" in said for said in words(waves(waveform(HALF, "E1"))))


@pytest.mark.parametrize(
    ("now", "part", "predicted"),
    [
        (HALF, "E1", None),
        (HALF, "E1", FULL),
        (FULL, "E1", HALF),
        (HALF, "D1", None),
        (STEAMER, "H1", None),
    ],
)
def test_words_stay_in_the_picture_and_clear_of_each_other_and_of_lines(now, part, predicted):
    options = {}
    if predicted is not None:
        options = {"predicted": waveform(predicted), "predicted_name": "a long name for a guess"}
    picture = waves(waveform(now, part), **options)
    assert any(said.startswith("r.m.s. ") for said in words(picture))  # D1's wave is below zero
    found = boxes(picture)
    assert overlaps(found) == []
    assert crossed(picture, found) == []
    assert outside(picture, found) == []
