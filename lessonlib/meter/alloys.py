"""How much the resistance of heating wire rises from cold to hot, by alloy."""

from __future__ import annotations

import numpy as np

from lessonlib.errors import ReadingError, shown

ROOM_C = 20.0
"""Temperature at which the factors are 1, degrees Celsius."""

WIRE_C = 600.0
"""Temperature of the wire in a sheathed element at work, degrees Celsius: common practice, no
source. With the commonest alloys a wrong guess by 300 K costs about 2 %."""

_TABLE_C = (20, 100, 200, 300, 400, 500, 600, 700, 800, 900, 1000, 1100, 1200)

# Ct = R(T) / R(20 C), from one alloy producer's table of the layout of GB/T 1234 (read in a page
# that gives the table; the standard itself was not seen). A row ends where the alloy's table ends.
FACTORS: dict[str, tuple[float, ...]] = {
    "NiCr 80/20": (
        *(1.000, 1.006, 1.012, 1.018, 1.025, 1.026, 1.018),
        *(1.010, 1.008, 1.010, 1.014, 1.021, 1.025),
    ),
    "NiCr 60/15": (
        *(1.000, 1.011, 1.024, 1.038, 1.052, 1.064, 1.069),
        *(1.073, 1.078, 1.088, 1.095, 1.109),
    ),
    "NiCr 70/30": (
        *(1.000, 1.007, 1.016, 1.028, 1.038, 1.044, 1.036),
        *(1.030, 1.028, 1.029, 1.033, 1.037, 1.043),
    ),
    "NiCr 35/20": (
        *(1.000, 1.029, 1.061, 1.090, 1.115, 1.139, 1.157),
        *(1.173, 1.188, 1.208, 1.219, 1.228),
    ),
    "FeCrAl 25/5": (
        *(1.000, 1.002, 1.005, 1.008, 1.013, 1.021, 1.030),
        *(1.038, 1.040, 1.042, 1.044, 1.046, 1.047),
    ),
    "FeCrAl 21/6": (
        *(1.000, 1.000, 1.002, 1.006, 1.011, 1.020, 1.037),
        *(1.043, 1.046, 1.049, 1.052, 1.055, 1.058),
    ),
    "FeCrAl 13/4": (
        *(1.000, 1.005, 1.014, 1.028, 1.044, 1.064, 1.090),
        *(1.120, 1.132, 1.142, 1.150),
    ),
}

MAKERS_DIFFER = {"NiCr 80/20": 1.07}
"""The largest R(hot) / R(20 degrees Celsius) of the same alloy from other makers. NiCr 80/20 rises
by 2 to 7 %, depending on its maker and treatment: from memory."""


def resistance_factor(alloy: str, wire_C: float) -> float:
    """R(`wire_C`) / R(20 degrees Celsius) of the alloy, by one producer's table, with straight
    lines between its points.

    Raises `ReadingError` (a `ValueError`) for an alloy that has no table, and outside its table.
    """
    factors = FACTORS.get(alloy)
    if factors is None:
        raise ReadingError(
            f"found the alloy {shown(alloy)}; accepted: {', '.join(FACTORS)}. Use one of these, or "
            "leave the alloy out of the file: cold is then taken equal to hot."
        )
    highest = _TABLE_C[len(factors) - 1]
    if not ROOM_C <= wire_C <= highest:
        raise ReadingError(
            f"found a wire temperature of {shown(wire_C)} °C; accepted for {alloy}: {ROOM_C:g} to "
            f"{highest} °C, where its table is. Give wire_C within it."
        )
    return float(np.interp(wire_C, _TABLE_C[: len(factors)], factors))


def makers_factor(alloy: str, wire_C: float) -> float:
    """The largest R(`wire_C`) / R(20 degrees Celsius) of the alloy, whoever made it; raises what
    `resistance_factor` raises."""
    return max(resistance_factor(alloy, wire_C), MAKERS_DIFFER.get(alloy, 1.0))


def largest_factor(wire_C: float) -> float:
    """The largest R(`wire_C`) / R(20 degrees Celsius) of all alloys in the table; beyond the end of
    a row, that of its end. Raises `ReadingError` outside 20 to 1200 degrees Celsius."""
    resistance_factor("NiCr 80/20", wire_C)  # its row is as long as the table
    return max(
        float(np.interp(wire_C, _TABLE_C[: len(factors)], factors)) for factors in FACTORS.values()
    )
