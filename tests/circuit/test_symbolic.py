"""Sympy derives series, parallel and half-wave results from the same appliance files."""

import pytest
import sympy

from lessonlib import load_appliance, solve
from lessonlib.appliance.parts import Appliance, Resistive
from tests.trade import HALF_WAVE


def node_equations(appliance: Appliance, setting: dict[str, str], line):
    """Exact total power of a network without diodes: current balance at every node, by sympy."""
    potential = {node: sympy.Symbol(f"e_{node}") for node in appliance.nodes}
    joins, resistors = [], []
    for part in appliance.parts:
        if part.contacts:
            position = setting.get(part.name, part.start)
            joins += [c.between for c in part.contacts if position in c.closed_in]
        else:
            assert isinstance(part, Resistive)
            # The marked values, exactly: R = V^2 / P.
            volts, watts = sympy.Rational(str(part.voltage_V)), sympy.Rational(str(part.power_W))
            resistors.append((*part.between, volts**2 / watts))
    through = [sympy.Symbol(f"j_{number}") for number in range(len(joins))]
    balance = dict.fromkeys(appliance.nodes, sympy.Integer(0))
    for (first, second), current in zip(joins, through, strict=True):
        balance[first] += current
        balance[second] -= current
    for first, second, ohms in resistors:
        current = (potential[first] - potential[second]) / ohms
        balance[first] += current
        balance[second] -= current
    equations = [potential["L"] - line, potential["N"]]
    equations += [potential[a] - potential[b] for a, b in joins]
    equations += [balance[node] for node in appliance.nodes if node not in ("L", "N")]
    found = sympy.solve(equations, [*potential.values(), *through], dict=True)[0]
    heat = sum((potential[a] - potential[b]) ** 2 / ohms for a, b, ohms in resistors)
    return sympy.simplify(heat.subs(found))


@pytest.mark.parametrize(
    ("name", "setting", "words"),
    [
        ("towel-rail", {"S1": "low"}, "two equal elements in series: half of one"),
        ("towel-rail", {"S1": "medium"}, "one alone"),
        ("towel-rail", {"S1": "high"}, "both in parallel: twice one"),
        ("tea-urn", {"S1": "on"}, "two different ones in parallel: their sum"),
        ("soup-kettle", {"S1": "on", "S2": "boil"}, "one element and a lamp in parallel"),
        ("garment-steamer", {"S1": "on"}, "all contacts closed"),
    ],
)
def test_series_and_parallel_agree_with_exact_algebra(name, setting, words):
    appliance = load_appliance(name)
    exact = node_equations(appliance, setting, sympy.Rational(str(appliance.supply.voltage_V)))
    # Double precision against exact fractions: 1e-12 is rounding only.
    assert solve(appliance, setting).power_W == pytest.approx(float(exact), rel=1e-12), words


def test_series_is_a_quarter_of_parallel_whatever_the_voltage():
    line = sympy.Symbol("V", positive=True)
    rail = load_appliance("towel-rail")
    ratio = node_equations(rail, {"S1": "low"}, line) / node_equations(rail, {"S1": "high"}, line)
    assert sympy.simplify(ratio) == sympy.Rational(1, 4)
    low, high = (solve(rail, {"S1": position}).power_W for position in ("low", "high"))
    assert low / high == pytest.approx(0.25, rel=1e-12)


def test_half_wave_power_voltage_and_mean_follow_from_their_definitions():
    angle, peak, ohms = sympy.symbols("angle V_p R", positive=True)
    wave = peak * sympy.sin(angle)
    cycle = 2 * sympy.pi
    power = sympy.integrate(wave**2 / ohms, (angle, 0, sympy.pi)) / cycle
    full = sympy.integrate(wave**2 / ohms, (angle, 0, cycle)) / cycle
    assert sympy.simplify(power / full) == sympy.Rational(1, 2)
    mean = sympy.integrate(wave, (angle, 0, sympy.pi)) / cycle
    rms = sympy.sqrt(sympy.integrate(wave**2, (angle, 0, sympy.pi)) / cycle)

    reading = solve(HALF_WAVE, {"S1": "on", "S2": "half"}).part["E1"]
    values = {peak: 230 * sympy.sqrt(2), ohms: sympy.Rational(529, 10)}
    assert reading.power_W == pytest.approx(float(power.subs(values)), rel=1e-12)
    assert reading.voltage_V == pytest.approx(float(rms.subs(values)), rel=1e-12)
    assert reading.voltage_mean_V == pytest.approx(float(mean.subs(values)), rel=1e-12)


def test_a_forward_drop_agrees_with_the_integral_over_the_conducting_angle():
    # Conducts while peak sin(angle) > drop, and the element then gets what is left.
    from lessonlib import read_appliance

    rig = read_appliance(
        """
title = "Rig"
[supply]
voltage_V = 24
[[diode]]
name = "D1"
between = ["L", "a"]
forward_drop_V = 0.9
[[element]]
name = "E1"
between = ["a", "N"]
resistance_ohm = 10
"""
    )
    angle = sympy.Symbol("angle")
    peak, drop = 24 * sympy.sqrt(2), sympy.Rational(9, 10)
    on = sympy.asin(drop / peak)
    current = (peak * sympy.sin(angle) - drop) / 10
    element = sympy.integrate(current**2 * 10, (angle, on, sympy.pi - on)) / (2 * sympy.pi)
    diode = sympy.integrate(current * drop, (angle, on, sympy.pi - on)) / (2 * sympy.pi)
    solution = solve(rig)
    assert solution.part["E1"].power_W == pytest.approx(float(element), rel=1e-12)
    assert solution.part["D1"].power_W == pytest.approx(float(diode), rel=1e-12)
