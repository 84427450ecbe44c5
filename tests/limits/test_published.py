"""Published limits are what was read, with their sources; the source stands beside each check."""

from __future__ import annotations

import math

import pytest

from lessonlib.appliance.keys import COUPLERS as NAMES
from lessonlib.errors import ReadingError
from lessonlib.limits import components, cords, earth, half_wave, plugs
from lessonlib.limits.input_power import input_power_limits
from lessonlib.limits.limit import MARKS
from lessonlib.limits.mains import RANGES, UK, mains_range
from lessonlib.limits.published import published


def test_no_limit_lacks_a_source_an_edition_or_a_mark() -> None:
    rows = published()
    assert len(rows) > 50
    for row in rows:
        assert all(words.strip() for words in (row.what, row.source, row.edition)), row
        assert MARKS[row.mark] in row.cited, row
        # a value that was read somewhere says where in it
        assert row.clause or row.mark not in ("P", "C"), row


@pytest.mark.parametrize(
    ("found", "value"),
    [
        # IEC 60335-1 cl. 13.2, editions before peak values, as quoted by two secondary pages
        (earth.LEAKAGE_A["I"].value, 0.75e-3),
        (earth.LEAKAGE_A["II"].value, 0.25e-3),
        (earth.STATIONARY_A_PER_KW.value, 0.75e-3),
        (earth.STATIONARY_A.value, 5e-3),
        # VDE 0701-0702:2008 cl. 5.3 and 5.4, as quoted in a tester's manual
        (earth.SHORT_CORD_OHM, 0.3),
        (earth.INSULATION_OHM, 1e6),
        (earth.HEATER_INSULATION_OHM, 0.3e6),
        (earth.CLASS_2_INSULATION_OHM, 2e6),
        # IEC 60691 cl. 3, as quoted by two makers' glossaries
        (components.TOLERANCE.value, 10),
        (components.HOLDING.value, 168),
        # BS 1362:1973, as quoted by a secondary page; UK guidance; BS 1363 table 2
        (plugs.FUSES[0].value, 3),
        (plugs.FUSES[1].value, 13),
        (plugs.SMALL_LOAD_W.value, 700),
        (plugs.SHORT_CORD_FUSE.value, 13),
        # IET Code of Practice table VII.1, as quoted by an older article
        (plugs.CORD_FUSE[0][1].value, 3),
        (plugs.CORD_FUSE[1][1].value, 6),
        # IEC 61000-3-2:2018+A1:2020 cl. 6.2, read in an extract
        (half_wave.CONTROLLED.value, 100),
        # IEC 60228 annex, as quoted: k_t of 70 °C is 0.833
        (1 / cords.WARM_FACTOR.value, 0.833),
    ],
)
def test_a_limit_is_what_was_read(found: float, value: float) -> None:
    assert found == pytest.approx(value)


def test_couplers_are_those_of_their_standard_and_of_the_file() -> None:
    # IEC 60320, as quoted by a page on couplers: rating, class I, temperature of the pins
    found = plugs.COUPLERS.items()
    assert {name: (one.rated.value, one.class_1, one.pins_C) for name, one in found} == {
        "C7": (2.5, False, 70),
        "C13": (10, True, 70),
        "C15": (10, True, 120),
        "C15A": (10, True, 155),
        "C17": (10, False, 70),
        "C19": (16, True, 70),
        "C21": (16, True, 155),
    }
    assert plugs.NORTH_AMERICAN_A == {10: 15, 16: 20}
    assert tuple(plugs.COUPLERS) == NAMES


def test_diodes_are_sold_in_the_steps_of_their_sheets() -> None:
    # JEDEC sheets of the 1 A series, as quoted; their r.m.s. column is V_RRM over root 2
    volts = [row.value for row in components.DIODE_V]
    assert volts == [50, 100, 200, 400, 600, 800, 1000]
    assert [round(each / 2**0.5) for each in volts] == [35, 71, 141, 283, 424, 566, 707]


def test_mains_ranges_are_their_percentages_of_the_nominal_voltage() -> None:
    # EN 60038: ±10 %, as quoted by trade pages; ANSI C84.1 Range A: ±5 %, as quoted by one
    assert [(r.low_V, r.high_V) for r in RANGES] == [
        (pytest.approx(230 * 0.9), pytest.approx(230 * 1.1)),
        (pytest.approx(120 * 0.95), pytest.approx(120 * 1.05)),
    ]
    # UK: +10 % and −6 % (IEE Wiring Regulations App. 2, as quoted by a trade page)
    assert (UK.low_V, UK.high_V) == (pytest.approx(230 * 0.94), pytest.approx(230 * 1.1))
    assert mains_range(230.0) is RANGES[0]
    assert mains_range(110) is None


# --- marked and measured power


@pytest.mark.parametrize(
    ("marked_W", "low_W", "high_W"),
    # worked out by hand from IEC 60335-1 clause 10.1 table 1, as quoted by the national twin of its
    # 1991 edition, GOST R IEC 335-1-94; that later editions keep the numbers is from memory
    [
        (20, 0, 24),  # +20 %, and no lower limit
        (25, 0, 30),
        (25.1, 22.59, 27.61),  # ±10 %
        (200, 180, 220),
        (200.1, 180.09, 220.1),  # 20 W is more than 5 %
        (399, 359.1, 419),
        (400, 360, 420),  # where 20 W and 5 % are the same
        (401, 360.9, 421.05),
        (3000, 2700, 3150),  # 5 % is more than 20 W
    ],
)
def test_limits_of_power_are_those_of_the_published_table(marked_W, low_W, high_W) -> None:
    limits = input_power_limits(marked_W)
    assert limits.low_W == pytest.approx(low_W, rel=1e-12)
    assert limits.high_W == pytest.approx(high_W, rel=1e-12)
    assert limits.source.startswith("IEC 60335-1 clause 10.1 table 1, as quoted by GOST R")


@pytest.mark.parametrize("marked_W", [0, -5, math.nan, 100_001, "400 W", True, None])
def test_an_impossible_marked_power_is_refused(marked_W) -> None:
    with pytest.raises(ReadingError, match=r"found a marked power of .*accepted: .*Give the power"):
        input_power_limits(marked_W)


# --- cords


def awg_mm2(gauge: int) -> float:
    """Cross-section of a solid wire of that American gauge: ASTM B258, from memory."""
    return math.pi / 4 * (0.127 * 92 ** ((36 - gauge) / 39)) ** 2


# NBS Handbook 100 (1966), as quoted by a secondary page: ohm for 1000 ft
PRINTED = {18: 6.385, 16: 4.016, 14: 2.525, 12: 1.588}


def test_sections_of_the_american_table_are_those_of_its_gauges() -> None:
    for gauge, ohm in PRINTED.items():
        # copper of 0.017241 ohm mm2/m (IEC 60028), 304.8 m; the last figure is worth 0.03 %
        assert 0.017241 * 304.8 / awg_mm2(gauge) == pytest.approx(ohm, rel=3e-4)
    for gauge, (mm2, _) in zip((18, 17, 16, 14, 12), cords.AMPACITY, strict=True):
        assert 0 <= awg_mm2(gauge) - mm2 < 0.01  # rounded down, as a cord is marked


def test_copper_agrees_with_printed_textbook_problems() -> None:
    # College Physics 2e, problem 20.24: 20.0 m of 2.053 mm copper has 0.104 ohm (1.72e-8 ohm m).
    # 2.053 mm is AWG 12. The most that IEC 60228 allows a flexible core of that area is 16 % more,
    # worked out in proportion from 2.5 mm2: strands are longer than the core, and less pure.
    area = awg_mm2(12)
    assert 20 * 0.0172 / area == pytest.approx(0.104, abs=0.0005)
    assert 20 * cords.core_ohm_per_m(area) / 0.104 == pytest.approx(1.16, abs=0.01)


@pytest.mark.parametrize(
    ("mm2", "ohm_per_km"),
    [(0.5, 39.0), (0.75, 26.0), (1.0, 19.5), (1.5, 13.3), (2.5, 7.98), (4, 4.95), (6, 3.30)],
)
def test_flexible_copper_has_the_resistance_of_the_standard(mm2: float, ohm_per_km: float) -> None:
    # IEC 60228 table 3, plain class 5, as quoted by a secondary page
    assert cords.core_ohm_per_m(mm2) * 1000 == pytest.approx(ohm_per_km)


@pytest.mark.parametrize(
    ("supply_V", "length_m", "found"),
    [
        # IEC 60335-1 table 11, as quoted by a manual that names the standard
        (230, 1.5, {3: 0.5, 3.1: 0.75, 6: 0.75, 10: 1, 16: 1.5, 25: 2.5, 32: 4, 40: 6, 63: 10}),
        (230, 1.5, {64: None}),
        # the same manual: 0.5 mm2 is for cords of at most 2 m
        (230, 2.1, {1: 0.75, 10: 1}),
        # NEC table 400.5(A), two loaded cores, as reprinted in an American appliance standard
        (120, 1.5, {10: 0.82, 12: 1.03, 13: 1.3, 18: 2.08, 25: 3.3, 26: None}),
    ],
)
def test_the_least_section_is_that_of_the_standard(supply_V, length_m, found) -> None:
    for amps, mm2 in found.items():
        row = cords.least_area(supply_V, amps, length_m)
        assert (row and row.value) == mm2, amps
