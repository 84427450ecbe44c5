"""Published worked examples that this library must give back.

Each case states the problem in our own words, the published answer as it is printed and where it
stands, with the module id of the book's source file. Books: CP is OpenStax College Physics 2e, UP
is OpenStax University Physics Volume 2, HP is OpenStax Physics (high school), LEC is Kuphaldt,
Lessons in Electric Circuits, Volume I (5th edition). A direct-voltage example is computed with the
same r.m.s. value: r.m.s. is defined so that resistors cannot tell.

Tolerance: half a unit of the last printed digit of the published answer, unless said otherwise.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import NamedTuple

from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.reader import read_appliance

_PREFIXES = {"k": 1e3, "m": 1e-3, "u": 1e-6, "": 1.0}


@dataclass(frozen=True)
class Printed:
    """A number in figures as it stands in a book, with its unit, if any; rounding has moved it by
    half a unit of its last digit at most."""

    text: str

    @property
    def _number(self) -> Decimal:
        return Decimal(self.text.partition(" ")[0])

    @property
    def _last_digit(self) -> Decimal:
        return Decimal(1).scaleb(int(self._number.as_tuple().exponent))

    @property
    def _prefix_and_unit(self) -> tuple[str, str]:
        found = re.fullmatch("([kmu]?)(A|V|W|J|ohm|s|K|%|)", self.text.partition(" ")[2])
        assert found is not None, self.text
        return found[1], found[2]

    @property
    def unit(self) -> str:
        """Its unit without a prefix; empty for a bare number."""
        return self._prefix_and_unit[1]

    @property
    def value(self) -> float:
        """The number in `unit`."""
        return float(self._number) * _PREFIXES[self._prefix_and_unit[0]]

    @property
    def half_last_digit(self) -> float:
        """Half a unit of the last printed digit, in `unit`."""
        return float(self._last_digit) / 2 * _PREFIXES[self._prefix_and_unit[0]]

    def moved(self, digits: int) -> str:
        """The same text with its last digit so many higher, or lower."""
        unit = self.text.partition(" ")[2]
        return f"{self._number + digits * self._last_digit} {unit}".rstrip()


Resistors = tuple[tuple[str, str, float], ...]
"""First node, second node, ohm."""


class Example(NamedTuple):
    """`printed` has the published answers by quantity."""

    source: str
    supply_V: float
    resistors: Resistors
    printed: dict[str, str]


def appliance_of(supply_V: float, resistors: Resistors) -> Appliance:
    """R1, R2 and so on, on a supply."""
    lines = ['title = "Rig"', "[supply]", f"voltage_V = {supply_V}"]
    for number, (first, second, ohms) in enumerate(resistors, 1):
        lines += [
            "[[element]]",
            f'name = "R{number}"',
            f'between = ["{first}", "{second}"]',
            f"resistance_ohm = {ohms!r}",
        ]
    return read_appliance("\n".join(lines))


def chain(*ohms: float) -> Resistors:
    """Resistors in series from L to N."""
    nodes = ["L", *(f"n{number}" for number in range(1, len(ohms))), "N"]
    return tuple(zip(nodes, nodes[1:], ohms, strict=False))


def side_by_side(*ohms: float) -> Resistors:
    """Resistors in parallel from L to N."""
    return tuple(("L", "N", value) for value in ohms)


IN_SERIES = {
    "current_A": "0.600 A",
    "R1 voltage_V": "0.600 V",
    "R2 voltage_V": "3.60 V",
    "R3 voltage_V": "7.80 V",
    "R1 power_W": "0.360 W",
    "R2 power_W": "2.16 W",
    "R3 power_W": "4.68 W",
    "power_W": "7.20 W",
}
IN_PARALLEL = {
    "current_A": "14.92 A",  # the book adds rounded currents
    "R1 current_A": "12.0 A",
    "R2 current_A": "2.00 A",
    "R3 current_A": "0.92 A",
    "R1 power_W": "144 W",
    "R2 power_W": "24.0 W",
    "R3 power_W": "11.1 W",
    "power_W": "179 W",
}
LAMP = {"power_W": "60.0 W", "R1 voltage_peak_V": "170 V", "R1 peak power_W": "120 W"}
OVEN = {"current_A": "10.0 A", "R1 peak power_W": "2.40 kW"}
THREE = {"R1 current_A": "3.00 A", "R2 current_A": "1.50 A", "R3 current_A": "1.50 A"}
SHARED = {"R1 voltage_V": "1.5 V", "R2 voltage_V": "5.0 V", "R3 voltage_V": "2.5 V"}
CARBON = {"R1 current_A": "3.00 mA", "R2 current_A": "3.06 mA"}

EXAMPLES = (
    # a lamp takes 2.50 A; its resistance is 4.80 ohm
    Example("CP Ex. 20.4 (m42344)", 12.0, chain(4.80), {"current_A": "2.50 A"}),
    # a 60.0 W lamp on a.c.: peak voltage and peak power
    Example("CP Ex. 20.9 (m42348)", 120.0, chain(120**2 / 60.0), LAMP),
    Example("CP Ex. 21.1 (m42356)", 12.0, chain(1.00, 6.00, 13.0), IN_SERIES),
    Example("CP Ex. 21.2 (m42356)", 12.0, side_by_side(1.00, 6.00, 13.0), IN_PARALLEL),
    # a 10.0 A oven: its peak power is peak volts times peak amps
    Example("CP Prob. 20.79", 120.0, chain(12.0), OVEN),
    # the mains shorted through 0.250 ohm
    Example("CP Prob. 20.85", 220.0, chain(0.250), {"current_A": "880 A", "power_W": "194 kW"}),
    # a body path of 300 kilohm
    Example("CP Prob. 20.87", 120.0, chain(300e3), {"current_A": "0.400 mA"}),
    # a 30.0 W and a 2.40 kW load of 12 V, put in series by mistake
    Example("CP Prob. 21.5", 12.0, chain(144 / 30.0, 144 / 2400), {"power_W": "29.6 W"}),
    # a cell with 0.100 ohm inside it, and a load of 2.30 ohm
    Example(
        "CP Prob. 21.21", 1.58, chain(0.1, 2.3), {"current_A": "0.658 A", "R2 power_W": "0.997 W"}
    ),
    # a carbon resistor that takes 3.00 mA, and at 60 degrees has 2.94 kilohm
    Example("UP Ex. 9.8 (m58731)", 9.00, side_by_side(3000, 2940), CARBON),
    Example(
        "UP Ex. 10.2 (m58454)",
        9.0,
        chain(20, 20, 20, 20, 10),
        {"current_A": "0.1 A", "power_W": "0.9 W"},
    ),
    Example("UP Ex. 10.3 (m58454)", 3.00, side_by_side(1, 2, 2), {"current_A": "6.00 A", **THREE}),
    # a 3 ohm lamp, then on twice the voltage: four times the power
    Example("LEC Vol. I, Ohm's Law", 18.0, chain(3), {"current_A": "6 A", "power_W": "108 W"}),
    Example("LEC Vol. I, Ohm's Law", 36.0, chain(3), {"current_A": "12 A", "power_W": "432 W"}),
    Example(
        "LEC Vol. I, Series and parallel",
        9.0,
        chain(3e3, 10e3, 5e3),
        {"current_A": "500 uA", **SHARED},
    ),
)

OHMS = (
    ("CP Ex. 21.1 (m42356)", chain(1.00, 6.00, 13.0), "20.0 ohm"),
    ("CP Ex. 21.2 (m42356)", side_by_side(1.00, 6.00, 13.0), "0.804 ohm"),
    ("CP Prob. 21.1, in series", chain(*[275] * 10), "2.75 kohm"),
    ("CP Prob. 21.1, in parallel", side_by_side(*[275] * 10), "27.5 ohm"),
    ("CP Prob. 21.3, the most that three can be", chain(36.0, 50.0, 700), "786 ohm"),
    ("CP Prob. 21.3, the least they can be", side_by_side(36.0, 50.0, 700), "20.3 ohm"),
    ("UP Ex. 10.2 (m58454)", chain(20, 20, 20, 20, 10), "90 ohm"),
    ("UP Ex. 10.3 (m58454)", side_by_side(1.00, 2.00, 2.00), "0.50 ohm"),
    ("LEC Vol. I, Series and parallel", chain(3e3, 10e3, 5e3), "18 kohm"),
)
