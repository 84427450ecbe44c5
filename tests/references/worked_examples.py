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


@dataclass(frozen=True)
class Example:
    source: str
    problem: str
    supply_V: float
    resistors: tuple[tuple[str, str, float], ...]  # first node, second node, ohm
    printed: tuple[tuple[str, str], ...]  # quantity, published answer


def appliance_of(example: Example) -> Appliance:
    lines = [f'title = "{example.source}"', "[supply]", f"voltage_V = {example.supply_V}"]
    for number, (first, second, ohms) in enumerate(example.resistors, 1):
        lines += [
            "[[element]]",
            f'name = "R{number}"',
            f'between = ["{first}", "{second}"]',
            f"resistance_ohm = {ohms!r}",
        ]
    return read_appliance("\n".join(lines))


@dataclass(frozen=True)
class Ohms:
    """Resistors, and what they are together."""

    source: str
    problem: str
    resistors: tuple[tuple[str, str, float], ...]
    printed: str


def chain(*ohms: float) -> tuple[tuple[str, str, float], ...]:
    """Resistors in series from L to N."""
    nodes = ["L", *(f"n{number}" for number in range(1, len(ohms))), "N"]
    return tuple(zip(nodes, nodes[1:], ohms, strict=False))


def side_by_side(*ohms: float) -> tuple[tuple[str, str, float], ...]:
    """Resistors in parallel from L to N."""
    return tuple(("L", "N", value) for value in ohms)


EXAMPLES = (
    Example(
        "CP Ex. 20.4 (m42344)",
        "A lamp on 12.0 V takes 2.50 A; its resistance is 4.80 ohm.",
        12.0,
        chain(4.80),
        (("current_A", "2.50 A"),),
    ),
    Example(
        "CP Ex. 20.9 (m42348)",
        "A 60.0 W lamp on 120 V a.c.: peak voltage and peak power.",
        120.0,
        chain(120**2 / 60.0),
        (
            ("power_W", "60.0 W"),
            ("R1 voltage_peak_V", "170 V"),
            ("R1 peak power_W", "120 W"),
        ),
    ),
    Example(
        "CP Ex. 21.1 (m42356)",
        "1.00, 6.00 and 13.0 ohm in series on 12.0 V.",
        12.0,
        chain(1.00, 6.00, 13.0),
        (
            ("current_A", "0.600 A"),
            ("R1 voltage_V", "0.600 V"),
            ("R2 voltage_V", "3.60 V"),
            ("R3 voltage_V", "7.80 V"),
            ("R1 power_W", "0.360 W"),
            ("R2 power_W", "2.16 W"),
            ("R3 power_W", "4.68 W"),
            ("power_W", "7.20 W"),
        ),
    ),
    Example(
        "CP Ex. 21.2 (m42356)",
        "The same three in parallel; the book adds rounded currents to 14.92 A.",
        12.0,
        side_by_side(1.00, 6.00, 13.0),
        (
            ("current_A", "14.92 A"),
            ("R1 current_A", "12.0 A"),
            ("R2 current_A", "2.00 A"),
            ("R3 current_A", "0.92 A"),
            ("R1 power_W", "144 W"),
            ("R2 power_W", "24.0 W"),
            ("R3 power_W", "11.1 W"),
            ("power_W", "179 W"),
        ),
    ),
    Example(
        "CP Prob. 20.79",
        "A 120 V, 10.0 A oven: its peak power, peak volts times peak amps, is 2.40 kW.",
        120.0,
        chain(12.0),
        (("current_A", "10.0 A"), ("R1 peak power_W", "2.40 kW")),
    ),
    Example(
        "CP Prob. 20.85",
        "220 V shorted through 0.250 ohm.",
        220.0,
        chain(0.250),
        (("current_A", "880 A"), ("power_W", "194 kW")),
    ),
    Example(
        "CP Prob. 20.87",
        "A body path of 300 kilohm on 120 V.",
        120.0,
        chain(300e3),
        (("current_A", "0.400 mA"),),
    ),
    Example(
        "CP Prob. 21.5",
        "A 30.0 W and a 2.40 kW load of 12 V, put in series by mistake.",
        12.0,
        chain(144 / 30.0, 144 / 2400),
        (("power_W", "29.6 W"),),
    ),
    Example(
        "CP Prob. 21.21",
        "A 1.58 V cell with 0.100 ohm inside it, and a load of 2.30 ohm.",
        1.58,
        chain(0.100, 2.30),
        (("current_A", "0.658 A"), ("R2 power_W", "0.997 W")),
    ),
    Example(
        "UP Ex. 9.8 (m58731)",
        "A carbon resistor that takes 3.00 mA from 9.00 V, and at 60 degrees 2.94 kilohm.",
        9.00,
        side_by_side(3000, 2940),
        (("R1 current_A", "3.00 mA"), ("R2 current_A", "3.06 mA")),
    ),
    Example(
        "UP Ex. 10.2 (m58454)",
        "Four 20 ohm and one 10 ohm in series on 9 V.",
        9.0,
        chain(20, 20, 20, 20, 10),
        (("current_A", "0.1 A"), ("power_W", "0.9 W")),
    ),
    Example(
        "UP Ex. 10.3 (m58454)",
        "1.00, 2.00 and 2.00 ohm in parallel on 3.00 V.",
        3.00,
        side_by_side(1.00, 2.00, 2.00),
        (
            ("current_A", "6.00 A"),
            ("R1 current_A", "3.00 A"),
            ("R2 current_A", "1.50 A"),
            ("R3 current_A", "1.50 A"),
        ),
    ),
    Example(
        "LEC Vol. I, Ohm's Law",
        "A 3 ohm lamp on 18 V: 6 A, 108 W.",
        18.0,
        chain(3),
        (("current_A", "6 A"), ("power_W", "108 W")),
    ),
    Example(
        "LEC Vol. I, Ohm's Law",
        "The same lamp on twice the voltage: 12 A and four times the power, 432 W.",
        36.0,
        chain(3),
        (("current_A", "12 A"), ("power_W", "432 W")),
    ),
    Example(
        "LEC Vol. I, Series and parallel",
        "3, 10 and 5 kilohm in series on 9 V.",
        9.0,
        chain(3e3, 10e3, 5e3),
        (
            ("current_A", "500 uA"),
            ("R1 voltage_V", "1.5 V"),
            ("R2 voltage_V", "5.0 V"),
            ("R3 voltage_V", "2.5 V"),
        ),
    ),
)

OHMS = (
    Ohms("CP Ex. 21.1 (m42356)", "three in series", chain(1.00, 6.00, 13.0), "20.0 ohm"),
    Ohms("CP Ex. 21.2 (m42356)", "three in parallel", side_by_side(1.00, 6.00, 13.0), "0.804 ohm"),
    Ohms("CP Prob. 21.1", "ten of 275 ohm in series", chain(*[275] * 10), "2.75 kohm"),
    Ohms("CP Prob. 21.1", "ten of 275 ohm in parallel", side_by_side(*[275] * 10), "27.5 ohm"),
    Ohms("CP Prob. 21.3", "the most that three can be", chain(36.0, 50.0, 700), "786 ohm"),
    Ohms("CP Prob. 21.3", "the least they can be", side_by_side(36.0, 50.0, 700), "20.3 ohm"),
    Ohms("UP Ex. 10.2 (m58454)", "five in series", chain(20, 20, 20, 20, 10), "90 ohm"),
    Ohms("UP Ex. 10.3 (m58454)", "three in parallel", side_by_side(1.00, 2.00, 2.00), "0.50 ohm"),
    Ohms("LEC Vol. I, Series and parallel", "three in series", chain(3e3, 10e3, 5e3), "18 kohm"),
)
