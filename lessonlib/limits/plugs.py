"""Plugs, plug fuses of the British kind, and appliance couplers."""

from __future__ import annotations

from dataclasses import dataclass

from lessonlib.limits.limit import Limit, Rows, rows, sold

_UK, _MOULDED = "BS 1362", "most plug fuse for a cord of 0.75 mm², up to 2 m, with a moulded plug"
FUSES = tuple(
    Limit("plug fuse", amps, "A", _UK, "S", "preferred ratings", "1973") for amps in (3, 13)
)
"""Preferred ratings; any up to 13 A is allowed."""
FUSES_A = (FUSES[0], *sold("plug fuse", "A", 5, mark="memory"), FUSES[1])

_3_KW = "3 kW at 230 V is sold with a 13 A fuse"
FUSE_LOAD = Limit("load of a plug fuse, over its rating", 1.01, "", _3_KW, "practice")

MOST_A = (
    (100.0, 130.0, None, Limit("ordinary plug, 120 V", 15, "A", "NEMA WD 6", "memory")),
    (200.0, 260.0, True, Limit("ordinary plug, 230 V", 16, "A", "CEE 7", "memory")),
    (220.0, 250.0, False,
     Limit("plug with a fuse of 13 A", 13 * FUSE_LOAD.value, "A", _UK, "S", edition="1973")),
)  # fmt: skip
"""Supply from and up to, V; whether the plug goes in either way, None for any; and the most that
such a plug carries."""

SMALL_LOAD_W = Limit("load for which a 3 A fuse is enough", 700, "W", "UK guidance on testing", "S")
"""A rule of thumb: 3 A times 230 V is 690 W."""

_THICK = Limit("most plug fuse for 1 mm²", 13, "A", "the British trade", "practice")
CORD_FUSE: Rows = (
    *rows(
        "rating of a cord of {} mm², and so its plug fuse", {0.5: 3, 0.75: 6},
        "A", "IET Code of Practice", "S", "table VII.1", "an older one",
    ),
    (1.0, _THICK),
)  # fmt: skip
"""Cross-section, mm², and the most plug fuse. The first two rows are ratings of the cord."""

SHORT_CORD_FUSE = Limit(_MOULDED, 13, "A", "BS 1363", "S", "note to table 2")
SHORT_CORD_M = 2.0


@dataclass(frozen=True)
class Coupler:
    """The connector on an appliance's cord: its current, A, class of the appliance, °C of pins."""

    name: str
    rated: Limit
    class_1: bool
    pins_C: float


COUPLERS = {
    name: Coupler(
        name, Limit(f"coupler {name}", amps, "A", "IEC 60320", "S", "standard sheets"), cls, pins_C
    )
    for name, amps, cls, pins_C in (
        ("C7", 2.5, False, 70),
        ("C13", 10, True, 70),
        ("C15", 10, True, 120),
        ("C15A", 10, True, 155),
        ("C17", 10, False, 70),
        ("C19", 16, True, 70),
        ("C21", 16, True, 155),
    )
}

NORTH_AMERICAN_A = {10.0: 15.0, 16.0: 20.0}
"""What a coupler of the first rating is marked with in North America, A: the same page."""
