"""Hot and cold resistance of heating wire."""

import pytest

from lessonlib.appliance.keys import ALLOYS
from lessonlib.meter.alloys import HOT_FACTORS, hot_factor, most_hot_factor


def test_the_alloys_with_a_factor_are_those_that_a_file_may_name():
    assert set(HOT_FACTORS) == set(ALLOYS)


@pytest.mark.parametrize(
    ("alloy", "factor", "most"),
    # at 600 °C in the alloy producer's table (layout of GB/T 1234, as quoted by a page that gives
    # it); NiCr 80/20 rises by up to 7 %, depending on its maker: from memory
    [("NiCr 35/20", 1.157, 1.157), ("FeCrAl 13/4", 1.090, 1.090), ("NiCr 80/20", 1.018, 1.07)],
)
def test_factors_are_those_of_the_published_table_or_of_the_maker_with_the_most(
    alloy, factor, most
):
    assert (hot_factor(alloy), most_hot_factor(alloy)) == (factor, most)


def test_an_alloy_that_is_not_named_may_be_any():
    assert (hot_factor(None), most_hot_factor(None)) == (1.0, 1.157)
