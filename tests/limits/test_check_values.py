"""Every published value that ratings use, as it was read; the source stands beside each."""

from __future__ import annotations

import pytest

from lessonlib.limits import components, cords, earth, half_wave, plugs


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
        (half_wave.MOST_CONTROLLED_W, 100),
        # IEC 60228 annex, as quoted: k_t of 70 °C is 0.833
        (1 / cords.WARM_FACTOR.value, 0.833),
    ],
)
def test_a_limit_is_what_was_read(found: float, value: float) -> None:
    assert found == pytest.approx(value)


def test_couplers_are_those_of_their_standard() -> None:
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


def test_diodes_are_sold_in_the_steps_of_their_sheets() -> None:
    # JEDEC sheets of the 1 A series, as quoted; their r.m.s. column is V_RRM over root 2
    volts = [row.value for row in components.DIODE_V]
    assert volts == [50, 100, 200, 400, 600, 800, 1000]
    assert [round(each / 2**0.5) for each in volts] == [35, 71, 141, 283, 424, 566, 707]


def test_copper_agrees_with_printed_textbook_problems() -> None:
    # College Physics 2e, problem 20.24: 20.0 m of 2.053 mm copper has 0.104 ohm (1.72e-8 ohm m).
    # 2.053 mm is AWG 12. The most that IEC 60228 allows a flexible core of that area is 16 % more,
    # worked out in proportion from 2.5 mm2: strands are longer than the core, and less pure.
    area = cords.awg_mm2(12)
    assert 20 * 0.0172 / area == pytest.approx(0.104, abs=0.0005)
    assert 20 * cords.core_ohm_per_m(area) / 0.104 == pytest.approx(1.16, abs=0.01)
