"""A leak from an element to the case: how much, and where along the element."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from lessonlib.diagnosis.lug_network import Resistors
from lessonlib.diagnosis.lug_readings import slack_of
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
        (one, other), low, high = self.places[0]
        if len(self.places) > 1:
            one, other = self.lugs[0], self.lugs[-1]
        if len(self.places) > 1 or high - low > 0.5:
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
    circuit: tuple[str, ...], resistors: Resistors, to_case: Mapping[int, float]
) -> Leak | None:
    """The one leak that gives these readings to the case, in ohms, from points of a circuit; None
    where no single leak does."""
    if not resistors.pairs:
        return Leak(circuit, min(to_case.values()), ())
    share = np.linspace(0, 1, _STEPS + 1)
    places, best = [], (-1.0, 0.0)
    for (one, other), own_ohm in zip(resistors.pairs, resistors.ohm, strict=True):
        # along a resistor the potential falls evenly, and 1 A put in there spreads to its two ends
        at = resistors.potential
        near = np.outer(1 - share, at[one]) + np.outer(share, at[other])
        own = (1 - share) * near[:, one] + share * near[:, other] + share * (1 - share) * own_ohm
        rest = [ohm - (at[p, p] + own - 2 * near[:, p]) for p, ohm in to_case.items()]
        slack = [[slack_of(ohm)] for ohm in to_case.values()]
        low, high = np.max(np.subtract(rest, slack), axis=0), np.min(np.add(rest, slack), axis=0)
        fits = share[(low <= high) & (high >= 0)]
        if fits.size:
            places.append(((circuit[one], circuit[other]), float(fits[0]), float(fits[-1])))
            middle = int(np.argmax(high - low))
            ohm = max(0.0, float(low[middle] + high[middle]) / 2)
            best = max(best, (float(high[middle] - low[middle]), ohm))
    return Leak(circuit, best[1], tuple(places)) if places else None
