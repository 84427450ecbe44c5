"""What is proposed does what was wanted, and what must not be proposed is not."""

from __future__ import annotations

from itertools import product

import pytest

from lessonlib import hazards, load_appliance, read_appliance, rewirings, solve
from lessonlib.appliance.file_text import file_text
from lessonlib.errors import ApplianceError, RewiringError
from lessonlib.rewiring import rewirings as front
from lessonlib.rewiring.given import stock, wanted_of
from lessonlib.rewiring.page import ON_PAPER
from lessonlib.rewiring.result import Rewirings
from lessonlib.rewiring.steps import Search
from tests.rewiring.pairs import pair

HEATS = ["off", "low", "high", "both"]


def check(found: Rewirings) -> Rewirings:
    """Every proposal, by the solver itself: powers, no short, a real off, and a file that reads."""
    assert len(found)
    for each in found:
        turns = (False, True) if each.appliance.supply.reversible_plug else (False,)
        for wanted, turned in product(each.wanted, turns):
            now = solve(each.appliance, {each.switch.name: wanted.name}, reversed_plug=turned)
            assert now.short is None
            power = sum(now.part[part.name].power_W for part in each.appliance.elements)
            assert power == pytest.approx(wanted.power_W, rel=0.05, abs=1e-9)
            if wanted.is_off:
                parts = [*each.appliance.elements, *each.appliance.diodes]
                assert not {end.part for end in now.live} & {part.name for part in parts}
        if any(wanted.is_off for wanted in each.wanted):  # dead behind the switch, by these too
            assert "off" not in [row.about for row in hazards(each.appliance).dangers]
        again = read_appliance(file_text(each.appliance))
        assert file_text(again) == file_text(each.appliance)
        assert again.parts == each.appliance.parts
    return found


@pytest.mark.parametrize("plug", [False, True])
@pytest.mark.parametrize("fuse", [None, 150.0])
def test_low_high_both_and_a_real_off(plug: bool, fuse: float | None) -> None:
    found = check(rewirings([500, 1000], HEATS, reversible_plug=plug, thermal_fuse_C=fuse))
    # one contact for each element, and one for the other conductor, which then cuts a fuse too
    assert len(found[0].switch.contacts) == 2 + plug
    for part in found[0].appliance.self_acting:
        assert ("L" in part.between) == (not plug)
    if plug and not fuse:  # equal wirings are shown once
        assert found.fitting == len(found) == 1


def test_without_an_off_what_stands_in_the_line_may_be_live_always() -> None:
    found = rewirings([500, 1000], ["low", "both"], thermal_fuse_C=150)
    check(found)
    assert len(found[0].switch.contacts) == 1
    assert "Before the switch, so live in every position: F1." in str(found)
    assert "No position is off" in str(found)


def test_series_single_and_parallel_of_equal_elements() -> None:
    found = check(rewirings([1000, 1000], ["off", 500, 1000, 2000], supply_voltage_V=230))
    assert len(found[0].switch.contacts) == 3


def test_a_diode_gives_half_and_is_left_out_where_it_is_not_needed() -> None:
    found = check(rewirings([800], [("off", 0), ("simmer", 400), ("full", 800)], diode=True))
    assert found[0].appliance.diodes
    without = rewirings([800], ["off", "high"], diode=True)
    assert not without[0].appliance.diodes
    assert "Not used: D1." in str(without)


def test_three_elements_a_diode_and_three_positions() -> None:
    assert check(rewirings([400, 700, 1000], ["off", 350, 2100], diode=True))[0].unused == ()


def test_elements_made_for_another_voltage_give_what_they_give_here() -> None:
    found = check(rewirings([{"power_W": 1000, "voltage_V": 240}], ["off", "high"]))
    assert found.wanted[1].power_W == pytest.approx(1000 * (230 / 240) ** 2)
    check(rewirings([{"resistance_ohm": 52.9}], ["off", 1000]))


def test_an_appliance_lends_its_parts_with_their_ratings() -> None:
    fuse = check(rewirings(pair(), HEATS))[0].appliance.part("F1")
    assert fuse.rated_A == 16
    lit = check(rewirings(load_appliance("garment-steamer"), ["off", "high"]))
    assert {part.name for part in lit[0].appliance.self_acting} == {"P1", "F1"}
    assert "Left out of the search: H1 and H2." in str(lit)
    urn = check(rewirings(load_appliance("tea-urn"), ["off", "low", "high"]))
    assert "marked on it, 1600 W, may not be true any more" in str(urn)


def test_a_wiring_with_a_failing_rating_is_dropped_with_the_reason() -> None:
    found = rewirings(pair(rated=2), HEATS)
    assert not found
    ((why, count), *_) = found.dropped
    assert why.startswith("F1, current: 7.17 A, at most 2 A")
    assert count
    assert "dropped, for the reasons below" in found.headline


def test_what_fails_in_every_wiring_ends_the_search_at_once() -> None:
    found = rewirings(pair(supply="cord_area_mm2 = 0.5\ncord_length_m = 20"), HEATS)
    assert not found
    assert found.searched == 2
    assert found.dropped[0][0].startswith("cord")


def test_a_power_that_cannot_be_had_is_said_with_the_nearest() -> None:
    found = rewirings([500, 1000], ["off", 620, "high"])
    assert not found
    assert found.nearest == ((found.wanted[1], (500.0, 1000.0)),)
    assert "620 W cannot be had: the nearest are 500 W and 1000 W" in found.headline


def test_powers_that_do_not_go_together_are_said_with_those_that_do() -> None:
    of = stock([500, 1000], diode=False, thermal_fuse_C=None, supply_voltage_V=230.0,
               reversible_plug=True)  # fmt: skip
    search = Search(of, wanted_of(["off", "low", "high", 333.3, "both"], of, 5.0), most_s=0.005)
    for _ in search.steps():
        pass
    found = search.result()
    assert not found
    assert 0 < found.searched < 5
    assert "At most" in found.headline
    assert "go together, such as off" in found.headline
    assert f"Wirings with {found.searched + 1} contacts were not tried" in found.notes[0]


def test_it_is_said_beforehand_how_long_it_takes(capsys, monkeypatch) -> None:
    rewirings([500], ["off", "high"])
    assert capsys.readouterr().out == ""
    monkeypatch.setattr(front, "A_WHILE_S", 0)
    rewirings([500], ["off", "high"])
    assert "after about" in capsys.readouterr().out


def test_progress_counts_up_to_all_and_an_interrupt_ends_it_with_what_was_found() -> None:
    seen = []

    def stop(step) -> None:
        seen.append(step)
        if step.fit:
            raise KeyboardInterrupt

    found = check(rewirings([500, 1000], HEATS, progress=stop))
    assert found.stopped
    assert "until the search was stopped" in found.headline
    assert [step.contacts for step in seen] == sorted(step.contacts for step in seen)
    assert all(step.tried <= step.of for step in seen)
    assert "1 contact: 100 % of" in " ".join(map(str, seen))


def test_positions_that_together_short_the_mains_are_named() -> None:
    found = rewirings([800, 800], ["off", 400, 1600])  # in series, then side by side
    assert [each.shorting for each in found] == [(("400 W", "1600 W"),)]
    assert "The contacts of 400 W and 1600 W, closed together, short the mains" in str(found)
    assert found[0].solutions[1].short is None
    assert not rewirings([500, 1000], ["off", "low", "both"])[0].shorting


def test_a_part_that_carries_no_current_counts_as_not_used() -> None:
    found = rewirings([500, 1000, 1500], ["off", 500])
    assert [each.unused for each in found] == [("E2", "E3")]


def test_every_page_carries_the_caution_and_the_contact_table() -> None:
    found = rewirings([500, 1000], HEATS)
    for text in (str(found), found._repr_html_()):
        assert ON_PAPER.split(":")[0] in text
        assert "licensed person" in text
        assert "Neutral is a live conductor" in text
        assert "S1.1 L–a" in text
    assert ON_PAPER in str(rewirings([500], ["off", 900]))


@pytest.mark.parametrize(
    ("given", "wanted", "told"),
    [
        ([500, 1000, 1500, 2000, 700], ["off", "low"], "at most 4 of these parts together"),
        ([], ["off", "low"], "a list of elements"),
        ("500", ["off", "low"], "a list of elements"),
        ([0], ["off", "low"], "power_W"),
        ([float("nan")], ["off", "low"], "power_W"),
        (["500"], ["off", "low"], "power_W"),
        ([{"power_w": 500}], ["off", "low"], "power_w"),
        ([500], ["off"], "2 to 5"),
        ([500], "off", "2 to 5"),
        ([500], ["off", "warm"], "one of off, low, high"),
        ([500], ["off", -5], "accepted: watts"),
        ([500, 500], ["low", "high"], "write the watts that you want instead"),
        ([500, 700], [("eco", 500), ("Eco", 700)], "two positions alike"),
        ([500, 700], [("e" * 50, 500), ("b", 700)], "Choose another name"),
    ],
)
def test_what_cannot_be_searched_is_refused_in_words(given, wanted, told: str) -> None:
    with pytest.raises((RewiringError, ApplianceError), match=told):
        rewirings(given, wanted)
