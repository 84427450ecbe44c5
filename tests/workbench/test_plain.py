"""What the reader found is said at the field that it is about, in words of the bench."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest

from lessonlib.appliance.reader import read_appliance
from lessonlib.errors import ApplianceError
from lessonlib.workbench.plain import plain

SUPPLY = 'title = "t"\n[supply]\nvoltage_V = 230\n'
ELEMENT = '[[element]]\nname = "E1"\nbetween = ["L", "N"]\nresistance_ohm = 50\n'


def plain_problems(text: str) -> list[dict[str, Any]]:
    with pytest.raises(ApplianceError) as raised:
        read_appliance(text)
    return [plain(problem, tomllib.loads(text)) for problem in raised.value.problems]


ENDS = 'between = ["L", "N"]'
PLACES = 'positions = ["off", "on"]\ncontacts = '


@pytest.mark.parametrize(
    ("kind", "values", "key", "words"),
    [
        ("element", 'between = ["L", ""]', "between", "It needs a second end."),
        ("element", 'between = ["", "N"]', "between", "It needs a first end."),
        ("lamp", "resistance_ohm = 5", "between", "It needs two ends."),
        ("diode", 'between = ["L", "L"]', "between", "Both ends are on L."),
        ("diode", 'between = ["L", "l"]', "between", "looks like it"),
        ("element", ENDS, "power_W", "its power and voltage, or its"),
        ("element", f"{ENDS}\npower_W = 5", "voltage_V", "Give its voltage too."),
        ("element", f"{ENDS}\npower_W = 5\nresistance_ohm = 3", "resistance_ohm", "not both"),
        ("link", f"{ENDS}\narea_mm2 = 1", "length_m", "Give its length too."),
        ("thermal_fuse", ENDS, "opens_at_C", "Opens at is needed. Give it in °C."),
        (
            "pressure_switch",
            f"{ENDS}\nopens_at_bar = 1\ncloses_at_bar = 2",
            "closes_at_bar",
            "Accepted: a number below opens at.",
        ),
        (
            "thermal_fuse",
            f'{ENDS}\nopens_at_C = 130\nplaced_on = "E1"',
            "rise_K_per_W",
            "Fill it in, such as rise = 0.03",
        ),
        (
            "switch",
            f"{PLACES}[{{ {ENDS}, closed_in = [] }}]",
            "contacts",
            "Contact 1: Tick a position in which it is closed.",
        ),
        (
            "switch",
            f'{PLACES}[{{ between = ["L", ""], closed_in = ["on"] }}]',
            "contacts",
            "Contact 1: It needs a second end.",
        ),
        ("switch", f"{PLACES}[]", "contacts", "It needs a contact."),
        ("", "water_kg = -1", "water_kg", "Found -1 kg. Give a number from 0 to 10,000 kg."),
    ],
)
def test_a_problem_is_said_at_its_field(kind: str, values: str, key: str, words: str) -> None:
    table = f'[[{kind}]]\nname = "X"' if kind else "[vessel]"
    [found] = plain_problems(f"{SUPPLY}{ELEMENT}{table}\n{values}\n")
    assert found["key"] == key
    assert words in found["at"]
    assert not {"_", "["} & set(found["at"])  # no key and no table of the file


def test_a_sentence_for_the_list_begins_with_the_part() -> None:
    [found] = plain_problems(f'{SUPPLY}{ELEMENT}[[element]]\nname = "E5"\nbetween = ["L"]')
    assert found["words"] == (
        "Heating element E5: It needs a second end. Choose the point where it goes."
    )
    assert not found["unfinished"]


def test_what_is_only_unfinished_says_what_is_still_to_come() -> None:
    contact = 'positions = ["a", "b"]\ncontacts = [{ between = ["L", "x"], closed_in = ["a"] }]'
    found = plain_problems(SUPPLY) + plain_problems(f'{SUPPLY}[[switch]]\nname = "S1"\n{contact}')
    assert [each["words"] for each in found] == [
        "There are no parts yet. Choose the first one under “Add a part”.",
        "Nothing is joined to N yet. Let a part begin or end there.",
        "Switch S1: Nothing else is joined to x yet. Let another part end there too.",
    ]
    assert all(each["unfinished"] for each in found)


def test_what_the_form_has_no_field_for_keeps_the_words_of_the_reader() -> None:
    assert plain_problems(f'{SUPPLY}{ELEMENT}[[diode]]\nname = "D1"\nodd = 1')[0]["words"] == ""
    assert [each["words"] for each in plain_problems(f"odd = 1\n{SUPPLY}{ELEMENT}")] == [""]
