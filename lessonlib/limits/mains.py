"""How far the mains voltage at a socket may be from its nominal value."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class MainsRange:
    """r.m.s. voltages at the point of supply, V, and where they are published."""

    nominal_V: float
    low_V: float
    high_V: float
    source: str


RANGES = (
    MainsRange(230, 207, 253, "EN 60038, ±10 % (as quoted by trade pages)"),
    MainsRange(120, 114, 126, "ANSI C84.1 Range A, ±5 % (as quoted by a trade page)"),
)
UK = MainsRange(
    230, 216.2, 253, "IEE Wiring Regulations App. 2, +10 % and −6 % (as quoted by a trade page)"
)
"""A supply in the United Kingdom; elsewhere in Europe it may be as low as in `RANGES`."""


def mains_range(nominal_V: float) -> MainsRange | None:
    """The widest published range of a mains of `nominal_V`; None where no range is kept here."""
    return next((found for found in RANGES if found.nominal_V == nominal_V), None)
