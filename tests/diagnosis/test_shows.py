"""What a meter shows between two points, on both ranges and either way round."""

import math

import pytest

from lessonlib import load_appliance, meter_shows
from lessonlib.errors import ReadingError
from lessonlib.safety import AT_BENCH

MELTER = load_appliance("wax-melter")
URN = load_appliance("tea-urn")
HALF = {"S1": "on", "S2": "half"}


def test_a_diode_conducts_one_way_and_the_diode_range_says_so():
    found = meter_shows(MELTER, HALF, red="L", black="N")
    assert found.one_way
    assert [one.text for one in found.diode] == ["0.32 to 1.1 V", "open"]
    # on the ohms range it may or may not conduct
    assert [one.text for one in found.ohms] == ["53 Ω or more, or open", "open"]
    assert found.ohms[0].usual == pytest.approx(230**2 / 800, abs=0.02)
    assert found.caption.endswith("it conducts one way")
    back = meter_shows(MELTER, HALF, red="L", black="N", fault="D1 reversed")
    assert [one.text for one in back.diode] == ["open", "0.32 to 1.1 V"]
    shorted = meter_shows(MELTER, HALF, red="L", black="N", fault="D1 shorted")
    assert not shorted.one_way
    assert shorted.ohms[0].text == shorted.ohms[1].text == "53 to 76 Ω"


def test_the_range_has_marking_alloy_accuracy_and_leads_in_it():
    [there, back] = meter_shows(URN, red="L", black="N").ohms
    ohm = 230**2 / 400
    assert there.usual == pytest.approx(ohm)
    # 5 % more power, an alloy 1.157 up when hot, a meter 1.15 % and 0.3 ohm low
    assert there.low == pytest.approx(ohm / 1.05 / 1.157 * 0.9885 - 0.3, rel=1e-3)
    # 10 % less power, a meter 1.15 % and 0.3 ohm high, leads of 1 ohm
    assert there.high == pytest.approx(ohm / 0.9 * 1.0115 + 1.3, rel=1e-6)
    assert (there.low, there.high) == (back.low, back.high)


def test_terminals_the_case_and_a_part_unhooked_can_be_measured():
    loose = meter_shows(URN, red="E2 at boost", black="case", fault="E2 leaking", unhooked="E2")
    assert loose.ohms[0].usual == pytest.approx(20_000 + 230**2 / 1200 / 2)
    assert loose.ohms[0].test.words == "E2 at boost to case, with E2 unhooked, S1 off"
    sound = meter_shows(URN, red="L", black="case")
    assert sound.ohms[0].text == "open"
    assert math.isinf(sound.ohms[0].low)


def test_it_shows_as_a_table_with_the_caution():
    found = meter_shows(URN, red="L", black="N")
    assert str(found).startswith(AT_BENCH)
    assert found.shown_rows[1][0] == "N to L, S1 off"
    assert AT_BENCH in found._repr_html_()
    with pytest.raises(ReadingError, match="no point 'X'"):
        meter_shows(URN, red="L", black="X")
    with pytest.raises(ReadingError, match=r"found 'E9' unhooked; accepted: .*E1, E2, S1"):
        meter_shows(URN, red="L", black="N", unhooked="E9")
