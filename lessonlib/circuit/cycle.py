"""Solves a mains cycle exactly: diode states found and verified, means in closed form.

Within a cycle the network has no memory, so every potential and current depends only on the
instantaneous supply voltage v = peak * sin(angle), and piecewise linearly. A piece is a range of v
over which the diode states stay the same; the means over a cycle follow from how long, and with
what mean of v and of v squared, the sine stays in each piece. Nothing is sampled.

The diode states at one v minimise the heat in the resistors while no diode has more than its drop
(Maxwell's theorem of minimum heat, with the diodes as limits), so a consistent set exists unless
diodes short the supply, and every consistent set gives the same resistor currents.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product
from math import factorial

import numpy as np

from lessonlib.circuit.linear import Lines, at, lines
from lessonlib.circuit.network import Cases, Flags, Floats, Indexes, Network
from lessonlib.errors import SolverError

# Rounding of double precision, with room: a diode current or voltage this far on the wrong side,
# relative to the terms it is added up from, is zero.
_ROUNDING = 1e-12
# The next piece is entered this far (relative to the peak) beyond the end of the last one. A
# narrower piece is skipped: voltages and currents do not jump where a diode turns, so its
# neighbours stand in for it with an error of no more than this share of the peak.
_STEP = 1e-9
# Trying every set doubles its time with each diode; appliance files have no more than 12.
_MOST_DIODES_TRIED = 16


@dataclass(frozen=True, eq=False)
class CyclePiece:
    """Cases `rows` while v is between low_V and high_V (both arrays over `rows`)."""

    rows: Indexes
    low_V: Floats
    high_V: Floats
    lines: Lines


def pieces(network: Network, cases: Cases, hot: int, peak_V: float) -> Iterator[CyclePiece]:
    """Every piece of every case, from the positive peak down to the negative one."""
    rows = np.arange(len(cases))
    conducting = np.zeros(cases.join.shape, dtype=bool)
    high = np.full(len(rows), peak_V)
    if not (network.diodes and cases.diode.any()):
        yield CyclePiece(rows, -high, high, lines(network, cases, conducting, hot))
        return
    v = high
    most = 4 * len(network.diodes) ** 2 + 16
    for _ in range(most):
        found = _settled(network, cases, conducting, hot, v, peak_V)
        end, ending = _lower_end(network, cases, found, peak_V)
        low = np.minimum(end, v)
        low = np.where(low <= -peak_V * (1 - _ROUNDING), -peak_V, low)
        yield CyclePiece(rows, low, high, found)
        going_on = low > -peak_V
        if not going_on.any():
            return
        keep = np.flatnonzero(going_on)
        rows, high, cases = rows[keep], low[keep], cases.take(keep)
        conducting = found.conducting[keep]
        conducting[:, list(network.diodes)] ^= ending[keep]
        v = np.maximum(high - _STEP * peak_V, (high - peak_V) / 2)
    raise SolverError(
        f"found more than {most} changes of diode state in one cycle of "
        f"{network.appliance.title}; accepted: fewer. Next: check the diodes' connections."
    )


def _diode_lines(network: Network, found: Lines) -> tuple[Floats, Floats]:
    """The lines that must not fall below zero (cases, diodes, 1 or 2): the current of a conducting
    diode, and of a blocking one the voltage it lacks to conduct. With them the sizes of the terms
    they are added up from."""
    diodes = list(network.diodes)
    on = found.conducting[:, diodes, None]
    line = np.where(on, found.current[:, diodes], -found.voltage[:, diodes])
    size = np.where(on, found.current_size[:, diodes], found.voltage_size[:, diodes])
    if line.shape[-1] == 2:
        lacking = np.where(on[..., 0], 0.0, network.drop_V[diodes])
        line[..., 1] += lacking
        size[..., 1] += lacking
    return line, size


def _wrong(network: Network, cases: Cases, found: Lines, v: Floats, peak_V: float) -> Flags:
    """Diodes (cases, diodes) whose state contradicts the solution at the supply voltages v."""
    diodes = list(network.diodes)
    line, size = _diode_lines(network, found)
    short_of = at(line, v[:, None]) < -_ROUNDING * at(size, peak_V)
    return (short_of | found.contradicts[:, diodes]) & cases.diode[:, diodes]


def _lower_end(network: Network, cases: Cases, found: Lines, peak_V: float) -> tuple[Floats, Flags]:
    """Lowest v at which the states of `found` still hold, not below the negative peak.

    With it the diodes (cases, diodes) whose state ends there.
    """
    line, size = _diode_lines(network, found)
    slope = line[..., 0]
    falls = (slope > _ROUNDING * size[..., 0]) & cases.diode[:, list(network.diodes)]
    if line.shape[-1] == 2:
        ends = np.where(falls, -line[..., 1] / np.where(falls, slope, 1.0), -np.inf)
    else:
        ends = np.where(falls, 0.0, -np.inf)
    last = ends.max(axis=1)
    ending = falls & (ends >= last[:, None] - _ROUNDING * peak_V)
    return np.maximum(last, -peak_V), ending


def _settled(
    network: Network, cases: Cases, conducting: Flags, hot: int, v: Floats, peak_V: float
) -> Lines:
    """Lines of every case with diode states that are consistent at the supply voltages v."""
    found = lines(network, cases, conducting, hot)
    states, open_rows = conducting.copy(), np.arange(len(cases))
    for _ in range(2 * len(network.diodes) + 4):  # turn every wrong diode, again and again
        some = cases.take(open_rows)
        wrong = _wrong(network, some, found.take(open_rows), v[open_rows], peak_V)
        still = wrong.any(axis=1)
        open_rows, wrong = open_rows[still], wrong[still]
        if not len(open_rows):
            return found
        states[np.ix_(open_rows, np.array(network.diodes))] ^= wrong
        found.put(open_rows, lines(network, cases.take(open_rows), states[open_rows], hot))
    for row in open_rows.tolist():  # turning went round in circles: about once in 200 networks
        rows = np.array([row])
        found.put(rows, _first_consistent(network, cases.take(rows), hot, v[rows], peak_V))
    return found


def _first_consistent(network: Network, case: Cases, hot: int, v: Floats, peak_V: float) -> Lines:
    """Try every set of diode states of one case, fewest conducting diodes first."""
    active = np.flatnonzero(case.diode[0])
    if len(active) <= _MOST_DIODES_TRIED:
        sets = np.array(list(product((False, True), repeat=len(active))))
        sets = sets[np.argsort(sets.sum(axis=1), kind="stable")]
        for start in range(0, len(sets), 512):
            chunk = sets[start : start + 512]
            many = case.take(np.zeros(len(chunk), dtype=np.intp))
            states = np.zeros(many.join.shape, dtype=bool)
            states[:, active] = chunk
            found = lines(network, many, states, hot)
            wrong = _wrong(network, many, found, np.repeat(v, len(chunk)), peak_V)
            good = np.flatnonzero(~wrong.any(axis=1))
            if len(good):
                return found.take(good[:1])
    raise SolverError(
        f"found no consistent set of states for the {len(active)} diodes of "
        f"{network.appliance.title}; accepted: up to {_MOST_DIODES_TRIED} diodes that depend on "
        "each other. Next: describe the appliance with fewer diodes."
    )


# Integrals over -h <= t <= h of cos t - cos h, of its square, and of sin^2 t, as power series in
# h^2, over h: their closed forms are small differences of large terms where h is small.
_K = np.arange(1, 17)
_SERIES = (
    (-1.0) ** _K
    / [float(factorial(2 * k + 1)) for k in _K.tolist()]
    * np.array([-4.0 * _K, (2.0 * _K - 2) * 4.0**_K, -(4.0**_K)])
)


@dataclass(frozen=True, eq=False)
class Moments:
    """For each piece its share of the cycle, and its share of the mean of v - about_V and of
    (v - about_V)^2.

    Lines with an offset are taken about the middle of the piece. About zero, a diode that conducts
    for a moment only, near the peak, would leave a small difference of large terms.
    """

    about_V: Floats
    share: Floats
    v: Floats
    v2: Floats

    def mean(self, line: Floats) -> Floats:
        """Contribution of lines (pieces, ..., 1 or 2) to their means over a cycle."""
        if line.shape[-1] == 1:
            return _weighted(line[..., 0], self.v)
        return _weighted(line[..., 0], self.v, self._level(line), self.share)

    def mean_product(self, one: Floats, other: Floats) -> Floats:
        """Contribution of the product of two sets of lines to its mean over a cycle."""
        slopes = one[..., 0] * other[..., 0]
        if one.shape[-1] == 1:
            return _weighted(slopes, self.v2)
        here, there = self._level(one), self._level(other)
        cross = one[..., 0] * there + here * other[..., 0]
        return _weighted(slopes, self.v2, cross, self.v, here * there, self.share)

    def _level(self, line: Floats) -> Floats:
        return at(line, self.about_V[(..., *(None,) * (line.ndim - 2))])


def _weighted(*pairs: Floats) -> Floats:
    """Sum of values (cases, ...) times weights (cases), given in turn."""
    values, weights = pairs[::2], pairs[1::2]
    across = (slice(None), *(None,) * (values[0].ndim - 1))
    total = values[0] * weights[0][across]
    for value, weight in zip(values[1:], weights[1:], strict=True):
        total += value * weight[across]
    return total


def moments(low_V: Floats, high_V: Floats, peak_V: float, offsets: bool) -> Moments:
    """Closed-form integrals of v = peak sin(angle) over the angles at which low <= v <= high, for
    lines with or without `offsets`."""
    first, last = angle(low_V, peak_V), angle(high_V, peak_V)
    half = (last - first) / 2
    if not offsets:
        return Moments(
            about_V=np.zeros_like(half),
            share=2 * half / np.pi,
            v=peak_V / np.pi * (np.cos(first) - np.cos(last)),
            v2=peak_V**2 / np.pi * (half - (np.sin(2 * last) - np.sin(2 * first)) / 4),
        )
    # With t counted from the middle angle m and h = half, the piece is -h <= t <= h and
    # v - about_V = peak (sin m (cos t - cos h) + cos m sin t).
    middle = (first + last) / 2
    arch, arch2, sine2 = (_SERIES @ half ** (2 * _K[:, None])) * half
    return Moments(
        about_V=(low_V + high_V) / 2,
        share=2 * half / np.pi,
        v=peak_V / np.pi * np.sin(middle) * arch,
        v2=peak_V**2 / np.pi * (np.sin(middle) ** 2 * arch2 + np.cos(middle) ** 2 * sine2),
    )


def angle(v: Floats, peak_V: float) -> Floats:
    """arcsin(v / peak), with all its digits next to the peaks too."""
    return np.asarray(np.arctan2(v, np.sqrt(np.maximum((peak_V - v) * (peak_V + v), 0.0))))
