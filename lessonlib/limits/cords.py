"""Flexible cords: which cross-section for which current, and what a conductor of copper resists."""

from __future__ import annotations

from dataclasses import replace

from lessonlib.limits.limit import Limit, Rows, rows

_SAFETY, _CABLES = "IEC 60335-1", "IEC 60228"

LEAST_AREA = rows(
    "least cord conductor for up to {} A",
    {3: 0.5, 6: 0.75, 10: 1.0, 16: 1.5, 25: 2.5, 32: 4, 40: 6, 63: 10},
    "mm²", _SAFETY, "S", "table 11",
)  # fmt: skip
"""Rated current of the appliance, A, up to which the cross-section is enough. A manual that names
the standard quotes it; of 0.5 mm² it says that the cord is at most 2 m long."""

EASED_AREA = rows(
    "short cord, up to {} A", {10: 0.75, 16: 1.0},
    "mm²", _SAFETY, "memory", "table 11, values in brackets",
)  # fmt: skip
"""What is enough for a cord of at most `SHORT_M`."""

SHORT_M = 2.0


def _awg(gauge: int, amps: float, mm2: float) -> tuple[float, Limit]:
    what = f"most current of a cord of AWG {gauge}, two loaded cores"
    return mm2, Limit(what, amps, "A", "NEC", "S", "table 400.5(A)")


AMPACITY = (
    _awg(18, 10, 0.82),
    _awg(17, 12, 1.03),
    _awg(16, 13, 1.3),
    _awg(14, 18, 2.08),
    _awg(12, 25, 3.3),
)
"""Cross-section, mm², and the current it may carry: practice of a 120 V mains. Cross-sections
are those of the law of ASTM B258, rounded down as they are marked."""
AMERICAN_V = 150.0
"""Up to here the American table of cords is used: our own choice, between 120 V and 220 V."""

CLASS_5 = rows(
    "most resistance of a plain flexible conductor of {} mm² at 20 °C",
    {0.5: 39.0, 0.75: 26.0, 1.0: 19.5, 1.5: 13.3, 2.5: 7.98, 4: 4.95, 6: 3.30},
    "Ω/km", _CABLES, "S", "table 3",
)  # fmt: skip

WARM_FACTOR = Limit("resistance at 70 °C over that at 20 °C", 1 / 0.833, "", _CABLES, "S", "annex")
"""70 °C is what a common cord's insulation stands (from memory)."""

MOST_DROP = Limit("voltage lost on the way", 5, "%", "IEC 60364-5-52", "memory", "annex G")
"""Of the supply, for other uses than light: meant for the whole way from the supply's intake, so a
cord that takes all of it leaves nothing for the house."""


def least_area(supply_V: float, amps: float, length_m: float) -> Limit | None:
    """The least cross-section of a cord for that current: by the American table on a mains of up to
    150 V, by the European one above. None for more than the table has."""
    if supply_V <= AMERICAN_V:
        found = ((mm2, row) for mm2, row in AMPACITY if amps <= row.value)
        what = f"cord for {amps:.3g} A"
        return next((replace(row, what=what, value=mm2, unit="mm²") for mm2, row in found), None)
    enough = [row for upto_A, row in LEAST_AREA if amps <= upto_A]
    too_long = len(enough) == len(LEAST_AREA) and length_m > SHORT_M
    return next(iter(enough[1:] if too_long else enough), None)


def eased_area(supply_V: float, amps: float, length_m: float) -> Limit | None:
    """The cross-section that a short cord may have instead; None where there is no such easing."""
    eases = supply_V > AMERICAN_V and length_m <= SHORT_M and amps > LEAST_AREA[1][0]
    return next((row for upto_A, row in EASED_AREA if eases and amps <= upto_A), None)


def carries_A(supply_V: float, area_mm2: float) -> float:
    """The current that a cord of that cross-section carries by the same tables, A; in proportion
    for less than the thinnest listed."""
    listed = [(row.value, upto_A) for upto_A, row in LEAST_AREA]
    if supply_V <= AMERICAN_V:
        listed = [(mm2, row.value) for mm2, row in AMPACITY]
    fitting = [amps for mm2, amps in listed if mm2 <= area_mm2]
    return fitting[-1] if fitting else listed[0][1] * area_mm2 / listed[0][0]


def cords_sold(supply_V: float) -> Rows:
    """Cross-sections, mm², with their rows: American ones on a mains of up to 150 V."""
    if supply_V <= AMERICAN_V:
        return AMPACITY
    return tuple((row.value, row) for _, row in LEAST_AREA)


def core_ohm_per_m(area_mm2: float) -> float:
    """Most resistance of one flexible core at 20 °C, ohm/m: of IEC 60228 where it lists that
    cross-section, and in proportion to the nearest listed one elsewhere."""
    listed, row = min(CLASS_5, key=lambda row: abs(row[0] - area_mm2))
    return row.value / 1000 * listed / area_mm2
