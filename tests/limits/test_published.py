"""Published limits are rows with their sources, and agree with what is printed."""

from __future__ import annotations

import pytest

from lessonlib.appliance.keys import COUPLERS as NAMES
from lessonlib.limits import cords, plugs
from lessonlib.limits.limit import MARKS
from lessonlib.limits.published import published


def test_no_limit_lacks_a_source_an_edition_or_a_mark() -> None:
    rows = published()
    assert len(rows) > 50
    for row in rows:
        assert all(words.strip() for words in (row.what, row.source, row.edition)), row
        assert MARKS[row.mark] in row.cited, row
        # a value that was read somewhere says where in it
        assert row.clause or row.mark not in ("P", "C"), row


def test_a_coupler_of_the_file_is_one_whose_rating_is_kept() -> None:
    assert tuple(plugs.COUPLERS) == NAMES


@pytest.mark.parametrize(
    ("gauge", "ohm_per_1000_ft"),
    [(12, 1.588), (14, 2.525), (16, 4.016), (18, 6.385)],
)
def test_the_law_of_american_gauges_gives_the_printed_resistances(
    gauge: int, ohm_per_1000_ft: float
) -> None:
    # NBS Handbook 100 (1966), as quoted by a secondary page; copper of 0.017241 ohm mm2/m
    # (IEC 60028), 304.8 m; the last printed figure is worth 0.03 %
    ohm = 0.017241 * 304.8 / cords.awg_mm2(gauge)
    assert ohm == pytest.approx(ohm_per_1000_ft, rel=3e-4)


def test_sections_of_the_american_table_are_those_of_its_gauges() -> None:
    for gauge, (mm2, _) in zip((18, 17, 16, 14, 12), cords.AMPACITY, strict=True):
        # rounded down, as a cord is marked
        assert 0 <= cords.awg_mm2(gauge) - mm2 < 0.01


@pytest.mark.parametrize(
    ("mm2", "ohm_per_km"),
    [(0.5, 39.0), (0.75, 26.0), (1.0, 19.5), (1.5, 13.3), (2.5, 7.98), (4, 4.95), (6, 3.30)],
)
def test_flexible_copper_has_the_resistance_of_the_standard(mm2: float, ohm_per_km: float) -> None:
    # IEC 60228 table 3, plain class 5, as quoted by a secondary page
    assert cords.core_ohm_per_m(mm2) * 1000 == pytest.approx(ohm_per_km)


@pytest.mark.parametrize(
    ("amps", "mm2"),
    [(3, 0.5), (3.1, 0.75), (6, 0.75), (10, 1.0), (16, 1.5), (25, 2.5), (32, 4), (40, 6), (63, 10)],
)
def test_the_least_section_is_that_of_the_standard(amps: float, mm2: float) -> None:
    # IEC 60335-1 table 11, as quoted by a manual that names the standard; a cord of 1.5 m
    row = cords.least_area(230, amps, 1.5)
    assert row is not None
    assert row.value == mm2


def test_a_long_cord_is_never_of_half_a_square_millimetre() -> None:
    # the same manual: 0.5 mm2 is for cords of at most 2 m
    row = cords.least_area(230, 1, 2.1)
    assert row is not None
    assert row.value == 0.75
    assert cords.least_area(230, 64, 1) is None


@pytest.mark.parametrize(("amps", "mm2"), [(10, 0.82), (12, 1.03), (13, 1.3), (18, 2.08)])
def test_the_american_table_is_used_at_120_V(amps: float, mm2: float) -> None:
    # NEC table 400.5(A), two loaded cores, as reprinted in an American appliance standard
    row = cords.least_area(120, amps, 1.5)
    assert row is not None
    assert row.value == mm2
