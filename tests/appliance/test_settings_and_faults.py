"""Settings and faults: checked words in, clear errors out, nothing written into the appliance."""

import pytest

from lessonlib import (
    Fault,
    load_appliance,
    read_appliance,
    single_faults,
    solve,
    state_table,
)
from lessonlib.appliance.fault import find_fault
from lessonlib.appliance.settings import complete, settings
from lessonlib.errors import FaultError, SettingError

STEAMER = load_appliance("garment-steamer")
RAIL = load_appliance("towel-rail")


def test_parts_not_named_are_at_their_start():
    assert complete(STEAMER, {"S1": "on"}) == {"S1": "on", "F1": "closed", "P1": "closed"}


def test_every_setting_of_the_switches_comes_once():
    found = settings(load_appliance("pie-cabinet"))
    assert len({tuple(row.items()) for row in found}) == len(found) == 4


def test_more_settings_than_anyone_can_read_are_refused_with_their_number():
    switch = (
        '[[switch]]\nname = "S{0}"\npositions = ["a", "b", "c"]\n'
        'contacts = [{{ between = ["L", "N"], closed_in = ["c"] }}]\n'
    )
    text = 'title = "Rig"\n[supply]\nvoltage_V = 230\n' + "".join(map(switch.format, range(9)))
    with pytest.raises(SettingError, match="19,683 settings of 9 parts; accepted: at most 10,000"):
        state_table(read_appliance(text))


@pytest.mark.parametrize(
    ("setting", "words"),
    [
        ({"S9": "on"}, "no part 'S9'.*S1, F1, E1"),
        ({"S1": "On"}, "no position 'On'.*off, on"),
        ({"E1": "on"}, "'E1' has no positions.*S1, F1, P1"),
        ({"S1": 3}, "no position 3"),
    ],
)
def test_a_setting_that_does_not_fit_says_what_does(setting, words):
    with pytest.raises(SettingError, match=f"(?s){words}"):
        solve(STEAMER, setting)


def test_faults_are_listed_for_every_part_and_contact():
    found = [str(fault) for fault in single_faults(RAIL)]
    assert found[:4] == [
        "S1 welded",
        "S1 not making",
        "S1 contact 2 welded",
        "S1 contact 2 not making",
    ]
    assert found[-2:] == ["E2 open", "E2 shorted"]


def test_faults_are_read_back_from_their_own_words():
    for fault in single_faults(RAIL):
        assert find_fault(RAIL, str(fault)) == fault


@pytest.mark.parametrize(
    ("fault", "words"),
    [
        ("E9 open", "no part 'E9'"),
        ("E1", "cannot read the fault 'E1'"),
        ("E1 welded", "E1 cannot be 'welded'.*open, shorted"),
        ("S1 open", "S1 cannot be 'open'.*welded, not making"),
        ("S1 contact 9 welded", "no contact 9.*1 to 4"),
        (Fault("E1", "bent"), "cannot be 'bent'"),
        ("", "cannot read"),
    ],
)
def test_a_fault_that_does_not_fit_says_what_does(fault, words):
    with pytest.raises(FaultError, match=f"(?s){words}"):
        solve(RAIL, fault=fault)


def test_a_fault_leaves_the_appliance_as_it_was():
    before = hash(RAIL)
    healthy = solve(RAIL, {"S1": "low"}).power_W
    assert solve(RAIL, {"S1": "low"}, fault="E1 open").power_W == 0
    assert hash(RAIL) == before
    assert solve(RAIL, {"S1": "low"}).power_W == healthy
