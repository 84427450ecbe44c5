"""An appliance as rungs, one for each part or contact of a switch, and which of them come first.

Where the wiring leaves the order open, the file decides: paths come in the order in which it has
the elements that they lead to; paths that carry no more than lamp current come last.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lessonlib.appliance.parts import Appliance, Element
from lessonlib.schematics.symbols import kind_of

# A rung that carries less than this part of the largest element current is taken for a lamp's; a
# lamp draws some milliamperes, an element some amperes. Our own choice, no source.
_LAMP_SHARE = 0.03
# Conductance of closed contacts, fuses and diodes, in that of the strongest element: large enough
# to carry what the elements draw, small enough that a short does not swamp everything else.
_CONTACT = 10.0


@dataclass(frozen=True)
class Rung:
    """One path through a part. `index` counts rungs in file order, `contact` from 1 in its part;
    `kind` is that of its symbol; `feeds` is the index of the first element that it feeds."""

    index: int
    part: str
    kind: str
    contact: int
    between: tuple[str, str]
    minor: bool
    feeds: int

    @property
    def rank(self) -> tuple[bool, int, int]:
        """Sorts rungs from top to bottom."""
        return (self.minor, self.feeds, self.index)


def rungs_of(appliance: Appliance) -> tuple[Rung, ...]:
    found = [
        (part, number, between)
        for part in appliance.parts
        for number, between in enumerate(part.rungs, 1)
        if between[0] != between[1]  # a part joined to itself does nothing and cannot be drawn
    ]
    heats = [isinstance(part, Element) and part.resistance_ohm > 0 for part, _, _ in found]
    given = [getattr(part, "resistance_ohm", 0) for part, _, _ in found]
    strongest = max((1 / ohm for ohm, hot in zip(given, heats, strict=True) if hot), default=1.0)
    conductances = [1 / ohm if ohm > 0 else _CONTACT * strongest for ohm in given]
    ends = [between for _, _, between in found]
    potential = potentials(appliance.nodes, ends, conductances, {"L": 1.0, "N": 0.0})
    currents = [
        abs(potential[a] - potential[b]) * g for (a, b), g in zip(ends, conductances, strict=True)
    ]
    most = max((c for c, hot in zip(currents, heats, strict=True) if hot), default=0.0)
    # by rung and by node, the first element that is reached going down in potential
    feeds = [index if hot else len(ends) for index, hot in enumerate(heats)]
    reached = dict.fromkeys(potential, len(ends))
    down = [sorted(pair, key=potential.__getitem__) for pair in ends]
    for index in sorted(range(len(ends)), key=lambda index: potential[down[index][1]]):
        low, high = down[index]
        feeds[index] = min(feeds[index], len(ends) if heats[index] else reached[low])
        reached[high] = min(reached[high], feeds[index])
    return tuple(
        Rung(
            index,
            part.name,
            kind_of(part),
            number,
            between,
            minor=currents[index] < _LAMP_SHARE * most,
            feeds=feeds[index],
        )
        for index, (part, number, between) in enumerate(found)
    )


def potentials(
    nodes: tuple[str, ...],
    ends: list[tuple[str, str]],
    conductances: list[float],
    held: dict[str, float],
    leak: float = 1e-6,
) -> dict[str, float]:
    """Node potentials of a resistor network whose nodes in `held` are held at the values given.

    A `leak` (in the largest conductance) from every node to zero keeps islands solvable; without it
    every node must be connected to one that is held.
    """
    place = {node: number for number, node in enumerate(nodes)}
    matrix = np.eye(len(nodes)) * (leak * max(conductances, default=1.0))
    right = np.zeros(len(nodes))
    for (a, b), conductance in zip(ends, conductances, strict=True):
        i, j = place[a], place[b]
        matrix[i, i] += conductance
        matrix[j, j] += conductance
        matrix[i, j] -= conductance
        matrix[j, i] -= conductance
    for node, value in held.items():
        if node in place:
            matrix[place[node]] = 0.0
            matrix[place[node], place[node]] = 1.0
            right[place[node]] = value
    return dict(zip(nodes, np.linalg.solve(matrix, right).tolist(), strict=True))
