"""Ohmmeter readings against networkx. `tests/references` has published examples, and
`tests/circuit/test_bench_spice.py` a SPICE engine."""

import random
from itertools import combinations

import networkx as nx
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lessonlib import appliance_names, load_appliance, single_faults, variant
from lessonlib.appliance.parts import Appliance, Element, Resistive, Supply
from lessonlib.errors import ReadingError
from lessonlib.meter.ohm_table import meter_table
from lessonlib.meter.ohmmeter import resistance, resistances
from tests.networks import appliances, diode, element, link, rig


def _of(parts) -> Appliance:
    return Appliance("bench", "", Supply(230.0), tuple(parts))


# --- an independent answer: networkx ---------------------------------------------------------


def pieces_of(appliance, reading):
    """Joined pairs and resistors of a case, from the descriptions alone."""
    joins, resistors = [], []
    for part in appliance.parts:
        for contact, (first, second) in enumerate(part.rungs, 1):
            fault = reading.fault
            if fault is not None and (fault.part, fault.contact) == (part.name, contact):
                if fault.kind in ("shorted", "welded"):
                    joins.append((first, second))
            elif part.contacts:
                if reading.setting[part.name] in part.contacts[contact - 1].closed_in:
                    joins.append((first, second))
            elif isinstance(part, Resistive):
                resistors.append((first, second, part.resistance_ohm))
    return joins, resistors


def by_networkx(appliance, reading):
    """Resistance by networkx, for cases in which no diode matters."""
    joins, resistors = pieces_of(appliance, reading)
    group = nx.utils.UnionFind(appliance.nodes)
    for pair in joins:
        group.union(*pair)
    red, black = group[reading.red], group[reading.black]
    graph = nx.MultiGraph()
    graph.add_nodes_from((red, black))
    graph.add_edges_from(
        (group[first], group[second], {"ohm": ohm})
        for first, second, ohm in resistors
        if group[first] != group[second]
    )
    reached = nx.node_connected_component(graph, red)
    if red == black:
        return 0.0
    if black not in reached:
        return None
    return nx.resistance_distance(graph.subgraph(reached), red, black, weight="ohm")


def agree(reading, ohm):
    if ohm is None or reading.ohm is None:
        assert reading.ohm is ohm, reading
    else:
        # Conductances here span eight decades, which a solution loses of sixteen digits.
        assert reading.ohm == pytest.approx(ohm, rel=1e-7, abs=1e-8), reading


@pytest.mark.parametrize(
    "name",
    [name for name in appliance_names() if not load_appliance(name).diodes],
)
def test_points_of_a_bundled_appliance_read_as_networkx_says(name, wide):
    appliance = load_appliance(name)
    pairs = list(combinations(appliance.nodes, 2))
    faults = (None, *single_faults(appliance))
    for red, black in pairs if wide else random.Random(name).sample(pairs, min(len(pairs), 8)):
        for reading in resistances(appliance, red=red, black=black, faults=faults):
            agree(reading, by_networkx(appliance, reading))


@given(appliances(), st.randoms(use_true_random=False))
@settings(max_examples=25)
def test_random_networks_read_as_networkx_says(appliance, rng):
    red, black = rng.sample(appliance.nodes, 2)
    faults = (None, *single_faults(appliance))
    for reading in resistances(appliance, red=red, black=black, faults=faults):
        agree(reading, by_networkx(appliance, reading))


# --- what must hold for any network ------------------------------------------------------------


@given(appliances(diodes=4))
@settings(max_examples=40)
def test_the_files_reading_lies_in_its_own_range(appliance):
    for reading in resistances(appliance, red="L", black="N"):
        low, ohm, high = (
            np.inf if value is None else value
            for value in (reading.low_ohm, reading.ohm, reading.high_ohm)
        )
        # Rounding, with the meter's own 1 ohm beside it and conductances eight decades apart
        assert low <= ohm * (1 + 1e-7) + 1e-9
        assert ohm <= high * (1 + 1e-7) + 1e-9


# --- diodes, lamps, alloys ---------------------------------------------------------------------


MAY_NOT = ("D1 may not conduct at the meter's low voltage",)
NEON = ("H1: neon reads open, a cold filament far less",)
HALF, FULL, ON = {"S1": "on", "S2": "half"}, {"S1": "on", "S2": "full"}, {"S1": "on"}


@pytest.mark.parametrize(
    ("name", "setting", "pair", "text", "doubts"),
    [
        # a diode reads open one way and is in doubt the other, unless it is bridged
        ("wax-melter", HALF, "L N", "66.1 Ω or open", MAY_NOT),
        ("wax-melter", HALF, "N L", "open", ()),
        ("wax-melter", FULL, "L N", "66.1 Ω", ()),
        ("wax-melter", None, "fed heat", "0 Ω or open", MAY_NOT),
        ("wax-melter", None, "heat fed", "open", ()),
        # a lamp beside an element puts nothing in doubt
        ("soup-kettle", ON, "L N", "117 Ω", ()),
        # a switch that is off and an open fuse read the same if the lamps are neon
        ("garment-steamer", None, "L N", "open", ()),
        ("garment-steamer", ON, "L N", "35.2 Ω", ()),
        (
            "garment-steamer",
            {"S1": "on", "F1": "open"},
            "L N",
            "52.9 kΩ or open",
            ("H1 and H2: neon reads open, a cold filament far less",),
        ),
        # self-acting contacts are closed unless the setting says otherwise
        ("hot-trolley", None, "fed upper", "0 Ω", ()),
        ("hot-trolley", {"T1": "open"}, "fed upper", "106 kΩ or open", NEON),
        # nothing is joined to the earth pin; and with the plug out, its pins are not joined, else
        # both elements would be side by side: 132.25 + 44.08 ohm
        ("tea-urn", None, "L PE", "open", ()),
        ("tea-urn", None, "boost L", "176 Ω", ()),
    ],
)
def test_what_a_meter_shows_and_what_is_in_doubt(name, setting, pair, text, doubts):
    red, black = pair.split()
    reading = resistance(load_appliance(name), setting, red=red, black=black)
    assert (reading.text, reading.doubts) == (text, doubts)


def test_a_diode_whose_drop_is_above_the_meters_voltage_reads_open_but_may_not():
    rectified = rig(diode("D1", "L", "a", 0.7) + element("E1", "a", "N", 100))
    reading = resistance(rectified, red="L", black="N")
    assert (reading.ohm, reading.text) == (None, "open or 100 Ω")
    assert reading.doubts == ("D1 needs more voltage than the meter may give",)
    assert resistance(rectified, red="N", black="L").text == "open"


def test_a_lamp_alone_may_read_open_as_neon_or_low_as_a_cold_filament():
    steamer = load_appliance("garment-steamer")
    alone = resistance(steamer, {"S1": "on"}, red="L", black="N", fault="E1 open")
    # two lamps of 230 V and 0.5 W, side by side; a filament is 4.8 / 0.350 lower when cold
    assert alone.ohm == pytest.approx(230**2 / 0.5 / 2, rel=1e-12)
    assert alone.high_ohm is None
    assert alone.low_ohm == pytest.approx(230**2 / 0.5 / 2 * 0.350 / 4.8, rel=1e-12)
    assert alone.doubts == ("H1 and H2: neon reads open, a cold filament far less",)


def test_a_named_alloy_makes_the_cold_resistance_lower_than_the_hot_one():
    def wire(alloy):
        element = Element("E1", ("L", "N"), 400.0, 230.0, 132.25, alloy)
        return resistance(_of([element]), red="L", black="N")

    # 1.018 at 600 °C in the producer's table
    assert wire("NiCr 80/20").ohm == pytest.approx(132.25 / 1.018, rel=1e-12)
    assert wire("NiCr 80/20").no_alloy == ()
    assert repr(wire(None)) == "L to N: 132 Ω; no alloy named for E1: cold taken equal to hot"


# --- contacts, faults, points ------------------------------------------------------------------


def test_a_reading_on_the_edge_of_rounding_is_one_reading_whichever_lead_is_where():
    # 230 V squared by 200 W is 264.5 ohm, which rounding puts on either side of the half
    urn = variant(load_appliance("tea-urn"), {"E1": {"power_W": 200}})
    assert "leads swapped" not in str(meter_table(urn))


def test_an_earth_pin_that_something_is_joined_to_reads_what_it_is():
    urn = rig(element("E1", "L", "N", 100) + link("damp", "N", "PE", 20_000))
    row = meter_table(urn).shown_rows[0]
    assert row == ("as it is", "100 Ω", "20.1 kΩ", "20 kΩ", "E1")


@pytest.mark.parametrize(("red", "black"), [("L", "M"), (3, "N"), ("L", ["N"])])
def test_an_unknown_point_is_refused_and_the_known_ones_are_named(red, black):
    with pytest.raises(
        ReadingError, match=r"has no point .*; accepted: L, N, PE, plug fuse, case, boost, or"
    ):
        resistance(load_appliance("tea-urn"), red=red, black=black)


# --- the table ---------------------------------------------------------------------------------


def test_the_table_has_every_switch_setting_and_what_the_meter_sees():
    table = meter_table(load_appliance("towel-rail"))
    assert table.header == ("S1", "L–N", "L–PE", "N–PE", "L–N sees")
    assert table.shown_rows == [
        ("off", "open", "open", "open", "no path"),
        ("low", "212 Ω", "open", "open", "E1 and E2"),  # in series, 105.8 ohm each
        ("medium", "106 Ω", "open", "open", "E1"),
        ("high", "52.9 Ω", "open", "open", "E1 and E2"),
    ]
    assert str(table).startswith("Towel rail, unplugged and cold: what an ohmmeter shows\n")


def test_the_table_gives_both_directions_where_they_differ_and_further_pairs_on_request():
    table = meter_table(load_appliance("wax-melter"), pairs=[("fed", "heat")])
    assert table.header == ("S1", "S2", "L–N", "L–PE", "N–PE", "fed–heat", "L–N sees")
    half, full = table.shown_rows[2:]
    assert half[2] == "66.1 Ω or open; leads swapped open"
    assert half[5] == "0 Ω or open; leads swapped open"
    assert half[6] == "D1 and E1; D1 may not conduct at the meter's low voltage"
    assert full[2:] == ("66.1 Ω", "open", "open", "0 Ω", "E1")


def test_the_table_names_the_fault_it_is_made_with():
    table = meter_table(load_appliance("towel-rail"), fault="E2 open")
    assert table.caption.endswith(", fault: E2 open")
    assert [row[1] for row in table.shown_rows] == ["open", "open", "106 Ω", "106 Ω"]


def test_a_join_from_pin_to_pin_is_called_one_and_named():
    table = meter_table(load_appliance("towel-rail"), fault="E1 shorted")
    assert [row[-1] for row in table.shown_rows] == [
        "no path",
        "E1 and E2",  # in series: the shorted one carries the current too
        "a direct join through E1",
        "a direct join through E1",
    ]
