"""Marked and measured power, against the published table."""

import math

import pytest

from lessonlib.errors import ReadingError
from lessonlib.limits.input_power import ROWS, input_power_limits
from lessonlib.limits.mains import RANGES, UK, mains_range


@pytest.mark.parametrize(
    ("marked_W", "low_W", "high_W"),
    # worked out by hand from IEC 60335-1 clause 10.1 table 1, as quoted by the national twin of its
    # 1991 edition, GOST R IEC 335-1-94; that later editions keep the numbers is from memory
    [
        (20, 0, 24),  # +20 %, and no lower limit
        (25, 0, 30),
        (25.1, 22.59, 27.61),  # ±10 %
        (100, 90, 110),
        (200, 180, 220),
        (200.1, 180.09, 220.1),  # 20 W is more than 5 %
        (300, 270, 320),
        (399, 359.1, 419),
        (400, 360, 420),  # where 20 W and 5 % are the same
        (401, 360.9, 421.05),
        (1000, 900, 1050),  # 5 % is more than 20 W
        (3000, 2700, 3150),
    ],
)
def test_limits_are_those_of_the_published_table(marked_W, low_W, high_W):
    limits = input_power_limits(marked_W)
    assert limits.low_W == pytest.approx(low_W, rel=1e-12)
    assert limits.high_W == pytest.approx(high_W, rel=1e-12)
    assert limits.source.startswith("IEC 60335-1 clause 10.1 table 1, as quoted by GOST R")


def test_rows_follow_each_other_without_a_gap_and_end_nowhere():
    assert ROWS[0].over_W == 0
    assert [row.over_W for row in ROWS[1:]] == [row.up_to_W for row in ROWS[:-1]]
    assert ROWS[-1].up_to_W == math.inf


@pytest.mark.parametrize("marked_W", [0, -5, math.nan, math.inf, 100_001, "400 W", True, None])
def test_an_impossible_marked_power_is_refused(marked_W):
    with pytest.raises(ReadingError, match=r"found a marked power of .*accepted: .*Give the power"):
        input_power_limits(marked_W)


def test_limits_show_as_watts_with_the_rule_and_the_source():
    assert repr(input_power_limits(300)).startswith(
        "marked 300 W: 270 W to 320 W (+5 % or 20 W, whichever is larger, −10 %; IEC 60335-1"
    )


def test_mains_ranges_are_their_percentages_of_the_nominal_voltage():
    # EN 60038: ±10 %, as quoted by trade pages; ANSI C84.1 Range A: ±5 %, as quoted by one
    assert [(r.low_V, r.high_V) for r in RANGES] == [
        (pytest.approx(230 * 0.9), pytest.approx(230 * 1.1)),
        (pytest.approx(120 * 0.95), pytest.approx(120 * 1.05)),
    ]
    # UK: +10 % and −6 % (IEE Wiring Regulations App. 2, as quoted by a trade page)
    assert (UK.low_V, UK.high_V) == (pytest.approx(230 * 0.94), pytest.approx(230 * 1.1))
    assert mains_range(230.0) is RANGES[0]
    assert mains_range(110) is None
