"""The search of wirings, against every wiring tried without leaving out a symmetry."""

from __future__ import annotations

from itertools import combinations

import pytest

from lessonlib.rewiring.network import LINE, NEUTRAL, Drawn, graphs
from lessonlib.rewiring.search import Sought
from lessonlib.rewiring.wiring import in_use
from tests.rewiring.brute import Brute, key

CASES = [
    # watts, diode, wanted, plug goes in either way, fewest contacts
    ([500, 1000], False, [0, 500, 1000, 1500], False, 2),
    ([500, 1000], False, [0, 500, 1000, 1500], True, 3),
    ([500, 1000], False, [333.3, 1500], False, 3),
    ([800, 800], False, [0, 400], False, 1),
    ([800, 800], False, [0, 400, 1600], False, 3),
    ([800, 800], False, [0, 400, 800], True, 3),
    ([800], True, [0, 400, 800], False, 2),
    ([800], True, [400, 800], False, 1),
]


@pytest.mark.parametrize(("watts", "diode", "wanted", "reversible", "fewest"), CASES)
def test_what_is_found_is_what_trying_everything_finds(
    watts: list[float], diode: bool, wanted: list[float], reversible: bool, fewest: int
) -> None:
    ranges = tuple((0.95 * each, 1.05 * each) for each in wanted if each)
    apart = ((LINE, NEUTRAL) if reversible else (LINE,)) if 0 in wanted else ()
    equal = [tuple(n for n, w in enumerate(watts) if w == each) for each in dict.fromkeys(watts)]
    alike = (*equal, (len(watts),)) if diode else tuple(equal)
    drawn = Drawn([230**2 / each for each in watts], 230, diode)
    sought = Sought(drawn, ranges, apart, alike)
    brute = Brute(watts, diode, wanted, reversible)
    for contacts in range(1, fewest + 1):
        keys = {
            key(each.graph, each.contacts, watts)
            for graph in sought.graphs
            for each in sought.wirings(graph, contacts, set())
            if each is not None and in_use(each, drawn)
        }
        assert keys == brute.fits(contacts)
        assert bool(keys) == (contacts == fewest)


def test_power_is_that_of_simple_circuits() -> None:
    drawn = Drawn([100.0, 50.0], 230.0, diode=True)
    apart = (5, 6)
    assert drawn.power_W(((0, 1), apart, (7, 8))) == pytest.approx(529)
    assert drawn.power_W(((0, 2), (2, 1), apart)) == pytest.approx(230**2 / 150)
    assert drawn.power_W(((0, 1), (1, 0), apart)) == pytest.approx(529 + 1058)
    assert drawn.power_W(((0, 2), apart, (2, 1))) == pytest.approx(529 / 2)
    assert drawn.power_W(((0, 1), (0, 1), (0, 1))) is None
    # a diode across the second element: over half of the cycle that takes nothing
    assert drawn.power_W(((0, 2), (2, 1), (1, 2))) == pytest.approx((529 + 230**2 / 150) / 2)


def test_graphs_are_counted_once_each() -> None:
    # one part: across the mains, at L alone, at N alone, at neither
    assert len(graphs(1, [(0,)])) == 4
    assert len(graphs(1, [(0,)], apart=(LINE, NEUTRAL))) == 1
    # two unequal parts joined to nothing: apart, in a row, side by side
    assert len(graphs(2, [(0,), (1,)], apart=(LINE, NEUTRAL))) == 3
    assert len(graphs(2, [(0, 1)])) < len(graphs(2, [(0,), (1,)]))


def test_the_count_of_ways_is_not_below_those_tried() -> None:
    drawn = Drawn([100.0, 50.0], 230.0, diode=False)
    sought = Sought(drawn, ((1e6, 1e6),), (LINE, NEUTRAL), ((0,), (1,)))
    for graph in sought.graphs:
        size = max(map(max, graph)) + 1
        ends = [node for pair in graph for node in pair]
        loose = {node for node in range(size) if ends.count(node) < 2}
        pairs = list(combinations(range(size), 2))
        tried = sum(loose <= {*one, *other} for one, other in combinations(pairs, 2))
        assert sought.count_in(graph, 2) == tried
