"""A spare part: yes, no, or cannot tell; and the least that would do."""

from __future__ import annotations

import pytest

from lessonlib import load_appliance, replacement
from lessonlib.errors import RatingError, SettingError
from lessonlib.ratings.replacement import replaceable

MELTER, TROLLEY = load_appliance("wax-melter"), load_appliance("hot-trolley")
# 800 W: 1.722 A in the mean and 358 V of peak at 253 V
WEAK = {"rated_A": 1, "rated_V": 200}
ON_TROLLEY = {"holds_C": 105, "rated_A": 16}


@pytest.mark.parametrize(
    ("appliance", "part", "values", "good"),
    [
        (MELTER, "D1", WEAK, False),
        (MELTER, "D1", {"rated_A": 3, "rated_V": 400, "rise_K_per_W": 25, "most_C": 150}, True),
        (MELTER, "D1", {"rated_A": 3}, None),  # its voltage is not known
        (MELTER, "S1", {"rated_A": 6}, True),
        (MELTER, "S1", {"rated_A": 3}, False),
        (MELTER, "F1", {"opens_at_C": 128, "holds_C": 105, "rated_A": 10}, True),
        (MELTER, "F1", {"opens_at_C": 108, "holds_C": 90, "rated_A": 10}, False),
        (MELTER, "F1", {"opens_at_C": 128, "rated_A": 10}, None),
        (MELTER, "cord", {"cord_area_mm2": 0.75, "cord_length_m": 1.5}, True),
        (MELTER, "cord", {"cord_area_mm2": 0.5, "cord_length_m": 20}, False),
        (MELTER, "plug fuse", {"plug_fuse_A": 5}, True),
        (MELTER, "plug fuse", {"plug_fuse_A": 3}, False),
        (MELTER, "E1", {"power_W": 830, "voltage_V": 230}, True),
        (MELTER, "E1", {"voltage_V": 120, "power_W": 800}, False),
        # for 240 V it gives 735 W at 230 V, within -10 % of the marked 800 W
        (MELTER, "E1", {"power_W": 800, "voltage_V": 240}, True),
        # its place can be measured
        (TROLLEY, "F1", ON_TROLLEY, None),
        (TROLLEY, "F1", {"place_C": 100, **ON_TROLLEY}, True),
        (TROLLEY, "F1", {"place_C": 110, **ON_TROLLEY}, False),
    ],
)
def test_a_spare_is_good_enough_or_not(appliance, part, values, good) -> None:
    assert replacement(appliance, part, **values).good is good


def test_in_a_notebook_it_is_a_table_under_the_answer_and_the_least() -> None:
    spare = replacement(MELTER, "D1", **WEAK)
    assert spare.least.startswith("mean current at least 2 A [what the trade sells (common prac")
    assert "reverse peak at least 400 V [sheets of" in spare.least
    found = spare._repr_html_()
    assert "<caption" in found
    assert "D1: no." in found.partition("</caption>")[0]
    assert "mean current: 1.72 A, at most 1 A" in found
    assert "[1] " in found.partition("</table>")[2]
    last = found.partition("</thead>")[0].rpartition("<th ")[2]
    assert "nowrap" not in last  # a long heading would push its column out of a narrow page


def test_only_what_the_spare_alters_is_told() -> None:
    assert {row.part for row in replacement(MELTER, "S1", rated_A=6).rows} == {"S1"}
    same = replacement(MELTER, "E1", power_W=800, voltage_V=230)
    assert [(row.what, row.verdict) for row in same.rows] == [
        ("power, against the one fitted", "pass")
    ]


def test_a_hotter_thermal_fuse_is_no_replacement_though_its_place_is_cool_enough() -> None:
    hotter = replacement(MELTER, "F1", opens_at_C=141, holds_C=120, rated_A=10)
    (failed,) = [row for row in hotter.rows if row.verdict == "fail"]
    assert failed.limit == 128
    # 100 °C at most where it sits: a mark of 110 °C may open at 100.0 °C (IEC 60691: 10 K below)
    assert "mark of at least 110 °C" in hotter.least


def test_an_element_for_another_mains_is_judged_with_all_that_carries_its_current() -> None:
    # 800 W at 120 V: 18 ohm and 6.67 A, where it was 66.1 ohm and 3.48 A
    found = replacement(MELTER, "E1", power_W=800, voltage_V=120, supply_voltage_V=120)
    failed = {row.part for row in found.rows if row.verdict == "fail"}
    assert {"S1", "S2", "D1", "cord"} <= failed
    assert found.least.startswith("one marked 800 W at 120 V (18 Ω), or from 720 W to 840 W")
    # an element for 230 V gives a quarter and a little on 120 V
    weak = replacement(MELTER, "E1", power_W=800, voltage_V=230, supply_voltage_V=120)
    assert weak.rows[0].found == pytest.approx(800 * (120 / 230) ** 2)
    assert weak.good is False


def test_before_anything_is_known_of_a_spare_the_least_is_told() -> None:
    for part, least in {
        "S1": "current at least 6 A",
        "cord": "at least 0.75 mm² for 2 m",
        "plug fuse": "at least 5 A",  # 3 A does not carry 3.48 A
        "E1": "one marked 800 W at 230 V",
    }.items():
        found = replacement(MELTER, part)
        assert found.good is None
        assert found.least.startswith(least)
    assert replaceable(MELTER) == ("S1", "S2", "F1", "D1", "E1", "cord", "plug fuse")
    warmer = load_appliance("food-warmer")  # 10.003 A with its lamp
    assert replacement(warmer, "cord").least.startswith("at least 1.03 mm²")
    assert "plug fuse" not in replaceable(warmer)


@pytest.mark.parametrize(
    ("name", "part", "values", "error", "says"),
    [
        ("wax-melter", "S1", {"rated_V": 250}, RatingError, "accepted: rated_A"),
        ("wax-melter", "S1", {"rated_A": 0}, RatingError, "a number above 0"),
        ("wax-melter", "E1", {"power_W": 800}, RatingError, "power_W together with voltage_V"),
        ("wax-melter", "X9", {"rated_A": 1}, SettingError, "has no part"),
        ("garment-steamer", "H1", {"power_W": 1}, RatingError, "which is no part to replace"),
    ],
)
def test_what_cannot_be_replaced_or_read_says_what_is_accepted(
    name, part, values, error, says
) -> None:
    with pytest.raises(error, match=says):
        replacement(load_appliance(name), part, **values)
