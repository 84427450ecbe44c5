"""An appliance file as an answer: judged by what its circuit does, not by its spelling."""

from __future__ import annotations

import random
import re
from dataclasses import replace

import pytest

from lessonlib.appliance.bundled import appliance_names, load_appliance
from lessonlib.appliance.file_text import file_text
from lessonlib.appliance.parts import (
    Appliance,
    Lamp,
)
from lessonlib.appliance.reader import read_appliance
from lessonlib.appliance.variant import variant
from lessonlib.circuit.behaviour import ASPECTS, Aspect
from lessonlib.errors import AnswerError
from lessonlib.questions.answers import CircuitFile
from lessonlib.questions.reading import Unread
from tests.families.put_in import disguised
from tests.networks import contact, diode, element, rig

EVERYTHING: tuple[Aspect, ...] = ("live points", "lamps", "protection", "positions")
DEFAULT = CircuitFile.must


def edited(text: str, *edits: str) -> Appliance:
    """The appliance of a text after edits such as "old => new", or "one <=> other"."""
    for edit in edits:
        old, arrow, new = re.split("( <?=> )", edit)
        assert old in text
        text = text.replace(old, "@")
        text = (text.replace(new, old) if arrow == " <=> " else text).replace("@", new)
    return read_appliance(text)


def changed(name: str, *edits: str) -> Appliance:
    """A bundled appliance whose text is edited in every place."""
    return edited(file_text(load_appliance(name)), *edits)


def told(answer: CircuitFile, theirs: Appliance) -> str:
    """What is said about a circuit that is not the one asked for."""
    assert not answer.right(theirs)
    return answer.general(theirs)


@pytest.mark.parametrize("name", appliance_names())
def test_text_names_order_and_ends_are_free_and_no_other_appliance_is_taken_for_it(
    name: str,
) -> None:
    appliance = load_appliance(name)
    assert read_appliance(file_text(appliance)) == appliance
    answer = CircuitFile(appliance, must=("live points", "lamps", "protection", "marks"))
    for seed in range(2):
        assert answer.right(disguised(appliance, random.Random(seed)))
    for other in appliance_names():
        assert CircuitFile(appliance).right(load_appliance(other)) == (other == name), other


FREE: list[tuple[str, str, tuple[Aspect, ...]]] = [
    # the diode may face either way, have a drop, and no ratings
    (
        "wax-melter",
        '"D1"\nbetween = ["fed", "heat"] => "D1"\nbetween = ["heat", "fed"]',
        EVERYTHING,
    ),
    ("wax-melter", "rated_A = 3 => forward_drop_V = 0.9", EVERYTHING),
    # equal elements may change places
    ("towel-rail", '["a", "middle"] <=> ["middle", "b"]', EVERYTHING),
    # a resistance instead of the marking, rounded
    ("plate-warmer", "power_W = 250\nvoltage_V = 230 => resistance_ohm = 212", EVERYTHING),
    # lamps count by when they glow; temperatures, pressures and ratings do not count
    ("garment-steamer", "power_W = 0.5 => power_W = 0.7", EVERYTHING),
    ("garment-steamer", "opens_at_C = 192\nrated_A = 10 => opens_at_C = 150", EVERYTHING),
    # positions count by name only where asked for, whatever their case
    ("plate-warmer", 'closed_in = ["low"] <=> closed_in = ["high"]', ()),
    ("plate-warmer", '"off" => "rest"', ()),
    ("plate-warmer", '"low" => "LOW"', ("positions",)),
]


@pytest.mark.parametrize(("name", "edit", "must"), FREE)
def test_what_changes_nothing_asked_for_is_free(
    name: str, edit: str, must: tuple[Aspect, ...]
) -> None:
    answer = CircuitFile(load_appliance(name), must=must)
    theirs = changed(name, edit)
    assert theirs != answer.value
    assert answer.right(theirs)


def test_two_switches_with_the_same_positions_may_change_names_but_not_what_they_do() -> None:
    parts = contact("S1", ("L", "fed")) + contact("S2", ("fed", "heat"))
    parts += diode("D1", "fed", "heat") + element("E1", "heat", "N")
    answer = CircuitFile(rig(parts), must=("positions",))
    assert answer.right(edited(file_text(rig(parts)), '"S1" <=> "S2"'))
    closed = 'between = ["fed", "heat"], closed_in = '
    other = f'{closed}["on"] => {closed}["off"]'
    assert not answer.right(edited(file_text(rig(parts)), other))


OTHERWISE = "In the circuit asked for it is not like that."
TOLD: list[tuple[str, list[str], tuple[Aspect, ...], str]] = [
    # other powers
    (
        "plate-warmer",
        ['closed_in = ["low"] => closed_in = ["low", "high"]'],
        DEFAULT,
        "Your circuit never gives 650 W. With S1 at high, it gives 900 W, which is not asked for.",
    ),
    (
        "towel-rail",
        ['  { between = ["b", "N"], closed_in = ["low"] },\n => '],
        DEFAULT,
        "Your circuit never gives 250 W.",
    ),
    (
        "plate-warmer",
        ["power_W = 250\nvoltage_V = 230 => resistance_ohm = 205"],
        DEFAULT,
        "E1 has 205 Ω",
    ),
    # positions
    (
        "plate-warmer",
        ['closed_in = ["low"] <=> closed_in = ["high"]'],
        ("positions",),
        "With S1 at low, yours gives 650 W. That belongs to another position.",
    ),
    (
        "plate-warmer",
        ['"off" => "rest"'],
        ("positions",),
        "Your S1 has the positions low, rest and high.",
    ),
    # what is live
    (
        "tea-urn",
        ['between = ["boost", "N"] <=> between = ["L", "boost"]'],
        DEFAULT,
        f"With S1 at off, both ends of E2 are live in yours. {OTHERWISE}",
    ),
    # lamps
    (
        "soup-kettle",
        ['"H1"\nbetween = ["fed", "N"] => "H1"\nbetween = ["L", "N"]'],
        DEFAULT,
        f"With S1 at off and S2 at simmer, H1 glows in yours. {OTHERWISE}",
    ),
    # protection
    (
        "pie-cabinet",
        ['"E2"\nbetween = ["high", "return"] => "E2"\nbetween = ["high", "N"]'],
        DEFAULT,
        f"With S1 at on, S2 at high and F1 open, E2 still heats in yours. {OTHERWISE}",
    ),
    (
        "pie-cabinet",
        [
            'between = ["L", "fed"] => between = ["guarded", "fed"]',
            '"F1"\nbetween = ["return", "N"] => "F1"\nbetween = ["L", "guarded"]',
            '"return" => "N"',
        ],
        ("protection", "live points"),
        "With S1 at off and S2 at low, both ends of F1 are live in yours.",
    ),
    (
        "garment-steamer",
        ['"H2"\nbetween = ["fed", "bottom"] => "H2"\nbetween = ["top", "bottom"]'],
        ("lamps", "protection"),
        f"With S1 at on and F1 open, H1 glows in yours. {OTHERWISE}",
    ),
    # other parts come before what comes of them
    ("tea-urn", ["V = 230\npower_W => V = 120\npower_W"], DEFAULT, "Your supply has 120 V."),
    ("tea-urn", ["power_W = 400 => power_W = 500"], DEFAULT, "which gives 500 W on 230 V"),
    ("bottle-warmer", ["[[lamp]] => [[element]]"], DEFAULT, "Yours has 3 elements. Count the"),
    ("pie-cabinet", ["[[thermal_fuse]] => [[thermostat]]\ncloses_at_C = 9"], DEFAULT, "no thermal"),
    ("tea-urn", ['["L", "boost"] => ["L", "N"]', '"boost" => "L"'], DEFAULT, "short-circuits"),
]


@pytest.mark.parametrize(("name", "edits", "must", "said"), TOLD)
def test_what_differs_is_told_in_the_trades_words(
    name: str, edits: list[str], must: tuple[Aspect, ...], said: str
) -> None:
    answer = CircuitFile(load_appliance(name), must=must)
    theirs = changed(name, *edits)
    assert said in told(answer, theirs)
    if must == ("protection", "live points"):
        assert CircuitFile(answer.value, must=()).right(theirs)


def test_both_ways_of_a_plug_that_goes_in_either_way_count() -> None:
    single, double = load_appliance("garment-steamer"), load_appliance("wallpaper-steamer")
    powers = {"E1": {"power_W": 1500}}
    answer = CircuitFile(variant(double, powers))
    said = told(answer, single)
    assert said.startswith("With S1 at off, both ends of E1 are neutral in yours.")
    fixed = replace(double, supply=replace(double.supply, reversible_plug=False))
    assert CircuitFile(variant(double, powers), must=("off is dead",)).right(variant(fixed, powers))


def test_a_neon_across_the_open_switch_makes_nothing_live() -> None:
    kettle = load_appliance("soup-kettle")
    kettle = replace(kettle, supply=replace(kettle.supply, reversible_plug=False))
    neon = Lamp("H2", ("L", "fed"), power_W=0.5, voltage_V=230, resistance_ohm=105_800)
    glowing = replace(kettle, parts=(*kettle.parts, neon))
    assert CircuitFile(kettle, must=("off is dead",)).right(glowing)


def test_a_design_can_be_judged_by_whether_off_is_dead() -> None:
    double, single, neutral = (
        variant(load_appliance(name), {"E1": {"power_W": 1500}})
        for name in ("wallpaper-steamer", "garment-steamer", "curtain-steamer")
    )
    answer = CircuitFile(double, must=("off is dead",))
    assert told(answer, single) == (
        "With S1 at off and the plug reversed, nothing heats, but points inside are live in yours."
    )
    assert told(answer, neutral) == (
        "With S1 at off, nothing heats, but points inside are live in yours."
    )
    fuse = (
        '[[thermal_fuse]]\nname = "F1"\nbetween = ["fed", "top"]\nopens_at_C = 184\nrated_A = 16\n'
    )
    without = file_text(double).replace(fuse, "").replace('["top", "bottom"]', '["fed", "bottom"]')
    assert answer.right(read_appliance(without))


def test_a_contact_with_another_mark_is_another_circuit_only_where_marks_count() -> None:
    reference = load_appliance("garment-steamer")
    answer = CircuitFile(reference, must=("marks",))
    higher = variant(reference, {"P1": {"opens_at_bar": 2.5}})
    assert told(answer, higher) == (
        "Your P1 opens at 2.5 bar and closes at 0.45 bar. Compare that with what is asked for."
    )
    hotter = variant(reference, {"F1": {"opens_at_C": 216}})
    assert told(answer, hotter) == "Your F1 opens at 216 °C. Compare that with what is asked for."
    assert CircuitFile(reference, must=("protection",)).right(hotter)


@pytest.mark.parametrize(("name", "across"), [("F1", '["fed", "top"]'), ("P1", '["bottom", "N"]')])
def test_a_lamp_across_an_open_contact_is_told_even_where_lamps_do_not_count(
    name: str, across: str
) -> None:
    # without the steamer's own lamps, which join its points as well
    text = file_text(load_appliance("garment-steamer")).split("[[lamp]]")[0]
    lamp = f'[[lamp]]\nname = "H9"\nbetween = {across}\npower_W = 0.5\nvoltage_V = 230\n'
    theirs = read_appliance(text + lamp)
    answer = CircuitFile(read_appliance(text), must=("live points", "protection"))
    assert f"{name} open, " in told(answer, theirs)
    assert "of E1 " in told(answer, theirs)
    assert not answer.right(theirs)
    assert CircuitFile(read_appliance(text), must=("live points",)).right(theirs)


def fuse(name: str, first: str, second: str) -> str:
    return (
        f'[[thermal_fuse]]\nname = "{name}"\nbetween = ["{first}", "{second}"]\nopens_at_C = 150\n'
    )


def test_two_elements_that_still_heat_are_told_in_the_plural() -> None:
    def guarded(behind: str) -> Appliance:
        two = element("E1", behind, "N", 100) + element("E2", behind, "N", 80)
        return rig(fuse("F1", "L", "a") + two + element("E3", "a", "N", 60))

    assert told(CircuitFile(guarded("a")), guarded("L")).startswith(
        "With F1 open, E1 and E2 still heat in yours."
    )


def test_the_same_powers_from_other_elements_are_told_so() -> None:
    text = """
    title = "Three"
    supply.voltage_V = 230
    switch = [{{ name = "S1", positions = ["low", "high"], contacts = [
      {{ between = ["L", "x"], closed_in = {0} }}, {{ between = ["L", "y"], closed_in = {1} }} ] }}]
    element = [{{ name = "E1", between = ["x", "N"], power_W = 500, voltage_V = 230 }},
               {{ name = "E2", between = ["x", "N"], power_W = 500, voltage_V = 230 }},
               {{ name = "E3", between = ["y", "N"], power_W = 1000, voltage_V = 230 }}]
    """
    answer = CircuitFile(read_appliance(text.format('["low", "high"]', '["high"]')))
    theirs = read_appliance(text.format('["high"]', '["low", "high"]'))
    assert told(answer, theirs) == (
        "With S1 at low, the total is right, but the elements share it in another way than asked "
        "for."
    )


def test_a_file_with_mistakes_gets_the_readers_own_words() -> None:
    answer = CircuitFile(load_appliance("tea-urn"))
    read = answer.read(file_text(answer.value).replace("power_W", "powr_W"))
    assert isinstance(read, Unread)
    assert 'did you mean "power_W"?' in read.reason
    assert "your file: [[element]] E1" in read.reason


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ("", "Nothing is written yet"),
        ("<script>alert(1)</script>", "not valid TOML"),
        ("x" * 1_000_000, "1,000,000 characters"),
        ("a = " + "[" * 5000, "nested too deeply"),
        (None, "Write the text of an appliance file"),
        ("title = 1979-05-27", "no such table"),
    ],
)
def test_what_is_no_file_is_no_try(given: object, said: str) -> None:
    read = CircuitFile(load_appliance("tea-urn")).read(given)
    assert isinstance(read, Unread)
    assert said in read.reason
    assert len(read.reason) < 2000


def test_more_settings_or_parts_than_can_be_compared_are_refused_in_words() -> None:
    urn = load_appliance("tea-urn")
    text = file_text(urn).replace('["L", "N"]', '["a", "N"]')
    switches = "".join(contact(f"T{number}", ("L", "a")) for number in range(7))
    elements = "".join(element(f"X{number}", "L", "N") for number in range(60))
    for given, said in ((text + switches, "256 settings"), (file_text(urn) + elements, "63 parts")):
        read = CircuitFile(urn).read(given)
        assert isinstance(read, Unread)
        assert said in read.reason


def test_what_was_read_is_said_in_parts_and_powers() -> None:
    answer = CircuitFile(load_appliance("garment-steamer"))
    assert answer.seen(answer.value) == (
        "a circuit with 1 element, 2 self-acting contacts, 2 lamps and 1 switch, which gives 0 W "
        "and 1500 W"
    )


def test_an_unknown_aspect_is_refused() -> None:
    with pytest.raises(AnswerError, match="any of live points, off is dead"):
        CircuitFile(load_appliance("tea-urn"), must=("colour",))  # type: ignore[arg-type]
    assert set(EVERYTHING) <= set(ASPECTS)
