"""A leak from an element to the case: how much, and where along the element."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from lessonlib.circuit.network import Floats
from lessonlib.diagnosis.lug_network import Resistors
from lessonlib.limits.earth import HEATER_INSULATION_OHM
from lessonlib.meter.ohmmeter import ohms

_STEPS = 2000
"""Into how many equal steps an element is divided: each is far less than a meter tells."""


@dataclass(frozen=True)
class Leak:
    """One leak in one circuit of a block. `ohm` is that of the place that fits best; `places` are
    where it may be: pairs of lugs, and between which shares of the way from the first to the
    second. Empty in a circuit of one lug."""

    lugs: tuple[str, ...]
    ohm: float
    places: tuple[tuple[tuple[str, str], float, float], ...]

    @property
    def where(self) -> str:
        """The place in words."""
        if not self.places:
            return f"from {self.lugs[0]}"
        if len(self.places) > 1:
            return f"somewhere between {' and '.join((self.lugs[0], self.lugs[-1]))}"
        (one, other), low, high = self.places[0]
        if high - low > 0.5:
            return f"somewhere between {one} and {other}"
        if high - low < 0.05:
            return f"about {50 * (low + high):.0f} % of the way from {one} to {other}"
        return f"{100 * low:.0f} to {100 * high:.0f} % of the way from {one} to {other}"

    def __str__(self) -> str:
        said = f"A leak to the case, {self.where}: {ohms(self.ohm)}."
        if self.ohm < HEATER_INSULATION_OHM:
            return (
                f"{said} Do not use it: 0.3 MΩ is the least for a class I heating appliance "
                "(VDE 0701-0702:2008 cl. 5.4)."
            )
        return f"{said} A hand meter is no insulation test: at 500 V it may be far less."


def leak_of(
    circuit: Sequence[str],
    resistors: Resistors,
    to_case: Mapping[int, float],
    slack: Mapping[int, float],
) -> Leak | None:
    """The one leak that gives these readings to the case, in ohms, from points of a circuit; None
    where no single leak does."""
    if not resistors.pairs:
        return Leak(tuple(circuit), min(to_case.values()), ())
    share = np.linspace(0, 1, _STEPS + 1)
    places, best = [], (-1.0, 0.0)
    for index, (one, other) in enumerate(resistors.pairs):
        rest = {point: ohm - _to(resistors, index, share, point) for point, ohm in to_case.items()}
        low = np.max([ohm - slack[point] for point, ohm in rest.items()], axis=0)
        high = np.min([ohm + slack[point] for point, ohm in rest.items()], axis=0)
        fits = share[(low <= high) & (high >= 0)]
        if fits.size:
            places.append(((circuit[one], circuit[other]), float(fits[0]), float(fits[-1])))
            at = int(np.argmax(high - low))
            best = max(best, (float(high[at] - low[at]), max(0.0, float(low[at] + high[at]) / 2)))
    return Leak(tuple(circuit), best[1], tuple(places)) if places else None


def _to(resistors: Resistors, index: int, share: Floats, point: int) -> Floats:
    """The resistance from a point to places along a resistor, in ohms. Along it the potential
    falls evenly, and 1 A put in there spreads to its two ends."""
    one, other = resistors.pairs[index]
    inverse = resistors.inverse
    near = (1 - share) * inverse[point, one] + share * inverse[point, other]
    own = (1 - share) ** 2 * inverse[one, one] + share**2 * inverse[other, other]
    own = own + share * (1 - share) * (2 * inverse[one, other] + resistors.ohm[index])
    return np.asarray(inverse[point, point] + own - 2 * near)
