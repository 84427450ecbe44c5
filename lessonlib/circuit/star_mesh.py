"""Eliminates the nodes of a network without ever subtracting conductances.

A node that is joined to its neighbours by a star of conductances can be taken out by joining every
two neighbours directly instead (the star-mesh transform; star to delta for three rays).
Conductances are only multiplied, divided and added, as in the elimination of Grassmann, Taksar and
Heyman for Markov chains, so each keeps its digits, whatever the ratio of the largest to the
smallest. Going back, every node's potential is a weighted mean of its neighbours', and what has to
be exact, the difference between two potentials, is carried along as such and never formed by
taking one potential from another.

Arrays here have the cases last; a pair of nodes is an edge.
"""

from __future__ import annotations

import numpy as np

from lessonlib.circuit.network import Flags, Floats
from lessonlib.circuit.order import Plan

# Each neighbour's share in the conductance of a star; and the cases, if any, in which the star has
# no conductance at all.
Share = tuple[list[Floats], Flags | None]
# The shares of an edge's own conductance and of what comes to it.
Merge = tuple[Floats, Floats]
# What is subtracted is a voltage: its size still adds up.
LESS = np.array([[-1.0], [1.0]])


def eliminated(plan: Plan, conductance_S: Floats, merges: list[Merge] | None) -> list[Share]:
    """The shares of each star. `merges`, if given, gets those of each parallel branch, then those
    of each mesh edge of each star."""
    edges = np.zeros((plan.ends.shape[1], conductance_S.shape[1]))
    edges[plan.edge[plan.lone]] = conductance_S[plan.lone]

    def merge(edge: int, more: Floats) -> None:
        if merges is not None:
            after = edges[edge] + more
            some = after + (after == 0)
            merges.append((edges[edge] / some + (after == 0), more / some))
        edges[edge] += more

    for branch in plan.parallel:
        merge(plan.edge[branch], conductance_S[branch])
    shares: list[Share] = []
    for star in plan.stars:
        rays = [edges[ray] for ray in star.rays]
        total = sum(rays, np.zeros(1))
        alone = None if total.all() else total == 0
        if alone is not None:
            total = total + alone
        share = [ray / total for ray in rays]
        shares.append((share, alone))
        for edge, a, b in star.mesh:
            merge(edge, rays[a] * share[b])
    return shares


def from_line(plan: Plan, shares: list[Share], potential: Floats) -> tuple[Floats, Floats, Floats]:
    """Potentials of all nodes from those of the terminals, in reverse order of elimination; and the
    voltage and the size of each branch."""
    across = np.zeros((plan.ends.shape[1], 2, potential.shape[1]))  # voltage and size
    for edge, a, b in plan.supply:
        across[edge, 0] = potential[a] - potential[b]
        across[edge, 1] = np.abs(across[edge, 0])
    for star, (share, alone) in zip(reversed(plan.stars), reversed(shares), strict=True):
        for edge, a, b in star.mesh:
            across[star.rays[a]] += share[b] * (LESS * across[edge])
            across[star.rays[b]] += share[a] * across[edge]
        for ray, part, each in zip(star.rays, share, star.neighbours, strict=True):
            potential[star.node] += part * potential[each]
            if alone is not None:  # it is at 0 V, so the neighbour's level is across the ray
                across[ray] += alone * np.stack((-potential[each], np.abs(potential[each])))
    branches = across[plan.edge]
    return potential, branches[:, 0] * plan.sign[:, None], branches[:, 1]
