"""The state table as people and programs read it."""

import re
import xml.etree.ElementTree as ET

from lessonlib import appliance_names, load_appliance, state_table
from lessonlib.appliance.parts import Appliance, Contact, Element, Supply, Switch


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
    contact = Contact(("L", "N"), ("<i>",))
    parts = (
        Element("<script>alert(1)</script>", ("L", "N"), resistance_ohm=100.0),
        Switch("S1", ("<i>", "two"), (contact,), "two"),
    )
    table = state_table(Appliance("<b>Bold</b>", "", Supply(230.0), parts))
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


def test_a_short_shows_as_words_and_the_options_in_the_caption():
    shorted = state_table(load_appliance("garment-steamer"), fault="E1 shorted")
    assert shorted.shown_rows[1][1:4] == ("short circuit", "–", "–")
    turned = state_table(shorted.appliance, reversed_plug=True, supply_voltage_V=207)
    assert shorted.caption.endswith("at 230 V, fault: E1 shorted")
    assert turned.caption.endswith("at 207 V, plug reversed")


def test_an_appliance_without_a_switch_has_one_row():
    rig = Appliance("Rig", "", Supply(230.0), (Element("E1", ("L", "N"), resistance_ohm=100.0),))
    table = state_table(rig)
    assert len(table.solutions) == 1
    assert "as it is" in str(table)
