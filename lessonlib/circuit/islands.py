"""Which nodes are joined, which are only connected, and what shorts the supply.

Labels are arrays (nodes, cases): nodes with the same label belong together, and the label is the
lowest node number of the group. Supply terminals have the lowest numbers, so a group that holds
a terminal is labelled by it.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass

import numpy as np

from lessonlib.circuit.network import Cases, Flags, Floats, Labels, Network

_NONE = np.int16(-1)
_Step = tuple[int, int, int, float]  # from node, to node, branch, its drop


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


def reach(network: Network, links: Flags) -> Labels:
    """For each node and case, the supply terminals that `links` connect it to (bit mask).

    Bit t stands for terminal t. Connections end at a terminal: it counts as itself alone.
    """
    masks = np.zeros((len(network.nodes), len(links)), dtype=np.int16)
    for terminal in range(network.terminals):
        masks[terminal] = 1 << terminal
    branches = [
        (network.first[branch], network.second[branch], links[:, branch])
        for branch in range(len(network.branches))
    ]
    for _ in network.nodes:
        before = masks.copy()
        for first, second, on in branches:
            spread = np.where(on, masks[first] | masks[second], 0)
            for end in (first, second):
                if end >= network.terminals:
                    masks[end] |= spread
        if np.array_equal(before, masks):
            break
        branches.reverse()  # a long chain takes two rounds then, from whichever end it is reached
    return masks


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
            drop = least_sums(network, hot, *steps)
            short = short | (drop[others] < peak_V).any(axis=0)
    return np.asarray(short, dtype=bool)


def least_sums(network: Network, start: int, there: Floats, back: Floats) -> Floats:
    """Least sum of steps from terminal `start` to each node (nodes, cases); inf without a path.

    `there` are the steps (cases, branches) from a branch's first node to its second, `back` those
    the other way, inf where there is none. Paths end at another terminal.
    """
    least = np.full((len(network.nodes), len(there)), np.inf)
    least[start] = 0.0
    ways = [
        (a, b, step[:, branch].copy())
        for branch in np.flatnonzero(np.isfinite(np.minimum(there, back)).any(axis=0)).tolist()
        for a, b, step in (
            (network.first[branch], network.second[branch], there),
            (network.second[branch], network.first[branch], back),
        )
        if a == start or a >= network.terminals
    ]
    for _ in network.nodes:
        before = least.copy()
        for a, b, step in ways:
            least[b] = np.minimum(least[b], least[a] + step)
        if np.array_equal(before, least):
            break
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


def short_path(network: Network, cases: Cases, case: int, hot: int, peak_V: float) -> Short:
    """The shorting path with the fewest parts in one case that `shorts` has flagged."""
    ways: list[list[_Step]] = [[], []]
    for index in range(len(network.branches)):
        a, b = int(network.first[index]), int(network.second[index])
        if cases.join[case, index]:  # a shorted diode too: it has no drop
            for way in ways:
                way += [(a, b, index, 0.0), (b, a, index, 0.0)]
        elif cases.diode[case, index]:
            drop_V = float(network.drop_V[index])
            ways[0].append((a, b, index, drop_V))
            ways[1].append((b, a, index, drop_V))
    found = [
        path
        for way in ways
        for start in range(network.terminals)
        if (path := _fewest_steps(network, way, start, peak_V)) is not None
    ]
    # A path from the line comes before one between neutral and earth, then the shorter one.
    nodes, steps = min(found, key=lambda path: (path[0][0] != hot, len(path[0])))
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


def _fewest_steps(
    network: Network, way: list[_Step], start: int, peak_V: float
) -> tuple[list[int], list[int]] | None:
    queue: deque[tuple[list[int], list[int], float]] = deque([([start], [], 0.0)])
    least = {start: 0.0}
    while queue:
        nodes, branches, drop = queue.popleft()
        if len(nodes) > 1 and nodes[-1] < network.terminals:
            return nodes, branches
        for a, b, branch, step_V in way:
            total = drop + step_V
            if a == nodes[-1] and total < peak_V and total < least.get(b, np.inf):
                least[b] = total
                queue.append(([*nodes, b], [*branches, branch], total))
    return None
