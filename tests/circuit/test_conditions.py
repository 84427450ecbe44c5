"""The word for a point never contradicts its potential, and what can shock is told by place."""

import networkx as nx
import pytest
from hypothesis import given

from lessonlib import load_appliance, solve, solve_all
from lessonlib.appliance.parts import Link
from lessonlib.appliance.terminals import Terminal
from lessonlib.circuit.condition import MOST_BOND_OHM, SHOCK_V
from lessonlib.circuit.live import live_words
from tests.networks import appliances, contact, diode, element, link, rig

E0 = element("E0", "L", "N")
# Two 500 W elements in series, their middle joined by 1 megohm to a bonded case.
LEAKING = (
    element("E1", "L", "m", 105.8)
    + element("E2", "m", "N", 105.8)
    + link("R1", "m", "case", 1e6)
    + link("W1", "case", "PE", 0.05)
)
# Lamp of 0.5 W at 230 V: 105.8 kilohm. Two 1.2 kW elements side by side: 22.04 ohm.
NEON = (
    '[[lamp]]\nname = "H1"\nbetween = ["L", "m"]\npower_W = 0.5\nvoltage_V = 230\n'
    + element("E1", "m", "N", 44.083)
    + element("E2", "m", "N", 44.083)
)
POINTS = [
    # 115 V less what 1 megohm takes through 52.9 ohm: 115 * 1e6 / (1e6 + 52.9)
    (LEAKING, "m", 114.994, "between", True),
    (LEAKING, "case", 0, "earthed", False),
    (contact("S1", ("L", "m")) + NEON, "m", 0.0479, "between", False),
    # a bond that carries so much that it stands above the limit is no word of comfort:
    # 230 V * 0.9 / 5.9 on a wire of 0.9 ohm that 39 A flow through
    (E0 + element("E1", "L", "m", 5) + link("W1", "m", "N", 0.9), "m", 35.085, "between", True),
    (E0 + element("E1", "L", "m", 5) + link("W1", "m", "PE", 0.9), "m", 35.085, "between", True),
    # the other way round: all but 12 V are lost on the wire from the line
    (link("W1", "L", "m", 0.9) + element("E1", "m", "N", 0.05), "m", 12.105, "between", False),
    # nothing but a resistance to earth holds it, and "0 V" would read as dead
    (E0 + contact("S1", ("L", "m")) + element("E2", "m", "PE", 50), "m", None, "floating", False),
    (E0 + contact("S1", ("L", "m")) + element("E2", "m", "PE", 1e6), "m", None, "floating", False),
    # a bonded case with a leak to neutral
    (E0 + link("R1", "N", "m", 1e6) + link("W1", "m", "PE", 0.1), "m", 0, "earthed", False),
    # bonded to both: whoever breaks the earth wire leaves it a live conductor
    (E0 + link("W1", "N", "m", 0.2) + link("W2", "m", "PE", 0.2), "m", 0, "neutral", False),
    # behind diodes that block: fed from the line and, the other way, from neutral; from the line
    (E0 + diode("D1", "L", "m") + diode("D2", "N", "m"), "m", None, "between", True),
    (E0 + diode("D1", "L", "m") + contact("S1", ("m", "N")), "m", None, "live", True),
]


@pytest.mark.parametrize(("parts", "point", "volts", "word", "can_shock"), POINTS)
def test_the_word_of_a_point_fits_its_potential(parts, point, volts, word, can_shock):
    now = solve(rig(parts))
    found = now.node[point]
    assert found.potential_V == (volts if volts is None else pytest.approx(volts, abs=1e-3))
    assert (found.condition, found.can_shock) == (word, can_shock)
    assert (point in {end.node for end in now.live}) == can_shock


def test_a_bond_of_at_most_one_ohm_makes_a_point_earthed_or_neutral_and_more_does_not():
    def word(end, *ohms):
        chain = ["m", *(f"w{number}" for number in range(1, len(ohms))), end]
        wires = "".join(
            link(f"W{number}", *ends, ohm)
            for number, (ends, ohm) in enumerate(zip(nx.utils.pairwise(chain), ohms, strict=True))
        )
        return solve(rig(element("E1", "L", "m", 2300) + element("E2", "L", "N") + wires)).node["m"]

    assert word("PE", 1.0).condition == "earthed"
    assert word("PE", 0.5, 0.5).condition == "earthed"
    assert word("N", 0.5, 0.5).condition == "neutral"
    assert word("PE", 1.01).condition == "between"
    assert word("N", 0.6, 0.5).condition == "between"
    assert not word("PE", 1.01).can_shock  # 0.1 V: no shock, and no bond either


def test_half_waves_are_judged_by_their_peak_too():
    # Behind a diode, 12.5 of 112.5 ohm: 230/sqrt2/9 = 18.1 V r.m.s. and 325.3/9 = 36.1 V peak.
    # 15.1 of 115.1 ohm: 21.3 V r.m.s., below 30 V, and 42.7 V peak, above 42.4 V.
    def at(ohms):
        parts = diode("D1", "L", "h") + element("E1", "h", "m") + element("E2", "m", "N", ohms)
        return solve(rig(parts)).node["m"]

    assert at(12.5).potential_V == pytest.approx(18.07, abs=0.01)
    assert not at(12.5).can_shock
    assert at(15.1).potential_V == pytest.approx(21.3, abs=0.1)
    assert at(15.1).can_shock


def test_in_a_short_circuit_what_is_joined_to_the_line_counts_as_live():
    urn = load_appliance("tea-urn")
    shorted = solve(urn, {"S1": "on"}, fault="E1 shorted")
    assert shorted.short is not None
    assert live_words(urn, shorted.live) == "E1 at L; E2 at boost; S1 at both ends"
    elements = element("E1", "a", "b") + element("E2", "b", "N")
    now = solve(rig(contact("S1", ("L", "a"), ("a", "N")) + elements), {"S1": "on"})
    assert [now.node[name].condition for name in "LNab"] == ["live", "neutral", "live", "live"]


@pytest.mark.parametrize("volts", [12, 24])
def test_on_a_supply_below_the_limit_words_still_follow_the_potential(volts):
    def words(ahead, heater, behind):
        wires = link("W1", "L", "a", ahead) + link("W2", "b", "N", behind)
        node = solve(rig(wires + element("E1", "a", "b", heater), volts)).node
        return node["a"].condition, node["b"].condition

    assert words(0.1, 1, 0.9) == ("live", "neutral")  # 0.9 of 2 ohm: less than half of the supply
    assert words(0.4, 0.1, 0.8) == ("live", "between")  # 0.8 of 1.3 ohm: more than half


@pytest.mark.parametrize("step", [1, -1])
def test_every_point_of_a_long_cut_chain_is_reached_from_its_own_side(step):
    nodes = ["L", *(f"n{number}" for number in range(1, 200)), "N"]
    parts = [element(f"E{n}", *ends) for n, ends in enumerate(nx.utils.pairwise(nodes))]
    now = solve(rig("".join(parts[::step])), fault="E120 open")  # between n120 and n121
    words = [now.node[node].condition for node in nodes]
    assert words == ["live"] * 121 + ["neutral"] * 80


def test_places_are_told_in_few_words():
    def words(name, setting=None, **options):
        now = solve(load_appliance(name), setting, **options)
        return live_words(now.appliance, now.live)

    assert words("tea-urn") == "E1 and S1 at L"
    assert words("plate-warmer") == "only the switch, S1 at L"
    assert words("tea-urn", {"S1": "on"}) == "E1 at L; E2 at boost; S1 at both ends"
    assert words("curtain-steamer") == "F1, E1, P1, H1 and H2 at both ends; S1 at return"
    assert words("curtain-steamer", reversed_plug=True) == "only the switch, S1 at N"
    assert words("towel-rail", {"S1": "low"}) == (
        "S1 at L, a and middle; E1 at both ends; E2 at middle"
    )
    assert words("hot-trolley", {"S1": "on", "S2": "low"}) == (
        "S1 at L and fed; S2 at lower, a and middle; F1, T1, T2 and E2 at both ends; "
        "E1 at upper; E3 at middle; H1 at fed"
    )
    assert words("hot-trolley", reversed_plug=True) == "only the switch, S1 at N"
    assert live_words(load_appliance("tea-urn"), ()) == "no part is joined to the line"


@given(appliances(diodes=3, links=5, earth=True))
def test_word_potential_bond_and_place_agree_in_any_network(appliance):
    for reversed_plug in (False, True):
        line, neutral = ("N", "L") if reversed_plug else ("L", "N")
        for now in solve_all(appliance, reversed_plug=reversed_plug):
            bonded, reached = connections(now, (line, neutral, "PE"))
            for name, reading in now.node.items():
                to = bonded[name], reached[name]
                agrees(reading, line, neutral, *to, now.short is not None, appliance.diodes)
            assert now.live == tuple(
                Terminal(part.name, number if len(part.rungs) > 1 else 0, node)
                for part in appliance.parts
                for number, rung in enumerate(part.rungs, 1)
                for node in rung
                if now.node[node].can_shock
            )


def agrees(reading, line, neutral, bonded, reached, shorted, diodes):
    """The word of a node against its potential and its connections, found in another way."""
    volts, word = reading.potential_V, reading.condition
    if line not in reached:
        assert not reading.can_shock
        held = "neutral" if neutral in reached else "floating"
        assert word == ("earthed" if bonded == {"PE"} else held)
    elif volts is not None and volts > SHOCK_V:
        assert reading.can_shock
        assert word in ("live", "between")
    elif volts is not None:
        assert word != "live"
        assert not reading.can_shock or diodes  # half waves that peak above 42.4 V
    elif shorted:
        assert reading.can_shock == (word == "live")
        assert word == "live" or bonded
    else:
        assert reading.can_shock  # behind a diode that blocks
    if word == "live":
        at_line = volts is not None and volts == pytest.approx(230)
        assert bonded == {line} or reached == {line} or at_line or shorted
    elif word == "neutral":
        at_zero = volts is not None and volts == pytest.approx(0, abs=1e-6)
        assert neutral in bonded or line not in reached or at_zero
    elif word == "earthed":
        assert bonded == {"PE"}
    elif word == "between":
        assert line in reached
        assert len(reached) > 1
    else:
        assert volts is None


def connections(now, terminals):
    """For each node the supply terminals that it is bonded to, and those that it is connected to at
    all. No connection runs on through another terminal."""
    graph = nx.MultiGraph()
    graph.add_nodes_from(now.node)
    for part in now.appliance.parts:
        for number, rung in enumerate(part.rungs):
            if not part.contacts:
                ohm = part.resistance_ohm if isinstance(part, Link) else None
                graph.add_edge(*rung, ohm=ohm)
            elif now.setting[part.name] in part.contacts[number].closed_in:
                graph.add_edge(*rung, ohm=0.0)
    bonded, reached = ({name: set() for name in now.node} for _ in range(2))
    for terminal in set(terminals) & set(now.node):
        others = set(terminals) - {terminal}
        alone = graph.subgraph(set(graph) - others)
        for name in nx.node_connected_component(alone, terminal):
            reached[name].add(terminal)
        for name, ohm in nx.single_source_dijkstra_path_length(
            alone, terminal, None, least
        ).items():
            if ohm <= MOST_BOND_OHM:
                bonded[name].add(terminal)
    return bonded, reached


def least(_, __, edges):
    """Ohms of the best wire between two nodes; None where no wire joins them."""
    return min((edge["ohm"] for edge in edges.values() if edge["ohm"] is not None), default=None)
