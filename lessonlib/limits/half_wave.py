"""When a half-wave load is allowed on the public mains.

A diode in series takes current in one half of the cycle only, and so draws direct current and even
harmonics from the mains. The rule is about a new design, and says nothing of the circuit's safety.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from lessonlib.errors import RatingError, shown
from lessonlib.quantities import format_quantity, number

SOURCE = "IEC 61000-3-2:2018+A1:2020 cl. 6.2"
"""Half-wave rectification directly on the mains, read in a published extract. It holds for
equipment without harmonic limits too (cl. 6.1)."""

MOST_CONTROLLED_W = 100.0
LOW_V, HIGH_V = 220.0, 240.0
"""Systems covered: 220/380, 230/400 and 240/415 V (cl. 6.1)."""
MOST_A = 16.0
"""For each phase (cl. 6.1, title)."""

CONDITIONS = (
    "it is the only practical way to detect an unsafe state",
    f"it controls at most {MOST_CONTROLLED_W:g} W",
    "the appliance is portable, has a two-core cord, and runs for a few minutes only",
)
"""Half-wave rectification is allowed if one of these holds. "A few minutes" has no number there."""


@dataclass(frozen=True, repr=False)
class HalfWaveRule:
    """Whether it is allowed, the condition that allows it or what is against it, and the source."""

    allowed: bool
    reason: str
    source: str

    def __repr__(self) -> str:
        return f"{'allowed' if self.allowed else 'not allowed'}: {self.reason} ({self.source})"


def half_wave_allowed(
    controlled_W: float,
    *,
    cores: int,
    portable: bool,
    few_minutes: bool,
    only_way_to_detect_unsafe: bool = False,
    supply_voltage_V: float = 230,
) -> HalfWaveRule:
    """Whether a new design may put a diode in series with `controlled_W` on the mains.

    `controlled_W` is the power of the elements behind the diode with the diode bridged. `cores` is
    the number of conductors of the flexible cord: two, or three with an earth. `few_minutes` says
    whether it is run for a few minutes at a time only: the clause gives no number.

    Raises `RatingError` (a `ValueError`) for a supply or current that the standard does not cover,
    and for impossible values.

    >>> half_wave_allowed(60, cores=3, portable=False, few_minutes=False).allowed
    True
    """
    power_W = _positive("controlled_W", controlled_W, "W")
    supply_V = _positive("supply_voltage_V", supply_voltage_V, "V r.m.s.")
    if cores not in (2, 3) or isinstance(cores, bool):
        raise RatingError(
            f"found cores = {shown(cores)}; accepted: 2, or 3 with an earth. Count the conductors "
            "of the flexible cord."
        )
    _check_covered(power_W, supply_V)
    short = portable and cores == 2 and few_minutes
    met = (only_way_to_detect_unsafe, power_W <= MOST_CONTROLLED_W, short)
    for condition, holds in zip(CONDITIONS, met, strict=True):
        if holds:
            return HalfWaveRule(True, condition, SOURCE)
    lacking = [
        word
        for word, has in (
            ("not portable", portable),
            ("three cores", cores == 2),
            ("longer than a few minutes", few_minutes),
        )
        if not has
    ]
    reason = (
        f"none of its three conditions holds: {format_quantity(power_W, 'W')}, more than "
        f"{MOST_CONTROLLED_W:g} W; "
        f"{', '.join(lacking)}; it is not the only practical way to detect an unsafe state"
    )
    return HalfWaveRule(False, reason, SOURCE)


def _check_covered(power_W: float, supply_V: float) -> None:
    if not LOW_V <= supply_V <= HIGH_V:
        raise RatingError(
            f"found a supply of {supply_V:g} V; accepted: {LOW_V:g} to {HIGH_V:g} V, which is what "
            f"{SOURCE} covers. Look up the rule of that supply's country."
        )
    if power_W / supply_V > MOST_A:
        raise RatingError(
            f"found {power_W / supply_V:.4g} A ({power_W:g} W at {supply_V:g} V); accepted: at "
            f"most {MOST_A:g} A for each phase, which is what {SOURCE} covers. Look up the "
            "standard for larger equipment."
        )


def _positive(name: str, value: object, unit: str) -> float:
    if 0 < number(value) < math.inf:
        return number(value)
    raise RatingError(
        f"found {name} = {shown(value)}; accepted: a number above 0. Give it in {unit}."
    )
