"""What a node is: live, neutral, earthed, between, or floating."""

from __future__ import annotations

from typing import Literal, cast

import numpy as np

from lessonlib.appliance.parts import Link
from lessonlib.electric.islands import reach
from lessonlib.electric.network import Cases, Indexes, Network
from lessonlib.electric.totals import Totals

Condition = Literal["live", "neutral", "earthed", "between", "floating"]
CONDITIONS: tuple[Condition, ...] = ("live", "neutral", "earthed", "between", "floating")


def conditions(network: Network, cases: Cases, totals: Totals, hot: int) -> Indexes:
    """Index into CONDITIONS for every case and node.

    What a node is connected to decides. Diodes count either way: a node behind a diode can still
    give a shock. A node connected to the line and to the return is live (or neutral) when wires
    and closed contacts alone join it there, or when it is at that potential all the time.
    """
    conducts = cases.conductance_S > 0
    is_link = np.array(
        [isinstance(network.appliance.parts[b.part], Link) for b in network.branches], dtype=bool
    )
    live_bit, neutral_bit = 1 << hot, 1 << (1 - hot)
    reached = reach(network, cases.join | cases.diode | conducts).T
    wired = reach(network, cases.join | (conducts & is_link)).T
    live, neutral, earthed, between, floating = range(len(CONDITIONS))
    only_return = np.where(reached & neutral_bit, neutral, earthed)
    both = np.select(
        [
            wired == live_bit,
            wired == neutral_bit,
            wired == 1 << 2,
            totals.always_live,
            totals.always_zero,
        ],
        [live, neutral, earthed, live, neutral],
        between,
    )
    found = np.select(
        [reached == 0, reached == live_bit, reached & live_bit == 0],
        [np.full_like(both, floating), np.full_like(both, live), only_return],
        both,
    )
    return cast(Indexes, found)
