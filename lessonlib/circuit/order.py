"""In which order the nodes of a network are eliminated.

One quick order serves every case of a network. To keep every digit a case needs an order of its
own, in which a node goes before those held more firmly, by larger conductances on the way to the
supply's terminals.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations

import numpy as np

from lessonlib.circuit.network import Flags, Floats, Indexes, Network

# An order is good for a case in which no node goes this much too late.
_MUCH = 100.0


@dataclass(frozen=True)
class Star:
    """One step: `node` goes, and the mesh between its neighbours takes its place.

    A mesh edge comes with the places of its ends among the neighbours, which are in the order in
    which they go. An edge's voltage counts from the end that goes first to the one that goes later.
    """

    node: int
    neighbours: tuple[int, ...]
    rays: tuple[int, ...]
    mesh: tuple[tuple[int, int, int], ...]


@dataclass(frozen=True, eq=False)
class Plan:
    """The order in which nodes go, and what that does to the edges."""

    stars: tuple[Star, ...]
    ends: Indexes  # of each edge, (2, edges): the node that goes first, and the other
    edge: Indexes  # of each branch
    sign: Floats  # of each branch, +1 where it counts as its edge does
    lone: Indexes  # the first branch on each edge
    parallel: tuple[int, ...]  # further branches on an edge that has one already
    supply: tuple[tuple[int, int, int], ...]  # edge and ends of every two terminals


def plan_of(network: Network, order: tuple[int, ...] | None = None) -> Plan:
    """The plan in which the nodes of `network` go in `order`. Without it nodes with few neighbours
    go first, which keeps the meshes small; among equals the one that the file names last."""
    ends = tuple(zip(network.first.tolist(), network.second.tolist(), strict=True))
    return _plan(network.terminals, len(network.nodes), ends, order)


def firmness(network: Network, conductance_S: Floats) -> tuple[int, ...]:
    """The nodes, the least firmly held first. Found from the terminals on: the next is always the
    one with the largest conductance to those before it."""
    size = len(network.nodes)
    weight = np.zeros((size, size))
    np.add.at(weight, (network.first, network.second), conductance_S)
    weight += weight.T
    held = weight[: network.terminals].max(axis=0)
    left = dict.fromkeys(range(network.terminals, size))
    order = []
    while left:
        node = max(left, key=held.__getitem__)
        del left[node]
        order.append(node)
        held = np.maximum(held, weight[node])
    return tuple(reversed(order))


def suits(network: Network, order: tuple[int, ...], conductance_S: Floats) -> Flags:
    """Cases that `order` suits: none left is ever held much more firmly than the next to come."""
    held = np.zeros((len(network.nodes), conductance_S.shape[1]))
    good = np.ones(conductance_S.shape[1], dtype=bool)
    left = list(order)
    for node in (*range(network.terminals), *reversed(order)):
        if node in left:
            good &= held[left].max(axis=0) <= _MUCH * held[node]
            left.remove(node)
        for branch in np.flatnonzero(network.touches[:, node]).tolist():
            for end in (network.first[branch], network.second[branch]):
                held[end] = np.maximum(held[end], conductance_S[branch])
    return good


@lru_cache(maxsize=64)
def _plan(
    terminals: int, size: int, ends: tuple[tuple[int, int], ...], order: tuple[int, ...] | None
) -> Plan:
    near: list[set[int]] = [set() for _ in range(size)]
    for a, b in ends:
        near[a].add(b)
        near[b].add(a)
    left = list(order or range(size - 1, terminals - 1, -1))
    gone: list[tuple[int, list[int]]] = []
    while left:
        node = left[0] if order else min(left, key=lambda each: len(near[each]))
        left.remove(node)
        gone.append((node, list(near[node])))
        for one in near[node]:
            near[one] |= near[node]
            near[one] -= {one, node}
    place = {node: number for number, (node, _) in enumerate(gone)}
    place.update((terminal, size + terminal) for terminal in range(terminals))
    edges: dict[tuple[int, int], int] = {}

    def edge(a: int, b: int) -> int:
        key = (a, b) if place[a] < place[b] else (b, a)
        return edges.setdefault(key, len(edges))

    stars = []
    for node, around in gone:
        around.sort(key=place.__getitem__)
        rays = tuple(edge(node, each) for each in around)
        pairs = combinations(range(len(around)), 2)
        mesh = tuple((edge(around[a], around[b]), a, b) for a, b in pairs)
        stars.append(Star(node, tuple(around), rays, mesh))
    of_branch = [edge(a, b) for a, b in ends]
    lone = {number: branch for branch, number in reversed(list(enumerate(of_branch)))}
    supply = tuple((edge(a, b), a, b) for a in range(terminals) for b in range(a + 1, terminals))
    return Plan(
        tuple(stars),
        np.array(list(edges), dtype=np.intp).reshape(-1, 2).T,
        np.array(of_branch, dtype=np.intp),
        np.array([1.0 if place[a] < place[b] else -1.0 for a, b in ends]),
        np.array(sorted(lone.values()), dtype=np.intp),
        tuple(sorted(set(range(len(ends))) - set(lone.values()))),
        supply,
    )
