"""Hot and cold resistance of heating wire."""

import pytest

from lessonlib.appliance.keys import ALLOYS
from lessonlib.errors import ReadingError
from lessonlib.meter.alloys import FACTORS, WIRE_C, makers_factor, resistance_factor


def test_the_alloys_with_a_table_are_those_that_a_file_may_name():
    assert set(FACTORS) == set(ALLOYS)


@pytest.mark.parametrize(
    ("alloy", "wire_C", "factor"),
    # points of the alloy producer's table (layout of GB/T 1234, as quoted by a page that gives it)
    [
        ("NiCr 80/20", 500, 1.026),
        ("NiCr 80/20", 800, 1.008),  # not monotonic: a peak at 500, a dip at 800
        ("NiCr 60/15", 1100, 1.109),
        ("NiCr 70/30", 1200, 1.043),
        ("NiCr 35/20", 600, 1.157),
        ("FeCrAl 25/5", 1000, 1.044),
        ("FeCrAl 21/6", 600, 1.037),
        ("FeCrAl 13/4", 1000, 1.150),
    ],
)
def test_factors_are_those_of_the_published_table(alloy, wire_C, factor):
    assert resistance_factor(alloy, wire_C) == factor


@pytest.mark.parametrize("alloy", ALLOYS)
def test_the_factor_at_room_temperature_is_one(alloy):
    assert resistance_factor(alloy, 20) == 1


def test_between_two_points_the_factor_is_on_the_straight_line():
    # 1.018 at 300 and 1.025 at 400
    assert resistance_factor("NiCr 80/20", 325) == pytest.approx(1.01975, rel=1e-12)


def test_a_guess_300_K_off_costs_about_two_percent_with_the_commonest_alloys():
    for alloy in ("NiCr 80/20", "NiCr 60/15", "FeCrAl 25/5"):
        guess = resistance_factor(alloy, WIRE_C)
        for other in (300, 900):
            # "about 2 %" in the module's text: at most 3 %
            assert abs(resistance_factor(alloy, other) / guess - 1) < 0.03


def test_other_makers_wire_of_the_commonest_alloy_may_rise_by_up_to_7_percent():
    # 2 to 7 % between makers: from memory; the table is one producer's and has 2.6 % at most
    assert makers_factor("NiCr 80/20", WIRE_C) == 1.07
    assert max(FACTORS["NiCr 80/20"]) == 1.026
    assert makers_factor("FeCrAl 25/5", WIRE_C) == resistance_factor("FeCrAl 25/5", WIRE_C)


@pytest.mark.parametrize("wire_C", [19.9, 1200.1, -5, float("nan"), float("inf")])
def test_outside_the_table_there_is_no_factor(wire_C):
    with pytest.raises(ReadingError, match=r"accepted for NiCr 80/20: 20 to 1200 °C"):
        resistance_factor("NiCr 80/20", wire_C)


def test_a_row_ends_where_its_alloys_table_ends():
    with pytest.raises(ReadingError, match="20 to 1000 °C"):
        resistance_factor("FeCrAl 13/4", 1100)


def test_an_alloy_without_a_table_is_refused_and_those_with_one_are_named():
    with pytest.raises(ReadingError, match=r"found the alloy 'tin'; accepted: NiCr 80/20, "):
        resistance_factor("tin", 600)
