"""The steps that parts are sold in, from the smallest."""

from __future__ import annotations

from lessonlib.limits import cords, plugs
from lessonlib.limits.limit import UNSEEN, Limit, Mark

_TRADE = "what the trade sells"


def _steps(what: str, unit: str, *values: float, mark: Mark = "practice") -> tuple[Limit, ...]:
    return tuple(Limit(f"sold: {what}", one, unit, _TRADE, UNSEEN, "", mark) for one in values)


SWITCH_A = _steps("switch", "A", 3, 6, 10, 16, 20, 25)
DIODE_A = _steps("diode, mean current", "A", 1, 2, 3, 6, 10, 25)
FUSE_A = _steps("thermal fuse, current", "A", 1, 2, 5, 10, 16, 25)
FUSE_C = _steps("thermal fuse, opens at", "°C", 72, 84, 91, 98, 104, 110, 117, 121, 128, 141, 152,
                167, 184, 192, 216, 229, 240)  # fmt: skip
PLUG_FUSE_A = (plugs.FUSES[0], *_steps("plug fuse", "A", 5, mark="memory"), plugs.FUSES[1])


def cords_sold(supply_V: float) -> tuple[tuple[float, Limit], ...]:
    """Cross-sections, mm², with their rows: American ones on a mains of up to 150 V."""
    if supply_V <= cords.AMERICAN_V:
        return cords.AMPACITY
    return tuple((row.value, row) for _, row in cords.LEAST_AREA)
