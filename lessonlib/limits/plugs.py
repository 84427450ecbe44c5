"""Plugs, plug fuses of the British kind, and appliance couplers."""

from __future__ import annotations

from dataclasses import dataclass

from lessonlib.limits.limit import UNSEEN, Limit

_UK = "BS 1362"
FUSES = (
    Limit("plug fuse", 3, "A", _UK, "1973", "preferred ratings", "S"),
    Limit("plug fuse", 13, "A", _UK, "1973", "preferred ratings", "S"),
)
"""Preferred ratings; any up to 13 A is allowed."""

FUSE_LOAD = Limit(
    "load of a plug fuse, over its rating", 1.01, "", "3 kW at 230 V is sold with a 13 A fuse",
    UNSEEN, "", "practice",
)  # fmt: skip

MOST_A = (
    (100.0, 130.0, None, Limit("ordinary plug, 120 V", 15, "A", "NEMA WD 6", UNSEEN, "", "memory")),
    (200.0, 260.0, True, Limit("ordinary plug, 230 V", 16, "A", "CEE 7", UNSEEN, "", "memory")),
    (220.0, 250.0, False,
     Limit("plug with a fuse of 13 A", 13 * FUSE_LOAD.value, "A", _UK, "1973", "", "S")),
)  # fmt: skip
"""Supply from and up to, V; whether the plug goes in either way, None for any; and the most that
such a plug carries."""

SMALL_LOAD_W = Limit(
    "load for which a 3 A fuse is enough", 700, "W", "UK guidance on testing", UNSEEN, "", "S"
)
"""A rule of thumb: 3 A times 230 V is 690 W."""


def _flex(mm2: float, amps: float) -> tuple[float, Limit]:
    code, table = "IET Code of Practice", "table VII.1"
    what = f"rating of a cord of {mm2:g} mm², and so its plug fuse"
    return mm2, Limit(what, amps, "A", code, "an older one", table, "S")


_THICK = Limit("most plug fuse for 1 mm²", 13, "A", "the British trade", UNSEEN, "", "practice")
CORD_FUSE = (_flex(0.5, 3), _flex(0.75, 6), (1.0, _THICK))
"""Cross-section, mm², and the most plug fuse. The first two rows are ratings of the cord."""

SHORT_CORD_FUSE = Limit(
    "most plug fuse for a cord of 0.75 mm², up to 2 m, with a moulded plug", 13, "A", "BS 1363",
    UNSEEN, "note to table 2", "S",
)  # fmt: skip
SHORT_CORD_M = 2.0


@dataclass(frozen=True)
class Coupler:
    """The connector on an appliance's cord: its current, A, class of the appliance, °C of pins."""

    name: str
    rated: Limit
    class_1: bool
    pins_C: float


def _coupler(name: str, amps: float, class_1: bool, pins_C: float) -> Coupler:
    rated = Limit(f"coupler {name}", amps, "A", "IEC 60320", UNSEEN, "standard sheets", "S")
    return Coupler(name, rated, class_1, pins_C)


COUPLERS = {
    coupler.name: coupler
    for coupler in (
        _coupler("C7", 2.5, False, 70),
        _coupler("C13", 10, True, 70),
        _coupler("C15", 10, True, 120),
        _coupler("C15A", 10, True, 155),
        _coupler("C17", 10, False, 70),
        _coupler("C19", 16, True, 70),
        _coupler("C21", 16, True, 155),
    )
}

NORTH_AMERICAN_A = {10.0: 15.0, 16.0: 20.0}
"""What a coupler of the first rating is marked with in North America, A: the same page."""
