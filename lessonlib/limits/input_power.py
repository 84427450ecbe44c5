"""How far the measured power of a heating appliance may be from its marked power."""

from __future__ import annotations

import math
from dataclasses import dataclass

from lessonlib.errors import ReadingError, shown
from lessonlib.quantities import format_quantity, number

CLAUSE = "IEC 60335-1 clause 10.1 table 1"
SOURCE = f"{CLAUSE}, as quoted by GOST R IEC 335-1-94; later editions alike: from memory"
"""The table was read in the national twin of the 1991 edition."""

MOST_W = 100_000
"""The highest marked power accepted, W: as in an appliance file."""


@dataclass(frozen=True)
class DeviationRow:
    """Limits for marked powers above `over_W`, up to and including `up_to_W`.

    Above: the larger of `above_percent` and `above_W`. Below: `below_percent`, None for no limit.
    """

    over_W: float
    up_to_W: float
    above_percent: float
    above_W: float
    below_percent: float | None

    @property
    def above(self) -> str:
        """How far above the marked power is allowed, in words."""
        larger = f" or {self.above_W:g} W, whichever is larger" if self.above_W else ""
        return f"+{self.above_percent:g} %{larger}"

    @property
    def below(self) -> str:
        """How far below the marked power is allowed, in words."""
        return "no limit" if self.below_percent is None else f"−{self.below_percent:g} %"


# At rated voltage and normal working temperature. The first row is for every kind of appliance,
# the others for heating appliances, and for combined ones unless motors take more than half.
ROWS = (
    DeviationRow(0, 25, 20, 0, None),
    DeviationRow(25, 200, 10, 0, 10),
    DeviationRow(200, math.inf, 5, 20, 10),
)


@dataclass(frozen=True)
class InputPowerLimits:
    """What an appliance marked `marked_W` may draw at its rated voltage, W. `low_W` is 0 where the
    table sets no lower limit."""

    marked_W: float
    low_W: float
    high_W: float
    row: DeviationRow
    source: str = SOURCE

    def __repr__(self) -> str:
        marked, low, high = (
            format_quantity(watts, "W") for watts in (self.marked_W, self.low_W, self.high_W)
        )
        return f"marked {marked}: {low} to {high} ({self.row.above}, {self.row.below}; {CLAUSE})"


def input_power_limits(marked_W: float) -> InputPowerLimits:
    """What a heating appliance marked `marked_W` may draw at its rated voltage, hot.

    Raises `ReadingError` (a `ValueError`) for anything but a number above 0, up to 100 kW.
    """
    if not 0 < number(marked_W) <= MOST_W:
        raise ReadingError(
            f"found a marked power of {shown(marked_W)}; accepted: a number of watts above 0 and "
            f"up to {MOST_W:,}. Give the power on the rating plate in W."
        )
    row = next(row for row in ROWS if marked_W <= row.up_to_W)
    above_W = max(marked_W * row.above_percent / 100, row.above_W)
    below_W = marked_W if row.below_percent is None else marked_W * row.below_percent / 100
    return InputPowerLimits(float(marked_W), marked_W - below_W, marked_W + above_W, row)
