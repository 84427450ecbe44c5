"""What the browser gets of a family: small, aligned, and marked."""

import json
import random

from lessonlib import family, load_appliance
from lessonlib.families.data import aligned, family_data
from lessonlib.schematics.layout import layout
from tests.families.put_in import disguised


def test_seven_members_are_one_page_of_less_than_a_megabyte(tmp_path):
    page = family("floor-steamer").save(tmp_path / "family.html")
    assert page.stat().st_size < 1_000_000


def test_the_same_wiring_in_another_file_is_drawn_in_the_same_places():
    """From top to bottom and from left to right; names of another length take more or less room.
    Switches of several contacts are left out: their contacts are numbered, as in the file."""
    for name in ("tea-urn", "curtain-steamer", "food-warmer", "garment-steamer", "wax-melter"):
        appliance = load_appliance(name)
        other = disguised(appliance, random.Random(name))
        found = family([appliance, other])
        first, second = aligned([m.appliance for m in found.members], found.matches)
        one, two = (
            sorted(layout(each).rungs, key=lambda r: (round(r.y, -1), r.x))
            for each in (first, second)
        )
        partner = {(a.part, a.contact): (b.part, b.contact) for a, b in found.matches[0].same}
        assert [partner[r.part, r.contact] for r in one] == [(r.part, r.contact) for r in two]


def test_each_changed_part_has_a_mark_with_the_number_of_its_change():
    data = family_data(family("floor-steamer"))
    fused = data["members"][4]
    assert fused["svg"].count('class="hcf-mark" data-change="1"') == 1
    assert "<title>change 1: A thermal fuse F1" in fused["svg"]
    assert fused["svg"].count('class="hcf-goes"') == 1  # the element that the next one has not
    assert data["members"][0]["svg"].count("hcf-mark") == 0
    frame, reading, number = map(fused["svg"].index, ("hcf-frame", "hc-reading", "hcf-mark"))
    assert frame < reading < number  # a frame crosses out no reading, and its number stays on top


def test_every_setting_of_a_member_leads_to_a_row_of_the_table():
    data = family_data(family("floor-steamer"))
    for place, member in enumerate(data["members"]):
        for row in member["does"].values():
            assert data["rows"][row]["cells"][place]
    assert json.dumps(data, allow_nan=False)
    both = [row for row in data["rows"] if row["heat"].startswith("1800 W")]
    assert [data["rows"].index(other) for other in both] == [4, 5]
    assert both[0]["alike"] == [4, 5]
