"""Exercises on choosing parts, against the findings of the whole appliance."""

from __future__ import annotations

import re

import pytest

from lessonlib import findings, load_appliance, read_appliance, variant
from lessonlib.appliance.bundled import workbook_folder
from lessonlib.appliance.parts import Appliance
from lessonlib.questions.content import read_entries
from lessonlib.questions.exercise import Exercise
from tests.questions.variants import variants

FILE = workbook_folder() / "questions" / "lesson-10.md"
OWN = read_entries(FILE.read_text("utf-8"), FILE.name)[0].circuits


def numbers(text: str) -> list[float]:
    return [float(found) for found in re.findall(r"[0-9]+(?:\.[0-9]+)?", text)]


def failing(appliance: Appliance, part: str) -> set[str]:
    rows = findings(appliance).about(part)
    return {row.what for row in rows if row.verdict == "fail" and row.what != "half waves"}


def slips(exercise: Exercise) -> dict[str, str]:
    return {slip.name: str(slip.value) for slip in exercise.slips}


def test_the_least_diode_passes_and_one_that_shares_the_voltage_fails() -> None:
    for exercise in variants("least-diode")[::6]:
        power_W, mains_V = numbers(exercise.text)[:2]
        warmer = variant(
            read_appliance(OWN["dish-warmer"]),
            {"E1": {"power_W": power_W, "voltage_V": mains_V}, "supply": {"voltage_V": mains_V}},
        )

        def with_diode(words: str, warmer: Appliance = warmer) -> set[str]:
            amps, volts = numbers(words)
            return failing(variant(warmer, {"D1": {"rated_A": amps, "rated_V": volts}}), "D1")

        assert not with_diode(str(exercise.answer.value))
        assert with_diode(slips(exercise)["shares-the-voltage"])


def test_the_fuse_that_holds_passes_and_each_of_the_others_fails() -> None:
    for exercise in variants("fuse-that-holds")[::20]:
        power_W, rise = (numbers(exercise.text)[place] for place in (1, 4))
        for words in exercise.answer.options:
            mark_C, holds_C, amps = numbers(words)
            marks = {"opens_at_C": mark_C, "holds_C": holds_C, "rated_A": amps}
            warmer = variant(
                load_appliance("punch-warmer"),
                {"E2": {"power_W": power_W}, "F1": {**marks, "rise_K_per_W": rise}},
            )
            assert bool(failing(warmer, "F1")) is (words != exercise.answer.value), words


PART = {
    "S1": "S1",
    "D1, its current": "D1",
    "D1, its voltage": "D1",
    "the cord": "cord",
    "the plug fuse": "plug fuse",
}


@pytest.mark.parametrize("culprit", PART)
def test_the_finding_that_is_missing_is_the_one_that_fails(culprit: str) -> None:
    found = [each for each in variants("finding-that-is-missing") if each.answer.value == culprit]
    assert found
    for exercise in found[:3]:
        power_W, _, _, s1_A, _, amps, volts, area_mm2, length_m, fuse_A, *_ = numbers(exercise.text)
        warmer = variant(
            read_appliance(OWN["dish-warmer"]),
            {
                "E1": {"power_W": power_W},
                "S1": {"rated_A": s1_A},
                "D1": {"rated_A": amps, "rated_V": volts},
                "supply": {
                    "cord_area_mm2": area_mm2,
                    "cord_length_m": length_m,
                    "plug_fuse_A": fuse_A,
                },
            },
        )
        fails = {part for part in PART.values() if failing(warmer, part) - {"protects the cord"}}
        assert fails == {PART[culprit]}
