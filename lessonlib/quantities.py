"""Writes numbers with their units to three figures, and says what counts as a number."""

from __future__ import annotations

import math
from numbers import Real

_LARGE = ((1e9, "G"), (1e6, "M"), (1e3, "k"))


def format_quantity(value: float | None, unit: str) -> str:
    """`value` (in `unit`) to three figures: "5.22 A", "230 V", "1501 W", "4.35 mA", "0 W".

    Rating plates give watts without a prefix, so powers below 10 kW are written as whole watts
    and can be compared at a glance; other units get k, M, G from 1000. Below 0.1 the prefix is m.
    Less than a millionth of the unit is written as 0. None, and what is not finite, give "–".
    """
    if value is None or not math.isfinite(value):
        return "–"
    size = abs(value)
    if size < 1e-6:
        return f"0 {unit}"
    factor, prefix = 1.0, ""
    if size < 0.09995:  # from here three figures round up to 0.1
        factor, prefix = 1e-3, "m"
    elif size >= (9999.5 if unit == "W" else 999.5):
        factor, prefix = next((f, p) for f, p in _LARGE if size >= 0.9995 * f)
    scaled = value / factor
    digits = 0 if abs(scaled) >= 99.95 else 1 if abs(scaled) >= 9.995 else 2
    text = f"{scaled:.{digits}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return f"{text} {prefix}{unit}"


def number(value: object) -> float:
    """`value` as a float; NaN for anything but a number (True and False do not count as numbers),
    infinite for one that is too large."""
    if isinstance(value, bool) or not isinstance(value, Real):
        return math.nan
    try:
        return float(value)
    except OverflowError:
        return math.inf
