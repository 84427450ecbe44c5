"""The rule for half-wave rectification on the mains: three conditions, one of which is enough."""

from __future__ import annotations

from itertools import product

import pytest

from lessonlib.errors import RatingError
from lessonlib.limits.half_wave import half_wave_allowed

LONG_EARTHED = {"cores": 3, "portable": True, "few_minutes": False}
SHORT_PORTABLE = {"cores": 2, "portable": True, "few_minutes": True}


def test_a_kilowatt_on_a_three_core_cord_for_long_is_not_allowed() -> None:
    assert str(half_wave_allowed(1000, **LONG_EARTHED)) == (
        "not allowed: none of its three conditions holds: 1000 W, more than 100 W; three cores, "
        "longer than a few minutes; it is not the only practical way to detect an unsafe state "
        "(IEC 61000-3-2:2018+A1:2020 cl. 6.2)"
    )


@pytest.mark.parametrize(
    ("controlled_W", "more", "allowed"),
    [
        (100, {}, True),  # in any appliance
        (100.1, {}, False),
        (3000, {"only_way_to_detect_unsafe": True}, True),  # at any power
        (1000, {**SHORT_PORTABLE, "supply_voltage_V": 220}, True),
        (3840, {**SHORT_PORTABLE, "supply_voltage_V": 240}, True),  # 16 A
    ],
)
def test_one_condition_is_enough(controlled_W, more, allowed) -> None:
    rule = half_wave_allowed(controlled_W, **{**LONG_EARTHED, **more})
    assert rule.allowed is allowed
    assert repr(rule).startswith("allowed: " if allowed else "not allowed: ")


@pytest.mark.parametrize("values", list(product([2, 3], [True, False], [True, False])))
def test_the_short_use_condition_needs_portable_two_core_and_short_together(values) -> None:
    cores, portable, few_minutes = values
    rule = half_wave_allowed(1000, cores=cores, portable=portable, few_minutes=few_minutes)
    assert rule.allowed is (values == (2, True, True))
    assert ("three cores" in rule.reason) is (cores == 3)
    assert ("not portable" in rule.reason) is not portable
    assert ("longer than a few minutes" in rule.reason) is not few_minutes


@pytest.mark.parametrize(
    ("found", "says"),
    [
        *(({"supply_voltage_V": V}, f"found a supply of {V} V; accepted: 220") for V in (219, 241)),
        ({"controlled_W": 3690}, r"found 16.04 A \(3690 W at 230 V\)"),
        *(
            ({name: value}, f"found {name} = .* accepted: a number above 0")
            for name in ("controlled_W", "supply_voltage_V")
            for value in (0, float("nan"), float("inf"), "100", True)
        ),
        *(({"cores": cores}, "accepted: 2, or 3 with an earth") for cores in (1, "2", True)),
    ],
)
def test_what_the_rule_does_not_cover_and_what_cannot_be_is_refused(found, says) -> None:
    with pytest.raises(RatingError, match=says):
        half_wave_allowed(**{"controlled_W": 60, **LONG_EARTHED, **found})
