"""The state table as people and programs read it."""

import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest

from lessonlib import appliance_names, load_appliance, state_table
from lessonlib.appliance.parts import Appliance, Contact, Element, Supply, Switch


def switched(*contacts, title="Rig", positions=("off", "one", "two", "both")):
    """300 W from a to N, 700 W from b to N, and contacts: their ends, and where they are closed."""
    made = tuple(Contact(tuple(ends), tuple(closed.split())) for ends, closed in contacts)
    elements = (
        Element("E1", ("a", "N"), 300.0, 230.0, 230**2 / 300),
        Element("E2", ("b", "N"), 700.0, 230.0, 230**2 / 700),
    )
    parts = (*elements, Switch("S1", positions, made, positions[0]))
    return Appliance(title, "", Supply(230.0), parts)


def three_heats(title="Three heats"):
    return switched(("La", "one both"), ("Lb", "two both"), title=title)


def test_elements_of_300_and_700_watts_switched_separately_give_three_heats():
    # Common practice, no source: 300, 700 or 1000 W by how they are switched.
    powers = [now.power_W for now in state_table(three_heats()).solutions]
    assert powers == pytest.approx([0, 300, 700, 1000])


def test_the_table_is_plain_html_that_a_screen_reader_can_follow():
    html = state_table(load_appliance("soup-kettle"))._repr_html_()
    tree = ET.fromstring(html)
    assert tree.find(".//caption/span").text.startswith("Soup kettle: every switch setting")
    assert [th.get("scope") for th in tree.findall(".//thead//th")] == ["col"] * 7
    rows = tree.findall(".//tbody/tr")
    assert len(rows) == 4
    for row in rows:
        assert [th.get("scope") for th in row.findall("th")] == ["row", "row"]


def test_markup_in_names_shows_as_text_in_html_and_as_is_in_text():
    bold = switched(("La", "<i>"), ("Lb", "two"), title="<b>Bold</b>", positions=("<i>", "two"))
    named = {part.name: part for part in bold.parts}
    named["E1"] = replace(named["E1"], name="<script>alert(1)</script>")
    table = state_table(replace(bold, parts=tuple(named.values())))
    html = table._repr_html_()
    assert "<script>" not in html
    assert "&lt;script&gt;" in html
    assert "<i>" not in html
    ET.fromstring(html)
    assert "<script>alert(1)</script>" in str(table)


def test_the_last_column_tells_what_is_live_by_place_and_never_that_nothing_is():
    urn = state_table(load_appliance("tea-urn"))
    assert [row[-1] for row in urn.shown_rows] == [
        "E1 and S1 at L",
        "E1 at L; E2 at boost; S1 at both ends",
    ]
    trolley = load_appliance("hot-trolley")
    for reversed_plug, terminal in ((False, "L"), (True, "N")):
        off = state_table(trolley, reversed_plug=reversed_plug).shown_rows[0]
        assert off[-1] == f"only the switch, S1 at {terminal}"
    for name in appliance_names():
        for reversed_plug in (False, True):
            table = state_table(load_appliance(name), reversed_plug=reversed_plug)
            for solution, row in zip(table.solutions, table.shown_rows, strict=True):
                assert solution.live
                assert {end.part for end in solution.live} <= set(re.findall(r"\w+", row[-1]))


def test_a_short_shows_as_words_and_no_number():
    shorted = state_table(load_appliance("garment-steamer"), fault="E1 shorted")
    assert shorted.shown_rows[1][1:4] == ("short circuit", "–", "–")
    assert "fault: E1 shorted" in shorted.caption


def test_the_options_show_in_the_caption():
    table = state_table(load_appliance("tea-urn"), reversed_plug=True, supply_voltage_V=207)
    assert "at 207 V, plug reversed" in table.caption


def test_an_appliance_without_a_switch_has_one_row():
    rig = Appliance("Rig", "", Supply(230.0), (Element("E1", ("L", "N"), resistance_ohm=100.0),))
    table = state_table(rig)
    assert len(table.solutions) == 1
    assert "as it is" in str(table)
