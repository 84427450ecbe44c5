"""A spare part: yes, no, or cannot tell; and the least that would do."""

from __future__ import annotations

import pytest

from lessonlib import load_appliance, replacement
from lessonlib.errors import RatingError, SettingError
from lessonlib.ratings.replacement import replaceable

MELTER = load_appliance("wax-melter")
GOOD = {"rated_A": 3, "rated_V": 400, "rise_K_per_W": 25, "most_C": 150}


def test_a_diode_is_judged_with_worst_case_and_margin() -> None:
    # 800 W: 1.722 A in the mean and 358 V of peak at 253 V
    found = replacement(MELTER, "D1", rated_A=1, rated_V=200)
    assert found.good is False
    assert found.least.startswith("mean current at least 2 A [what the trade sells (common prac")
    assert "reverse peak at least 400 V [sheets of" in found.least
    assert replacement(MELTER, "D1", **GOOD).good is True
    assert replacement(MELTER, "D1", rated_A=3).good is None  # its voltage is not known


@pytest.mark.parametrize(
    ("part", "values", "good"),
    [
        ("S1", {"rated_A": 6}, True),
        ("S1", {"rated_A": 3}, False),
        ("F1", {"opens_at_C": 128, "holds_C": 105, "rated_A": 10}, True),
        ("F1", {"opens_at_C": 108, "holds_C": 90, "rated_A": 10}, False),
        ("F1", {"opens_at_C": 128, "rated_A": 10}, None),
        ("cord", {"cord_area_mm2": 0.75, "cord_length_m": 1.5}, True),
        ("cord", {"cord_area_mm2": 0.5, "cord_length_m": 20}, False),
        ("plug fuse", {"plug_fuse_A": 5}, True),
        ("plug fuse", {"plug_fuse_A": 3}, False),
        ("E1", {"power_W": 830, "voltage_V": 230}, True),
        ("E1", {"power_W": 800, "voltage_V": 120}, False),
        # for 240 V it gives 735 W at 230 V, within -10 % of the marked 800 W
        ("E1", {"power_W": 800, "voltage_V": 240}, True),
    ],
)
def test_a_spare_is_good_enough_or_not(
    part: str, values: dict[str, float], good: bool | None
) -> None:
    assert replacement(MELTER, part, **values).good is good


def test_in_a_notebook_it_is_a_table_under_the_answer() -> None:
    found = replacement(MELTER, "D1", rated_A=1, rated_V=200)._repr_html_()
    assert "<caption" in found
    assert "D1: no." in found.partition("</caption>")[0]
    assert "mean current: 1.72 A, at most 1 A" in found
    assert "[1] " in found.partition("</table>")[2]
    last = found.partition("</thead>")[0].rpartition("<th ")[2]
    assert "nowrap" not in last  # a long heading would push its column out of a narrow page


def test_only_what_the_spare_alters_is_told() -> None:
    assert {row.part for row in replacement(MELTER, "S1", rated_A=6).rows} == {"S1"}
    same = replacement(MELTER, "E1", power_W=800, voltage_V=230)
    assert ([row.what for row in same.rows], same.good) == (["power, against the one fitted"], True)


def test_a_hotter_thermal_fuse_is_no_replacement_though_its_place_is_cool_enough() -> None:
    hotter = replacement(MELTER, "F1", opens_at_C=141, holds_C=120, rated_A=10)
    (failed,) = [row for row in hotter.rows if row.verdict == "fail"]
    assert failed.limit == 128
    # 100 °C at most where it sits: a mark of 110 °C may open at 100.0 °C (IEC 60691: 10 K below)
    assert "mark of at least 110 °C" in hotter.least


def test_the_place_of_a_thermal_fuse_can_be_measured() -> None:
    trolley, spare = load_appliance("hot-trolley"), {"holds_C": 105, "rated_A": 16}
    assert replacement(trolley, "F1", **spare).good is None
    assert replacement(trolley, "F1", place_C=100, **spare).good is True
    assert replacement(trolley, "F1", place_C=110, **spare).good is False


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
    steps = {part: replacement(MELTER, part) for part in ("D1", "S1", "cord", "plug fuse", "E1")}
    assert {found.good for found in steps.values()} == {None}
    assert steps["S1"].least.startswith("current at least 6 A")
    assert steps["cord"].least.startswith("at least 0.75 mm² for 2 m")
    assert steps["plug fuse"].least.startswith("at least 5 A")  # 3 A does not carry 3.48 A
    assert replaceable(MELTER) == ("S1", "S2", "F1", "D1", "E1", "cord", "plug fuse")
    warmer = load_appliance("food-warmer")
    assert replacement(warmer, "cord").least.startswith(
        "at least 1.03 mm²"
    )  # 10.003 A with its lamp
    assert "plug fuse" not in replaceable(warmer)


def test_what_cannot_be_replaced_or_read_says_what_is_accepted() -> None:
    with pytest.raises(RatingError, match="accepted: rated_A"):
        replacement(MELTER, "S1", rated_V=250)
    with pytest.raises(RatingError, match="a number above 0"):
        replacement(MELTER, "S1", rated_A=0)
    with pytest.raises(RatingError, match="power_W together with voltage_V"):
        replacement(MELTER, "E1", power_W=800)
    with pytest.raises(SettingError, match="has no part"):
        replacement(MELTER, "X9", rated_A=1)
    with pytest.raises(RatingError, match="which is no part to replace"):
        replacement(load_appliance("garment-steamer"), "H1", power_W=1)
