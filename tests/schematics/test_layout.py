"""Layouts are sound: nothing lies on anything else, and planar circuits have no crossings."""

from __future__ import annotations

import hashlib
import os
import random
import subprocess
import sys
from pathlib import Path

import pytest

from lessonlib.appliance.bundled import appliance_names, load_appliance
from lessonlib.appliance.parts import Appliance, Contact, Element, Lamp, Link, Supply, Switch
from lessonlib.errors import DrawingError
from lessonlib.schematics.layout import layout
from lessonlib.schematics.places import Layout
from lessonlib.schematics.schematic import live_svg
from tests.families.put_in import disguised
from tests.families.put_in import drawn as wired
from tests.schematics.geometry import problems
from tests.schematics.graphs import is_planar, random_appliance

SEEDS = range(120)


def element(name: str, first: str, second: str) -> Element:
    return Element(name, (first, second), resistance_ohm=50.0)


def appliance(*parts: Element | Lamp | Link | Switch) -> Appliance:
    return Appliance("Test circuit", "", Supply(230.0), parts)


def y_of(drawn: Layout, part: str, contact: int = 1) -> float:
    return next(r.y for r in drawn.rungs if (r.part, r.contact) == (part, contact))


def assert_sound(circuit: Appliance) -> None:
    """Nothing lies on anything else, and wires cross only where they must."""
    drawn = layout(circuit)
    assert problems(drawn) == []
    assert not (drawn.crossings and is_planar(circuit))


@pytest.mark.parametrize("readings", [True, False])
@pytest.mark.parametrize("name", appliance_names())
def test_bundled_appliances_are_drawn_from_live_to_neutral_without_overlap_or_crossing(
    name: str, readings: bool
) -> None:
    drawn = layout(load_appliance(name), readings)
    assert problems(drawn) == []
    assert drawn.crossings == 0
    x = {bar.node: bar.x for bar in drawn.bars}
    assert (x["L"], x["N"]) == (min(x.values()), max(x.values()))


@pytest.mark.parametrize("seed", SEEDS)
def test_random_circuits_are_drawn_soundly(seed: int) -> None:
    assert_sound(random_appliance(seed))


def test_appliances_with_hanging_parts_and_islands_in_any_file_order_are_drawn_soundly() -> None:
    for seed in range(25):
        rng = random.Random(seed)
        assert problems(layout(disguised(wired(rng), rng))) == []


def test_there_are_planar_circuits_among_the_random_ones_and_others() -> None:
    planar = sum(is_planar(random_appliance(seed)) for seed in SEEDS)
    assert planar > 60
    assert len(SEEDS) - planar > 7


def test_complete_bipartite_circuit_has_one_declared_crossing() -> None:
    # K(3,3), the utility graph, is not planar and can be drawn with one crossing
    parts = [element(f"E{a}{b}", a, b) for a in ("L", "p", "q") for b in ("N", "r", "s")]
    drawn = layout(appliance(*parts))
    assert drawn.crossings == 1
    assert problems(drawn) == []


@pytest.mark.parametrize("name", ["garment-steamer", "wallpaper-steamer", "curtain-steamer"])
def test_main_path_is_straight_and_lamps_hang_below(name: str) -> None:
    drawn = layout(load_appliance(name))
    main = {rung.y for rung in drawn.rungs if rung.kind != "lamp"}
    lamps = {rung.y for rung in drawn.rungs if rung.kind == "lamp"}
    assert len(main) == 1
    assert min(lamps) > max(main)


def test_contacts_of_a_selector_stand_above_each_other() -> None:
    drawn = layout(load_appliance("bottle-warmer"))
    assert len({rung.x for rung in drawn.rungs if rung.part == "S1"}) == 1


def test_a_lamp_goes_below_what_it_is_beside_even_when_it_comes_first_in_the_file() -> None:
    drawn = layout(appliance(Lamp("H1", ("L", "N"), 0.5, 230, 105_800), element("E1", "L", "N")))
    assert y_of(drawn, "E1") < y_of(drawn, "H1")
    switch = Switch("S1", ("off", "on"), (Contact(("L", "fed"), ("on",)),), "off")
    lamp = Lamp("H1", ("L", "fed"), 0.5, 230, 105_800)
    drawn = layout(appliance(lamp, switch, element("E1", "fed", "N")))
    assert y_of(drawn, "S1") == y_of(drawn, "E1") < y_of(drawn, "H1")


def test_parallel_elements_keep_the_order_of_the_file() -> None:
    parts = [element(f"E{number}", "L", "N") for number in range(5)]
    drawn = layout(appliance(*parts))
    ys = [y_of(drawn, part.name) for part in parts]
    assert ys == sorted(ys)
    assert len(set(ys)) == 5


def test_an_island_is_drawn_apart() -> None:
    drawn = layout(appliance(element("E1", "L", "N"), element("E2", "x", "y")))
    assert problems(drawn) == []
    assert y_of(drawn, "E2") > y_of(drawn, "E1")


@pytest.mark.parametrize(
    "parts",
    [
        [element(f"E{n}", "L", "N") for n in range(200)],
        [
            Switch(
                f"S{n}",
                ("off", "on"),
                (Contact(("L", f"a{n}"), ("on",)), Contact((f"a{n}", "N"), ("on",))),
                "off",
            )
            for n in range(200)
        ],
    ],
    ids=["in parallel", "double-pole switches"],
)  # fmt: skip
def test_two_hundred_parts_are_drawn(parts: list[Element | Lamp | Link | Switch]) -> None:
    drawn = layout(appliance(*parts))
    assert drawn.crossings == 0
    assert problems(drawn) == []


def ladder(steps: int) -> Appliance:
    """Two chains from the supply with an element between them at each step."""
    ends = []
    for step in range(steps):
        top, bottom = (f"a{step}", f"b{step}") if step else ("L", "N")
        ends += [(top, f"a{step + 1}"), (f"b{step + 1}", bottom), (f"a{step + 1}", f"b{step + 1}")]
    parts = tuple(Element(f"E{n}", pair, resistance_ohm=53) for n, pair in enumerate(ends))
    return Appliance("Ladder", "", Supply(230.0), parts)


def test_a_ladder_of_twenty_steps_is_drawn_and_one_that_nobody_can_order_is_refused() -> None:
    assert problems(layout(ladder(20))) == []
    for steps in (30, 66):
        with pytest.raises(DrawingError, match="some twenty steps"):
            layout(ladder(steps))


@pytest.mark.parametrize("length", [12, 400])
def test_long_names_do_not_widen_the_drawing_without_limit(length: int) -> None:
    long = "W" * length
    drawn = layout(
        appliance(
            Switch("S" * length, (long, "on"), (Contact(("L", long), ("on",)),), "on"),
            Element("E" * length, (long, "N"), resistance_ohm=50.0),
        )
    )
    assert problems(drawn) == []
    # three bars and two gaps: names are cut at about 110 pixels each
    assert drawn.width < 650


def test_an_appliance_without_parts_shows_its_two_supply_bars() -> None:
    drawn = layout(appliance())
    assert {bar.node for bar in drawn.bars} == {"L", "N"}
    assert problems(drawn) == []


def drawn_text() -> str:
    every = [load_appliance(name) for name in appliance_names()]
    return "".join(live_svg(one) for one in (*every, *map(random_appliance, range(15))))


def test_layouts_are_the_same_in_every_run(checkout: Path) -> None:
    """Python's hash seed changes the order of sets of names, and must not change a drawing."""
    code = (
        "import hashlib; from tests.schematics.test_layout import drawn_text;"
        "print(hashlib.sha256(drawn_text().encode()).hexdigest())"
    )
    environment = {**os.environ, "PYTHONHASHSEED": "1"}
    command = [sys.executable, "-c", code]
    done = subprocess.run(command, cwd=checkout, env=environment, capture_output=True, check=True)
    assert done.stdout.decode().strip() == hashlib.sha256(drawn_text().encode()).hexdigest()


def selector(*contacts: tuple[str, str, str]) -> Switch:
    """S1, off at the start; each contact with the positions that close it, as in "low high"."""
    made = tuple(Contact((a, b), tuple(ways.split())) for a, b, ways in contacts)
    positions = dict.fromkeys(way for contact in made for way in contact.closed_in)
    return Switch("S1", ("off", *positions), made, "off")


TWO_WAYS = [element("E1", "a", "N"), element("E2", "b", "N")]


@pytest.mark.parametrize(
    ("parts", "blades"),
    [
        ([selector(("L", "a", "x"), ("L", "b", "y")), *TWO_WAYS], [(1, 2)]),
        # the shared point may be on the neutral side, and written second
        ([selector(("a", "N", "x"), ("b", "N", "y")), element("E1", "L", "a"),
          element("E2", "L", "b")], [(1, 2)]),
        # three ways; and two blades of one switch
        ([selector(("L", "a", "x"), ("L", "b", "y"), ("L", "c", "z")), *TWO_WAYS,
          element("E3", "c", "N")], [(1, 2, 3)]),
        ([selector(("L", "a", "x"), ("L", "b", "y"), ("f", "N", "x"), ("g", "N", "y")),
          element("E1", "a", "f"), element("E2", "b", "g")], [(1, 2), (3, 4)]),
        # closed together in y; the shared point lies between live and neutral
        ([selector(("L", "a", "x y"), ("L", "b", "y")), *TWO_WAYS], []),
        ([selector(("L", "b", "x"), ("b", "N", "y")), element("E1", "L", "b"),
          element("E2", "b", "N")], []),
        # a third contact of the same switch lies on the rung between
        ([selector(("L", "a", "x"), ("L", "c", "x y"), ("L", "b", "y")),
          element("E1", "a", "N"), element("E3", "c", "N"), element("E2", "b", "N")], []),
    ],
    ids=["from live", "to neutral", "three ways", "two poles", "overlapping", "in the middle",
         "apart"],
)  # fmt: skip
def test_contacts_that_share_a_point_and_are_never_closed_together_have_one_blade(
    parts: list[Element | Lamp | Link | Switch], blades: list[tuple[int, ...]]
) -> None:
    for readings in (True, False):
        drawn = layout(appliance(*parts), readings)
        assert [pole.contacts for pole in drawn.poles] == blades
        assert problems(drawn) == []
        assert {rung.contact for rung in drawn.rungs if rung.pole} == {n for b in blades for n in b}
        for pole in drawn.poles:  # one wire comes to it, on the side of the shared bar
            ends = {
                round(end, 6)
                for bar in drawn.bars
                for lead in bar.leads
                for end in (lead.x, lead.to)
                if lead.y == pole.y
            }
            assert round(pole.x + (17 if pole.flip else -17), 6) in ends


def test_bundled_selectors_are_drawn_as_change_over_switches_where_they_are() -> None:
    found = {name: layout(load_appliance(name)).poles for name in appliance_names()}
    assert {(name, pole.part, pole.contacts) for name in found for pole in found[name]} == {
        ("bottle-warmer", "S1", (1, 2)),
        ("pie-cabinet", "S2", (1, 2)),
        ("plate-warmer", "S1", (1, 2)),
        ("soup-kettle", "S2", (1, 2)),
    }
