"""The power curve says in words what it marks, and follows the square law."""

import re

import pytest

from lessonlib import load_appliance, power_curve
from lessonlib.errors import SupplyError
from tests.curves.svg_words import boxes, crossed, overlaps


def test_its_finding_has_each_marked_voltage_with_its_power() -> None:
    picture = power_curve(load_appliance("tea-urn"), "E1", [230, 115])
    # 400 W at 230 V; a quarter on half the voltage
    assert repr(picture) == "Power of E1: 100 W on 115 V, 400 W on 230 V; the curve bends upward"
    assert re.findall(r"\d+ W on \d+ V(?=</text>)", picture.svg) == [
        "100 W on 115 V",
        "400 W on 230 V",
    ]


def test_its_words_are_clear_of_each_other_and_of_both_lines() -> None:
    picture = power_curve(load_appliance("tea-urn"), "E1", [115, 207, 230, 253])
    found = boxes(picture)
    assert overlaps(found) == []
    assert crossed(picture, found) == []


def test_a_voltage_that_the_solver_refuses_is_refused() -> None:
    with pytest.raises(SupplyError, match="accepted"):
        power_curve(load_appliance("tea-urn"), "E1", [-5, 230])
