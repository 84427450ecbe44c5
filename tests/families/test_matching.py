"""Changes put in are found, none missed and none invented, whatever names and order say."""

import random

import networkx as nx
import pytest

from lessonlib import appliance_names, load_appliance
from lessonlib.appliance.parts import TERMINALS, Appliance, Switch
from lessonlib.families.changes import wiring_changes
from lessonlib.families.matching import Match, match
from lessonlib.families.wiring import paths
from tests.families.put_in import changed, disguised, drawn, same_wiring


@pytest.fixture(scope="module")
def seeds(pytestconfig: pytest.Config) -> range:
    return range(1000 if pytestconfig.getoption("--wide") else 60)


def graph(appliance: Appliance) -> nx.Graph:
    """Points, parts, contacts and positions, each with what tells it from others: an independent
    account of what a wiring is."""
    made = nx.Graph()
    for node in (*appliance.nodes, *TERMINALS):
        made.add_node(("point", node), what=node if node in TERMINALS else "point")
    for part in appliance.parts:
        marks = [getattr(part, key, None) for key in ("resistance_ohm", "opens_at_C")]
        made.add_node(part.name, what=f"{part.kind} {marks}")
        if isinstance(part, Switch):
            for position in part.positions:
                made.add_node((part.name, position), what="position")
                made.add_edge(part.name, (part.name, position))
        for number, ends in enumerate(part.rungs):
            path = (part.name, number)
            made.add_node(path, what="path")
            made.add_edge(part.name, path)
            for side, node in zip(("anode", "cathode"), ends, strict=True):
                made.add_node((*path, side), what=side if part.kind == "diode" else "end")
                made.add_edges_from([(path, (*path, side)), ((*path, side), ("point", node))])
            for position in part.contacts[number].closed_in if part.kind == "switch" else ():
                made.add_edge(path, (part.name, position))
    return made


def is_isomorphic(one: Appliance, two: Appliance) -> bool:
    alike = nx.algorithms.isomorphism.categorical_node_match("what", "")
    return nx.is_isomorphic(graph(one), graph(two), node_match=alike)


def left_over(appliance: Appliance, found: Match, side: int) -> nx.MultiGraph:
    """What is the same on one side, with the paths in series that are not there on the other side
    made one point."""
    same = [pair[side] for pair in found.same]
    other = [pair[side] for pair in (*found.replaced, *found.moved)]
    other += found.removed if side == 0 else found.added
    every = [(path.part, path.contact) for path in paths(appliance)]
    assert sorted((path.part, path.contact) for path in same + other) == sorted(every)
    joined = nx.Graph()
    joined.add_nodes_from((*appliance.nodes, *TERMINALS))
    joined.add_edges_from(path.ends for path in other if path in found.in_series)
    root = {
        node: min(group, key=lambda n: (n not in TERMINALS, n))
        for group in nx.connected_components(joined)
        for node in group
    }
    made = nx.MultiGraph()
    for path in same:
        first, second = (root[node] for node in path.ends)
        made.add_edge(first, second, what=path.sign)
    for node in made:
        made.nodes[node]["what"] = node if node in TERMINALS else "point"
    return made


def test_changes_put_in_are_found_and_none_is_invented(seeds):
    for seed in seeds:
        rng = random.Random(seed)
        first = drawn(rng)
        count = rng.randint(0, 3)
        second = disguised(changed(first, rng, count), rng)
        found = match(first, second)
        told = wiring_changes(first, second, found)
        assert len(told) <= count, (seed, told)
        assert bool(told) != same_wiring(first, second), seed
        # none is missed: what is said to be the same is the same, by another program's account
        assert nx.is_isomorphic(
            left_over(first, found, 0),
            left_over(second, found, 1),
            node_match=nx.algorithms.isomorphism.categorical_node_match("what", ""),
            edge_match=nx.algorithms.isomorphism.categorical_multiedge_match("what", ""),
        ), seed


def test_no_change_is_seen_exactly_where_the_graphs_are_isomorphic(seeds):
    seen = set()
    for seed in seeds:
        rng = random.Random(seed)
        first = drawn(rng)
        second = disguised(changed(first, rng, rng.randint(0, 1)), rng)
        expected = is_isomorphic(first, second)
        assert same_wiring(first, second) == expected, seed
        assert (not wiring_changes(first, second)) == expected, seed
        seen.add(expected)
    assert seen == {True, False}


@pytest.mark.parametrize("name", appliance_names())
def test_a_renamed_reordered_and_turned_file_shows_no_change(name):
    appliance = load_appliance(name)
    other = disguised(appliance, random.Random(name))
    assert same_wiring(appliance, other)
    assert wiring_changes(appliance, other) == []
