"""A family as it is given: lists, files, labels, and what cannot be used."""

import random
import re
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


def test_identical_members_show_no_change_and_get_labels_of_their_own():
    urn = load_appliance("tea-urn")
    found = family([("a", urn), ("a", urn), ("a (2)", urn), ("", urn), ("", urn)])
    labels = [member.label for member in found.members]
    assert labels == ["a", "a (2)", "a (2) (2)", "Six-litre tea urn", "Six-litre tea urn (2)"]
    assert found.changes == ((),) * 5
    assert NO_CHANGE in str(found)
    assert "One member only" not in str(found)


def test_what_cannot_be_used_is_left_out_with_the_reason_and_the_rest_shown(tmp_path):
    bad = tmp_path / "bad.toml"
    bad.write_text('title = "x"\n[supply]\nvoltage_V = "230"\n', "utf-8")
    abroad = replace(load_appliance("tea-urn"), supply=Supply(120.0))
    steps = "".join(  # a ladder of many steps, which the drawing refuses
        element(f"E{n}", f"p{n}", f"p{n + 1}", 10) + element(f"R{n}", f"p{n + 1}", "N", 0.1)
        for n in range(40)
    )
    ladder = rig(element("E99", "L", "p0") + steps)
    given = [("worn out", bad), ("lost", "no-such-urn"), ("abroad", abroad), ("ladder", ladder)]
    found = family(["tea-urn", *given])
    assert [member.label for member in found.members] == ["Six-litre tea urn"]
    assert found.changes == ((),)
    reasons = (
        "“worn out”. .*accepted", "“lost”. ", "“abroad”. Found a supply of 120 V; accepted: 230 V",
        "“ladder”. .*too many steps",
    )  # fmt: skip
    for why, reason in zip(found.unread, reasons, strict=True):
        assert re.match(reason, why, re.DOTALL)
    assert "Left out: “worn out”" in str(found)
    assert "One member only" in str(found)


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
    with pytest.raises(FamilyError, match=r"list\.toml.*ccepted"):
        family(path)


def test_a_list_of_ones_own_is_found_by_its_name_and_its_paths_are_beside_it(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    folder = tmp_path / "families"
    folder.mkdir()
    first = family_files()["floor-steamer"].with_name("1-no-off.toml")
    (folder / "first.toml").write_text(first.read_text("utf-8"), "utf-8")
    listed = '[[member]]\nlabel = "mine"\nfile = "first.toml"\n[[member]]\nfile = "tea-urn"\n'
    (folder / "ours.toml").write_text(f'title = "Ours"\n{listed}', "utf-8")
    ours = family("ours")
    assert ours.title == "Ours"
    assert [member.label for member in ours.members] == ["mine", "Six-litre tea urn"]


def test_compare_says_what_only_one_of_two_can_do():
    found = compare([load_appliance("plate-warmer"), load_appliance("soup-kettle")])
    assert "not possible" in str(found)
    assert "What changed in “Soup kettle”" in str(found)
    with pytest.raises(SettingError, match="accepted: two or more"):
        compare([load_appliance("tea-urn")])


def said(one: Appliance, other: Appliance, kind: str) -> list[str]:
    return [str(change) for change in family([one, other]).changes[1] if change.kind == kind]


def switched(at_off: str) -> Appliance:
    """Two elements, each with a contact of one switch: in the line (L) or in the neutral (N)."""
    text = 'title = "Pair"\nsupply.voltage_V = 230\n'
    rows = []
    for number, side in enumerate(at_off, 1):
        other = "N" if side == "L" else "L"
        rows.append(f'{{ between = ["{side}", "p{number}"], closed_in = ["on"] }}')
        text += f'[[element]]\nname = "E{number}"\nbetween = ["p{number}", "{other}"]\n'
        text += f"power_W = {number}00\nvoltage_V = 230\n"
    switch = '[[switch]]\nname = "S1"\npositions = ["off", "on"]\n'
    return read_appliance(f"{text}{switch}contacts = [{', '.join(rows)}]\n")


@pytest.mark.parametrize(
    ("before", "now", "words"),
    [
        ("NN", "LN", "Off is safer now: E2 is live. Before, E1 and E2 were live."),
        ("LN", "NN", "Off is less safe now: E1 and E2 are live. Before, E2 was live."),
        ("LL", "NL", "Off is less safe now: E1 is live. Before, no element was live."),
    ],
)
def test_off_is_the_safer_the_fewer_elements_are_live(before, now, words):
    assert said(switched(before), switched(now), "off") == [words]


def test_contacts_that_close_together_in_other_positions_are_a_change():
    """Four contacts in two pairs: alike one by one, and in other company."""

    def paired(first: str) -> Appliance:
        closed = [("a",) if str(i) in first else ("b",) for i in range(4)]
        contacts = tuple(Contact(("L", f"p{i}"), each) for i, each in enumerate(closed))
        parts = [Element(f"E{i}", (f"p{i}", "N"), resistance_ohm=100 + 50 * i) for i in range(4)]
        switch = Switch("S1", ("a", "b"), contacts, "a")
        return Appliance(first, "", Supply(230.0), (*parts, switch))

    one, other = paired("01"), paired("02")
    told = "The switch S1 closes its contacts together in other positions than before."
    assert said(one, other, "switch") == [told]
    assert not same_wiring(one, other)


def test_a_part_that_closes_again_ends_nothing():
    urn = load_appliance("tea-urn")
    *elements, switch = urn.parts
    parts = tuple(replace(each, between=(each.between[0], "out")) for each in elements)
    guarded = replace(urn, parts=(*parts, switch, Thermostat("T1", ("out", "N"), 80, 70)))
    (told,) = said(urn, guarded, "stuck")
    assert "the thermostat T1 can still interrupt the heating, but not end it" in told


def test_settings_that_match_do_the_same_in_every_plug_and_with_every_fault():
    """Against the solver: settings of a disguised copy that are matched by parts and contacts are
    in one row, and what was paired gives the same powers with every single fault."""
    for seed in range(8):
        rng = random.Random(seed)
        first = replace(drawn(rng), supply=Supply(230.0, reversible_plug=True))
        second = disguised(first, rng)
        same = match(first, second).same
        parts = {(a.part, a.contact): (b.part, b.contact) for a, b in same}
        own = {path: path for path in parts.values()}
        theirs = {closed(second, at, own): n for n, at in enumerate(settings(second))}
        pairs = [(n, theirs[closed(first, at, parts)]) for n, at in enumerate(settings(first))]
        for row in family([first, second]).settings.does:
            for one, other in pairs:
                assert (one in row.by[0]) == (other in row.by[1]), seed
        faults = [None, *single_faults(first)]
        twins = [None]
        for fault in faults[1:]:
            part, contact = parts[fault.part, fault.contact]
            twins.append(replace(fault, part=part, contact=contact))
        for turned in (False, True):
            for fault, twin in zip(faults, twins, strict=True):
                ours = solve_all(first, faults=[fault], reversed_plug=turned)
                others = solve_all(second, faults=[twin], reversed_plug=turned)
                for one, other in pairs:
                    power = others[other].power_W
                    assert ours[one].power_W == pytest.approx(power), (seed, fault)


def closed(appliance, setting, names):
    """The contacts of switches that are closed, by their `names` in the second wiring."""
    return frozenset(
        names[part.name, number]
        for part in appliance.switches
        for number, contact in enumerate(part.contacts, 1)
        if setting[part.name] in contact.closed_in
    )


def test_many_members_say_how_far_they_are(monkeypatch):
    screen = watch(monkeypatch)
    many = family([(f"{place}", "tea-urn") for place in range(13)])
    assert many.changes
    read, compared, _ = screen.getvalue().split("\n")
    assert read.endswith("[####################] 13 of 13 members read")
    assert compared.endswith("[####################] 13 of 13 members compared")
