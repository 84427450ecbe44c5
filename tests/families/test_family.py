"""A family as it is given: lists, files, labels, and what cannot be used."""

import random
from dataclasses import replace

import pytest

from lessonlib import compare, family, load_appliance, read_appliance, solve_all
from lessonlib.appliance.fault import single_faults
from lessonlib.appliance.parts import Appliance, Contact, Element, Supply, Switch, Thermostat
from lessonlib.appliance.settings import settings
from lessonlib.errors import FamilyError, SettingError
from lessonlib.families.family import NO_CHANGE
from lessonlib.families.matching import match
from lessonlib.families.members import MOST_MEMBERS, family_files
from tests.families.put_in import disguised, drawn, same_wiring
from tests.networks import element, rig
from tests.test_progress_bar import watch

BROKEN = 'title = "x"\n[supply]\nvoltage_V = "230"\n'


def test_two_identical_members_show_no_change_and_get_labels_of_their_own():
    urn = load_appliance("tea-urn")
    found = family([("the urn", urn), ("the urn", urn)])
    assert [member.label for member in found.members] == ["the urn", "the urn (2)"]
    assert found.changes[1] == ()
    assert NO_CHANGE in str(found)
    assert found.same


def test_no_two_members_have_the_same_label():
    urn = load_appliance("tea-urn")
    found = family([("a", urn), ("a", urn), ("a (2)", urn), ("", urn), ("", urn)])
    labels = [member.label for member in found.members]
    assert labels == ["a", "a (2)", "a (2) (2)", "Six-litre tea urn", "Six-litre tea urn (2)"]


def test_a_member_that_cannot_be_drawn_is_left_out():
    """A ladder of many steps, which the drawing refuses."""
    steps = "".join(
        element(f"E{n}", f"p{n}", f"p{n + 1}", 10) + element(f"R{n}", f"p{n + 1}", "N", 0.1)
        for n in range(40)
    )
    ladder = rig(element("E99", "L", "p0") + steps)
    found = family(["tea-urn", ("ladder", ladder)])
    assert len(found.members) == 1
    assert "too many steps" in found.unread[0].reason


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
    assert "Found a supply of 120 V; accepted: 230 V" in found.unread[0].reason


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


def switched(at_off: str) -> str:
    """Two elements, each with a contact of one switch: in the line (L) or in the neutral (N)."""
    text = 'title = "Pair"\nsupply.voltage_V = 230\n'
    rows = []
    for number, side in enumerate(at_off, 1):
        other = "N" if side == "L" else "L"
        rows.append(f'{{ between = ["{side}", "p{number}"], closed_in = ["on"] }}')
        text += f'[[element]]\nname = "E{number}"\nbetween = ["p{number}", "{other}"]\n'
        text += f"power_W = {number}00\nvoltage_V = 230\n"
    listed = ", ".join(rows)
    return text + f'[[switch]]\nname = "S1"\npositions = ["off", "on"]\ncontacts = [{listed}]\n'


@pytest.mark.parametrize(
    ("before", "now", "words"),
    [
        ("NN", "LN", "Off is safer now: E2 is live. Before, E1 and E2 were live."),
        ("LN", "NN", "Off is less safe now: E1 and E2 are live. Before, E2 was live."),
        ("LL", "NL", "Off is less safe now: E1 is live. Before, no element was live."),
    ],
)
def test_off_is_the_safer_the_fewer_elements_are_live(before, now, words):
    found = compare([read_appliance(switched(before)), read_appliance(switched(now))])
    assert [str(change) for change in found.changes[1] if change.kind == "off"] == [words]


def test_contacts_that_close_together_in_other_positions_are_a_change():
    """Four contacts in two pairs: alike one by one, and in other company."""

    def paired(first: str, second: str) -> Appliance:
        closed = {"1": ("a",), "2": ("b",)}
        rows = [Contact(("L", f"p{i}"), closed["1" if str(i) in first else "2"]) for i in range(4)]
        parts = [Element(f"E{i}", (f"p{i}", "N"), resistance_ohm=100 + 50 * i) for i in range(4)]
        return Appliance(
            first + second, "", Supply(230.0), (*parts, Switch("S1", ("a", "b"), tuple(rows), "a"))
        )

    found = compare([paired("01", "23"), paired("02", "13")])
    told = [change.words for change in found.changes[1] if change.kind == "switch"]
    assert told == ["The switch S1 closes its contacts together in other positions than before."]
    assert not same_wiring(found.members[0].appliance, found.members[1].appliance)


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


def test_one_member_is_shown_and_told_what_is_missing():
    alone = family(["tea-urn"])
    assert "One member only" in str(alone)
    assert "One member only" not in str(family(["tea-urn", "tea-urn"]))


def test_many_members_say_how_far_they_are(monkeypatch):
    screen = watch(monkeypatch)
    many = family([(f"{place}", "tea-urn") for place in range(13)])
    assert many.changes
    read, compared, _ = screen.getvalue().split("\n")
    assert read.endswith("[####################] 13 of 13 members read")
    assert compared.endswith("[####################] 13 of 13 members compared")


def test_a_list_of_ones_own_is_found_by_its_name(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "families").mkdir()
    (tmp_path / "families" / "ours.toml").write_text(
        'title = "Ours"\n[[member]]\nlabel = "the urn"\nfile = "tea-urn"\n', "utf-8"
    )
    assert family("ours").members[0].label == "the urn"


def test_a_part_that_closes_again_ends_nothing():
    urn = load_appliance("tea-urn")
    element, other, switch = urn.parts
    parts = tuple(replace(each, between=(each.between[0], "out")) for each in (element, other))
    guarded = replace(urn, parts=(*parts, switch, Thermostat("T1", ("out", "N"), 80, 70)))
    (said,) = [str(each) for each in family([urn, guarded]).changes[1] if each.kind == "stuck"]
    assert "the thermostat T1 can still interrupt the heating, but not end it" in said
