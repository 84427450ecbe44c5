"""Numbers with units, as people at a bench write them."""

import math

import numpy as np
import pytest

from lessonlib.quantities import format_quantity, number


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (230, "V", "230 V"),
        (325.269, "V", "325 V"),
        (162.6345, "V", "163 V"),
        (5.2174, "A", "5.22 A"),
        (13.0435, "A", "13 A"),
        (9.996, "A", "10 A"),
        (0.0021739, "A", "2.17 mA"),
        (0.1, "A", "0.1 A"),
        (0.09996, "A", "0.1 A"),
        (0.0999, "A", "99.9 mA"),
        (0.5, "W", "0.5 W"),
        (1500.999, "W", "1501 W"),
        (1000, "W", "1000 W"),
        (9999.6, "W", "10 kW"),
        (194e3, "W", "194 kW"),
        (105800, "Ω", "106 kΩ"),
        (132.25, "Ω", "132 Ω"),
        (52.9, "Ω", "52.9 Ω"),
        (999.6, "Ω", "1 kΩ"),
        (4700, "Ω", "4.7 kΩ"),
        (1e6, "Ω", "1 MΩ"),
        (-103.536, "V", "-104 V"),
        (0, "W", "0 W"),
        (1e-12, "A", "0 A"),
        (None, "V", "–"),
        (float("nan"), "V", "–"),
        (float("inf"), "V", "–"),
    ],
)
def test_a_value_is_written_as_on_the_bench(value, unit, text):
    assert format_quantity(value, unit) == text


@pytest.mark.parametrize(
    ("value", "found"),
    [(5, 5.0), (np.float32(0.5), 0.5), (np.int64(7), 7.0), (10**400, math.inf), (-math.inf,) * 2],
)
def test_numbers_of_any_kind_are_numbers(value, found):
    assert number(value) == found


@pytest.mark.parametrize("value", [True, np.True_, None, "5", [5], 5j, math.nan])
def test_nothing_else_is_a_number(value):
    assert math.isnan(number(value))
