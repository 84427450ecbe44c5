"""How numbers with units are written: three figures, a prefix where it helps, a dash for none."""

from __future__ import annotations

import math

_PREFIXES = ((1e9, "G"), (1e6, "M"), (1e3, "k"), (1.0, ""), (1e-3, "m"))


def format_quantity(value: float | None, unit: str) -> str:
    """`value` (in `unit`) to three significant figures: "1.2 kW", "5.22 A", "230 V", "0 W".

    None, and a value that is not finite, give "–". Prefixes are k, M and G above 1000, and m
    below 0.1; what is smaller than a thousandth of a milli-unit is written as 0.
    """
    if value is None or not math.isfinite(value):
        return "–"
    size = abs(value)
    if size < 1e-6:
        return f"0 {unit}"
    factor, prefix = next(
        ((f, p) for f, p in _PREFIXES[:3] if float(f"{size:.3g}") >= f),
        (1.0, "") if float(f"{size:.3g}") >= 0.1 else (1e-3, "m"),
    )
    scaled = float(f"{value / factor:.3g}")
    digits = max(0, 2 - math.floor(math.log10(abs(scaled)))) if scaled else 0
    text = f"{scaled:.{digits}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return f"{text} {prefix}{unit}"
