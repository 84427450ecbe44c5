"""Settings and faults: checked words in, clear errors out, nothing written into the appliance."""

from itertools import pairwise

import pytest

from lessonlib import (
    compare,
    load_appliance,
    meter_table,
    read_appliance,
    single_faults,
    solve,
    state_table,
)
from lessonlib.appliance.fault import find_fault, is_closed
from lessonlib.appliance.parts import Appliance, Contact, Diode, Element, Supply, Switch
from lessonlib.appliance.settings import complete, settings
from lessonlib.circuit import solution
from lessonlib.errors import FamilyError, SettingError
from lessonlib.meter import ohmmeter

STEAMER = load_appliance("garment-steamer")
RAIL = load_appliance("towel-rail")


def test_parts_not_named_are_at_their_start_and_every_setting_comes_once():
    assert complete(STEAMER, {"S1": "on"}) == {"S1": "on", "F1": "closed", "P1": "closed"}
    found = settings(load_appliance("pie-cabinet"))
    assert len({tuple(row.items()) for row in found}) == len(found) == 4


def test_more_settings_than_anyone_can_read_are_refused_with_their_number():
    switch = (
        '[[switch]]\nname = "S{0}"\npositions = ["a", "b", "c"]\n'
        'contacts = [{{ between = ["L", "N"], closed_in = ["c"] }}]\n'
    )
    text = 'title = "Rig"\n[supply]\nvoltage_V = 230\n' + "".join(map(switch.format, range(9)))
    with pytest.raises(SettingError, match=r"19,683 settings of 9 parts; .* at most 11,111 at a"):
        state_table(read_appliance(text))


def chain(elements: int, switches: int, diodes: int = 0) -> Appliance:
    """Elements and diodes in series, with a switch across each of the first few elements."""
    nodes = ["L", *(f"n{number}" for number in range(1, elements + diodes)), "N"]
    ends = list(pairwise(nodes))
    return Appliance(
        "Chain",
        "",
        Supply(230),
        (
            *(Element(f"E{n}", ends[n], resistance_ohm=10) for n in range(elements)),
            *(Diode(f"D{n}", ends[elements + n]) for n in range(diodes)),
            *(
                Switch(f"S{n}", ("off", "on"), (Contact(ends[n], ("on",)),), "off")
                for n in range(switches)
            ),
        ),
    )


@pytest.mark.parametrize("made", [state_table, meter_table, lambda chain: compare([chain, chain])])
def test_a_table_is_bounded_by_its_cells_before_anything_is_solved(monkeypatch, made):
    refused = "8,192 settings of 13 parts; accepted for its 193 parts and contacts: at most 518 "
    for module in (solution, ohmmeter):
        monkeypatch.setattr(module, "network_for", lambda *_: pytest.fail("it was solved"))
    with pytest.raises((SettingError, FamilyError), match=refused):
        made(chain(180, 13))


def test_with_many_diodes_a_table_has_fewer_settings():
    assert len(settings(chain(90, 9))) == len(settings(chain(9, 9, diodes=10))) == 512
    with pytest.raises(SettingError, match=r"1,024 settings .* at most 625 at a time"):
        settings(chain(18, 10, diodes=12))  # 40 parts: 100,000 / 40 / 4


def test_faults_are_listed_for_every_part_and_contact():
    found = ", ".join(map(str, single_faults(RAIL)))
    assert found.startswith(
        "S1 welded, S1 not making, S1 contact 2 welded, S1 contact 2 not making"
    )
    assert found.endswith("E2 open, E2 shorted")


def test_a_fault_leaves_the_appliance_as_it_was():
    before = hash(RAIL)
    healthy = solve(RAIL, {"S1": "low"}).power_W
    assert solve(RAIL, {"S1": "low"}, fault="E1 open").power_W == 0
    assert hash(RAIL) == before
    assert solve(RAIL, {"S1": "low"}).power_W == healthy


def test_a_fault_of_a_switch_tells_in_which_positions_it_is_closed():
    def closed_in(name, part, fault):
        found, fault = load_appliance(name).part(part), find_fault(load_appliance(name), fault)
        contacts = range(1, len(found.contacts) + 1)
        return [p for p in found.positions if any(is_closed(found, c, p, fault) for c in contacts)]

    assert closed_in("punch-warmer", "S1", None) == ["keep warm", "boost"]
    assert closed_in("punch-warmer", "S1", "S1 contact 2 welded") == ["off", "keep warm", "boost"]
    assert closed_in("punch-warmer", "S1", "S1 not making") == ["boost"]  # the other one still does
    assert closed_in("wax-melter", "S2", "S2 not making") == []
    assert closed_in("wax-melter", "S2", "S1 welded") == ["full"]
