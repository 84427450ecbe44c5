"""One voltage or current over a mains cycle, exactly: between two changes of diode state it is
slope * v + offset, where v = peak * sin(angle) is the supply.

Means are the closed-form integrals of `cycle`. As the supply passes each voltage once rising and
once falling, only the rising half, from -90 to 90 degrees, has to be worked through; the other half
is its mirror image.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike

from lessonlib.circuit.cycle import Moments, moments
from lessonlib.circuit.network import Floats

# r.m.s. over mean of a rectified sine, pi / (2 sqrt 2): what an averaging meter's scale is
# multiplied by so that it reads right on a sine (Kuphaldt, Lessons in Electric Circuits, vol. II,
# "Measurements of AC magnitude", prints 1.11).
SINE_FORM_FACTOR = math.pi / (2 * math.sqrt(2))


@dataclass(frozen=True)
class Wave:
    """One quantity in `unit` over a mains cycle that starts as the supply rises through zero.

    Piece k holds while the supply is between edges_V[k] and edges_V[k + 1] (rising values, from
    -peak to peak): the quantity is slopes[k] * supply + offsets[k].
    """

    unit: str
    frequency_Hz: float
    edges_V: tuple[float, ...]
    slopes: tuple[float, ...]
    offsets: tuple[float, ...]

    @property
    def supply_peak_V(self) -> float:
        return self.edges_V[-1]

    def at(self, t_s: ArrayLike) -> Floats:
        """Values at the times `t_s` (s, any shape)."""
        cycles = np.asarray(t_s, dtype=np.float64) * self.frequency_Hz
        # so many cycles later it is the same
        supply_V = self.supply_peak_V * np.sin(2 * np.pi * (cycles - np.floor(cycles)))
        piece = np.searchsorted(self.edges_V[1:-1], supply_V)
        return np.asarray(np.take(self.slopes, piece) * supply_V + np.take(self.offsets, piece))

    @cached_property
    def _moments(self) -> Moments:
        edges = np.array(self.edges_V)
        return moments(edges[:-1], edges[1:], self.supply_peak_V, offsets=True)

    @cached_property
    def _lines(self) -> Floats:
        """Slope and offset of each piece (pieces, 2)."""
        return np.column_stack((self.slopes, self.offsets))

    @property
    def mean(self) -> float:
        """Mean over a cycle: the d.c. part."""
        return float(self._moments.mean(self._lines).sum())

    @property
    def rms(self) -> float:
        """Root of the mean square: what heats."""
        return math.sqrt(max(mean_product(self, self), 0.0))

    @property
    def highest(self) -> float:
        return max(self.ends)

    @property
    def lowest(self) -> float:
        return min(self.ends)

    @property
    def peak(self) -> float:
        """Largest instantaneous value either way, without a sign."""
        return max(map(abs, self.ends))

    @cached_property
    def ends(self) -> tuple[float, ...]:
        """Values at both ends of every piece, in turn."""
        return tuple(s * v + o for s, o, low, high in self._pieces() for v in (low, high))

    def _pieces(self) -> Iterator[tuple[float, float, float, float]]:
        """Slope, offset and both edges of each piece."""
        return zip(self.slopes, self.offsets, self.edges_V, self.edges_V[1:], strict=False)

    @property
    def mean_absolute(self) -> float:
        """Mean over a cycle of the value without its sign, as behind a full-wave rectifier."""
        edges, slopes, offsets = [self.edges_V[0]], list[float](), list[float]()
        for slope, offset, low, high in self._pieces():
            zero = -offset / slope if slope else high
            for end in (zero, high) if low < zero < high else (high,):
                sign = math.copysign(1.0, slope * (edges[-1] + end) / 2 + offset)
                edges.append(end)
                slopes.append(sign * slope)
                offsets.append(sign * offset)
        turned = (tuple(edges), tuple(slopes), tuple(offsets))
        return Wave(self.unit, self.frequency_Hz, *turned).mean

    @property
    def averaging_meter(self) -> float:
        """What a moving-coil meter with a rectifier reads: 1.1107 times the mean absolute value.

        The model: the pointer follows the mean of the rectified value, and the scale is marked to
        be right on a sine. No coupling capacitor, no drop in the meter's own rectifier.
        """
        return SINE_FORM_FACTOR * self.mean_absolute

    @property
    def ac_coupled_averaging_meter(self) -> float:
        """What an averaging meter reads behind a capacitor, which keeps the d.c. part out."""
        return self._without_mean.averaging_meter

    @property
    def true_rms_meter(self) -> float:
        """What a meter reads that forms the r.m.s. value itself, its d.c. part included."""
        return self.rms

    @property
    def ac_coupled_true_rms_meter(self) -> float:
        """What a true-r.m.s. meter reads behind a capacitor, which keeps the d.c. part out.

        Most meters are so on their a.c. range: common practice, no source.
        """
        return self._without_mean.rms

    @property
    def _without_mean(self) -> Wave:
        mean = self.mean
        return replace(self, offsets=tuple(offset - mean for offset in self.offsets))


def mean_product(one: Wave, other: Wave) -> float:
    """Mean over a cycle of the product of two waves with the same pieces."""
    return float(one._moments.mean_product(one._lines, other._lines).sum())
