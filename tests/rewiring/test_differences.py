"""What `compare` says of dangers, failing ratings and live points, for other parts too."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from lessonlib import appliance_names, compare, family, load_appliance, rewirings
from lessonlib.families.data import family_data
from tests.families.put_in import disguised
from tests.rewiring.pairs import pair


def told(*appliances) -> list[str]:
    return [each.words for each in compare(appliances).changes[1] if each.kind == "safety"]


def test_a_switch_moved_into_the_neutral_is_a_new_danger_and_back_again_none() -> None:
    words = " ".join(told(pair(), pair(in_neutral=True)))
    assert "A new danger, S1 off: nothing heats, but these stay live: E1, E2 and F1" in words
    assert "With 600 W, plug as marked, an end of E2 is live; before, none was." in words
    (*_, last) = told(pair(in_neutral=True), pair())
    assert last.endswith("no end of E2 is live in the model; before, one was.")


def test_a_danger_that_is_another_now_is_no_new_one() -> None:
    both = pair(in_neutral=True)
    e1, e2, fuse, switch = both.parts
    first, second = switch.contacts
    moved = replace(switch, contacts=(replace(first, between=("fed", "a")), second))
    one = replace(both, parts=(replace(e1, between=("a", "N")), e2, fuse, moved))
    (line, *_) = told(both, one)
    assert line.startswith("Still a danger, S1 off: nothing heats, but these stay live: E2 and F1")
    assert "Before: nothing heats, but these stay live: E1, E2 and F1" in line


def test_a_rating_that_fails_or_passes_now_is_said_with_its_numbers_and_marked() -> None:
    found = compare([pair(), pair(rated=2), pair()])
    fails, passes = ([c for c in found.changes[n] if c.kind == "safety"] for n in (1, 2))
    assert fails[0].words.startswith("F1, current, fails now: 7.17 A, at most 2 A")
    assert [c.words for c in passes] == ["F1, current, passes now; before, it failed."]
    number = found.changes[1].index(fails[0]) + 1
    assert f'data-change="{number}"' in family_data(found)["members"][1]["svg"]


def test_other_names_are_no_difference() -> None:
    assert told(pair(), pair(e1="H7", e2="H9")) == []


def test_wirings_with_other_parts_are_compared_too() -> None:
    words = told(load_appliance("curtain-steamer"), load_appliance("wallpaper-steamer"))
    assert any(line.startswith("This danger is gone, S1 off: nothing") for line in words)
    found = rewirings(pair(), ["off", "low", "high", "both"])
    assert compare([pair(), found[0].appliance]).changes[1]


def test_a_family_says_nothing_of_safety_unasked() -> None:
    changes = family([pair(), pair(in_neutral=True)]).changes[1]
    assert "safety" not in {each.kind for each in changes}


@pytest.mark.parametrize("name", appliance_names())
def test_a_file_that_was_only_redrawn_shows_no_change_in_safety_either(name: str) -> None:
    first = load_appliance(name)
    redrawn = replace(disguised(first, random.Random(7)), vessel=None)  # less told is no change
    assert [str(each) for each in compare([first, redrawn]).changes[1]] == []
