"""How far the measured power of a heating appliance may be from its marked power."""

from __future__ import annotations

import math
from dataclasses import dataclass

from lessonlib.errors import ReadingError, shown
from lessonlib.quantities import number

CLAUSE = "clause 10.1 table 1"
SOURCE = (
    f"IEC 60335-1 {CLAUSE}, as quoted by GOST R IEC 335-1-94; later editions alike: from memory"
)
"""The table was read in the national twin of the 1991 edition."""

MOST_W = 100_000
"""The highest marked power accepted, W: as in an appliance file."""

# At rated voltage and normal working temperature. The first row is for every kind of appliance,
# the others for heating appliances, and for combined ones unless motors take more than half.
ROWS = ((25.0, 20.0, 0.0, None), (200.0, 10.0, 0.0, 10.0), (math.inf, 5.0, 20.0, 10.0))
"""Marked power up to which a row holds, W; how far above it is allowed, the larger of % and W; and
how far below, %, None for no limit."""


@dataclass(frozen=True)
class InputPowerLimits:
    """What an appliance marked `marked_W` may draw at its rated voltage, W, and what is allowed
    above and below in words. `low_W` is 0 where the table sets no lower limit."""

    marked_W: float
    low_W: float
    high_W: float
    above: str
    below: str
    source: str = SOURCE


def input_power_limits(marked_W: float) -> InputPowerLimits:
    """What a heating appliance marked `marked_W` may draw at its rated voltage, hot.

    Raises `ReadingError` (a `ValueError`) for anything but a number above 0, up to 100 kW.
    """
    if not 0 < number(marked_W) <= MOST_W:
        raise ReadingError(
            f"found a marked power of {shown(marked_W)}; accepted: a number of watts above 0 and "
            f"up to {MOST_W:,}. Give the power on the rating plate in W."
        )
    _, more, more_W, less = next(row for row in ROWS if marked_W <= row[0])
    high_W = marked_W + max(marked_W * more / 100, more_W)
    above = f"+{more:g} %" + (f" or {more_W:g} W, whichever is larger" if more_W else "")
    if less is None:
        return InputPowerLimits(float(marked_W), 0.0, high_W, above, "no limit")
    low_W = marked_W - marked_W * less / 100
    return InputPowerLimits(float(marked_W), low_W, high_W, above, f"−{less:g} %")
