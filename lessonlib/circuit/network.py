"""An appliance as nodes and branches, and its settings and faults as arrays.

A branch is one two-terminal path: a part, or one contact of a switch. In every case (one setting
with one fault) a branch is a conductance, an ideal join, a diode, or a gap. Arrays are shaped
(cases, branches) unless a name says otherwise.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Self

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
    no part of the file. A `spare` one is a gap until a fault puts it in."""

    part: int
    contact: int
    first: int
    second: int
    conductance_S: float = 0.0
    drop_V: float | None = None  # of a diode
    wire: bool = False  # an ideal join in every setting
    spare: bool = False


@dataclass(frozen=True, eq=False)
class Network:
    """What no setting and no fault changes in an appliance; `network_from` makes one."""

    appliance: Appliance
    nodes: tuple[str, ...]
    terminals: int  # nodes 0 to terminals - 1 are L, N and, where used, PE
    branches: tuple[Branch, ...]
    first: Indexes
    second: Indexes
    conductance_S: Floats
    drop_V: Floats
    incidence: Floats  # (branches, nodes): +1 where a branch leaves, -1 where it enters
    slots: Mapping[str, int]  # branches that are no part, by name

    @cached_property
    def diodes(self) -> tuple[int, ...]:
        return tuple(i for i, each in enumerate(self.branches) if each.drop_V is not None)

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
class Batch:
    """Arrays that have the cases first."""

    def take(self, rows: Indexes) -> Self:
        return type(self)(*(values[rows] for values in vars(self).values()))

    def put(self, rows: Indexes, new: Self) -> None:
        for name, values in vars(self).items():
            values[rows] = getattr(new, name)


@dataclass(frozen=True, eq=False)
class Cases(Batch):
    """What each branch is in each case: one of these three, or else a gap."""

    conductance_S: Floats
    join: Flags
    diode: Flags

    def __len__(self) -> int:
        return len(self.join)


@lru_cache(maxsize=16)
def network_of(appliance: Appliance) -> Network:
    """The network of `appliance`, built once and kept (appliances are frozen)."""
    nodes = appliance.nodes
    branches = [
        Branch(
            number,
            contact,
            nodes.index(first),
            nodes.index(second),
            conductance_S=1 / part.resistance_ohm if isinstance(part, Resistive) else 0.0,
            drop_V=part.forward_drop_V if isinstance(part, Diode) else None,
        )
        for number, part in enumerate(appliance.parts)
        for contact, (first, second) in enumerate(part.rungs, 1)
    ]
    return network_from(appliance, nodes, sum(node in TERMINALS for node in nodes), branches)


def network_from(
    appliance: Appliance,
    nodes: Sequence[str],
    terminals: int,
    branches: Sequence[Branch],
    slots: Mapping[str, int] | None = None,
) -> Network:
    first = np.array([branch.first for branch in branches], dtype=np.intp)
    second = np.array([branch.second for branch in branches], dtype=np.intp)
    unit = np.eye(len(nodes))
    return Network(
        appliance,
        tuple(nodes),
        terminals,
        tuple(branches),
        first,
        second,
        conductance_S=np.array([branch.conductance_S for branch in branches]),
        drop_V=np.array([branch.drop_V or 0.0 for branch in branches]),
        incidence=unit[first] - unit[second],
        slots=slots or {},
    )


def cases_of(
    network: Network,
    settings: Sequence[Setting],
    faults: Sequence[Sequence[Change]] = ((),),
) -> Cases:
    """Every setting (all movable parts named) with every fault, given as what it changes, settings
    outermost."""
    wires = [branch.wire for branch in network.branches]
    diodes = [branch.drop_V is not None and not branch.spare for branch in network.branches]
    closed = np.tile(np.array(wires), (len(settings), 1))
    for (name, contact), branch in network.place.items():
        part = network.parts[branch]
        if part is not None and part.contacts:
            closed_in = part.contacts[contact - 1].closed_in
            closed[:, branch] = [row[name] in closed_in for row in settings]
    size = (len(settings), len(faults), 1)
    join = np.repeat(closed[:, None], len(faults), axis=1)
    conductance, diode = np.tile(network.conductance_S, size), np.tile(diodes, size)
    for row, fault in enumerate(faults):
        for change in fault:
            at = (slice(None), row, change.branch)
            meant = closed[:, change.branch] if change.if_closed else True
            conductance[at] = change.conductance_S * meant
            join[at] = change.joined & meant
            diode[at] = change.diode
    cases = (len(settings) * len(faults), len(wires))
    return Cases(conductance.reshape(cases), join.reshape(cases), diode.reshape(cases))
