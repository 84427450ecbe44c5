"""A family as it is given: lists, files, labels, and what cannot be used."""

import random
from dataclasses import replace

import pytest

from lessonlib import compare, family, load_appliance, solve_all
from lessonlib.appliance.fault import single_faults
from lessonlib.appliance.parts import Supply
from lessonlib.appliance.settings import settings
from lessonlib.errors import FamilyError, SettingError
from lessonlib.families.family import NO_CHANGE
from lessonlib.families.matching import match
from lessonlib.families.members import MOST_MEMBERS, family_files
from tests.families.put_in import disguised, drawn

BROKEN = 'title = "x"\n[supply]\nvoltage_V = "230"\n'


def test_two_identical_members_show_no_change_and_get_labels_of_their_own():
    urn = load_appliance("tea-urn")
    found = family([("the urn", urn), ("the urn", urn)])
    assert [member.label for member in found.members] == ["the urn", "the urn (2)"]
    assert found.changes[1] == ()
    assert NO_CHANGE in str(found)
    assert found.same


def test_a_member_that_cannot_be_read_is_named_and_the_rest_shown(tmp_path):
    bad = tmp_path / "bad.toml"
    bad.write_text(BROKEN, "utf-8")
    found = family(["tea-urn", ("worn out", bad), "soup-kettle", ("lost", "no-such-urn")])
    assert [member.label for member in found.members] == ["Six-litre tea urn", "Soup kettle"]
    assert [each.label for each in found.unread] == ["worn out", "lost"]
    assert "accepted" in found.unread[0].reason
    assert "Left out: “worn out”" in str(found)


def test_another_supply_voltage_is_left_out_with_the_reason():
    urn = load_appliance("tea-urn")
    found = family([urn, ("abroad", replace(urn, supply=Supply(120.0)))])
    assert len(found.members) == 1
    assert "found a supply of 120 V; accepted: 230 V" in found.unread[0].reason


def test_one_member_is_shown_with_nothing_to_compare():
    found = family(["tea-urn"])
    assert found.changes == ((),)
    with pytest.raises(SettingError, match="accepted: two or more"):
        compare([load_appliance("tea-urn")])


@pytest.mark.parametrize(
    "given", [[], 7, None, [7], "no-such-family", ["tea-urn"] * (MOST_MEMBERS + 1)]
)
def test_what_is_no_family_says_what_is_accepted(given):
    with pytest.raises(FamilyError, match=r"(?i)accepted"):
        family(given)


@pytest.mark.parametrize(
    "text",
    ["nonsense", "member = 3", "[[member]]\nlabel = 3", "[[member]]\nfiles = 'a.toml'", "x = 1"],
)
def test_a_list_that_is_not_one_names_the_file(tmp_path, text):
    path = tmp_path / "list.toml"
    path.write_text(text, "utf-8")
    with pytest.raises(FamilyError, match=r"list\.toml"):
        family(path)


def test_paths_in_a_list_are_beside_it(tmp_path):
    (tmp_path / "first.toml").write_text(
        family_files()["floor-steamer"].with_name("1-no-off.toml").read_text("utf-8"), "utf-8"
    )
    listed = '[[member]]\nlabel = "mine"\nfile = "first.toml"\n[[member]]\nfile = "tea-urn"\n'
    path = tmp_path / "family.toml"
    path.write_text(listed, "utf-8")
    assert [m.label for m in family(path).members] == ["mine", "Six-litre tea urn"]


def test_compare_says_what_only_one_of_two_can_do():
    found = compare([load_appliance("plate-warmer"), load_appliance("soup-kettle")])
    assert not found.same
    assert "not possible" in str(found)
    assert "What changed in “Soup kettle”" in str(found)


def test_forty_members_are_shown():
    given = [("one", "tea-urn"), ("two", "soup-kettle")] * 20
    assert len(family(given).changes) == 40


def test_settings_that_match_do_the_same_in_every_plug_and_with_every_fault():
    """Against the solver: settings of a disguised copy that are matched by parts and contacts are
    in one row, and what was paired gives the same powers with every single fault."""
    for seed in range(25):
        rng = random.Random(seed)
        first = replace(drawn(rng), supply=Supply(230.0, reversible_plug=True))
        second = disguised(first, rng)
        found = match(first, second)
        parts = {(a.part, a.contact): (b.part, b.contact) for a, b in found.same}
        table = family([first, second]).settings
        closed = [
            {
                tuple(sorted(_closed(each, s, parts if each is first else None))): n
                for n, s in enumerate(settings(each))
            }
            for each in (first, second)
        ]
        pairs = [(n, closed[1][key]) for key, n in closed[0].items()]
        for row in table.does:
            for ours, theirs in pairs:
                assert (ours in row.by[0]) == (theirs in row.by[1]), seed
        for turned in (False, True):
            for fault in (None, *single_faults(first)):
                twin = fault
                if fault is not None:
                    name, number = parts[fault.part, fault.contact]
                    twin = replace(fault, part=name, contact=number)
                one = solve_all(first, faults=[fault], reversed_plug=turned)
                two = solve_all(second, faults=[twin], reversed_plug=turned)
                for ours, theirs in pairs:
                    assert one[ours].power_W == pytest.approx(two[theirs].power_W), (seed, fault)


def _closed(appliance, setting, parts):
    """The contacts of switches that are closed, by their names in the second wiring."""
    for part in appliance.switches:
        for number, contact in enumerate(part.contacts, 1):
            if setting[part.name] in contact.closed_in:
                yield parts[part.name, number] if parts else (part.name, number)
