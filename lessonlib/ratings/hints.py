"""What a reading may mean that no setting and no single fault of the file explains."""

from __future__ import annotations

import math

from lessonlib.ratings.expected import Expected
from lessonlib.ratings.readings import MeterReading

# By unit: a share of the expected value, and what commonly gives it. All follow from Ohm's law.
_SHARES: dict[str, tuple[tuple[float, str], ...]] = {
    "W": (
        (
            0.5,
            "about half: as if one of two equal elements were out, or a diode passes half a cycle",
        ),
        (
            0.25,
            "about a quarter: as with equal elements in series, or half the volts",
        ),
        (2, "about twice: as if a second equal element were in, or a diode is bridged"),
        (4, "about four times: as with equal elements side by side, not in series"),
    ),
    "A": (
        (math.sqrt(0.5), "about 0.71 of it: a diode passes one half cycle"),
        (0.5, "about half: as if one of two equal elements were out, or half the volts"),
        (0.25, "about a quarter: as with equal elements in series, not side by side"),
        (2, "about twice: as if a second equal element were in"),
        (4, "about four times: as with equal elements side by side, not in series"),
    ),
    "Ω": (
        (2, "about twice: as if one of two equal elements side by side were out"),
        (4, "about four times: as with equal elements in series, not side by side"),
        (0.5, "about half: as if a second equal element were in, side by side"),
        (0.25, "about a quarter: as with equal elements side by side, not in series"),
    ),
}

_ABOUT = 0.1  # what limits on marked powers mostly leave room for


def hint(reading: MeterReading, expected: Expected) -> str:
    """The one thing to think of next."""
    value, tolerance, is_ohms = reading.value, reading.tolerance, reading.unit == "Ω"
    if math.isnan(expected.value):
        return "by the file this setting shorts the supply: check the file"
    if math.isinf(value) or (value <= tolerance and not is_ohms):
        return "more than one part is open, or the cord, the plug or the fuse in it"
    if math.isinf(expected.value) or (expected.value == 0 and not is_ohms):
        return "a path that the file does not have, such as damp: leave it unplugged until found"
    for thousand, words in ((1e3, "large"), (1e-3, "small")):
        if abs(value - thousand * expected.value) <= _ABOUT * thousand * expected.value:
            return (
                f"about 1000 times too {words}: does the meter show a k or an m beside the number?"
            )
    for share, words in _SHARES[reading.unit]:
        if abs(value - share * expected.value) <= _ABOUT * share * expected.value:
            return words
    if (value < expected.value) == is_ohms:
        return "part of an element is bridged, or a path is not in the file: leave it unplugged"
    return "a joint or contact has resistance, or part of an element is not reached"
