"""Published worked examples that this solver must give back.

Each case states the problem in our own words, the published answer and where it stands, with the
module id of the book's source file. Books: CP is OpenStax College Physics 2e, UP is OpenStax
University Physics Volume 2, HP is OpenStax Physics (high school), LEC is Kuphaldt, Lessons in
Electric Circuits, Volume I (5th edition). A direct-voltage example is computed with the same
r.m.s. value: r.m.s. is defined so that resistors cannot tell.

Tolerance: half a unit of the last printed digit of the published answer, unless said otherwise.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Example:
    source: str
    problem: str
    supply_V: float
    resistors: tuple[tuple[str, str, float], ...]  # first node, second node, ohm
    expected: tuple[tuple[str, float, float], ...]  # quantity, published value, half last digit


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
        (("current_A", 2.50, 0.005),),
    ),
    Example(
        "CP Ex. 20.9 (m42348)",
        "A 60.0 W lamp on 120 V a.c.: the peak voltage is 170 V.",
        120.0,
        chain(120**2 / 60.0),
        (("power_W", 60.0, 0.05), ("R1 voltage_peak_V", 170, 0.5)),
    ),
    Example(
        "CP Ex. 21.1 (m42356)",
        "1.00, 6.00 and 13.0 ohm in series on 12.0 V.",
        12.0,
        chain(1.00, 6.00, 13.0),
        (
            ("current_A", 0.600, 0.0005),
            ("R1 voltage_V", 0.600, 0.0005),
            ("R2 voltage_V", 3.60, 0.005),
            ("R3 voltage_V", 7.80, 0.005),
            ("R1 power_W", 0.360, 0.0005),
            ("R2 power_W", 2.16, 0.005),
            ("R3 power_W", 4.68, 0.005),
            ("power_W", 7.20, 0.005),
        ),
    ),
    Example(
        "CP Ex. 21.2 (m42356)",
        "The same three in parallel; the book adds rounded currents to 14.92 A.",
        12.0,
        side_by_side(1.00, 6.00, 13.0),
        (
            ("current_A", 14.92, 0.005),
            ("R1 current_A", 12.0, 0.05),
            ("R2 current_A", 2.00, 0.005),
            ("R3 current_A", 0.92, 0.005),
            ("R1 power_W", 144, 0.5),
            ("R2 power_W", 24.0, 0.05),
            ("R3 power_W", 11.1, 0.05),
            ("power_W", 179, 0.5),
        ),
    ),
    Example(
        "CP Prob. 20.18",
        "3.60 ohm on 3.00 V.",
        3.00,
        chain(3.60),
        (("current_A", 0.833, 0.0005),),
    ),
    Example(
        "CP Prob. 20.79",
        "A 120 V, 10.0 A oven: its peak power, peak volts times peak amps, is 2.40 kW.",
        120.0,
        chain(12.0),
        (("current_A", 10.0, 0.05), ("R1 peak power_W", 2400, 5)),
    ),
    Example(
        "CP Prob. 20.85",
        "220 V shorted through 0.250 ohm.",
        220.0,
        chain(0.250),
        (("current_A", 880, 0.5), ("power_W", 194e3, 500)),
    ),
    Example(
        "CP Prob. 20.87",
        "A body path of 300 kilohm on 120 V.",
        120.0,
        chain(300e3),
        (("current_A", 0.400e-3, 0.0005e-3),),
    ),
    Example(
        "CP Prob. 20.87",
        "A wet body path of 4500 ohm on 120 V.",
        120.0,
        chain(4500),
        (("current_A", 26.7e-3, 0.05e-3),),
    ),
    Example(
        "CP Prob. 21.5",
        "A 30.0 W and a 2.40 kW load of 12 V, put in series by mistake.",
        12.0,
        chain(144 / 30.0, 144 / 2400),
        (("power_W", 29.6, 0.05),),
    ),
    Example(
        "UP Ex. 10.2 (m58454)",
        "Four 20 ohm and one 10 ohm in series on 9 V.",
        9.0,
        chain(20, 20, 20, 20, 10),
        (("current_A", 0.1, 0.05), ("power_W", 0.9, 0.05)),
    ),
    Example(
        "UP Ex. 10.3 (m58454)",
        "1.00, 2.00 and 2.00 ohm in parallel on 3.00 V.",
        3.00,
        side_by_side(1.00, 2.00, 2.00),
        (
            ("current_A", 6.00, 0.005),
            ("R1 current_A", 3.00, 0.005),
            ("R2 current_A", 1.50, 0.005),
            ("R3 current_A", 1.50, 0.005),
        ),
    ),
    Example(
        "HP sec. 19.4 (m54446)",
        "A 60 W lamp at 120 V takes 0.50 A.",
        120.0,
        chain(120**2 / 60),
        (("current_A", 0.50, 0.005),),
    ),
    Example(
        "HP sec. 19.4 (m54446)",
        "A 10 W heater on 18 V takes 0.56 A (the book rounds its resistance to 32 ohm).",
        18.0,
        chain(18**2 / 10),
        (("current_A", 0.56, 0.005),),
    ),
    Example(
        "LEC Vol. I, Ohm's Law",
        "A 3 ohm lamp on 18 V: 6 A, 108 W.",
        18.0,
        chain(3),
        (("current_A", 6, 0.5), ("power_W", 108, 0.5)),
    ),
    Example(
        "LEC Vol. I, Ohm's Law",
        "The same lamp on twice the voltage: 12 A and four times the power, 432 W.",
        36.0,
        chain(3),
        (("current_A", 12, 0.5), ("power_W", 432, 0.5)),
    ),
    Example(
        "LEC Vol. I, Series and parallel",
        "3, 10 and 5 kilohm in series on 9 V.",
        9.0,
        chain(3e3, 10e3, 5e3),
        (
            ("current_A", 500e-6, 0.5e-6),
            ("R1 voltage_V", 1.5, 0.05),
            ("R2 voltage_V", 5.0, 0.05),
            ("R3 voltage_V", 2.5, 0.05),
        ),
    ),
)
