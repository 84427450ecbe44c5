"""Names that people cannot tell apart are refused; names in any script are not."""

from __future__ import annotations

import unicodedata

import pytest

from lessonlib import read_appliance
from lessonlib.appliance.names import alike, supply_look
from lessonlib.errors import ApplianceError, Problem

RIG = """
title = "Rig"
supply.voltage_V = 230
[[element]]
name = "E1"
between = ["L", "fed"]
resistance_ohm = 100
[[element]]
name = "E2"
between = ["fed", "N"]
resistance_ohm = 100
[[switch]]
name = "S1"
positions = ["off", "on"]
start = "off"
contacts = [{ between = ["fed", "N"], closed_in = ["on"] }, { between = ["L", "PE"], closed_in = ["on"] }]
"""  # noqa: E501 - one line, as in a file


def problems(text: str) -> tuple[Problem, ...]:
    with pytest.raises(ApplianceError) as caught:
        read_appliance(text)
    return caught.value.problems


def with_node(node: str) -> str:
    """The rig with a node of that name between its elements."""
    assert RIG.count('"fed"') == 3
    return RIG.replace('"fed"', f'"{node}"')


def test_the_rig_itself_is_sound() -> None:
    assert read_appliance(RIG).nodes == ("L", "N", "PE", "fed")


@pytest.mark.parametrize(
    ("node", "terminal"),
    [
        ("L ", "L"), (" N", "N"), ("PE\\t", "PE"), ("N\u00a0", "N"), ("P E", "PE"),
        ("l", "L"), ("n", "N"), ("pe", "PE"), ("Pe", "PE"),
        ("Ｌ", "L"), ("ｎ", "N"), ("ＰＥ", "PE"), ("𝐍", "N"), ("Ⓛ", "L"), ("ℒ", "L"), ("ⁿ", "N"),
        ("Ν", "N"), ("РЕ", "PE"), ("ре", "PE"), ("ΡΕ", "PE"), ("PЕ", "PE"), ("ＰЕ", "PE"),
        ("Ⅼ", "L"),
    ],
)  # fmt: skip
def test_a_point_that_looks_like_the_supply_is_refused_with_what_it_looks_like(
    node: str, terminal: str
) -> None:
    found = problems(with_node(node))
    assert {problem.key for problem in found} == {"between"}
    assert [problem.table for problem in found] == [
        "[[element]] E1", "[[element]] E2", "[[switch]] S1 contact 1"
    ]  # fmt: skip
    for problem in found:
        assert f"which is not {terminal} but looks like it" in problem.found
        assert f'write "{terminal}"' in problem.next_step
    if node == "Ν":
        assert found[0].found.startswith("point 'Ν' (Greek capital letter nu), which")


@pytest.mark.parametrize(
    "name",
    [
        "I", "1", "|", "L1", "N1", "PEN", "E", "P", "Ñ", "ν", "é", "è", "Л", "пе", "н", "नल",
        "漢字", "火線", "صفر", "מים", "เตา", "가열", "ἀρχή", "Wärme", "ost 2", "½",
        "a-b", "keep warm", "☀",
    ],
)  # fmt: skip
def test_names_in_any_script_are_taken_as_they_are(name: str) -> None:
    assert read_appliance(with_node(name)).nodes == ("L", "N", "PE", name)
    assert read_appliance(RIG.replace("E1", name)).part(name).kind == "element"
    assert read_appliance(RIG.replace('"off"', f'"{name}"')).part("S1").start == name


@pytest.mark.parametrize(
    ("name", "said"),
    [
        (" a", "a blank before or after it"),
        ("a\u3000", "a blank before or after it"),
        ("a\\nb", "cannot be seen (U+000A)"),
        ("a\u00a0b", "cannot be seen (U+00A0)"),
        ("a\u200bb", "cannot be seen (U+200B)"),
        ("a\u202eb", "cannot be seen (U+202E)"),
        ("a\u00adb", "cannot be seen (U+00AD)"),
        ("a\ufe0f", "cannot be seen (U+FE0F)"),
        ("a\u3164", "cannot be seen (U+3164)"),
        ("a\U000e0101", "cannot be seen (U+E0101)"),
        ("a" * 41, "41 characters long"),
        ("", "which is empty"),
        ("  ", "which is empty"),
    ],
)
@pytest.mark.parametrize("place", ["fed", "E1", "off"])
def test_an_invisible_character_is_refused_anywhere_in_a_name(
    place: str, name: str, said: str
) -> None:
    found = problems(RIG.replace(f'"{place}"', f'"{name}"'))
    assert said in found[0].found
    keys = {"fed": "between", "E1": "name", "off": "positions"}
    assert found[0].key == keys[place]


@pytest.mark.parametrize(
    "like", ["Fed", "FED", "f ed", "fеd", "ｆｅｄ", "ｆed", "ᶠᵉᵈ"]
)  # the fourth with a Cyrillic letter
def test_nodes_parts_and_positions_that_look_alike_are_refused(like: str) -> None:
    assert like != "fed"
    node = problems(RIG.replace('"fed"', f'"{like}"', 1))
    assert [(problem.table, problem.key) for problem in node] == [("all parts:", "between")]
    part = problems(RIG.replace('"E1"', '"fed"').replace('"E2"', f'"{like}"'))
    assert [(problem.table, problem.key) for problem in part] == [("all parts:", "name")]
    switch = problems(RIG.replace('"off"', '"fed"').replace('"on"', f'"{like}"'))
    assert [(problem.table, problem.key) for problem in switch] == [("[[switch]] S1", "positions")]
    for (problem,) in (node, part, switch):
        assert "'fed'" in problem.found
        assert f"'{like}'" in problem.found
        assert "which look alike" in problem.found


def test_names_look_alike_in_capitals_of_any_alphabet_and_in_pieces() -> None:
    assert alike(["нет", "Нет", "ΝΑΙ", "ναι"]) == {"Нет": "нет", "ναι": "ΝΑΙ"}
    pieces = unicodedata.normalize("NFD", "é")
    assert pieces != "é"
    assert alike(["é", pieces]) == {pieces: "é"}
    assert not any(map(supply_look, ("L", "N", "PE")))  # which look like themselves
