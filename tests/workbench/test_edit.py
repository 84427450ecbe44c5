"""Steps edit one table of a text and leave everything else as it stands."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from contextlib import suppress

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lessonlib.appliance.bundled import appliance_files
from lessonlib.appliance.parts import TERMINALS
from lessonlib.errors import DescriptionError
from lessonlib.workbench.blocks import cut
from lessonlib.workbench.edit import add_part, change, remove_part, rename_point
from lessonlib.workbench.outline import nodes_of

TEXTS = {name: path.read_text("utf-8") for name, path in appliance_files().items()}
URN = TEXTS["tea-urn"]
MIXED = """\
title = "Mixed"  # with elements in two places
supply.voltage_V = 230

# the small one
[[element]]
name = "E1"   # marked by hand
between = ["L", "a"]
power_W = 400 # from the plate
voltage_V = 230

# turned by hand
[[switch]]
name = "S1"
positions = ["off", "on"]
contacts = [
    { between = ["a", "N"], closed_in = ["on"] },  # one
    # [[element]] is only a comment here
]

# the large one
[[element]]
name = "E2"
between = ["a", "N"]
resistance_ohm = 52.9
# the end
"""
E3 = {"name": "E3", "between": ["L", "N"], "power_W": 300.0, "voltage_V": 230.5}


def test_blocks_begin_at_headers_with_the_comments_above_and_not_within_strings_or_lists() -> None:
    for text in (*TEXTS.values(), MIXED, "", "# only a comment", MIXED.rstrip()):
        assert "".join(block.text for block in cut(text)) == text
    text = 'title = """\n[[element]]\n"""\nodd = [\n[1],\n]\n[supply]\nvoltage_V = 230\n'
    assert [block.kind for block in cut(text)] == ["appliance", "supply"]
    first = [block.text.splitlines()[0] for block in cut(MIXED)[1:]]
    assert first == ["# the small one", "# turned by hand", "# the large one"]


def test_a_new_part_stands_after_its_kind_or_the_last_part_with_its_keys_in_the_file_s_order() -> (
    None
):
    e3 = '[[element]]\nname = "E3"\nbetween = ["L", "N"]\npower_W = 300\nvoltage_V = 230.5\n'
    assert add_part(MIXED, "element", dict(reversed(E3.items()))) == f"{MIXED}\n{e3}"
    before, vessel = URN.split("[vessel]")
    lamp = '[[lamp]]\nname = "H1"\nresistance_ohm = 5290\nzone = 1\n\n'
    after = add_part(URN, "lamp", {"zone": 1, "resistance_ohm": 5290, "name": "H1"})
    assert after == f"{before}{lamp}[vessel]{vessel}"


def test_a_change_keeps_the_lines_and_comments_around_it() -> None:
    assert change(MIXED, "E1", {"name": "E1"}) == MIXED
    assert change(MIXED, "E1", {"power_W": 500.0}) == MIXED.replace("400 #", "500 #")
    contacts = [{"between": ["a", "N"], "closed_in": ["off", "on"]}]
    line = '{ between = ["a", "N"], closed_in = ["off", "on"] }'
    after = change(MIXED, "S1", {"contacts": contacts})
    assert line in after
    assert after.split("[[switch]]")[0] == MIXED.split("[[switch]]")[0]
    assert after.split("# the large")[1] == MIXED.split("# the large")[1]


def test_none_takes_a_key_out_and_a_new_key_stands_last_before_comments_at_the_end() -> None:
    after = change(MIXED, "E2", {"resistance_ohm": None, "power_W": 1000, "voltage_V": 230})
    assert after == MIXED.replace("resistance_ohm = 52.9\n", "power_W = 1000\nvoltage_V = 230\n")
    text = 'title = """a\n# b"""\n\n[supply]\nvoltage_V = 230\n'  # the end of a string is none
    assert change(text, "appliance", {"purpose": "x"}).startswith(text[:20] + 'purpose = "x"\n')


def test_title_supply_and_vessel_can_be_changed_and_come_into_being() -> None:
    after = change("", "appliance", {"title": "New"})
    after = change(after, "supply", {"voltage_V": 120})
    after = change(after, "vessel", {"water_kg": 1.5})
    assert after == 'title = "New"\n\n[supply]\nvoltage_V = 120\n\n[vessel]\nwater_kg = 1.5\n'
    assert change(after, "vessel", {"water_kg": 2}) == after.replace("1.5", "2")


def test_a_removed_part_takes_its_own_comment_with_it_and_nothing_else() -> None:
    after = remove_part(MIXED, "E1")
    first, last = MIXED.index("# the small one"), MIXED.index("# turned by hand")
    assert after == MIXED[:first] + MIXED[last:]
    assert tomllib.loads(remove_part(after, "E2")).keys() == {"title", "supply", "switch"}


def test_a_renamed_element_keeps_the_fuse_that_is_placed_on_it() -> None:
    fuse = {"name": "F1", "between": ["L", "a"], "opens_at_C": 192, "placed_on": "E1"}
    after = tomllib.loads(change(add_part(MIXED, "thermal_fuse", fuse), "E1", {"name": "big"}))
    assert after["element"][0]["name"] == after["thermal_fuse"][0]["placed_on"] == "big"


def test_a_point_is_renamed_wherever_a_part_ends_on_it_and_nothing_else_moves() -> None:
    assert rename_point(MIXED, "a", "after S1") == MIXED.replace('"a"', '"after S1"')
    odd = MIXED.replace('name = "E1"', 'name = "a"').replace('"Mixed"', '"a"')
    after = tomllib.loads(rename_point(odd, "a", "b"))  # names of parts and the title stay
    assert (after["title"], after["element"][0]["name"]) == ("a", "a")
    assert [part["between"] for part in after["element"]] == [["L", "b"], ["b", "N"]]
    assert after["switch"][0]["contacts"][0]["between"] == ["b", "N"]


@pytest.mark.parametrize("text", [*TEXTS.values(), MIXED])
def test_points_of_every_bundled_appliance_can_be_renamed_and_back(text: str) -> None:
    points = [p for p in nodes_of(tomllib.loads(text)) if p not in TERMINALS]
    assert points
    for point in points[:3]:
        renamed = rename_point(text, point, "new one")
        assert "new one" in nodes_of(tomllib.loads(renamed))
        assert rename_point(renamed, "new one", point) == text


@pytest.mark.parametrize(
    ("step", "said"),
    [
        (lambda: add_part(MIXED, "lamp", {**E3, "name": "S1"}), "another part called 'S1'"),
        (lambda: change(MIXED, "E1", {"name": "S1"}), "another part called 'S1'"),
        (lambda: add_part(URN, "elemnt", E3), r"found the kind 'elemnt'.*mean \"element\""),
        (lambda: remove_part(URN, "E9"), "found no part 'E9'.*Accepted: E1, E2, S1"),
        (lambda: change(URN, "e1", {}), "found no part 'e1'.*Accepted: E1, E2, S1.*mean \"E1\""),
        (lambda: add_part("title = ", "element", E3), "line 1 is not valid TOML.*Correct that"),
        (lambda: rename_point(MIXED, "L", "b"), "no point 'L' that can be renamed. Accepted: a."),
        (lambda: rename_point(MIXED, "c", "b"), "no point 'c' that can be renamed. Accepted: a."),
        (
            lambda: rename_point(MIXED, "a", "N"),
            "called 'N'; with one name the two would be",
        ),
        (
            lambda: change(URN, "E1", {"power_W": {1}}),
            r"found the value \{1\}\. Accepted: a number",
        ),
    ],
)
def test_a_step_that_cannot_be_done_says_why(step: Callable[[], str], said: str) -> None:
    with pytest.raises(DescriptionError, match=said):
        step()


@pytest.mark.parametrize(
    "deep", [f"{'.'.join('a' * 5_000)} = 1", f"a = {'[' * 150}{']' * 150}", "a = " + "[" * 5_000]
)
def test_a_step_into_what_is_far_too_deep_is_refused(deep: str) -> None:
    with pytest.raises(DescriptionError, match="Accepted: a t"):
        change(f"{deep}\n{URN}", "appliance", {"title": "Urn"})


ONE = '[[element]]\nname = "E1"\nbetween = ["x", "N"]\n'
INLINE = 'element = [{ name = "E1", between = ["x", "N"] }]\n[[lamp]]\nbetween = ["x", "N"]\n'
APART = f'{ONE}[[lamp]]\nname = "H1"\n[[element.odd]]\nvalue = 1\n'


@pytest.mark.parametrize(
    "step",
    [
        lambda: remove_part(INLINE, "E1"),
        lambda: change(INLINE, "E1", {"power_W": 1}),
        lambda: add_part(INLINE, "element", E3),
        lambda: rename_point(INLINE, "x", "y"),
        lambda: remove_part(APART, "E1"),
        # a table of another, which would go with the part
        lambda: remove_part(f"{ONE}[supply.odd]\nvalue = 1\n", "E1"),
        lambda: change(f"supply.voltage_V = 230\n{ONE}", "supply", {"voltage_V": 120}),
    ],
)
def test_what_has_no_table_to_itself_is_left_to_the_text(step: Callable[[], str]) -> None:
    with pytest.raises(DescriptionError, match="Make the change in the text itself"):
        step()


def test_a_part_with_a_table_elsewhere_is_changed_in_its_own() -> None:
    assert change(APART, "E1", {"power_W": 1}) == APART.replace(
        '"N"]\n[[lamp', '"N"]\npower_W = 1\n[[lamp'
    )


NAMES = st.text(st.characters(codec="utf-8", exclude_categories=["Cs", "Cc"]), min_size=1)
VALUES = st.fixed_dictionaries(
    {"name": NAMES, "between": st.lists(NAMES, min_size=2, max_size=2)},
    optional={
        "power_W": st.floats(0.001, 1e5) | st.integers(1, 100_000),
        "resistance_ohm": st.floats(1e-6, 1e9),
        "positions": st.lists(NAMES, max_size=3),
        "contacts": st.lists(
            st.fixed_dictionaries({"between": st.lists(NAMES, max_size=2)}), max_size=3
        ),
        "resettable": st.booleans(),
    },
)


@settings(max_examples=25, deadline=None)
@given(st.sampled_from([*TEXTS.values(), MIXED]), VALUES, VALUES)
def test_whatever_is_put_in_changed_and_taken_out_reads_back_and_leaves_the_rest(
    text: str, first: dict[str, object], second: dict[str, object]
) -> None:
    first = {**first, "name": f"new {first['name']}"}
    added = add_part(text, "element", first)
    assert tomllib.loads(added)["element"][-1] == first
    changed = change(added, str(first["name"]), {**second, "name": first["name"]})
    assert tomllib.loads(changed)["element"][-1] == {**first, **second, "name": first["name"]}
    # a blank line before the new part stays
    assert tomllib.loads(remove_part(changed, str(first["name"]))) == tomllib.loads(text)


ODD_LINES = """\
[element]
[[element]]
[["element"]]
[[switch.contacts]]
[supply.odd]
supply = 5
supply.voltage_V = 120
element = 3
element = [3]
name = "E1"
name = 3
title = \'\'\'
\'\'\'
contacts = [
]
# [[lamp]]

"""


@given(
    st.sampled_from([URN, MIXED]).map(str.splitlines),
    st.lists(
        st.tuples(st.integers(0, 30), st.sampled_from(ODD_LINES.splitlines())),
        min_size=1,
        max_size=4,
    ),
    st.sampled_from(["E1", "E2", "S1", "E3", "supply", "vessel", "appliance"]),
)
def test_no_text_makes_a_step_do_anything_else_than_it_says_or_refuse_in_words(
    lines: list[str], odd: list[tuple[int, str]], name: str
) -> None:
    for at, line in odd:
        lines.insert(at, line)
    text = "\n".join(lines)
    steps = {
        "add": lambda: add_part(text, "element", E3),
        "change": lambda: change(text, name, {"power_W": 7, "name": None}),
        "rename": lambda: change(text, name, {"name": "new"}),
        "remove": lambda: remove_part(text, name),
        "point": lambda: rename_point(text, "boost", "new"),
    }
    for step in steps.values():
        with suppress(DescriptionError):  # and no other error
            after = step()
            assert after != text
            tomllib.loads(after)
