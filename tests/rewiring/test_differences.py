"""What `compare` says of dangers, failing ratings and live points, for other parts too."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from lessonlib import appliance_names, compare, family, load_appliance, read_appliance, rewirings
from lessonlib.appliance.parts import Appliance
from lessonlib.families.data import family_data
from tests.families.put_in import disguised

PAIR = """
title = "{title}"
[supply]
voltage_V = 230
[[element]]
name = "{e1}"
between = {e1_between}
power_W = 600
voltage_V = 230
[[element]]
name = "{e2}"
between = {e2_between}
power_W = 900
voltage_V = 230
[[thermal_fuse]]
name = "F1"
between = {fuse}
opens_at_C = 150
rated_A = {rated}
[[switch]]
name = "S1"
positions = ["off", "low", "both"]
contacts = [
  {{ between = {one}, closed_in = ["low", "both"] }},
  {{ between = {two}, closed_in = ["both"] }},
]
"""


def pair(
    title: str,
    *,
    rated: int = 16,
    in_neutral: bool = False,
    names: tuple[str, str] = ("E1", "E2"),
) -> Appliance:
    line, other = ("N", "fed") if in_neutral else ("fed", "N")
    return read_appliance(
        PAIR.format(
            title=title, rated=rated, e1=names[0], e2=names[1], fuse='["L", "fed"]',
            e1_between=f'["a", "{other}"]', e2_between=f'["b", "{other}"]',
            one=f'["{line}", "a"]', two=f'["{line}", "b"]',
        )
    )  # fmt: skip


def told(*appliances) -> list[str]:
    return [each.words for each in compare(appliances).changes[1] if each.kind == "safety"]


def test_a_switch_moved_into_the_neutral_is_a_new_danger_and_back_again_none() -> None:
    good, bad = pair("in the line"), pair("in the neutral", in_neutral=True)
    words = " ".join(told(good, bad))
    assert "A new danger, S1 off: nothing heats, but these stay live: E1, E2 and F1" in words
    assert "With 600 W, plug as marked, an end of E2 is live; before, none was." in words
    (*_, last) = told(bad, good)
    assert last.endswith("no end of E2 is live in the model; before, one was.")


def test_a_danger_that_is_another_now_is_no_new_one() -> None:
    both = pair("both in the neutral", in_neutral=True)
    e1, e2, fuse, switch = both.parts
    first, second = switch.contacts
    one = replace(
        both,
        parts=(
            replace(e1, between=("a", "N")),
            e2,
            fuse,
            replace(switch, contacts=(replace(first, between=("fed", "a")), second)),
        ),
    )
    (line, *_) = told(both, one)
    assert line.startswith("Still a danger, S1 off: nothing heats, but these stay live: E2 and F1")
    assert "Before: nothing heats, but these stay live: E1, E2 and F1" in line


def test_a_rating_that_fails_or_passes_now_is_said_with_its_numbers() -> None:
    words = told(pair("good"), pair("weak", rated=2))
    assert any(line.startswith("F1, current, fails now: 7.17 A, at most 2 A") for line in words)
    assert told(pair("weak", rated=2), pair("good")) == [
        "F1, current, passes now; before, it failed."
    ]


def test_other_names_are_no_difference() -> None:
    assert told(pair("a"), pair("b", names=("H7", "H9"))) == []


def test_wirings_with_other_parts_are_compared_too() -> None:
    words = told(load_appliance("curtain-steamer"), load_appliance("wallpaper-steamer"))
    assert any(line.startswith("This danger is gone, S1 off: nothing") for line in words)
    back = told(load_appliance("wallpaper-steamer"), load_appliance("curtain-steamer"))
    assert any(line.startswith("A new danger, S1 off: nothing heats") for line in back)
    found = rewirings(pair("mine"), ["off", "low", "high", "both"])
    assert "off" in {each.name for each in found.wanted}
    assert compare([pair("mine"), found[0].appliance]).changes[1]


def test_what_it_says_of_a_part_is_marked_in_the_drawing() -> None:
    shown = family_data(compare([pair("good"), pair("weak", rated=2)]))
    (change,) = [c for c in shown["members"][1]["changes"] if c["kind"] == "safety"]
    number = shown["members"][1]["changes"].index(change) + 1
    assert f'data-change="{number}"' in shown["members"][1]["svg"]


@pytest.mark.parametrize("name", ["floor-steamer"])
def test_a_family_says_what_it_said(name: str) -> None:
    kinds = {each.kind for changes in family(name).changes for each in changes}
    assert "safety" not in kinds


@pytest.mark.parametrize("name", appliance_names())
def test_a_file_that_was_only_redrawn_shows_no_change_in_safety_either(name: str) -> None:
    first = load_appliance(name)
    redrawn = replace(disguised(first, random.Random(7)), vessel=None)  # less told is no change
    assert [str(each) for each in compare([first, redrawn]).changes[1]] == []
