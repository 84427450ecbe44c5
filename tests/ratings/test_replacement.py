"""A spare part: yes, no, or cannot tell; and the least that would do."""

from __future__ import annotations

import pytest

from lessonlib import load_appliance, replacement
from lessonlib.errors import RatingError, SettingError

MELTER = load_appliance("wax-melter")
GOOD = {"rated_A": 3, "rated_V": 400, "rise_K_per_W": 25, "most_C": 150}


def test_a_diode_is_judged_with_worst_case_and_margin() -> None:
    # 800 W: 1.722 A in the mean and 358 V of peak at 253 V
    found = replacement(MELTER, "D1", rated_A=1, rated_V=200)
    assert found.good is False
    assert "Good enough: at least 2 A, at least 400 V." in str(found)
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
    assert (same.rows, same.good) == ((), True)


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
