"""The exercises against published worked examples.

An appliance is made with a book's numbers, the library computes the answer of an exercise on it,
and the book's answer, typed as it is printed, is judged: right within half a unit of its last
printed digit, wrong with that digit three higher or lower. Books are named as in
`worked_examples`; LEC Vol. II (6th edition) and Vol. III (5th edition) are of the same series.
"""

from __future__ import annotations

import math

import pytest

from lessonlib import heat_up, load_appliance, read_appliance, resistance, solve, variant, waveform
from lessonlib.appliance.parts import Appliance
from lessonlib.circuit.solution import Solution
from lessonlib.heat.water import HEAT_OF_WATER_J_PER_KGK, boiling_point_C
from lessonlib.questions.answers import Number
from lessonlib.questions.exercise import Exercise
from lessonlib.questions.marking import mark
from tests.heat.kettles import kettle, thermostat
from tests.references.worked_examples import EXAMPLES, OHMS, Printed, appliance_of, chain

# A printed value may itself be rounded from exactly half way.
HALF_WAY = 1.0001
# The books take the heat of water at 15 degrees, 4186 J/kgK; ours is the mean up to boiling.
WATER = HEAT_OF_WATER_J_PER_KGK / 4186 - 1
# CP takes 1.72e-8 ohm m for copper and UP 1.68e-8; ours is IEC 60028's 1/58.
CP_COPPER = 1 / 58 / 1.72e-2 - 1
UP_COPPER = 1 / 58 / 1.68e-2 - 1


def asking(answer: Number) -> Exercise:
    return Exercise("What comes out?", answer, (), ("Look.", "Look again."), ("Ohm's law.",))


def exercise_of(found: float, printed: str, other_constant: float = 0.0) -> Exercise:
    """Asks for what the library found, as exactly as the book prints it. `other_constant` is how
    far, as a share, a constant of the book is from ours."""
    book = Printed(printed)
    tolerance = book.half_last_digit * HALF_WAY / found + other_constant
    unit = book.unit.replace("ohm", "Ω")
    return asking(Number(found, unit, tolerance))


def assert_takes_the_printed_answer_only(exercise: Exercise, printed: str) -> None:
    assert mark(exercise, printed).verdict == "right"
    for digits in (3, -3):
        moved = Printed(printed).moved(digits)
        assert mark(exercise, moved).verdict == "wrong", moved


def assert_gives_the_printed_answer_only(
    found: float | None, printed: str, other_constant: float = 0.0
) -> None:
    assert found is not None
    exercise = exercise_of(found, printed, other_constant)
    assert_takes_the_printed_answer_only(exercise, printed)


# --- circuits


def found_in(solution: Solution, quantity: str) -> float:
    """A quantity as the examples name it: "current_A", "R2 power_W", "R1 peak power_W"."""
    name, _, key = quantity.rpartition(" ")
    if name.endswith(" peak"):
        return waveform(solution, name.removesuffix(" peak")).power_peak_W
    value: float = getattr(solution.part[name] if name else solution, key)
    return value


ANSWERS = [
    pytest.param(example, quantity, id=f"{example.source} {example.supply_V:g} V {quantity}")
    for example in EXAMPLES
    for quantity in example.printed
]


@pytest.mark.parametrize(("example", "quantity"), ANSWERS)
def test_a_circuits_printed_answer_is_right(example, quantity: str) -> None:
    found = found_in(solve(appliance_of(example.supply_V, example.resistors)), quantity)
    assert_gives_the_printed_answer_only(found, example.printed[quantity])


@pytest.mark.parametrize(("source", "resistors", "printed"), OHMS, ids=[row[0] for row in OHMS])
def test_what_an_ohmmeter_shows_of_a_books_resistors_is_its_printed_answer(
    source, resistors, printed: str
) -> None:
    assert_gives_the_printed_answer_only(metered(appliance_of(230, resistors)), printed)


def metered(appliance: Appliance) -> float:
    """Resistance from L to N, ohm."""
    found = resistance(appliance, red="L", black="N").ohm
    assert found is not None
    return found


def element(power_W: float, voltage_V: float) -> Appliance:
    """One element of a marked power on its marked voltage."""
    rig = appliance_of(voltage_V, chain(1.0))
    return variant(rig, {"R1": {"power_W": power_W, "voltage_V": voltage_V}})


def test_a_marking_gives_the_printed_resistance() -> None:
    # HP sec. 19.4 (m54446): 10 W from 18 V; UP Ex. 9.8 (m58731): 3.00 mA from 9.00 V
    assert_gives_the_printed_answer_only(metered(element(10, 18)), "32 ohm")
    assert_gives_the_printed_answer_only(metered(element(9.00 * 3.00e-3, 9.00)), "3.00 kohm")


# --- waves


def lamp_behind_diode(drop_V: float) -> Appliance:
    """10 V at 60 Hz, whose peak is 14.14 V."""
    return read_appliance(
        f"""
        title = "Lamp behind a diode"
        supply = {{ voltage_V = 10, frequency_Hz = 60 }}
        diode = [{{ name = "D1", between = ["L", "a"], forward_drop_V = {drop_V} }}]
        lamp = [{{ name = "E1", between = ["a", "N"], resistance_ohm = 5 }}]
        """
    )


def test_a_60_hertz_supply_passes_half_its_peak_its_peak_and_zero_at_the_printed_times() -> None:
    # CP Prob. 20.83: 1.39, 4.17 and 8.33 ms. A diode shows them: one that drops half the peak
    # turns on there and off again as long after the peak; one without a drop turns off at zero.
    on_s, off_s = waveform(solve(lamp_behind_diode(math.sqrt(50))), "E1").breakpoints_s
    _, zero_s = waveform(solve(lamp_behind_diode(0)), "E1").breakpoints_s
    for found_s, printed in (
        (on_s, "1.39 ms"),
        ((on_s + off_s) / 2, "4.17 ms"),
        (zero_s, "8.33 ms"),
    ):
        assert_gives_the_printed_answer_only(found_s, printed)


def test_a_supply_of_the_printed_effective_voltage_has_the_printed_peak() -> None:
    # CP Prob. 20.73 asks the other way round: a peak of 679 V is 480 V r.m.s.
    found = solve(appliance_of(480.0, chain(100.0))).part["R1"].voltage_peak_V
    assert_gives_the_printed_answer_only(found, "679 V")


def test_the_form_factor_of_a_sine_is_the_printed_one() -> None:
    # LEC Vol. II, Measurements of AC magnitude: 1.11.
    voltage = waveform(solve(load_appliance("tea-urn"))).voltage
    assert voltage is not None
    factor = voltage.rms / voltage.mean_absolute
    assert_gives_the_printed_answer_only(factor, "1.11")


@pytest.mark.parametrize("typed", ["1/2", "0.5", "50 %"])
def test_a_diode_leaves_the_printed_half_of_the_power(typed: str) -> None:
    # LEC Vol. III, Rectifier circuits: a lamp behind a diode has about half its power.
    melter = load_appliance("wax-melter")
    half, full = (solve(melter, {"S1": "on", "S2": position}) for position in ("half", "full"))
    # "about": a tenth either way
    share = Number(100 * half.power_W / full.power_W, "%", 0.1)
    assert mark(asking(share), typed).verdict == "right"
    assert mark(asking(share), "1/4").verdict == "wrong"


# --- heat


def pan(**of: float) -> float:
    """Heat from 20 to 80 degrees at 1 kW, without losses."""
    return heat_up(kettle(1000, thermostat(80, 40), start_C=20, **of), minutes=5).energy.heat_J


def used(power_W: float, hours: float) -> float:
    """What is drawn in that time, kWh, in a vessel that loses the heat at once."""
    leaky = kettle(power_W, heat_capacity_J_per_K=1000, loss_W_per_K=1000)
    return heat_up(leaky, minutes=60 * hours).energy.drawn_J / 3.6e6


ALUMINIUM = {"heat_capacity_J_per_K": 0.500 * 900}
FILLED_J = pan(water_kg=0.250, **ALUMINIUM)
GLASS = {"heat_capacity_J_per_K": 0.0500 * 840, "start_C": 22}
FROM_ICE = heat_up(kettle(20_000, water_kg=0.200, start_C=0), minutes=1)
BOILS_S = FROM_ICE.first_s("boils")
BOILING = heat_up(kettle(1000, water_kg=1, start_C=boiling_point_C()), minutes=60)
DRY_TISSUE_J_PER_K = 3.5 - 0.0005 * HEAT_OF_WATER_J_PER_KGK
TISSUE = {"water_kg": 0.0005, "heat_capacity_J_per_K": DRY_TISSUE_J_PER_K, "start_C": 37}
METAL = {"heat_capacity_J_per_K": 2.00 * 0.200 * 4.186, "start_C": 20}
# three fifths of the time, as the model stops at 660 °C
HOT = heat_up(kettle(120**2 / 0.500, **METAL), minutes=0.0300 / 60)


@pytest.mark.parametrize(
    ("source", "found", "printed", "other_constant"),
    [
        # 0.500 kg of aluminium, 0.250 kg of water in it, both; the share of the aluminium
        ("CP Ex. 14.1 (m42224)", pan(**ALUMINIUM), "27.0 kJ", 0),
        ("CP Ex. 14.1 (m42224)", pan(water_kg=0.250), "62.8 kJ", WATER),
        ("CP Ex. 14.1 (m42224)", FILLED_J, "89.8 kJ", WATER),
        ("CP Ex. 14.1 (m42224)", 100 * pan(**ALUMINIUM) / FILLED_J, "30.1 %", WATER),
        # 50.0 g of glass (840 J/kgK) from 22.0 to 95.0 degrees
        (
            "CP Prob. 14.3",
            heat_up(kettle(100, thermostat(95, 40), **GLASS), minutes=2).energy.heat_J,
            "3.07e3 J",
            0,
        ),
        # 0.200 kg of water from 0 to 100 degrees at 20.0 kW, and boiled away
        ("CP Prob. 14.17", BOILS_S, "4.19 s", 0),
        ("CP Prob. 14.17", FROM_ICE.first_s("dry") - BOILS_S, "22.6 s", 0),
        # 1 kg of water at its boiling point into steam; ours is SR1-86, 0.02 % from IAPWS-95
        ("CP Table 14.2", BOILING.energy.steam_J, "2256 kJ", 2e-4),
        # 1.00 g of tissue (3500 J/kgK) from 37 degrees at 30 W, until 0.500 g of water is gone
        ("CP Prob. 20.62", heat_up(kettle(30, **TISSUE), minutes=2).first_s("dry"), "45.0 s", 0),
        # 120 V on 0.500 ohm for 0.0500 s, in 2.00 g of metal of 0.200 cal/gK (4.186 J/cal)
        ("CP Prob. 20.93", (HOT.temperature_C(HOT.end_s) - 20) * 5 / 3, "860 K", 0),
        # 1 kW for an hour
        ("CP Prob. 20.48", used(1000, 1) * 3.6e6, "3.60e6 J", 0),
        # a 5.00 kW heater 2.00 h a day for a year at 12.0 cents a kWh, in dollars
        ("CP Prob. 20.50", 365 * 0.120 * used(5000, 2), "438", 0),
        # a 15 W lamp for 1000 h at 12 cents, a tenth of whose own 1.50 dollars is used up
        ("CP Ex. 20.8 (m42714)", 0.12 * used(15, 1000) + 1.50 / 10, "1.95", 0),
    ],
)
def test_what_warming_takes_is_the_printed_answer(
    source, found: float, printed: str, other_constant: float
) -> None:
    assert_gives_the_printed_answer_only(found, printed, other_constant)


# --- conductors, where a book's copper is another


def copper(length_m: float, diameter_mm: float) -> Appliance:
    return read_appliance(
        f"""
        title = "Copper"
        supply.voltage_V = 1
        [[link]]
        name = "W1"
        between = ["L", "N"]
        length_m = {length_m}
        area_mm2 = {math.pi * diameter_mm**2 / 4}
        """
    )


def test_20_metres_of_copper_have_the_printed_resistance() -> None:
    # CP Prob. 20.24: 20.0 m of 2.053 mm. The book's copper is 0.24 % better, less than it prints.
    assert_gives_the_printed_answer_only(metered(copper(20.0, 2.053)), "0.104 ohm")


def test_5_metres_differ_from_the_printed_resistance_by_the_books_better_copper_only() -> None:
    # UP Ex. 9.5 (m58731): 5 m of 2.053 mm are 0.025 ohm with its 1.68e-8 ohm m; ours are 0.026.
    found = metered(copper(5, 2.053))
    assert mark(exercise_of(found, "0.025 ohm"), "0.025 ohm").verdict == "wrong"
    assert mark(exercise_of(found, "0.025 ohm", UP_COPPER), "0.025 ohm").verdict == "right"


# --- answers that are printed wrong: refused as they stand, and taken as corrected


def test_a_resistance_that_is_printed_wrong_is_refused_and_the_corrected_one_taken() -> None:
    # UP Chall. 9.93 prints 12.27 ohm for its 1045 W (which is right) at 115 V; 115 V squared over
    # 1045 W is 12.66 ohm.
    exercise = exercise_of(metered(element(1045, 115)), "12.66 ohm")
    assert mark(exercise, "12.27 ohm").verdict == "wrong"
    assert_takes_the_printed_answer_only(exercise, "12.66 ohm")


def test_a_loss_that_is_printed_wrong_is_refused_and_the_corrected_one_taken() -> None:
    # CP Prob. 20.58 prints 25.5 W for 100 A in 1 km of 9.266 mm copper; 25.5 W would need 10 A, and
    # 100 A lose 2.55 kW.
    wire = copper(1000, 9.266)
    found = solve(wire, supply_voltage_V=100 * metered(wire)).power_W
    exercise = exercise_of(found, "2.55 kW", CP_COPPER)
    assert mark(exercise, "25.5 W").verdict == "wrong"
    assert_takes_the_printed_answer_only(exercise, "2.55 kW")
