"""Flexible cords: which cross-section for which current, and what a conductor of copper resists."""

from __future__ import annotations

import math

from lessonlib.limits.limit import UNSEEN, Limit


def _area(upto_A: float, mm2: float) -> tuple[float, Limit]:
    clause = "table 11"
    what = f"least cord conductor for up to {upto_A:g} A"
    return upto_A, Limit(what, mm2, "mm²", "IEC 60335-1", UNSEEN, clause, "S")


LEAST_AREA = (
    _area(3, 0.5),
    _area(6, 0.75),
    _area(10, 1.0),
    _area(16, 1.5),
    _area(25, 2.5),
    _area(32, 4),
    _area(40, 6),
    _area(63, 10),
)
"""Rated current of the appliance, A, up to which the cross-section is enough. A manual that names
the standard quotes it; of 0.5 mm² it says that the cord is at most 2 m long."""

_EASED = "table 11, values in brackets"
EASED_AREA = (
    (10.0, Limit("short cord, up to 10 A", 0.75, "mm²", "IEC 60335-1", UNSEEN, _EASED, "memory")),
    (16.0, Limit("short cord, up to 16 A", 1.0, "mm²", "IEC 60335-1", UNSEEN, _EASED, "memory")),
)
"""What is enough for a cord of at most `SHORT_M`."""

SHORT_M = 2.0


def _awg(gauge: int, amps: float, area_mm2: float) -> tuple[float, Limit]:
    what = f"most current of a cord of AWG {gauge}, two loaded cores"
    return area_mm2, Limit(what, amps, "A", "NEC", UNSEEN, "table 400.5(A)", "S")


AMPACITY = (
    _awg(18, 10, 0.82),
    _awg(17, 12, 1.03),
    _awg(16, 13, 1.3),
    _awg(14, 18, 2.08),
    _awg(12, 25, 3.3),
)
"""Cross-section, mm², and the current it may carry: practice of a 120 V mains. Cross-sections
are those of the law of ASTM B258 (`awg_mm2`), rounded down as they are marked."""


def least_area(supply_V: float, amps: float, length_m: float) -> Limit | None:
    """The least cross-section of a cord for that current: by the American table on a mains of up to
    150 V, by the European one above. None for more than the table has."""
    if supply_V <= AMERICAN_V:
        found = next(((mm2, row) for mm2, row in AMPACITY if amps <= row.value), None)
        if found is None:
            return None
        mm2, row = found
        return Limit(f"cord for {amps:.3g} A", mm2, "mm²", row.source, row.edition, row.clause, "S")
    strict = next((row for upto_A, row in LEAST_AREA if amps <= upto_A), None)
    if strict is LEAST_AREA[0][1] and length_m > SHORT_M:
        return LEAST_AREA[1][1]
    return strict


def eased_area(supply_V: float, amps: float, length_m: float) -> Limit | None:
    """The cross-section that a short cord may have instead; None where there is no such easing."""
    if supply_V <= AMERICAN_V or length_m > SHORT_M:
        return None
    reached = [row for upto_A, row in EASED_AREA if amps <= upto_A]
    return reached[0] if reached and amps > LEAST_AREA[1][0] else None


def carries_A(supply_V: float, area_mm2: float) -> float:
    """The current that a cord of that cross-section carries by the same tables, A; in proportion
    for less than the thinnest listed."""
    listed = [(upto_A, row.value) for upto_A, row in LEAST_AREA]
    if supply_V <= AMERICAN_V:
        listed = [(row.value, mm2) for mm2, row in AMPACITY]
    fitting = [amps for amps, mm2 in listed if mm2 <= area_mm2]
    return fitting[-1] if fitting else listed[0][0] * area_mm2 / listed[0][1]


AMERICAN_V = 150.0
"""Up to here the American table of cords is used: our own choice, between 120 V and 220 V."""


def awg_mm2(gauge: int) -> float:
    """Cross-section of a solid wire of that American gauge, mm²: ASTM B258, from memory."""
    diameter_mm = 0.127 * math.pow(92, (36 - gauge) / 39)
    return math.pi / 4 * diameter_mm**2


def _class5(mm2: float, ohm_per_km: float) -> tuple[float, Limit]:
    what = f"most resistance of a plain flexible conductor of {mm2:g} mm² at 20 °C"
    return mm2, Limit(what, ohm_per_km, "Ω/km", "IEC 60228", UNSEEN, "table 3", "S")


CLASS_5 = (
    _class5(0.5, 39.0),
    _class5(0.75, 26.0),
    _class5(1.0, 19.5),
    _class5(1.5, 13.3),
    _class5(2.5, 7.98),
    _class5(4, 4.95),
    _class5(6, 3.30),
)

WARM_FACTOR = Limit(
    "resistance at 70 °C over that at 20 °C", 1 / 0.833, "", "IEC 60228", UNSEEN, "annex", "S"
)
"""70 °C is what a common cord's insulation stands (from memory)."""

MOST_DROP = Limit("voltage lost on the way", 5, "%", "IEC 60364-5-52", UNSEEN, "annex G", "memory")
"""Of the supply, for other uses than light: meant for the whole way from the supply's intake, so a
cord that takes all of it leaves nothing for the house."""


def core_ohm_per_m(area_mm2: float) -> float:
    """Most resistance of one flexible core at 20 °C, ohm/m: of IEC 60228 where it lists that
    cross-section, and in proportion to the nearest listed one elsewhere."""
    listed, row = min(CLASS_5, key=lambda row: abs(row[0] - area_mm2))
    return row.value / 1000 * listed / area_mm2
