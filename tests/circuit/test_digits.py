"""No ratio of accepted values costs digits: the solver against exact fractions."""

import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lessonlib import solve, solve_all
from lessonlib.appliance.parts import (
    Appliance,
    Contact,
    Diode,
    Element,
    Lamp,
    Link,
    Supply,
    Switch,
)
from lessonlib.circuit import cycle
from lessonlib.circuit.solution import Solution
from lessonlib.errors import SolverError
from tests.circuit.exact import exact

# A result is some tens of roundings of 1e-16, none of which another may blow up.
DIGITS = 1e-12
# With drops, a piece of the cycle narrower than 1e-9 of the peak is passed over, and what is left
# of two drops of up to 10 V that oppose each other is known to some roundings of 10 V.
DIGITS_WITH_DROPS, LEFT_OF_DROPS_V = 1e-8, 1e-14
# Where exactly nothing flows, this much of the largest current of the case is rounding.
NOTHING = 1e-15


def elements(*ends_and_ohms: tuple[str, str, float]) -> Appliance:
    parts = (
        Element(f"R{number}", (first, second), resistance_ohm=ohms)
        for number, (first, second, ohms) in enumerate(ends_and_ohms, 1)
    )
    return Appliance("rig", "", Supply(230.0), tuple(parts))


def assert_exact(solution: Solution, digits: float = DIGITS, left_V: float = 0.0) -> None:
    """Every value agrees with exact fractions to `digits`, or to what `left_V` would make of it."""
    reference = exact(solution)
    largest_A = max(reference.current_A.values(), default=0.0)
    largest_V = solution.supply_voltage_V

    def same(what: object, found: float | None, wanted: float, largest: float, left: float) -> None:
        assert found is not None, what
        allowed = max(digits * wanted, left, NOTHING * largest if wanted == 0 else 0.0)
        assert abs(found - wanted) <= allowed, f"{what}: {found!r} for {wanted!r}"

    for (name, number), amps in reference.current_A.items():
        reading = solution.part[name].contacts[number - 1]
        if (name, number) not in reference.power_W:
            same((name, number), reading.current_A, amps, largest_A, 0.0)
            continue
        ohms = solution.appliance.part(name).resistance_ohm
        volts, watts = reference.voltage_V[name, number], reference.power_W[name, number]
        left_A = left_V / ohms
        same((name, "A"), reading.current_A, amps, largest_A, left_A)
        same((name, "W"), reading.power_W, watts, largest_A * largest_V, 2 * left_V * amps)
        if reading.voltage_V is not None:  # beside a floating node
            same((name, "V"), reading.voltage_V, volts, largest_V, left_V)
    for node, volts in reference.potential_V.items():
        point = solution.node[node]
        if point.condition != "floating":  # tied to earth by a resistance alone, and told so
            same(node, point.potential_V, volts, largest_V, left_V)


def test_a_microhm_between_two_gigohms_leaves_115_V_in_the_middle():
    chain = elements(("L", "m1", 1e9), ("m1", "m2", 1e-6), ("m2", "N", 1e9))
    solution = solve(chain)
    assert solution.node["m1"].potential_V == pytest.approx(115, rel=DIGITS)
    assert solution.node["m2"].potential_V == pytest.approx(115, rel=DIGITS)
    assert solution.power_W == pytest.approx(230**2 / (2e9 + 1e-6), rel=DIGITS)
    assert solution.part["R2"].voltage_V == pytest.approx(115e-15, rel=DIGITS)  # 1e-6 of 1e9 ohm
    assert_exact(solution)


def as_a_matrix_with_subtractions_had_it(found, network, cases):
    """104 V in the middle of two equal halves."""
    found.potential[:, 2:] = 103.98341874526318 / 230
    found.voltage[:] = found.potential[:, network.first] - found.potential[:, network.second]
    found.current[:] = cases.conductance_S[:, :, None] * found.voltage
    found.current[:, 1] = found.current[:, 0]  # both halves cannot fit


def a_thousandth_more(found, *_):
    found.current[:, 0] *= 1.001


def a_potential_that_no_voltage_fits(found, *_):
    found.potential[:, 2] *= 1 + 1e-9


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        (as_a_matrix_with_subtractions_had_it, "do not balance"),
        (a_thousandth_more, "do not balance"),
        (a_potential_that_no_voltage_fits, "do not fit its potentials"),
    ],
)
def test_the_solvers_own_check_refuses_a_wrong_solution(monkeypatch, spoil, words):
    honest = cycle.lines

    def spoilt(network, cases, *more):
        found = honest(network, cases, *more)
        spoil(found, network, cases)
        return found

    monkeypatch.setattr(cycle, "lines", spoilt)
    with pytest.raises(SolverError, match=words):
        solve(elements(("L", "m1", 1e9), ("m1", "m2", 1e-6), ("m2", "N", 1e9)))


def test_a_small_resistance_behind_a_large_one_is_at_the_line_where_nothing_flows():
    parts = (
        Element("E1", ("L", "n1"), resistance_ohm=298.3531889965648),
        Lamp("H1", ("n1", "n2"), resistance_ohm=533101.7881530136),
        Link("W1", ("n2", "n4"), resistance_ohm=0.03047193446018874),
        Element("E2", ("n1", "n3"), resistance_ohm=1501.6),
    )
    solution = solve(Appliance("rig", "", Supply(230.0), parts))
    levels = {name: node.potential_V for name, node in solution.node.items()}
    assert levels == {"L": 230, "N": 0} | dict.fromkeys(
        ("n1", "n2", "n3", "n4"), pytest.approx(230, rel=DIGITS)
    )
    assert [part.current_A for part in solution.part.values()] == [0, 0, 0, 0]


@pytest.mark.parametrize(
    "rig",
    [
        # A branch that takes next to nothing, beside a strong divider: one way, and round a ring.
        (("L", "b", 1e-6), ("b", "N", 1e-6), ("b", "a", 1), ("a", "N", 1e9)),
        (
            ("L", "b", 1e-6),
            ("b", "N", 1e-6),
            ("b", "c", 1),
            ("c", "a", 1),
            ("b", "d", 1),
            ("d", "a", 2),
            ("a", "N", 1e9),
        ),
        # The ladder's far end is at 1e-45 of the line.
        tuple(
            rung
            for k in range(3)
            for rung in ((f"n{k}" if k else "L", f"n{k + 1}", 1e9), (f"n{k + 1}", "N", 1e-6))
        ),
        # A bridge, almost balanced.
        (("L", "a", 1), ("a", "N", 1e9), ("L", "b", 1 + 1e-6), ("b", "N", 1e9), ("a", "b", 1e-6)),
    ],
)
def test_small_currents_beside_large_ones_keep_their_digits(rig):
    # The bridge's own current is a difference of 1e-6 of others: it keeps ten digits of sixteen.
    digits = 1e-9 if ("b", "N", 1e9) in rig else DIGITS
    assert_exact(solve(elements(*rig)), digits)


def test_a_contact_shows_the_small_current_that_goes_on_beside_a_large_one():
    parts = (
        Element("R3", ("b", "N"), resistance_ohm=1e9),
        Switch("S1", ("on", "off"), (Contact(("a", "b"), ("on",)),), "on"),
        Element("R1", ("L", "a"), resistance_ohm=1e-6),
        Element("R2", ("a", "N"), resistance_ohm=1e-6),
    )
    solution = solve(Appliance("rig", "", Supply(230.0), parts))
    assert solution.part["S1"].current_A == pytest.approx(115e-9, rel=DIGITS)
    assert_exact(solution)


@pytest.mark.parametrize("share", [1e-1, 1e-2, 1e-3, 1e-4, 1e-5])
def test_a_diode_that_conducts_for_a_moment_only_keeps_its_digits(share):
    # The supply's peak is so much above the drop. That difference is known to 1e-16 of the peak,
    # and the power goes with its power of 2.5.
    parts = (
        Diode("D1", ("L", "a"), forward_drop_V=10.0),
        Element("E1", ("a", "N"), resistance_ohm=10.0),
    )
    solution = solve(Appliance("rig", "", Supply(10 * (1 + share) / math.sqrt(2)), parts))
    assert_exact(solution, 1e-15 / share + DIGITS)


def extreme(seed: int, diodes: int, drops: tuple[float, ...]) -> Appliance:
    """A random network of up to seven nodes with resistances from 1 microhm to 1 gigohm."""
    rng = random.Random(seed)
    nodes = ["L", "N", *(f"n{number}" for number in range(rng.randint(1, 5)))]
    if rng.random() < 0.3:
        nodes.append("PE")

    def ends() -> tuple[str, str]:
        first, second = rng.sample(nodes, 2)
        return first, second

    resistors = (
        Element(f"E{number}", ends(), resistance_ohm=10 ** rng.uniform(-6, 9))
        for number in range(rng.randint(2, 8))
    )
    valves = (
        Diode(f"D{number}", ends(), forward_drop_V=rng.choice(drops)) for number in range(diodes)
    )
    switches = (
        Switch(
            f"S{number}",
            ("a", "b"),
            tuple(Contact(ends(), (rng.choice("ab"),)) for _ in range(rng.randint(1, 2))),
            "a",
        )
        for number in range(2)
    )
    return Appliance("random network", "", Supply(230.0), (*resistors, *valves, *switches))


seeds = st.integers(0, 2**32)


@pytest.mark.parametrize(
    ("drops", "allowed"),
    [((), ()), ((0.0,), ()), ((0.0, 0.7, 1.1, 10.0), (DIGITS_WITH_DROPS, LEFT_OF_DROPS_V))],
    ids=["no diodes", "ideal diodes", "diodes with drops"],
)
@given(seeds, st.booleans(), st.integers(1, 3))
def test_any_network_agrees_with_exact_fractions(drops, allowed, seed, reverse, diodes):
    rig = extreme(seed, diodes if drops else 0, drops)
    for solution in solve_all(rig, reversed_plug=reverse):
        if solution.short is None:
            assert_exact(solution, *allowed)
