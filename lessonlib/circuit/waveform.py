"""`waveform`: voltage, current and power of a part at every instant of a mains cycle.

Taken from the solver's own pieces of a cycle, so nothing is sampled: between two changes of diode
state each value is a straight line in the instantaneous supply voltage.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from lessonlib.circuit.cycle import CyclePiece, pieces
from lessonlib.circuit.linear import leaving
from lessonlib.circuit.network import Floats
from lessonlib.circuit.solution import Solution
from lessonlib.circuit.wave import Wave, mean_product
from lessonlib.errors import WaveformError, shown

Line = tuple[float, float]  # slope against the supply voltage, and offset

# Lines that differ by less than this, against the largest of the wave, are the same: a diode
# elsewhere has turned.
_SAME = 1e-12


@dataclass(frozen=True)
class Waveform:
    """Voltage and current of `name` over a mains cycle, which starts as the supply rises through
    zero. Positive from the first node of `between` to the second. `voltage` is None for a part on
    a floating node, `current` None for a node."""

    name: str
    between: tuple[str, str]
    voltage: Wave | None
    current: Wave | None
    frequency_Hz: float
    breakpoints_s: tuple[float, ...]

    @property
    def period_s(self) -> float:
        return 1 / self.frequency_Hz

    def voltage_V(self, t_s: ArrayLike) -> Floats:
        """Instantaneous voltage at the times `t_s` (s). Raises `WaveformError` where undefined."""
        return self.defined("voltage").at(t_s)

    def current_A(self, t_s: ArrayLike) -> Floats:
        """Instantaneous current at the times `t_s` (s). Raises `WaveformError` for a node."""
        return self.defined("current").at(t_s)

    def power_W(self, t_s: ArrayLike) -> Floats:
        """Instantaneous power at the times `t_s` (s), positive where it is taken in."""
        return np.asarray(self.voltage_V(t_s) * self.current_A(t_s))

    @property
    def power_mean_W(self) -> float:
        return mean_product(self.defined("voltage"), self.defined("current"))

    @property
    def power_peak_W(self) -> float:
        voltage, current = self.defined("voltage"), self.defined("current")
        # No part gives power back, so within a piece power is level or bends upward: its highest
        # value is at an end.
        return max(v * i for v, i in zip(voltage.ends, current.ends, strict=True))

    def defined(self, quantity: str) -> Wave:
        """The "voltage" or "current". Raises `WaveformError` where there is none."""
        wave: Wave | None = getattr(self, quantity)
        if wave is None:
            reason = "nothing fixes it all the time" if quantity == "voltage" else "it is a point"
            raise WaveformError(
                f"found no {quantity} of {self.name}: {reason}. Accepted: a part, in a setting "
                "that joins both its ends to the supply. Ask for another part or setting."
            )
        return wave


def waveform(
    solution: Solution,
    part: str | None = None,
    *,
    contact: int | None = None,
    node: str | None = None,
) -> Waveform:
    """The waveform of a part, of one contact of a switch, of a node's potential to earth, or, with
    none of these named, of the whole appliance as the supply sees it.

    `contact` left out is the contact that carries the most current. Raises `WaveformError` for an
    unknown name, for a part and a node at once, and in a short circuit.
    """
    if part is not None and node is not None:
        raise WaveformError(
            f"found part {shown(part)} and point {shown(node)}; accepted: one of them. Leave one "
            "out."
        )
    found = _pieces(solution)
    network = solution.batch.network
    hot = solution.situation.hot
    if node is not None:
        index = _index(node, network.nodes, "point")
        potential = [_pair(piece.lines.potential[0, index]) for piece in found]
        known = all(piece.lines.island[0, index] == 0 for piece in found)
        return _waveform(solution, f"point {node}", (node, "earth"), found, potential, known, None)
    if part is None:
        net = [_pair(leaving(network, piece.lines.current)[0, hot]) for piece in found]
        ends = ("N", "L") if hot else ("L", "N")
        supply = [(1.0, 0.0)] * len(found)
        return _waveform(solution, solution.appliance.title, ends, found, supply, True, net)
    branch = _branch(solution, part, contact)
    first, second = network.first[branch], network.second[branch]
    voltage = [_pair(piece.lines.voltage[0, branch]) for piece in found]
    current = [_pair(piece.lines.current[0, branch]) for piece in found]
    islands = [piece.lines.island[0] for piece in found]
    known = all(island[first] == island[second] for island in islands)
    ends = (network.nodes[first], network.nodes[second])
    return _waveform(solution, part, ends, found, voltage, known, current)


def voltage_between(solution: Solution, red: str, black: str) -> Waveform:
    """The voltage of point `red` above point `black`; None where nothing fixes it.

    Raises `WaveformError` for an unknown point, and in a short circuit.
    """
    found = _pieces(solution)
    network = solution.batch.network
    first, second = (_index(point, network.nodes, "point") for point in (red, black))
    lines = [piece.lines for piece in found]
    voltage = [_pair(each.potential[0, first] - each.potential[0, second]) for each in lines]
    known = all(each.island[0, first] == each.island[0, second] for each in lines)
    return _waveform(solution, f"{red} to {black}", (red, black), found, voltage, known, None)


def _pieces(solution: Solution) -> list[CyclePiece]:
    """The solver's pieces of a cycle, from the supply's negative peak to its positive one."""
    if solution.short is not None:
        raise WaveformError(
            f"found a short circuit, {solution.short}: it has no currents to show. "
            "Accepted: a setting without one. Choose another setting or fault."
        )
    batch, at = solution.batch, solution.situation
    one = batch.cases.take(np.array([solution.case]))
    return list(pieces(batch.network, one, at.hot, at.peak_V))[::-1]


def _pair(line: Floats) -> Line:
    return float(line[0]), float(line[1]) if len(line) == 2 else 0.0


def _index(name: str, names: tuple[str, ...], kind: str) -> int:
    if name not in names:
        raise WaveformError(
            f"found {kind} {shown(name)}; accepted: {', '.join(names)}. Use one of these names."
        )
    return names.index(name)


def _branch(solution: Solution, part: str, contact: int | None) -> int:
    """Index of the branch that is this contact of this part."""
    _index(part, tuple(each.name for each in solution.appliance.parts), "part")
    contacts = solution.part[part].contacts
    if contact is None:
        contact = 1 + max(range(len(contacts)), key=lambda k: contacts[k].current_A or 0.0)
    if not 1 <= contact <= len(contacts):
        raise WaveformError(
            f"found contact {shown(contact)} of {part}; accepted: 1 to {len(contacts)}. "
            "Contacts are counted from 1, in the order of the file."
        )
    return solution.batch.network.place[part, contact]


def _waveform(
    solution: Solution,
    name: str,
    between: tuple[str, str],
    found: list[CyclePiece],
    voltage: list[Line],
    known: bool,
    current: list[Line] | None,
) -> Waveform:
    """Put the pieces together; neighbours that are the same here become one."""
    peak_V = solution.situation.peak_V
    flows = current if current is not None else [(0.0, 0.0)] * len(found)
    kept = [0]
    for k in range(1, len(found)):
        # where nothing fixes the voltage, only the current tells one piece from the next
        lines = (voltage, flows) if known else (flows,)
        if not all(_same(line[kept[-1]], line[k], line, peak_V) for line in lines):
            kept.append(k)
    edges = (-peak_V, *(float(found[k].low_V[0]) for k in kept[1:]), peak_V)
    frequency_Hz = solution.appliance.supply.frequency_Hz

    def wave(unit: str, lines: list[Line]) -> Wave:
        slopes, offsets = zip(*(lines[k] for k in kept), strict=True)
        return Wave(unit, frequency_Hz, edges, slopes, offsets)

    rising = [math.asin(edge / peak_V) for edge in edges[1:-1]]
    angles = [angle % (2 * math.pi) for angle in rising] + [math.pi - angle for angle in rising]
    return Waveform(
        name,
        between,
        wave("V", voltage) if known else None,
        wave("A", flows) if current is not None else None,
        frequency_Hz,
        tuple(sorted(angle / (2 * math.pi * frequency_Hz) for angle in angles)),
    )


def _same(one: Line, other: Line, lines: list[Line], peak_V: float) -> bool:
    largest = max(abs(slope) * peak_V + abs(offset) for slope, offset in lines)
    allowed = _SAME * largest
    return abs(one[0] - other[0]) * peak_V <= allowed and abs(one[1] - other[1]) <= allowed
