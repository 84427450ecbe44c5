"""What lines of data cannot draw or work out for lesson 2's questions."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from lessonlib.questions.draw import Draw
from lessonlib.questions.reading import written


def elements_by_resistance(draw: Draw) -> dict[str, Any]:
    """Four markings in order of resistance: a low voltage with few watts, and a high one with many,
    so that no single figure tells."""
    first_W, step = draw.number(200, 400, 50), draw.one_of([1.5, 1.6, 1.8])
    low_V, high_V = draw.one_of([(115, 230), (110, 220), (120, 240)])
    marked = draw.shuffled(
        [(first_W, low_V), (first_W * step, high_V), (2.5 * first_W, high_V), (6 * first_W, high_V)]
    )

    def ordered(by: Callable[[float, float], float]) -> list[tuple[float, int]]:
        return sorted(marked, key=lambda each: by(*each))

    by_ohms = ordered(lambda watts, volts: volts**2 / watts)
    orders = {
        "marked": marked,
        "by_ohms": by_ohms,
        "by_ohms_down": by_ohms[::-1],
        "by_watts": ordered(lambda watts, volts: watts),
        "by_watts_down": ordered(lambda watts, volts: -watts),
        "by_volts_per_watt": ordered(lambda watts, volts: volts / watts),
    }
    ohms = {f"{w:g} W at {v} V: {v}² ÷ {w:g}": float(f"{v**2 / w:.3g}") for w, v in by_ohms}
    return {
        **{name: tuple(f"{w:g} W at {v} V" for w, v in each) for name, each in orders.items()},
        "low_V": low_V,
        "high_V": high_V,
        "worked": "\n".join(f"{step} = {written(ohm, 'Ω')}." for step, ohm in ohms.items()),
    }
