"""Reading a description: values as written, and every problem found at once."""

from dataclasses import FrozenInstanceError
from pathlib import Path

import pytest

from lessonlib import read_appliance
from lessonlib.appliance.reader import MAX_BYTES
from lessonlib.errors import ApplianceError

GOOD = """
title = "Test rig"
[supply]
voltage_V = 230
[[element]]
name = "E1"
between = ["L", "N"]
power_W = 400
voltage_V = 230
"""


def problems(text: str | bytes) -> list[str]:
    with pytest.raises(ApplianceError) as caught:
        read_appliance(text, "rig.toml")
    assert isinstance(caught.value, ValueError)
    for problem in caught.value.problems:
        assert problem.file == "rig.toml"
        assert problem.found
        assert problem.accepted
        assert problem.next_step
    return [str(problem) for problem in caught.value.problems]


def only_problem(text: str | bytes) -> str:
    found = problems(text)
    assert len(found) == 1, "\n".join(found)
    return found[0]


def test_a_description_is_read_into_frozen_values():
    rig = read_appliance(GOOD)
    assert rig.part("E1").resistance_ohm == pytest.approx(132.25)  # 230^2 / 400
    assert rig.supply.frequency_Hz == 50
    with pytest.raises(FrozenInstanceError):
        rig.title = "other"
    assert hash(rig) == hash(read_appliance(GOOD))


def test_parts_nodes_and_vessel_are_as_the_file_has_them():
    rig = read_appliance(
        GOOD
        + """
[[switch]]
name = "S1"
positions = ["off", "on"]
start = "on"
contacts = [{ between = ["L", "a"], closed_in = ["on"] }]
[[link]]
name = "W1"
between = ["a", "N"]
length_m = 1.5
area_mm2 = 0.75
[vessel]
relief_bar = 2.5
"""
    )
    assert [part.kind for part in rig.parts] == ["element", "switch", "link"]
    assert rig.part("S1").start == "on"
    # 1.5 m of 0.75 mm2 at 1/58 ohm mm2/m (IEC 60028): 2/58 ohm
    assert rig.part("W1").resistance_ohm == pytest.approx(2 / 58)
    assert rig.nodes == ("L", "N", "a")
    assert rig.vessel.relief_bar == 2.5


def test_all_problems_of_a_file_are_reported_together():
    found = problems(
        """
titel = "x"
[supply]
voltage_V = -230
[[element]]
name = "E1"
between = ["L", "L"]
power_W = inf
voltage_V = 230
[[switch]]
name = "S1"
positions = ["on"]
contacts = []
"""
    )
    text = "\n".join(found)
    for place in ("titel", "title", "[supply] voltage_V", "E1 between", "E1 power_W"):
        assert place in text
    for place in ("S1 positions", "S1 contacts"):
        assert place in text
    assert len(found) == 7
    assert 'did you mean "title"?' in text


@pytest.mark.parametrize(
    ("line", "instead", "word"),
    [
        ("power_W = 400", "power_W = -400", "-400"),
        ("power_W = 400", "power_W = 0", "0"),
        ("power_W = 400", "power_W = nan", "nan"),
        ("power_W = 400", "power_W = 1" + "0" * 400, "1000000"),
        ("power_W = 400", 'power_W = "400 W"', "'400 W'"),
        ("power_W = 400", "power_W = true", "True"),
        ("power_W = 400", "", "only voltage_V"),
        (
            "power_W = 400",
            "power_W = 400\nresistance_ohm = 132",
            "power_W, voltage_V and resistance_ohm",
        ),
        ('["L", "N"]', '["L", "N", "PE"]', "['L', 'N', 'PE']"),
        ('["L", "N"]', '"L"', "'L'"),
        ('["L", "N"]', '["L", "L"]', "both ends on point 'L'"),
        ('["L", "N"]', '["L", ""]', "''"),
        ('["L", "N"]', '["L", "a\\nb"]', "\\n"),
        ('["L", "N"]', '["L", "n"]', 'write "N" if you mean the supply'),
        ('name = "E1"', 'name = ""', "''"),
        ('name = "E1"', f'name = "{"E" * 41}"', "EEE"),
        ('name = "E1"', "", "nothing"),
        ("voltage_V = 230\n[[", "voltage_V = 230\nhertz = 50\n[[", "hertz"),
        ("[[element]]", "[element]", "double brackets"),
        ("[[element]]", "[[heater]]", "heater"),
        ("[supply]", "[[supply]]", "[[supply]], in double brackets"),
        ('title = "Test rig"', "title = 3", "3"),
        ("Test rig", "T" * 401, "…, 401 characters long"),
    ],
)
def test_an_impossible_value_is_named_with_what_was_found(line, instead, word):
    assert line in GOOD
    assert word in "\n".join(problems(GOOD.replace(line, instead, 1)))


SWITCH = """
[[switch]]
name = "S1"
positions = ["off", "on"]
contacts = [{ between = ["L", "N"], closed_in = ["on"] }]
"""
ACTING = """
[[{}]]
name = "P1"
between = ["L", "N"]
opens_at_{} = 5
closes_at_{} = 6
"""
LAMP = '[[lamp]]\nname = "H{}"\nbetween = ["L", "{}"]\nresistance_ohm = 1e5\n'
DIODE = '[[diode]]\nname = "D{}"\nbetween = ["L", "N"]\n'
CONTACT = SWITCH[SWITCH.index("{") : SWITCH.index("]\n", SWITCH.index("{"))]


@pytest.mark.parametrize(
    ("more", "words"),
    [
        (GOOD[GOOD.index("[[element]]") :], ["'E1' used 2 times"]),
        (LAMP.format(1, "end"), ["[[lamp]] H1", "'end' used only once"]),
        (SWITCH.replace('["on"] }', '["On"] }'), ["S1 contact 1 closed_in"]),
        (
            SWITCH.replace('["on"] }', "[] }"),
            ['1 to 50 different names, as in ["on"]'],  # of a contact that is never closed
        ),
        (SWITCH + 'start = "auto"\n', ["S1 start", "'auto'"]),
        (ACTING.format("pressure_switch", "bar", "bar"), ["closes_at_bar"]),
        (ACTING.format("thermostat", "C", "C"), ["closes_at_C"]),
        ("".join(DIODE.format(n) for n in range(13)), ["13 diodes"]),
        ("".join(LAMP.format(n, "N") for n in range(200)), ["201 parts and contacts"]),
        (SWITCH.replace(CONTACT, ", ".join([CONTACT] * 200)), ["201 parts and contacts"]),
    ],
)
def test_a_part_that_does_not_fit_is_the_only_problem(more, words):
    found = only_problem(GOOD + more)
    for word in words:
        assert word in found


FUSE = """
[[thermal_fuse]]
name = "F1"
between = ["L", "N"]
opens_at_C = 152
"""
PLACED = FUSE + 'placed_on = "E1"\nrise_K_per_W = 0.03\nholds_C = 140\n'


def test_a_thermal_fuse_may_sit_on_an_element_and_have_a_holding_temperature():
    fuse = read_appliance(GOOD + PLACED).part("F1")
    assert (fuse.placed_on, fuse.rise_K_per_W, fuse.holds_C) == ("E1", 0.03, 140)
    wall = read_appliance(GOOD + FUSE).part("F1")
    assert (wall.placed_on, wall.rise_K_per_W, wall.holds_C) == (None, 0, None)


@pytest.mark.parametrize(
    ("line", "instead", "words"),
    [
        ("= 140", "= 152", ["F1 holds_C", "152, not below opens_at_C = 152"]),
        ("= 0.03", "= -1", ["F1 rise_K_per_W", "-1", "0 to 100 K/W"]),
        ('"E1"', '"e1"', ["F1 placed_on", "'e1'", "(E1)", 'did you mean "E1"?']),
        ('"E1"', '"wall"', ["F1 placed_on", "'wall'", "leave placed_on out"]),
        ('"E1"', '"F1"', ["F1 placed_on", "'F1', a thermal fuse"]),
        ("rise_K_per_W = 0.03", "", ["F1 rise_K_per_W", "nothing", "rise_K_per_W = 0.03"]),
        ('placed_on = "E1"', "", ["F1 rise_K_per_W", "0.03 without placed_on"]),
    ],
)
def test_an_impossible_place_of_a_fuse_is_reported_with_the_next_step(line, instead, words):
    assert PLACED.count(line) == 1
    found = only_problem(GOOD + PLACED.replace(line, instead))
    for word in words:
        assert word in found


def test_a_fuse_on_an_element_that_has_problems_of_its_own_is_not_one_of_them():
    assert "E1 power_W" in only_problem(GOOD.replace("400", "-400") + PLACED)
    single = only_problem(GOOD.replace("[[element]]", "[element]") + PLACED)
    assert "found:    [element], in single brackets" in single


def test_everything_wrong_with_a_place_is_reported_together():
    bad = (
        PLACED.replace("= 140", "= 160").replace('"E1"', '"E9"').replace("rise_K_per_W = 0.03", "")
    )
    assert len(problems(GOOD + bad)) == 3


def test_an_empty_file_says_what_it_needs():
    text = "\n".join(problems(""))
    assert "title" in text
    assert "[supply]" in text
    assert "no parts" in text


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (b"#" * 10_000_000, "10,000,000 bytes"),  # before it is parsed
        (b"#" * 10_000_000, f"{MAX_BYTES:,}"),
        (b"title = '\xff\xfe'", "UTF-8"),
        ("a = " + "[" * 100_000, "nested"),
    ],
)
def test_what_is_no_text_of_an_appliance_is_refused(text, words):
    assert words in only_problem(text)


def test_a_byte_order_mark_does_no_harm():
    assert read_appliance(b"\xef\xbb\xbf" + GOOD.encode()).title == "Test rig"


@pytest.mark.parametrize("text", [None, 5, Path("tea-urn.toml"), ["a"]])
def test_a_value_that_is_not_text_gets_the_way_to_read_a_file(text):
    assert "give its path to load_appliance" in only_problem(text)


def test_what_is_missing_is_proposed_where_it_belongs():
    found = problems(GOOD + '[[switch]]\npositions = ["off", "on"]\ncontacts = [{}]\n')
    assert 'add a line: name = "S1"' in found[0]
    assert 'next:     add to its { }: closed_in = ["on"]' in found[2]


def test_limits_are_written_as_people_write_numbers():
    found = "\n".join(problems(GOOD + "[vessel]\nheat_capacity_J_per_K = -1\naltitude_m = 1e5\n"))
    assert "a number from 0 to 100,000,000 J/K" in found
    assert "a number from -430 to 9,000 m" in found
    ohms = only_problem(GOOD.replace("power_W = 400\nvoltage_V = 230", "resistance_ohm = 0"))
    assert "a number from 0.000001 to 1,000,000,000 ohm" in ohms


def test_resistance_alone_is_enough():
    rig = read_appliance(GOOD.replace("power_W = 400\nvoltage_V = 230", "resistance_ohm = 100"))
    assert (rig.parts[0].resistance_ohm, rig.parts[0].power_W) == (100, None)
