"""The voltages that forward drops of conducting diodes cause, by the elimination of `star_mesh`.

The drops are counted twice, because each count loses digits that the other keeps. Counted from
earth, a conducting diode has its drop as source and a resistor none: potentials and resistors'
voltages keep their digits. Counted from the nodes' offsets, a tie has no source: the voltage across
it is that of its own current, and not a difference of drops.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lessonlib.circuit.network import JOIN_S, Flags, Floats, Indexes, Labels
from lessonlib.circuit.order import Plan
from lessonlib.circuit.star_mesh import LESS, Merge, Share


@dataclass(frozen=True, eq=False)
class DropSources:
    """The sources as the elimination meets them, with their sizes, (..., 2, cases).

    `drops`, counted from earth, are those of each star's rays. Counted from the offsets, `last` are
    those of each edge at the end, and `steps` lead from an edge's common source after a merge back
    to its own and to the newcomer's.
    """

    drops: list[list[Floats]]
    last: Floats
    steps: list[tuple[Floats, Floats]]


def from_the_firmest(labels: Labels, offset: Floats, order: tuple[int, ...]) -> Floats:
    """Offsets, V, counted in each group from the node that comes last in `order`, so that no source
    is next to a small resistance."""
    base, cases = np.full(offset.shape, np.nan), np.arange(offset.shape[1])
    for node in reversed(order):
        here = base[labels[node], cases]
        base[labels[node], cases] = np.where(np.isnan(here), offset[node], here)
    return np.asarray(offset - np.take_along_axis(base, labels, axis=0))


def sources(
    plan: Plan, merges: list[Merge], conductance_S: Floats, offset_V: Floats
) -> DropSources:
    """The drops as each step of the elimination meets them; `offset_V` as in `spread`."""
    first, second = offset_V[plan.ends[0]], offset_V[plan.ends[1]]
    whole = np.stack((second - first, np.abs(first) + np.abs(second)), axis=1)

    def own(branches: Indexes) -> tuple[Floats, Floats]:
        joins, apart = (conductance_S[branches] >= JOIN_S)[:, None], whole[plan.edge[branches]]
        return np.where(joins, apart * LESS, 0.0), np.where(joins, 0.0, apart)

    from_earth, from_offsets = np.zeros_like(whole), whole.copy()
    lone = plan.edge[plan.lone]
    from_earth[lone], from_offsets[lone] = own(plan.lone)
    drops: list[list[Floats]] = []
    steps: list[tuple[Floats, Floats]] = []

    def merge(edge: int, drop: Floats, new: Floats) -> None:
        kept, taken = merges[len(steps)]
        old = from_offsets[edge].copy()
        from_earth[edge] = _mean(from_earth[edge], drop, kept, taken)
        from_offsets[edge] = _mean(old, new, kept, taken)
        steps.append((taken * (new + LESS * old), kept * (old + LESS * new)))

    parallel = np.array(plan.parallel, dtype=np.intp)
    for branch, drop, new in zip(plan.parallel, *own(parallel), strict=True):
        merge(plan.edge[branch], drop, new)
    for star in plan.stars:
        drops.append([from_earth[ray].copy() for ray in star.rays])
        for edge, a, b in star.mesh:
            one, other = star.rays[a], star.rays[b]
            merge(
                edge,
                from_earth[other] + LESS * from_earth[one],
                from_offsets[other] + LESS * from_offsets[one],
            )
    return DropSources(drops, from_offsets, steps)


def _mean(one: Floats, other: Floats, part: Floats, rest: Floats) -> Floats:
    """Weighted mean, as a step from the one with more weight: the mean of equals is exact, and a
    tiny share of a large one keeps its digits beside zero."""
    return np.where(part > rest, one + rest * (other - one), other + part * (one - other))


def from_sources(
    plan: Plan, shares: list[Share], potential: Floats, met: DropSources, ties: Flags
) -> tuple[Floats, Floats, Floats]:
    """As `from_line`, with the terminals at 0 V and the drops as sources; `ties` are the branches
    (branches, cases) whose voltage counts from the offsets."""
    across = np.zeros((plan.ends.shape[1], 2, potential.shape[1]))
    beyond = np.zeros_like(across)  # without the source: what the current alone makes
    undone = len(met.steps)
    for edge, _, _ in plan.supply:
        beyond[edge] = LESS * met.last[edge]

    def newcomer(edge: int) -> Floats:
        """What the current makes in the source merged into `edge` last; undoes that merge."""
        nonlocal undone
        undone -= 1
        to_old, to_new = met.steps[undone]
        new: Floats = beyond[edge] + to_new
        beyond[edge] += to_old
        return new

    for number in range(len(plan.stars) - 1, -1, -1):
        star, (share, alone), drop = plan.stars[number], shares[number], met.drops[number]
        for edge, a, b in reversed(star.mesh):
            one, other, new = star.rays[a], star.rays[b], newcomer(edge)
            beyond[one] += share[b] * (LESS * new)
            beyond[other] += share[a] * new
            across[one] += share[b] * (LESS * across[edge] + drop[b])
            across[other] += share[a] * (across[edge] + drop[a])
        for place, (ray, each) in enumerate(zip(star.rays, star.neighbours, strict=True)):
            across[ray] += share[place] * drop[place]
            potential[star.node] += share[place] * (potential[each] + drop[place][0])
            if alone is not None:
                level = np.stack((potential[each], np.abs(potential[each])))
                across[ray] += alone * (LESS * level)
                beyond[ray] += alone * (LESS * (level + drop[place]))
    found = across[plan.edge]
    for branch in reversed(plan.parallel):
        new = newcomer(plan.edge[branch])
        found[branch] = np.where(ties[branch], new, found[branch])
    found[plan.lone] = np.where(
        ties[plan.lone, None], beyond[plan.edge[plan.lone]], found[plan.lone]
    )
    return potential, found[:, 0] * plan.sign[:, None], found[:, 1]
