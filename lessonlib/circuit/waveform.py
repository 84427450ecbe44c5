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
from lessonlib.errors import WaveformError

Line = tuple[float, float]  # slope against the supply voltage, and offset

# Lines that differ by less than this, against the largest of the wave, are the same: a diode
# elsewhere has turned.
_SAME = 1e-12


@dataclass(frozen=True)
class Waveform:
    """Voltage and current of `name` over a mains cycle, which starts as the supply rises through
    zero. Positive from the first node of `between` to the second. `voltage` is None for a part on
    a floating node, `current` None between two points."""

    name: str
    between: tuple[str, str]
    voltage: Wave | None
    current: Wave | None
    period_s: float
    breakpoints_s: tuple[float, ...]

    def voltage_V(self, t_s: ArrayLike) -> Floats:
        """Instantaneous voltage at the times `t_s` (s). Raises `WaveformError` where undefined."""
        return self.defined("voltage").at(t_s)

    def current_A(self, t_s: ArrayLike) -> Floats:
        """Instantaneous current at the times `t_s` (s). Raises `WaveformError` where undefined."""
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
            raise WaveformError(
                f"found no {quantity} of {self.name}: nothing fixes it all the time. Accepted: a "
                "part, in a setting that joins both its ends to the supply. Ask for another part "
                "or setting."
            )
        return wave


def waveform(solution: Solution, part: str | None = None) -> Waveform:
    """The waveform of a part, or without one of the whole appliance as the supply sees it. Of a
    switch with several contacts it is the one that carries the most current.

    Raises `SettingError` for an unknown name, and `WaveformError` in a short circuit.
    """
    found, network = _pieces(solution), solution.batch.network
    if part is None:
        hot = solution.situation.hot
        net = [_line(leaving(network, piece.lines.current)[0, hot]) for piece in found]
        ends = ("N", "L") if hot else ("L", "N")
        supply = [(1.0, 0.0)] * len(found)
        return _waveform(solution, solution.appliance.title, ends, found, supply, net)
    solution.appliance.part(part)  # an unknown name has its own message
    contacts = solution.part[part].contacts
    most = max(range(len(contacts)), key=lambda k: contacts[k].current_A or 0.0)
    branch = network.place[part, 1 + most]
    first, second = network.first[branch], network.second[branch]
    voltage = [_line(piece.lines.voltage[0, branch]) for piece in found]
    current = [_line(piece.lines.current[0, branch]) for piece in found]
    known = _known(found, first, second)
    ends = (network.nodes[first], network.nodes[second])
    return _waveform(solution, part, ends, found, voltage if known else None, current)


def voltage_between(solution: Solution, red: str, black: str) -> Waveform:
    """The voltage of point `red` above point `black`; None where nothing fixes it.

    Raises `WaveformError` in a short circuit.
    """
    found, nodes = _pieces(solution), solution.batch.network.nodes
    first, second = nodes.index(red), nodes.index(black)
    levels = [piece.lines.potential[0] for piece in found]
    voltage = [_line(level[first] - level[second]) for level in levels]
    known = voltage if _known(found, first, second) else None
    return _waveform(solution, f"{red} to {black}", (red, black), found, known, None)


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


def _line(values: Floats) -> Line:
    return float(values[0]), float(values[1]) if len(values) == 2 else 0.0


def _known(found: list[CyclePiece], first: int, second: int) -> bool:
    """Whether the voltage between two nodes is fixed all the time."""
    islands = [piece.lines.island[0] for piece in found]
    return all(island[first] == island[second] for island in islands)


def _waveform(
    solution: Solution,
    name: str,
    between: tuple[str, str],
    found: list[CyclePiece],
    voltage: list[Line] | None,
    current: list[Line] | None,
) -> Waveform:
    """Put the pieces together; neighbours that are the same here become one."""
    peak_V = solution.situation.peak_V
    kept = [0]
    for k in range(1, len(found)):
        each = [lines for lines in (voltage, current) if lines is not None]
        if not all(_same(lines[kept[-1]], lines[k], lines, peak_V) for lines in each):
            kept.append(k)
    edges = (-peak_V, *(float(found[k].low_V[0]) for k in kept[1:]), peak_V)
    frequency_Hz = solution.appliance.supply.frequency_Hz

    def wave(unit: str, lines: list[Line] | None) -> Wave | None:
        if lines is None:
            return None
        slopes, offsets = zip(*(lines[k] for k in kept), strict=True)
        return Wave(unit, frequency_Hz, edges, slopes, offsets)

    rising = [math.asin(edge / peak_V) for edge in edges[1:-1]]
    angles = [angle % (2 * math.pi) for angle in rising] + [math.pi - angle for angle in rising]
    times_s = tuple(sorted(angle / (2 * math.pi * frequency_Hz) for angle in angles))
    waves = wave("V", voltage), wave("A", current)
    return Waveform(name, between, *waves, 1 / frequency_Hz, times_s)


def _same(one: Line, other: Line, lines: list[Line], peak_V: float) -> bool:
    largest = max(abs(slope) * peak_V + abs(offset) for slope, offset in lines)
    allowed = _SAME * largest
    return abs(one[0] - other[0]) * peak_V <= allowed and abs(one[1] - other[1]) <= allowed
