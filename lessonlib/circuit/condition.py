"""What a node is: live, neutral, earthed, between, or floating; and whether it can shock."""

from __future__ import annotations

import math
from typing import Literal, cast

import numpy as np

from lessonlib.appliance.parts import Link
from lessonlib.circuit.islands import within
from lessonlib.circuit.network import Cases, Flags, Indexes, Network
from lessonlib.circuit.situation import Situation
from lessonlib.circuit.totals import Totals

Condition = Literal["live", "neutral", "earthed", "between", "floating"]
CONDITIONS: tuple[Condition, ...] = ("live", "neutral", "earthed", "between", "floating")

SHOCK_V = 30.0
"""Potential to earth, V r.m.s., above which a node can give a shock; for a wave that is not a sine,
root 2 times this at its peak (42.4 V). IEC 60335-1 cl. 8.1.4, from memory."""

MOST_BOND_OHM = 1.0
"""Most resistance of a path of links that still counts as a bond: the highest limit for a
protective conductor in VDE 0701-0702:2008 cl. 5.3, as quoted in a tester's manual."""


def conditions(
    network: Network, cases: Cases, totals: Totals, short: Flags, at: Situation
) -> tuple[Indexes, Flags]:
    """Index into CONDITIONS for every case and node, and whether the node can give a shock, with
    the plug and supply of `at`.

    - live      bonded to the line; or connected to it alone, so that no current flows; or at the
                line's potential all the time
    - neutral   bonded to neutral; or connected to it and not to the line; or at its potential all
                the time. It is not isolated: the word does not mean safe
    - earthed   bonded to earth, and not to neutral
    - floating  connected neither to the line nor to neutral, and not bonded to earth. Resistance to
                earth alone does not hold a node: a small leak lifts it, so it gets no "0 V"
    - between   all others: connected to the line and to neutral or earth

    A bond is a path of closed contacts and links of at most `MOST_BOND_OHM`. Its word is given only
    where the potential fits: neutral and earthed up to `SHOCK_V` (or half of the supply where that
    is less), live above. Diodes connect either way. Above `SHOCK_V` a node can shock whatever its
    word; so can one behind a diode that blocks, and whatever is live. In a short circuit there are
    no potentials: connections decide, and a node in doubt is live.
    """
    joins_ohm = np.where(cases.join, 0.0, np.inf)
    connects = cases.diode | (cases.conductance_S > 0)
    reached = within(network, np.where(connects, 0.0, joins_ohm), 0.0).T
    links = np.array([isinstance(part, Link) for part in network.parts]) & (cases.conductance_S > 0)
    ohm = 1 / np.where(links, cases.conductance_S, 1.0)
    bonded = within(network, np.where(links, ohm, joins_ohm), MOST_BOND_OHM).T
    line, neutral_bit, earth_bit = 1 << at.hot, 1 << (1 - at.hot), 1 << 2
    from_line = reached & line > 0
    from_neutral = reached & neutral_bit > 0
    near = ~_above(totals, min(SHOCK_V, at.supply_voltage_V / 2))

    live, neutral, earthed, between, floating = range(len(CONDITIONS))
    shorted = short[:, None]
    rules = [
        (live, reached == line),
        (live, (bonded == line) & (shorted | ~near)),
        (earthed, (bonded == earth_bit) & near),
        (neutral, ((bonded == neutral_bit) | (bonded == neutral_bit | earth_bit)) & near),
        (neutral, ~from_line & from_neutral),
        (floating, ~from_line),
        (live, shorted | totals.always_live),
        (neutral, from_neutral & totals.always_zero),
    ]
    found = np.select([where for _, where in rules], [word for word, _ in rules], between)
    high = _above(totals, SHOCK_V) | ~totals.fixed
    return cast(Indexes, found), (found == live) | (from_line & high)


def _above(totals: Totals, limit_V: float) -> Flags:
    """Where a potential exceeds `limit_V` r.m.s., or root 2 times that at its peak."""
    peak_V = math.sqrt(2) * limit_V
    return (totals.potential2 > limit_V**2) | (totals.potential_peak > peak_V)
