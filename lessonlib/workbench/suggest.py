"""Values that the form proposes where a person may not know them. Each says what it comes from, and
none is taken without being seen."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any

from lessonlib.errors import DescriptionError

# All three are our own rules of thumb, near what the bundled appliances have; no source.
_CLOSES_SHARE = 0.75
_CLOSES_BELOW_K = 8.0
# Still air and radiation together, W per m² and K: 8 to 12 for a warm vessel, from memory.
_LOSS_W_PER_M2_K = 10.0

_KG_PER_M3 = 1000.0


def _closing_bar(values: Mapping[str, Any]) -> tuple[float, str]:
    """Where a pressure switch may close again, bar gauge, from where it opens."""
    opens = _needed(values, "opens_at_bar", "the pressure at which it opens")
    return _CLOSES_SHARE * opens, (
        "three quarters of the opening pressure. That is a rule of thumb of this workbook, without "
        "a source: the mark on the switch, or a gauge, comes first."
    )


def _closing_C(values: Mapping[str, Any]) -> tuple[float, str]:
    """Where a thermostat may close again, °C, from where it opens."""
    opens = _needed(values, "opens_at_C", "the temperature at which it opens")
    return opens - _CLOSES_BELOW_K, (
        f"{_CLOSES_BELOW_K:g} °C below where it opens. That is a rule of thumb of this workbook, "
        "without a source: the mark on the thermostat, or a thermometer, comes first."
    )


def _loss_W_per_K(values: Mapping[str, Any]) -> tuple[float, str]:
    """What a vessel may lose, W/K, from the water it holds: a can as tall as it is wide."""
    kg = _needed(values, "water_kg", "how much water it holds")
    width_m = (4 * kg / (math.pi * _KG_PER_M3)) ** (1 / 3)
    area_m2 = 1.5 * math.pi * width_m**2  # top, bottom and side
    return _LOSS_W_PER_M2_K * area_m2, (
        f"a bare can as tall as it is wide that holds {kg:g} kg of water has {area_m2:.2g} m² of "
        f"surface, and a square metre loses about {_LOSS_W_PER_M2_K:g} W for each kelvin to still "
        "air (from memory, no source). Lagged it loses less. How fast the real one cools says more."
    )


SUGGESTIONS: Mapping[tuple[str, str], Callable[[Mapping[str, Any]], tuple[float, str]]] = {
    ("pressure_switch", "closes_at_bar"): _closing_bar,
    ("thermostat", "closes_at_C"): _closing_C,
    ("vessel", "loss_W_per_K"): _loss_W_per_K,
}
"""By kind and key of the field: from the values typed to a proposed one, and what it comes from."""


def _needed(values: Mapping[str, Any], key: str, what: str) -> float:
    value = values.get(key)
    if not isinstance(value, int | float) or value <= 0:
        raise DescriptionError(f"To propose a value, this needs {what}. Type that first.")
    return float(value)
