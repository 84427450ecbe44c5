"""The form follows the schema, and reads numbers as exercises do."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from lessonlib.appliance.bundled import appliance_files
from lessonlib.appliance.schema import PART_KEYS, SUPPLY_KEYS, TEXT_KEYS, VESSEL_KEYS
from lessonlib.questions.reading import Unread
from lessonlib.workbench.fields import (
    NAME_LETTERS,
    as_typed,
    form_of,
    keys_of,
    label_of,
    read_number,
    typed_values,
)
from lessonlib.workbench.outline import begun_values, listed, nodes_of, outlined, row_of


def test_every_key_of_the_format_is_a_field_and_every_kind_has_a_letter_of_its_own() -> None:
    asked = {(f["kind"], x["key"]) for f in map(form_of, PART_KEYS) for x in f["fields"]}
    assert asked == {(kind, key) for kind, keys in PART_KEYS.items() for key in keys}
    assert list(keys_of("appliance")) == [*TEXT_KEYS, *SUPPLY_KEYS]
    assert list(keys_of("vessel")) == list(VESSEL_KEYS)
    assert len(set(filter(None, NAME_LETTERS.values()))) == len(PART_KEYS)


def test_labels_are_the_keys_without_their_units() -> None:
    names = ("opens_at_C", "heat_capacity_J_per_K", "rise_K_per_W", "area_mm2", "start")
    assert [*map(label_of, names)] == ["opens at", "heat capacity", "rise", "area", "start"]


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("1,2 kW", "W", 1.2e3),
        ("4k7", "Ω", 4700),
        ("52.9 ohm", "Ω", 52.9),
        ("192 °C", "°C", 192),
        ("0.75 bar", "bar(g)", 0.75),
        ("75 kPa", "bar(g)", 0.75),
        ("0,75 mm2", "mm²", 0.75),
        ("3.2 W/K", "W/K", 3.2),
        ("900 g", "kg", 0.9),
        ("50 Hz", "Hz", 50),
    ],
)
def test_a_number_is_read_in_the_unit_of_its_field(text: str, unit: str, value: float) -> None:
    assert read_number(text, unit) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "unit", "said"),
    [
        ("230 V", "W", "V is for voltage. Give it in W."),
        ("1,200", "W", "1.2 or 1200"),
        ("0.75 bar(a)", "bar(g)", "absolute pressure"),
        ("hot", "°C", ""),
        ("9**9", "W", ""),
        ("150 cm", "m", 'not the unit "cm". Write the number alone, in m.'),
        ("800 J", "J/K", "found the unit J. Write the number alone, in J/K."),
    ],
)
def test_what_is_no_number_of_that_unit_is_refused_in_words(
    text: str, unit: str, said: str
) -> None:
    found = read_number(text, unit)
    assert isinstance(found, Unread)
    assert said in found.reason


@pytest.mark.parametrize("path", appliance_files().values(), ids=lambda path: path.stem)
def test_a_part_of_a_file_sent_to_the_form_and_back_is_unchanged(path: Path) -> None:
    for part in outlined(tomllib.loads(path.read_text("utf-8"))):
        typed = {key: as_typed(part.table.get(key)) or "" for key in keys_of(part.kind)}
        typed |= {"resettable": part.table.get("resettable", False)}
        assert typed_values(part.kind, typed, part.table) == ({}, {})


def test_what_is_left_empty_goes_and_what_cannot_be_read_is_named() -> None:
    assert typed_values("element", {"power_W": " "}, {"power_W": 400}) == ({"power_W": None}, {})
    wrong = {"voltage_V": "A is for current. Give it in V."}
    assert typed_values("element", {"voltage_V": "230 A"}, {}) == ({}, wrong)
    contact = {"between": ["L", " a"], "closed_in": ["on"]}
    empty = {"between": ["", " "], "closed_in": []}
    typed = {"positions": ["off", " on ", ""], "contacts": [contact, empty]}
    contacts = [{"between": ["L", "a"], "closed_in": ["on"]}]
    given = {"positions": ["off", "on"], "contacts": contacts}
    assert typed_values("switch", typed, {}) == (given, {})


def test_the_next_free_name_passes_over_those_taken_by_any_kind() -> None:
    begun = begun_values({"element": [{"name": "E1"}, {"name": "S1"}, {"name": "E3"}], "lamp": 3})
    assert [begun[kind]["name"] for kind in ("element", "switch", "lamp")] == ["E2", "S2", "H1"]


def test_nodes_and_words_are_there_also_while_the_text_is_not_right_yet() -> None:
    document = {
        "element": [{"name": "E1", "between": ["x", 3]}, "odd"],
        "switch": [{"name": "S1", "contacts": [{"between": ["L", "y"]}, {"between": 1}, 7]}],
        "supply": 5,
        "protection_class": "I",
        "power_W": 3.44737864658,
    }
    assert nodes_of(document) == ["L", "N", "PE", "x", "y"]
    words = [row_of(part)["words"] for part in listed(document)]
    assert words == ["power 3.44738 W, protection class I", "x – 3", "L – y, 1"]


def test_words_of_a_part_say_where_it_lies_and_what_is_marked() -> None:
    document = tomllib.loads(appliance_files()["tea-urn"].read_text("utf-8"))
    words = {part.name: row_of(part)["words"] for part in listed(document)}
    assert words["E1"] == "L – N, power 400 W, voltage 230 V"
    assert words["S1"] == "off / on, rated 10 A, L – boost"
