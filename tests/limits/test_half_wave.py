"""The rule for half-wave rectification on the mains: three conditions, one of which is enough."""

from __future__ import annotations

import doctest
from itertools import product

import pytest

from lessonlib.errors import RatingError
from lessonlib.limits import half_wave
from lessonlib.limits.half_wave import half_wave_allowed

LONG_EARTHED = {"cores": 3, "portable": True, "few_minutes": False}
SHORT_PORTABLE = {"cores": 2, "portable": True, "few_minutes": True}


def test_a_kilowatt_on_a_three_core_cord_for_long_is_not_allowed() -> None:
    rule = half_wave_allowed(1000, **LONG_EARTHED)
    assert rule.allowed is False
    assert str(rule) == (
        "not allowed: none of its three conditions holds: 1000 W, more than 100 W; three cores, "
        "longer than a few minutes; it is not the only practical way to detect an unsafe state "
        "(IEC 61000-3-2:2018+A1:2020 cl. 6.2)"
    )


@pytest.mark.parametrize(("controlled_W", "allowed"), [(99, True), (100, True), (100.1, False)])
def test_up_to_a_hundred_watts_are_allowed_in_any_appliance(controlled_W, allowed) -> None:
    assert half_wave_allowed(controlled_W, **LONG_EARTHED).allowed is allowed


@pytest.mark.parametrize("values", list(product([2, 3], [True, False], [True, False])))
def test_the_short_use_condition_needs_portable_two_core_and_short_together(values) -> None:
    rule = half_wave_allowed(
        1000, **dict(zip(("cores", "portable", "few_minutes"), values, strict=True))
    )
    assert rule.allowed is (values == (2, True, True))
    for word, wrong in zip(
        ("three cores", "not portable", "longer than a few minutes"),
        (values[0] == 3, not values[1], not values[2]),
        strict=True,
    ):
        assert (word in rule.reason) is wrong


def test_the_only_way_to_detect_an_unsafe_state_is_allowed_at_any_power() -> None:
    rule = half_wave_allowed(3000, **LONG_EARTHED, only_way_to_detect_unsafe=True)
    assert repr(rule).startswith("allowed: it is the only practical way to detect an unsafe state")


@pytest.mark.parametrize("supply_V", [220, 230, 240])
def test_the_systems_covered_are_answered(supply_V) -> None:
    assert half_wave_allowed(1000, **SHORT_PORTABLE, supply_voltage_V=supply_V).allowed


@pytest.mark.parametrize("supply_V", [120, 100, 219, 241, 400])
def test_another_supply_is_not_answered(supply_V) -> None:
    with pytest.raises(RatingError, match=rf"found a supply of {supply_V} V; accepted: 220 to 240"):
        half_wave_allowed(60, **LONG_EARTHED, supply_voltage_V=supply_V)


def test_more_than_16_amperes_are_not_answered() -> None:
    assert half_wave_allowed(3680, **SHORT_PORTABLE).allowed  # 16 A at 230 V
    with pytest.raises(RatingError, match=r"found 16.04 A \(3690 W at 230 V\)"):
        half_wave_allowed(3690, **SHORT_PORTABLE)


@pytest.mark.parametrize("value", [0, -5, float("nan"), float("inf"), "100", None, True])
def test_an_impossible_value_is_refused(value) -> None:
    with pytest.raises(RatingError, match=r"found controlled_W = .* accepted: a number above 0"):
        half_wave_allowed(value, **LONG_EARTHED)
    with pytest.raises(RatingError, match=r"found supply_voltage_V = "):
        half_wave_allowed(60, **LONG_EARTHED, supply_voltage_V=value)


@pytest.mark.parametrize("cores", [1, 4, "2", None, True])
def test_a_cord_of_other_than_two_or_three_cores_is_refused(cores) -> None:
    with pytest.raises(RatingError, match="accepted: 2, or 3 with an earth"):
        half_wave_allowed(60, cores=cores, portable=True, few_minutes=True)


def test_the_example_in_the_docstring_is_true() -> None:
    done = doctest.testmod(half_wave)
    assert done.attempted >= 1
    assert done.failed == 0
