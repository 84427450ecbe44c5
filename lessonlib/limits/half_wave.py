"""When a half-wave load is allowed on the public mains.

A diode in series takes current in one half of the cycle only, and so draws direct current and even
harmonics from the mains. The rule is about a new design, and says nothing of the circuit's safety.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from lessonlib.errors import RatingError, shown
from lessonlib.limits.limit import Limit
from lessonlib.quantities import format_quantity, number

SOURCE = "IEC 61000-3-2:2018+A1:2020 cl. 6.2"
"""Half-wave rectification directly on the mains, read in a published extract. It holds for
equipment without harmonic limits too (cl. 6.1)."""

_EDITION = "2018+A1:2020"
CONTROLLED = Limit(
    "power controlled by half waves", 100, "W", "IEC 61000-3-2", "P", "clause 6.2", _EDITION
)
LOW_V, HIGH_V = 220.0, 240.0
"""Systems covered: 220/380, 230/400 and 240/415 V (cl. 6.1)."""
MOST_A = 16.0
"""For each phase (cl. 6.1, title)."""

CONDITIONS = (
    "it is the only practical way to detect an unsafe state",
    f"it controls at most {CONTROLLED.value:g} W",
    "the appliance is portable, has a two-core cord, and runs for a few minutes only",
)
"""Half-wave rectification is allowed if one of these holds. "A few minutes" has no number there."""


@dataclass(frozen=True, repr=False)
class HalfWaveRule:
    """Whether it is allowed, and the condition that allows it or what is against it."""

    allowed: bool
    reason: str

    def __repr__(self) -> str:
        return f"{'allowed' if self.allowed else 'not allowed'}: {self.reason} ({SOURCE})"


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
    _check(controlled_W, supply_voltage_V, cores)
    needed = {
        "not portable": portable,
        "three cores": cores == 2,
        "longer than a few minutes": few_minutes,
    }
    lacking = [words for words, holds in needed.items() if not holds]
    met = (only_way_to_detect_unsafe, controlled_W <= CONTROLLED.value, not lacking)
    for condition, holds in zip(CONDITIONS, met, strict=True):
        if holds:
            return HalfWaveRule(True, condition)
    return HalfWaveRule(
        False,
        f"none of its three conditions holds: {format_quantity(controlled_W, 'W')}, more than "
        f"{CONTROLLED.value:g} W; {', '.join(lacking)}; it is not the only practical way to detect "
        "an unsafe state",
    )


def _check(power_W: float, supply_V: float, cores: int) -> None:
    for name, value, unit in (
        ("controlled_W", power_W, "W"),
        ("supply_voltage_V", supply_V, "V r.m.s."),
    ):
        if not 0 < number(value) < math.inf:
            raise RatingError(
                f"found {name} = {shown(value)}; accepted: a number above 0. Give it in {unit}."
            )
    if cores not in (2, 3) or isinstance(cores, bool):
        raise RatingError(
            f"found cores = {shown(cores)}; accepted: 2, or 3 with an earth. Count the conductors "
            "of the flexible cord."
        )
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
