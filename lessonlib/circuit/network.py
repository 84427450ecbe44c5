"""An appliance as nodes and branches, and its settings and faults as arrays.

A branch is one two-terminal path: a part, or one contact of a switch. In every case (one setting
with one fault) a branch is a conductance, an ideal join, a diode, or a gap. Arrays are shaped
(cases, branches) unless a name says otherwise.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from lessonlib.appliance.parts import TERMINALS, Appliance, Diode, Part, Resistive
from lessonlib.appliance.settings import Setting

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Indexes = NDArray[np.intp]
Labels = NDArray[np.int16]

# Conductance of an ideal join where it has to be a number: so large that it changes no digit of a
# resistor's current (a resistor has at most 6e7 S: a millimetre of 1000 mm2), and a power of two,
# so that multiplying by it does not round.
JOIN_S = 2.0**300


@dataclass(frozen=True)
class Branch:
    """One path between two nodes: contact number `contact` of part number `part`, or -1 for what is
    no part of the file."""

    part: int
    contact: int
    first: int
    second: int


@dataclass(frozen=True, eq=False)
class Network:
    """What no setting and no fault changes in an appliance."""

    appliance: Appliance
    nodes: tuple[str, ...]
    terminals: int  # nodes 0 to terminals - 1 are L, N and, where used, PE
    branches: tuple[Branch, ...]
    first: Indexes
    second: Indexes
    conductance_S: Floats
    drop_V: Floats
    is_diode: Flags
    diodes: tuple[int, ...]
    incidence: Floats  # (branches, nodes): +1 where a branch leaves, -1 where it enters
    closed: tuple[tuple[int, int, Flags], ...]  # branch, movable part, closed in each position
    joined: Flags  # joins in every setting: wires
    fitted: Flags  # there in a sound appliance, and not put in by a fault
    slots: Mapping[str, int] = field(default_factory=dict)  # branches that are no part, by name

    @cached_property
    def parts(self) -> tuple[Part | None, ...]:
        """The part that each branch belongs to."""
        return tuple(
            None if branch.part < 0 else self.appliance.parts[branch.part]
            for branch in self.branches
        )

    @cached_property
    def place(self) -> dict[tuple[str, int], int]:
        """The branch that is a contact of a part, by part name and contact number."""
        return {
            (part.name, branch.contact): index
            for index, (branch, part) in enumerate(zip(self.branches, self.parts, strict=True))
            if part is not None
        }

    def of_kind(self, kind: type[Part]) -> Flags:
        return np.array([isinstance(part, kind) for part in self.parts], dtype=bool)

    @cached_property
    def touches(self) -> Floats:
        """(branches, nodes): 1 where a branch ends."""
        return np.abs(self.incidence)


@dataclass(frozen=True)
class Change:
    """What a fault makes of a branch: a conductance, an ideal join, a diode, or else a gap. With
    `if_closed` only where the contact is closed; it stays a gap where it is open."""

    branch: int
    conductance_S: float = 0.0
    joined: bool = False
    diode: bool = False
    if_closed: bool = False


@dataclass(frozen=True, eq=False)
class Cases:
    """What each branch is in each case: one of these three, or else a gap."""

    conductance_S: Floats
    join: Flags
    diode: Flags

    def __len__(self) -> int:
        return len(self.join)

    def take(self, rows: Indexes) -> Cases:
        return Cases(self.conductance_S[rows], self.join[rows], self.diode[rows])


@lru_cache(maxsize=16)
def network_of(appliance: Appliance) -> Network:
    """The network of `appliance`, built once and kept (appliances are frozen)."""
    nodes = appliance.nodes
    number = {node: index for index, node in enumerate(nodes)}
    branches = tuple(
        Branch(part_index, contact, number[ends[0]], number[ends[1]])
        for part_index, part in enumerate(appliance.parts)
        for contact, ends in enumerate(part.rungs, 1)
    )
    parts = [appliance.parts[branch.part] for branch in branches]
    first = np.array([branch.first for branch in branches], dtype=np.intp)
    second = np.array([branch.second for branch in branches], dtype=np.intp)
    is_diode = np.array([isinstance(part, Diode) for part in parts])
    conductance = [1 / part.resistance_ohm if isinstance(part, Resistive) else 0 for part in parts]
    movable = {part.name: index for index, part in enumerate(appliance.movable)}
    closed = tuple(
        (
            index,
            movable[part.name],
            np.array([p in part.contacts[branch.contact - 1].closed_in for p in part.positions]),
        )
        for index, (branch, part) in enumerate(zip(branches, parts, strict=True))
        if part.contacts
    )
    return Network(
        appliance=appliance,
        nodes=nodes,
        terminals=sum(node in TERMINALS for node in nodes),
        branches=branches,
        first=first,
        second=second,
        conductance_S=np.array(conductance, dtype=float),
        drop_V=np.array([p.forward_drop_V if isinstance(p, Diode) else 0.0 for p in parts]),
        is_diode=is_diode,
        diodes=tuple(np.flatnonzero(is_diode).tolist()),
        incidence=incidence_of(first, second, len(nodes)),
        closed=closed,
        joined=np.zeros(len(branches), dtype=bool),
        fitted=np.ones(len(branches), dtype=bool),
    )


def incidence_of(first: Indexes, second: Indexes, nodes: int) -> Floats:
    """(branches, nodes): +1 at the first node of a branch, -1 at its second."""
    rows = np.arange(len(first))
    incidence = np.zeros((len(first), nodes))
    incidence[rows, first] = 1.0
    incidence[rows, second] = -1.0
    return incidence


def cases_of(
    network: Network,
    settings: Sequence[Setting],
    faults: Sequence[Sequence[Change]] = ((),),
) -> Cases:
    """Every setting (all movable parts named, in file order) with every fault, given as what it
    changes, settings outermost."""
    tables = [{p: i for i, p in enumerate(part.positions)} for part in network.appliance.movable]
    numbers = [
        [table[position] for table, position in zip(tables, row.values(), strict=True)]
        for row in settings
    ]
    positions = np.array(numbers, dtype=np.intp).reshape(len(settings), len(tables))
    count = len(network.branches)
    contact_closed = np.tile(network.joined, (len(positions), 1))
    for branch, movable, table in network.closed:
        contact_closed[:, branch] = table[positions[:, movable]]
    conductance = np.broadcast_to(network.conductance_S, contact_closed.shape)
    diode = np.broadcast_to(network.is_diode & network.fitted, contact_closed.shape)
    if not any(faults):
        rows = np.repeat(np.arange(len(positions)), len(faults))
        return Cases(conductance[rows], contact_closed[rows], diode[rows])
    touched = np.zeros((len(faults), count), dtype=bool)
    joined = np.zeros_like(touched)
    turned = np.zeros_like(touched)
    contact = np.zeros_like(touched)
    sized = np.zeros(touched.shape)
    for row, fault in enumerate(faults):
        for change in fault:
            at = row, change.branch
            touched[at], joined[at], turned[at] = True, change.joined, change.diode
            contact[at], sized[at] = change.if_closed, change.conductance_S
    size = (len(positions) * len(faults), count)
    untouched = ~touched
    resisting = conductance[:, None, :] * untouched
    if sized.any():
        resisting += sized * (contact_closed[:, None, :] | ~contact)
    return Cases(
        resisting.reshape(size),
        (contact_closed[:, None, :] & untouched | joined).reshape(size),
        (diode[:, None, :] & untouched | turned).reshape(size),
    )
