"""Which nodes are joined, which are only connected, and what shorts the supply.

Labels are arrays (nodes, cases): nodes with the same label belong together, and the label is the
lowest node number of the group. Supply terminals have the lowest numbers, so a group that holds
a terminal is labelled by it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from heapq import heappop, heappush

import numpy as np

from lessonlib.circuit.network import Cases, Flags, Floats, Labels, Network

_NONE = np.int16(-1)
# What a part on the way counts beside the drops, so that of equal paths the shortest is taken.
_ONE_PART_V = 1e-6


def joined(network: Network, links: Flags, labels: Labels | None = None) -> Labels:
    """Labels (nodes, cases) after uniting the ends of every branch with links[case, branch]."""
    cases = len(links)
    if labels is None:
        labels = np.repeat(np.arange(len(network.nodes), dtype=np.int16)[:, None], cases, axis=1)
    used = links.any(axis=0)
    for branch in np.flatnonzero(used).tolist():
        labels = _united(
            labels, labels[network.first[branch]], labels[network.second[branch]], links[:, branch]
        )
    return labels


def _united(labels: Labels, first: Labels, second: Labels, where: Flags) -> Labels:
    low = np.minimum(first, second)
    high = np.where(where, np.maximum(first, second), _NONE)
    return np.where(labels == high, low, labels)


def tied(network: Network, cases: Cases, conducting: Flags) -> tuple[Labels, Floats, Flags]:
    """Groups of nodes tied by ideal joins and conducting diodes.

    Returns labels, offset_V (nodes, cases), potential above the group's labelling node, and the
    flags (cases, branches) of conducting diodes that contradict the joins around them.
    """
    labels = joined(network, cases.join)
    offset = np.zeros(labels.shape)
    contradicts = np.zeros(conducting.shape, dtype=bool)
    for branch in network.diodes:
        on = conducting[:, branch]
        if not on.any():
            continue
        a, b = network.first[branch], network.second[branch]
        la, lb = labels[a], labels[b]
        # What e_a - e_b would have to change by to equal the drop.
        gap = network.drop_V[branch] - (offset[a] - offset[b])
        same = la == lb
        both_terminals = ~same & (la < network.terminals) & (lb < network.terminals)
        contradicts[:, branch] = on & (
            (same & (np.abs(gap) > 1e-9 * (1 + network.drop_V[branch]))) | both_terminals
        )
        unite = on & ~same & ~both_terminals
        # The higher label gives way: shift its group so that the diode has exactly its drop.
        first_moves = la > lb
        moved = np.where(unite, np.where(first_moves, la, lb), _NONE)
        shift = np.where(first_moves, gap, -gap)
        offset = offset + np.where(labels == moved, shift, 0.0)
        labels = np.where(labels == moved, np.minimum(la, lb), labels)
    return labels, offset, contradicts


def within(network: Network, steps: Floats, most: float) -> Labels:
    """For each node and case, the supply terminals to which a path of `steps` (cases, branches)
    leads whose sum is at most `most` (bit mask): bit t stands for terminal t.

    Steps are inf where there is no way. Paths end at a terminal: it counts as itself alone.
    """
    near = least_sums(network, range(network.terminals), steps, steps) <= most
    near[: network.terminals] = np.eye(network.terminals, dtype=bool)[:, :, None]
    bits = np.array([1 << terminal for terminal in range(network.terminals)], dtype=np.int16)
    return np.asarray((near * bits[:, None]).sum(axis=1, dtype=np.int16))


def shorts(network: Network, cases: Cases, hot: int, peak_V: float) -> Flags:
    """Cases in which joins, or joins and diodes, connect the supply's line to another terminal."""
    labels = joined(network, cases.join)
    terminals = network.terminals
    short = (labels[:terminals] != np.arange(terminals)[:, None]).any(axis=0)
    if network.diodes and cases.diode.any():
        others = [terminal for terminal in range(terminals) if terminal != hot]
        back = np.where(cases.join, 0.0, np.inf)
        there = np.where(cases.diode & ~cases.join, network.drop_V, back)
        for steps in ((there, back), (back, there)):  # the line above earth, and below it
            drop = least_sums(network, [hot], *steps)[others, 0]
            short = short | (drop < peak_V).any(axis=0)
    return np.asarray(short, dtype=bool)


def least_sums(network: Network, starts: Sequence[int], there: Floats, back: Floats) -> Floats:
    """Least sum of steps from each terminal in `starts` to each node (nodes, starts, cases); inf
    without a path.

    `there` are the steps (cases, branches) from a branch's first node to its second, `back` those
    the other way, inf where there is none. Paths end at another terminal.
    """
    least = np.full((len(network.nodes), len(starts), len(there)), np.inf)
    least[starts, range(len(starts))] = 0.0
    ways = [
        (a, b, step[:, branch].copy())
        for branch in np.flatnonzero(np.isfinite(np.minimum(there, back)).any(axis=0)).tolist()
        for a, b, step in (
            (network.first[branch], network.second[branch], there),
            (network.second[branch], network.first[branch], back),
        )
    ]
    inside = [way for way in ways if way[1] >= network.terminals]
    for _ in network.nodes:
        before = least.copy()
        for a, b, step in inside:
            least[b] = np.minimum(least[b], least[a] + step)
        if np.array_equal(before, least):
            break
        inside.reverse()  # a long chain takes two rounds then, from whichever end it is reached
    for a, b, step in ways:
        if b < network.terminals:
            least[b] = np.minimum(least[b], least[a] + step)
    return least


@dataclass(frozen=True)
class Short:
    """A path of closed contacts and conducting parts from the supply's line to its return."""

    nodes: tuple[str, ...]
    parts: tuple[str, ...]

    def __str__(self) -> str:
        steps = [self.nodes[0]]
        for part, node in zip(self.parts, self.nodes[1:], strict=True):
            steps += [part, node]
        return " – ".join(steps)


def short_path(network: Network, cases: Cases, case: int, hot: int) -> Short:
    """The shorting path of least drop, and then of the fewest parts, in one case that `shorts` has
    flagged; one from the line comes before one between neutral and earth."""
    join = cases.join[case]
    branches = np.flatnonzero(join | cases.diode[case]).tolist()
    # Dijkstra's algorithm from every terminal, once with the current and once against it.
    queue: list[tuple[bool, float, bool, list[int], list[int]]] = [
        (start != hot, 0.0, against, [start], [])
        for start in range(network.terminals)
        for against in (False, True)
    ]
    seen = set()
    while True:
        late, length, against, nodes, steps = heappop(queue)
        place = against, nodes[0], nodes[-1]
        if place in seen:
            continue
        if steps and nodes[-1] < network.terminals:
            break
        seen.add(place)
        for index in branches:
            ends = int(network.first[index]), int(network.second[index])
            for way, (one, other) in enumerate((ends, ends[::-1])):
                if one == nodes[-1] and (join[index] or way == against):
                    drop_V = 0.0 if join[index] else network.drop_V[index]
                    on = ([*nodes, other], [*steps, index])
                    heappush(queue, (late, length + drop_V + _ONE_PART_V, against, *on))
    named = set(network.appliance.nodes)
    told, passed = [network.nodes[nodes[0]]], []
    for index, node in zip(steps, nodes[1:], strict=True):
        part = network.parts[index]
        name = network.nodes[node]
        if part is not None and index not in network.slots.values():
            passed.append(part.name)
            told.append(name)
        elif len(told) > 1 and name in named:
            told[-1] = name  # the wire of an opened appliance is no part
    return Short(tuple(told), tuple(passed))
