"""Exercises of lesson 9: what holds for them beyond what holds for every exercise."""

from __future__ import annotations

import re
from typing import Any

import pytest

from lessonlib.questions.answers import Number
from tests.questions.variants import variants

_OHMS = re.compile(r"(OL|[0-9.]+)(?: Ω)? with \w+ open")


def said(pattern: str, text: str) -> tuple[Any, ...]:
    found = re.search(pattern, text)
    assert found is not None, text
    return found.groups()


def test_each_of_two_elements_is_between_the_lugs_where_it_reads_alone() -> None:
    wanted = {"weaker": 1, "stronger": 0}
    for exercise in variants("lugs-of-a-block"):
        readings = re.findall(r"([0-9.]+) Ω from (\w) to (\w)", exercise.text)
        assert float(max(readings, key=lambda each: float(each[0]))[0]) == pytest.approx(
            sum(sorted(float(each[0]) for each in readings)[:2]), abs=0.11
        )
        (want,) = said(r"which lugs is the (\w+) element", exercise.text)
        rising = sorted(readings, key=lambda each: float(each[0]))
        _, one, other = rising[wanted[want]]
        assert exercise.answer.value == f"{one} and {other}", exercise.text


def test_of_the_suspects_the_one_with_a_way_left_is_beside_another_part() -> None:
    beside = {
        "half": {"S2 makes no contact"},
        "full": {"S2 makes no contact", "D1 has burnt open", "D1 sits the wrong way round"},
    }
    right: dict[str, set[str]] = {"half": set(), "full": set()}
    for exercise in variants("open-at-the-plug", 40):
        (at,) = said(r"S2 at (\w+):", exercise.text)
        right[at].add(exercise.answer.value)
    assert right == beside


def test_only_the_reading_between_two_suspects_tells_them_apart() -> None:
    for exercise in variants("one-test-for-two-suspects"):
        for slip in exercise.slips:
            first, second = _OHMS.findall(slip.why)
            assert first == second, slip.why
        first, second = _OHMS.findall(exercise.worked[-1])
        assert first != second, exercise.worked


def test_a_leak_carries_less_the_farther_it_is_from_the_line() -> None:
    for exercise in variants("leak-along-the-element"):
        share, kohm = said(
            r"(\d+) % of the way .* finds (\d+) kΩ", exercise.text.replace("\n", " ")
        )
        assert isinstance(exercise.answer, Number)
        assert exercise.answer.right((230 - 2.3 * int(share)) / int(kohm))


def test_the_device_is_sure_of_itself_at_its_mark_and_up_to_half_of_it() -> None:
    for exercise in variants("will-the-device-trip"):
        (kohm,) = said(r"reads (\d+) kΩ", exercise.text)
        leak_mA = 230 / int(kohm)
        word = "must" if leak_mA >= 30 else "may" if leak_mA > 15 else "stays"
        assert f" {word} " in f" {exercise.answer.value} ", exercise.text


def test_what_a_diode_reads_both_ways_round_fits_one_finding_only() -> None:
    kinds: dict[tuple[str, str, str], set[str]] = {}
    for exercise in variants("diode-both-ways-round"):
        (at,) = said(r"S2 at (\w+)\.", exercise.text)
        alone, red_l, red_n = said(
            r"alone gives ([0-9.]+) V .*on N: (OL|[0-9.]+).*on L: (OL|[0-9.]+)",
            exercise.text.replace("\n", " "),
        )
        kind = [
            "open" if each == "OL" else "wire" if each == alone else "drop"
            for each in (red_l, red_n)
        ]
        kinds.setdefault((at, *kind), set()).add(exercise.answer.value)
    assert len(kinds) == 5
    assert all(len(answers) == 1 for answers in kinds.values())
