"""Faults of parts, wires, cord and plug: which there are, their words, and what cannot be."""

from dataclasses import replace

import pytest

from lessonlib import (
    appliance_names,
    load_appliance,
    possible_faults,
    single_faults,
    variant,
)
from lessonlib.appliance.fault import CORD, Fault, fault_pairs, find_fault
from lessonlib.appliance.terminals import Terminal, joints, metalwork, terminals
from lessonlib.errors import FaultError
from tests.networks import diode, element, rig

MELTER = load_appliance("wax-melter")


@pytest.mark.parametrize("name", appliance_names())
def test_every_fault_is_read_back_from_its_own_words(name):
    appliance = load_appliance(name)
    every = possible_faults(appliance)
    assert len({str(fault) for fault in every}) == len(every)
    assert set(single_faults(appliance)) < set(every)
    for fault in every:
        assert find_fault(appliance, str(fault)) == fault


def test_the_faults_of_a_melter_in_the_words_of_the_trade():
    words = "; ".join(map(str, possible_faults(MELTER)))
    assert words.startswith(
        "plug fuse blown; cord: line core broken; cord: neutral core broken; earth wire off; "
        "S1 welded; S1 not making; S1 resistive, 20 Ω; "
    )
    for some in (
        "; F1 not making; F1 resistive, 20 Ω; F1 drifted; ",
        "; D1 open; D1 shorted; D1 reversed; ",
        "; E1 part shorted, 50 % left; E1 leaking to its sheath at 50 %, 20 kΩ; ",
        "; E1 at N: wire off; E1 at N: bad joint, 20 Ω",
    ):
        assert some in words


def test_a_wire_between_two_ends_comes_off_once_and_three_ends_have_three_wires():
    said = [str(end) for end in joints(MELTER)]
    # "switched" joins S1 to F1 and nothing else; "fed" joins F1, S2 and D1
    assert [end for end in said if end.endswith("switched")] == ["S1 at switched"]
    assert {end for end in said if end.endswith("fed")} == {"F1 at fed", "S2 at fed", "D1 at fed"}
    assert "S1 at L" in said  # beside the line core
    assert len(said) < len(terminals(MELTER))


def test_the_metalwork_has_a_name_of_its_own():
    assert metalwork(MELTER) == "case"
    assert metalwork(rig(element("E1", "L", "case") + element("E2", "case", "N"))) == "case itself"


@pytest.mark.parametrize(
    ("words", "fault"),
    [
        ("E1 part shorted", Fault("E1", "part shorted", share=0.5)),
        ("E1 part shorted, 30 % left", Fault("E1", "part shorted", share=0.3)),
        ("E1 leaking", Fault("E1", "leaking", share=0.5, ohm=20e3)),
        ("E1 leaking to its sheath at 10 %, 1.5 MΩ", Fault("E1", "leaking", share=0.1, ohm=1.5e6)),
        ("S1 resistive, 300 mΩ", Fault("S1", "resistive", ohm=0.3)),
        ("E1 at N: bad joint", Fault("E1", "bad joint", node="N", ohm=20.0)),
        ("E1 at N: bad joint 6 Ω", Fault("E1", "bad joint", node="N", ohm=6.0)),
        ("cord: neutral core broken", Fault(CORD, "neutral core broken")),
    ],
)
def test_sizes_are_read_and_may_be_left_out(words, fault):
    assert find_fault(MELTER, words) == fault


@pytest.mark.parametrize(
    ("fault", "words"),
    [
        ("E1 at fed: wire off", "accepted: heat, N. Name one of these points"),
        (Fault("E1", "wire off", node="fed"), "accepted: heat, N. Name one of these points"),
        (Fault("E1", "wire off"), "found a wire of E1 at ''"),
        ("E1 reversed", "E1 cannot be 'reversed'"),
        ("S1 drifted", "S1 cannot be 'drifted'"),
        (Fault("E1", "part shorted", share=1.5), "a number from 0 to 1"),
        (Fault("E1", "leaking", ohm=-1), "a number from 0 to 1,000,000,000"),
        (Fault("S1", "resistive", ohm="20"), "a number from 0 to 1,000,000,000"),
        ("E1 open, 5 Ω", "cannot read"),
        ("cord: open", "no part 'cord:'"),
    ],
)
def test_a_fault_that_cannot_be_says_what_can(fault, words):
    with pytest.raises(FaultError, match=words):
        find_fault(MELTER, fault)


def test_a_part_whose_name_has_other_words_in_it():
    odd = rig(element("E1 at N", "L", "a b") + diode("D 1 open", "a b", "N"))
    for fault in possible_faults(odd):
        assert find_fault(odd, str(fault)) == fault


def test_pairs_are_of_different_parts():
    pairs = list(fault_pairs(MELTER))
    assert len(pairs) == len(set(pairs))
    one, other = (find_fault(MELTER, words) for words in ("E1 open", "D1 shorted"))
    assert (other, one) in pairs
    assert (one, replace(one, kind="shorted")) not in pairs
    assert any(one.part == other.part == CORD for one, other in pairs)
    assert str(Terminal("S1", 2, "N")) == "S1.2 at N"


@pytest.mark.parametrize(
    ("supply", "fault", "accepted"),
    [
        ({"reversible_plug": True}, "plug fuse blown", "a plug that has a fuse"),
        ({"protection_class": "II"}, "earth wire off", "a cord with an earth wire"),
        ({"cord_cores": "two"}, "earth wire off", "a cord with an earth wire"),
    ],
)
def test_a_plug_or_cord_cannot_lose_what_it_does_not_have(supply, fault, accepted):
    bare = variant(MELTER, {"supply": supply})
    assert fault not in map(str, possible_faults(bare))
    with pytest.raises(FaultError, match=f"accepted: {accepted}"):
        find_fault(bare, fault)
