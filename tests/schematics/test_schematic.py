"""The SVG tells the state of every part and node by structure, text and title."""

from __future__ import annotations

import re
from itertools import combinations
from xml.etree import ElementTree

import pytest

from lessonlib.appliance.bundled import appliance_names, load_appliance
from lessonlib.appliance.parts import Appliance, Contact, Diode, Element, Supply, Switch
from lessonlib.appliance.reader import read_appliance
from lessonlib.appliance.settings import settings
from lessonlib.schematics.layout import layout
from lessonlib.schematics.schematic import live_svg, schematic
from tests.schematics.geometry import problems

SVG = "{http://www.w3.org/2000/svg}"
URN = load_appliance("tea-urn")
STEAMER = load_appliance("garment-steamer")


def parsed(svg: str) -> ElementTree.Element:
    return ElementTree.fromstring(svg)


def groups(root: ElementTree.Element, kind: str) -> list[ElementTree.Element]:
    return [g for g in root.iter(f"{SVG}g") if kind in g.get("class", "").split()]


def title(group: ElementTree.Element) -> str:
    found = group.find(f"{SVG}title")
    assert found is not None
    return found.text or ""


def words(group: ElementTree.Element, kind: str) -> str:
    found = [t for t in group.iter(f"{SVG}text") if t.get("class") == kind]
    return " ".join("".join(text.itertext()) for text in found)


@pytest.mark.parametrize("name", appliance_names())
def test_every_part_and_node_is_a_named_group_with_a_title(name: str) -> None:
    appliance = load_appliance(name)
    for svg in (schematic(appliance).svg, live_svg(appliance)):
        root = parsed(svg)
        parts = [(g.get("data-part"), title(g)) for g in groups(root, "hc-part")]
        assert sorted(part for part, _ in parts) == sorted(
            part.name for part in appliance.parts for _ in part.rungs
        )
        # with the contact's number where there are several: "S1.2, switch"
        assert all(re.match(rf"{part}(\.\d)?, ", words) for part, words in parts)
        nodes = {g.get("data-node"): title(g) for g in groups(root, "hc-node")}
        assert set(nodes) == set(appliance.nodes)
        assert all(words.startswith(f"point {node}") for node, words in nodes.items())


@pytest.mark.parametrize("name", appliance_names())
def test_contacts_and_conditions_are_told_in_every_position_of_every_part(name: str) -> None:
    appliance = load_appliance(name)
    for setting in settings(appliance, appliance.movable):
        drawn = schematic(appliance, setting)
        root = parsed(drawn.svg)
        for group in groups(root, "hc-contact"):
            part = appliance.part(group.get("data-part", ""))
            contact = part.contacts[int(group.get("data-contact", "0")) - 1]
            expected = "closed" if setting[part.name] in contact.closed_in else "open"
            assert group.get("data-state") == expected, (setting, part.name)
        for group in groups(root, "hc-node"):
            condition = drawn.solution.node[group.get("data-node", "")].condition
            assert group.get("data-condition") == condition
            assert words(group, "hc-node-condition") == condition
            assert title(group).endswith(f", {condition}")


@pytest.mark.parametrize(("fault", "state"), [("S1 welded", "closed"), ("S1 not making", "open")])
def test_a_faulty_contact_is_drawn_as_it_is_not_as_its_switch_stands(
    fault: str, state: str
) -> None:
    position = "off" if state == "closed" else "on"
    root = parsed(schematic(URN, {"S1": position}, fault=fault).svg)
    (contact,) = groups(root, "hc-contact")
    assert contact.get("data-state") == state
    assert words(contact, "hc-position") == position


def test_readings_are_those_of_the_solution() -> None:
    root = parsed(schematic(URN, {"S1": "on"}).svg)
    found = {
        span.get("data-quantity"): span.text
        for group in groups(root, "hc-part")
        if group.get("data-part") == "E2"
        for span in group.iter(f"{SVG}tspan")
    }
    # 1200 W at 230 V: 1200 / 230 = 5.217 A
    assert found == {"voltage": "230 V", "current": "5.22 A", "power": "1200 W"}


def test_no_readings_are_drawn_when_they_are_not_wanted() -> None:
    assert "hc-reading" in schematic(URN).svg
    without = schematic(URN, readings=False)
    assert 'class="hc-reading"' not in without.svg
    # nowhere else either: not in a title, under the drawing, or in what a screen reader says
    assert "1.74 A" in schematic(URN).svg
    assert "1.74 A" not in without.svg
    assert "1.74 A" not in repr(without)
    heights = [float(parsed(each.svg).get("height", "0")) for each in (without, schematic(URN))]
    assert heights[0] < heights[1]


def test_label_says_the_finding() -> None:
    root = parsed(schematic(URN, {"S1": "on"}).svg)
    assert root.get("role") == "img"
    assert root.get("aria-label") == (
        "Six-litre tea urn, S1 on: 1600 W, 6.96 A; L, boost live; N neutral; "
        "live ends: E1 at L; E2 at boost; S1 at both ends"
    )


def test_a_short_circuit_is_told_with_its_path_and_without_numbers() -> None:
    drawn = schematic(URN, fault="E1 shorted")
    root = parsed(drawn.svg)
    assert root.get("data-short") == "true"
    assert words(root, "hc-short").startswith(f"short circuit: {drawn.solution.short}")
    assert not [span for span in root.iter(f"{SVG}tspan") if span.get("data-quantity")]
    assert "data-short" not in parsed(schematic(URN).svg).attrib


def test_live_drawing_has_no_state_and_a_place_for_everything_that_the_panel_shows() -> None:
    root = parsed(live_svg(STEAMER))
    assert {g.get("data-condition") for g in groups(root, "hc-node")} == {""}
    assert {g.get("data-state") for g in groups(root, "hc-contact")} == {""}
    for kind in ("hc-reading", "hc-position", "hc-node-condition", "hc-short"):
        assert words(root, kind).strip() == ""
    for group in groups(root, "hc-part"):
        spans = [span.get("data-quantity") for span in group.iter(f"{SVG}tspan")]
        contact = "hc-contact" in group.get("class", "")
        assert spans == (["voltage", "current"] + ([] if contact else ["power"]))
    positions = [t for t in root.iter(f"{SVG}text") if t.get("class") == "hc-position"]
    assert [text.get("data-part") for text in positions] == ["S1"]


@pytest.mark.parametrize("name", appliance_names())
def test_contacts_can_be_hit_with_a_finger_and_do_not_overlap(name: str) -> None:
    def rects(kind: str) -> list[tuple[float, ...]]:
        return [
            tuple(float(rect.get(key, "0")) for key in ("x", "y", "width", "height"))
            for rect in parsed(live_svg(load_appliance(name))).iter(f"{SVG}rect")
            if rect.get("class") == kind
        ]

    # 44 px: the target size of WCAG 2.5.5
    assert all(width >= 44 and height >= 44 for _, _, width, height in rects("hc-hit"))
    for (x, y, w, h), (x2, y2, w2, h2) in combinations(rects("hc-touch"), 2):
        assert x + w <= x2 or x2 + w2 <= x or y + h <= y2 or y2 + h2 <= y


@pytest.mark.parametrize(
    "name", ['"><script>alert(1)</script>', "a & b ]]>", "a' onload='x", "é\x07"]
)
def test_markup_in_a_name_shows_as_text(name: str) -> None:
    appliance = Appliance(
        name,
        "",
        Supply(230.0),
        (
            Switch(f"S{name}", (name, "on"), (Contact(("L", name), (name,)),), name),
            Element(f"E{name}", (name, "N"), resistance_ohm=50.0),
        ),
    )
    for svg in (schematic(appliance).svg, live_svg(appliance)):
        root = parsed(svg)
        shown = name.replace("\x07", "\ufffd")
        assert {g.get("data-part") for g in groups(root, "hc-part")} == {f"S{shown}", f"E{shown}"}
        assert shown in {g.get("data-node") for g in groups(root, "hc-node")}
        assert {element.tag for element in root.iter()} - {f"{SVG}tspan"} <= {
            f"{SVG}{tag}"
            for tag in ("svg", "style", "rect", "g", "title", "path", "circle", "polygon", "text")
        }


def test_a_long_name_is_cut_in_the_picture_and_whole_in_the_title() -> None:
    long = "Upper heating element of the second row"
    appliance = Appliance("Long", "", Supply(230.0), (Element(long, ("L", "N"), None, None, 50.0),))
    (group,) = groups(parsed(schematic(appliance).svg), "hc-part")
    assert words(group, "hc-part-name").endswith("…")
    assert title(group).startswith(long)


def test_a_diode_points_from_anode_to_cathode_either_way_round() -> None:
    def tip_x(anode: str, cathode: str) -> float:
        parts = (Diode("D1", (anode, cathode)), Element("E1", ("a", "N"), resistance_ohm=50.0))
        root = parsed(schematic(Appliance("One way", "", Supply(230.0), parts)).svg)
        (diode,) = [g for g in groups(root, "hc-part") if g.get("data-kind") == "diode"]
        lines = [path.get("d", "").strip("M").split("L") for path in diode.iter(f"{SVG}path")]
        triangle = next(points for points in lines if len(points) == 4)
        return next(float(x) for x, y in map(str.split, triangle) if float(y) == 0)

    assert tip_x("L", "a") == -tip_x("a", "L") > 0


def test_notebooks_get_html_that_follows_the_theme_and_a_picture_that_needs_none() -> None:
    shown = schematic(URN)._repr_mimebundle_()
    assert set(shown) == {"text/html", "image/svg+xml", "text/plain"}
    assert "var(--jp-content-font-color1" in shown["text/html"]
    assert '[data-jp-theme-light="false"]' in shown["text/html"]
    assert "var(" not in shown["image/svg+xml"]
    assert shown["text/plain"].startswith("Six-litre tea urn, S1 off: 400 W")


def test_without_conditions_the_drawing_does_not_tell_what_is_live() -> None:
    told, bare = schematic(URN), schematic(URN, readings=False, conditions=False)
    for word in ("live", "neutral"):
        assert f'data-condition="{word}"><title>' in told.svg
        assert f'data-condition="{word}"><title>' not in bare.svg
        assert f">{word}</text>" not in bare.svg
        assert word not in repr(bare)
    assert "E1 L to N" in repr(bare)


def test_a_thermal_fuse_has_the_mark_of_temperature_and_says_whether_it_can_be_reset() -> None:
    text = 'title="t"\n[supply]\nvoltage_V=230\n[[element]]\nname="E1"\nbetween=["b","N"]\n'
    fuse = '[[thermal_fuse]]\nname="{}"\nbetween=["{}","{}"]\nopens_at_C=100\nresettable={}\n'
    text += "power_W=500\nvoltage_V=230\n"
    both = fuse.format("F1", "L", "a", "false") + fuse.format("F2", "a", "b", "true")
    parts = groups(parsed(schematic(read_appliance(text + both)).svg), "hc-part")
    found = {g.get("data-part"): g for g in parts if words(g, "hc-mark") == "θ"}
    assert title(found["F1"]).startswith("F1, thermal fuse, one-shot, opens at 100 °C, closed")
    assert title(found["F2"]).startswith("F2, thermal fuse, reset by hand, opens at 100 °C, closed")
    shapes = [len(list(found[name].iter(f"{SVG}path"))) for name in ("F1", "F2")]
    assert shapes[0] != shapes[1]


def test_a_contact_that_welded_is_named_also_when_it_is_the_first() -> None:
    rail = load_appliance("towel-rail")
    assert "fault: S1.1 welded" in repr(schematic(rail, fault="S1 welded"))
    assert "fault: S1.3 welded" in repr(schematic(rail, fault="S1.3 welded"))
    names = [words(g, "hc-part-name") for g in groups(parsed(live_svg(rail)), "hc-contact")]
    assert names == ["S1.1", "S1.2", "S1.3", "S1.4"]


@pytest.mark.parametrize(
    ("setting", "fault", "states"),
    [
        ({"S1": "low"}, None, ["closed", "open", "closed"]),
        ({"S1": "off"}, None, ["open", "open", "open"]),
        ({"S1": "low"}, "S1.2 welded", ["closed", "closed", "closed"]),
        ({"S1": "low"}, "S1.1 not making", ["open", "open", "open"]),
    ],
)
def test_the_blade_of_a_change_over_switch_rests_while_none_of_its_contacts_is_closed(
    setting: dict[str, str], fault: str | None, states: list[str]
) -> None:
    root = parsed(schematic(load_appliance("plate-warmer"), setting, fault=fault).svg)
    found = [g.get("data-state") for g in (*groups(root, "hc-contact"), *groups(root, "hc-rest"))]
    assert found == states


def test_without_current_a_part_shows_no_zeros_and_the_foot_says_so_once() -> None:
    # S1 in off: all 230 V lie across its first contact; behind it everything floats
    off = parsed(schematic(load_appliance("wallpaper-steamer")).svg)
    assert {words(group, "hc-reading").strip() for group in groups(off, "hc-part")} == {""}
    assert words(off, "hc-summary") == "S1 off: no current"
    urn = {g.get("data-part"): g for g in groups(parsed(schematic(URN).svg), "hc-part")}
    shown = {part: words(group, "hc-reading").split("  ")[0].strip() for part, group in urn.items()}
    assert shown == {"E1": "230 V1.74 A400 W", "E2": "", "S1": "230 V"}
    assert title(urn["E2"]) == "E2, heating element, 1200 W at 230 V, no current"


def test_the_earth_wire_is_drawn_with_the_metal_parts_when_asked_for() -> None:
    assert "PE" not in {g.get("data-node") for g in groups(parsed(schematic(URN).svg), "hc-node")}
    for svg in (schematic(URN, earth=True).svg, live_svg(URN, earth=True)):
        root = parsed(svg)
        (earth,) = [g for g in groups(root, "hc-node") if g.get("data-node") == "PE"]
        assert (title(earth), earth.get("data-condition")) == ("point PE, earthed", "earthed")
        assert len(groups(earth, "hc-symbol")) == 1
        assert [title(group) for group in groups(root, "hc-metal")] == ["metal parts, joined to PE"]
    assert "PE earthed, with the metal parts on it" in repr(schematic(URN, earth=True))
    # an appliance that has PE keeps its own
    leaky = Appliance("Leaky", "", Supply(230), (Element("E1", ("L", "PE"), resistance_ohm=1e5),))
    assert schematic(leaky, earth=True).svg == schematic(leaky).svg
    # one of class II has none to draw, nor to speak of
    double = load_appliance("bottle-warmer")
    assert schematic(double, earth=True).svg == schematic(double).svg
    assert repr(schematic(double, earth=True)) == repr(schematic(double))
    assert len(groups(parsed(schematic(leaky).svg), "hc-symbol")) == 2
    # with its wire off, nothing is drawn or called earthed
    off = {"fault": "earth wire off"}
    assert schematic(URN, earth=True, **off).svg == schematic(URN, **off).svg
    assert "PE" not in repr(schematic(URN, earth=True, **off))


@pytest.mark.parametrize("name", appliance_names())
def test_the_earth_wire_lies_clear_of_everything(name: str) -> None:
    for readings in (True, False):
        assert problems(layout(load_appliance(name), readings, True)) == []


@pytest.mark.parametrize(
    ("fault", "word"), [("cord: neutral core broken", "live"), ("plug fuse blown", "neutral")]
)
def test_behind_a_fault_of_the_cord_its_terminals_are_drawn_as_the_parts_see_them(
    fault: str, word: str
) -> None:
    drawn = schematic(URN, {"S1": "on"}, fault=fault)
    for name in ("L", "N", "boost"):
        assert f'data-node="{name}" data-condition="{word}"' in drawn.svg
    assert f"; L, N, boost {word}; live ends:" in repr(drawn)
