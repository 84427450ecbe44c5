"""The exercises against published worked examples.

An appliance is made with a book's numbers, the library computes the answer of an exercise on it,
and the book's answer, typed as it is printed, is judged: right within half a unit of its last
printed digit, wrong with that digit three higher or lower. Books are named as in
`worked_examples`; LEC Vol. II (6th edition) and Vol. III (5th edition) are of the same series.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import pytest

from lessonlib import heat_up, load_appliance, read_appliance, resistance, solve, variant, waveform
from lessonlib.appliance.parts import Appliance
from lessonlib.circuit.solution import Solution
from lessonlib.heat.result import HeatRun
from lessonlib.heat.water import HEAT_OF_WATER_J_PER_KGK, boiling_point_C
from lessonlib.questions.answers import CellTable, Number
from lessonlib.questions.answers.answer import Answer
from lessonlib.questions.exercise import Exercise, Slip
from lessonlib.questions.marking import mark
from tests.heat.kettles import kettle, thermostat
from tests.references.worked_examples import EXAMPLES, OHMS, Example, Ohms, Printed, appliance_of

# Tolerances are half a unit of the last printed digit, which may itself be rounded from exactly
# half way.
HALF_WAY = 1.0001
# The books take the heat of water at 15 degrees, 4186 J/kgK; ours is the mean up to boiling.
WATER = HEAT_OF_WATER_J_PER_KGK / 4186 - 1
# CP takes 1.72e-8 ohm m for copper and UP 1.68e-8; ours is IEC 60028's 1/58.
CP_COPPER = 1 / 58 / 1.72e-2 - 1
UP_COPPER = 1 / 58 / 1.68e-2 - 1


def asking(answer: Answer, *slips: Slip) -> Exercise:
    return Exercise("What comes out?", answer, slips, ("Look.", "Look again."), ("Ohm's law.",))


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


# --- circuits


def found_in(solution: Solution, quantity: str) -> float:
    """A quantity as the examples name it: "current_A", "R2 power_W", "R1 peak power_W"."""
    name, _, key = quantity.rpartition(" ")
    if name.endswith(" peak"):
        return waveform(solution, name.removesuffix(" peak")).power_peak_W
    value: float = getattr(solution.part[name] if name else solution, key)
    return value


ANSWERS = [(example, *answer) for example in EXAMPLES for answer in example.printed]


@pytest.mark.parametrize(
    ("example", "quantity", "printed"),
    ANSWERS,
    ids=[f"{e.source} {e.supply_V:g} V {quantity}" for e, quantity, _ in ANSWERS],
)
def test_a_circuits_printed_answer_is_right(example: Example, quantity: str, printed: str) -> None:
    exercise = exercise_of(found_in(solve(appliance_of(example)), quantity), printed)
    assert_takes_the_printed_answer_only(exercise, printed)


@pytest.mark.parametrize("ohms", OHMS, ids=lambda ohms: f"{ohms.source} {ohms.problem}")
def test_what_an_ohmmeter_shows_of_a_books_resistors_is_its_printed_answer(ohms: Ohms) -> None:
    rig = appliance_of(Example("rig", ohms.problem, 230.0, ohms.resistors, ()))
    assert_takes_the_printed_answer_only(exercise_of(metered(rig), ohms.printed), ohms.printed)


def metered(appliance: Appliance) -> float:
    """Resistance from L to N, ohm."""
    found = resistance(appliance, red="L", black="N").ohm
    assert found is not None
    return found


def element(power_W: float, voltage_V: float) -> Appliance:
    """One element of a marked power on its marked voltage."""
    rig = appliance_of(Example("rig", "", voltage_V, (("L", "N", 1.0),), ()))
    return variant(rig, {"R1": {"power_W": power_W, "voltage_V": voltage_V}})


@pytest.mark.parametrize(
    ("power_W", "voltage_V", "printed"),
    [
        pytest.param(10, 18, "32 ohm", id="HP sec. 19.4 (m54446): 10 W from 18 V"),
        pytest.param(9.00 * 3.00e-3, 9.00, "3.00 kohm", id="UP Ex. 9.8 (m58731): 9.00 V, 3.00 mA"),
    ],
)
def test_a_marking_gives_the_printed_resistance(
    power_W: float, voltage_V: float, printed: str
) -> None:
    exercise = exercise_of(metered(element(power_W, voltage_V)), printed)
    assert_takes_the_printed_answer_only(exercise, printed)


@pytest.mark.parametrize("source", ["CP Ex. 21.1 (m42356)", "CP Ex. 21.2 (m42356)"])
def test_a_books_whole_solution_is_a_table_in_which_one_wrong_cell_shows(source: str) -> None:
    example = next(example for example in EXAMPLES if example.source == source)
    printed = dict(example.printed)
    asked = "voltage_V" if "R1 voltage_V" in printed else "current_A"
    columns = ((asked.partition("_")[0], asked[-1]), ("power", "W"))
    rows = ("R1", "R2", "R3")
    names = [[f"{row} {asked}", f"{row} power_W"] for row in rows]
    solution = solve(appliance_of(example))
    found = tuple(tuple(found_in(solution, name) for name in row) for row in names)
    # the coarsest cell decides: 0.92 A is printed to half a hundredth, 0.54 %
    coarsest = max(Printed(text).half_last_digit / Printed(text).value for text in printed.values())
    exercise = asking(CellTable(rows, columns, found, coarsest * HALF_WAY))
    typed = [[printed[name] for name in row] for row in names]
    assert mark(exercise, typed).verdict == "right"
    typed[1][1] = Printed(typed[1][1]).moved(9)
    said = mark(exercise, typed)
    assert said.verdict == "wrong"
    assert "5 of 6 cells are right. Not these: R2, power" in said.reply


def test_twice_the_voltage_gives_the_printed_power_and_twice_the_power_is_a_slip() -> None:
    # LEC Vol. I, Ohm's Law: a 3 ohm lamp takes 108 W from 18 V and 432 W from 36 V.
    low, high = (example for example in EXAMPLES if example.source == "LEC Vol. I, Ohm's Law")
    lamp = appliance_of(low)
    found = solve(lamp, supply_voltage_V=high.supply_V).power_W
    once = Slip(
        "power-follows-voltage",
        2 * solve(lamp).power_W,
        thought="the power doubles with the voltage",
        why="The current doubles as well.",
        attempt="turn the supply up.",
    )
    exercise = asking(Number(found, "W", 0.5 * HALF_WAY / 432), once)
    assert mark(exercise, "432 W").verdict == "right"
    said = mark(exercise, "216 W")
    assert (said.verdict, said.slip) == ("wrong", "power-follows-voltage")


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
        assert_takes_the_printed_answer_only(exercise_of(found_s, printed), printed)


def test_a_supply_of_the_printed_effective_voltage_has_the_printed_peak() -> None:
    # CP Prob. 20.73 asks the other way round: a peak of 679 V is 480 V r.m.s.
    rig = appliance_of(Example("rig", "", 480.0, (("L", "N", 100.0),), ()))
    found = solve(rig).part["R1"].voltage_peak_V
    assert found is not None
    assert_takes_the_printed_answer_only(exercise_of(found, "679 V"), "679 V")


def test_the_form_factor_of_a_sine_is_the_printed_one() -> None:
    # LEC Vol. II, Measurements of AC magnitude: 1.11.
    voltage = waveform(solve(load_appliance("tea-urn"))).voltage
    assert voltage is not None
    factor = voltage.rms / voltage.mean_absolute
    assert_takes_the_printed_answer_only(exercise_of(factor, "1.11"), "1.11")


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


@dataclass(frozen=True)
class Warmed:
    source: str
    problem: str
    run: Callable[[], HeatRun]
    found: Callable[[HeatRun], float]
    printed: str
    other_constant: float = 0.0


def pan(**of: float) -> Callable[[], HeatRun]:
    """From 20 to 80 degrees at 1 kW, without losses."""
    return lambda: heat_up(kettle(1000, thermostat(80, 40), start_C=20, **of), minutes=5)


def lasting(power_W: float, hours: float) -> Callable[[], HeatRun]:
    """What is used for so long, in a vessel that loses the heat at once."""
    return lambda: heat_up(
        kettle(power_W, heat_capacity_J_per_K=1000, loss_W_per_K=1000), minutes=60 * hours
    )


def costs(per_kWh: float, times: float = 1) -> Callable[[HeatRun], float]:
    return lambda run: times * per_kWh * run.energy.drawn_J / 3.6e6


def boils_and_dries(run: HeatRun) -> tuple[float, float]:
    """When it boils and when it is dry."""
    boils, dry = (event.time_s for event in run.events if event.kind in ("boils", "dry"))
    return boils, dry


def from_freezing() -> HeatRun:
    return heat_up(kettle(20_000, water_kg=0.200, start_C=0), minutes=1)


def heat_of(run: HeatRun) -> float:
    return run.energy.heat_J


ALUMINIUM_J_PER_K = 0.500 * 900

WARMED = (
    Warmed(
        "CP Ex. 14.1 (m42224)",
        "0.500 kg of aluminium from 20 to 80 degrees.",
        pan(heat_capacity_J_per_K=ALUMINIUM_J_PER_K),
        heat_of,
        "27.0 kJ",
    ),
    Warmed(
        "CP Ex. 14.1 (m42224)",
        "The 0.250 kg of water in it.",
        pan(water_kg=0.250),
        heat_of,
        "62.8 kJ",
        WATER,
    ),
    Warmed(
        "CP Ex. 14.1 (m42224)",
        "Pan and water together.",
        pan(water_kg=0.250, heat_capacity_J_per_K=ALUMINIUM_J_PER_K),
        heat_of,
        "89.8 kJ",
        WATER,
    ),
    Warmed(
        "CP Ex. 14.1 (m42224)",
        "The share that the pan has of it.",
        pan(water_kg=0.250, heat_capacity_J_per_K=ALUMINIUM_J_PER_K),
        lambda run: (
            100 * pan(heat_capacity_J_per_K=ALUMINIUM_J_PER_K)().energy.heat_J / heat_of(run)
        ),
        "30.1 %",
        WATER,
    ),
    Warmed(
        "CP Prob. 14.3",
        "50.0 g of glass (840 J/kgK) from 22.0 to 95.0 degrees.",
        lambda: heat_up(
            kettle(100, thermostat(95, 40), heat_capacity_J_per_K=0.0500 * 840, start_C=22),
            minutes=2,
        ),
        heat_of,
        "3.07e3 J",
    ),
    Warmed(
        "CP Prob. 14.17",
        "0.200 kg of water from 0 to 100 degrees at 20.0 kW.",
        from_freezing,
        lambda run: boils_and_dries(run)[0],
        "4.19 s",
    ),
    Warmed(
        "CP Prob. 14.17",
        "The same water boiled away.",
        from_freezing,
        lambda run: boils_and_dries(run)[1] - boils_and_dries(run)[0],
        "22.6 s",
    ),
    Warmed(
        "CP Table 14.2",
        "1 kg of water at its boiling point, turned into steam.",
        lambda: heat_up(kettle(1000, water_kg=1, start_C=boiling_point_C()), minutes=60),
        lambda run: run.energy.steam_J,
        "2256 kJ",
        2e-4,  # ours is SR1-86, 0.02 % from IAPWS-95
    ),
    Warmed(
        "CP Prob. 20.62",
        "1.00 g of tissue (3500 J/kgK) from 37 degrees at 30 W, until 0.500 g of water is gone.",
        lambda: heat_up(
            kettle(
                30,
                water_kg=0.0005,
                heat_capacity_J_per_K=3.5 - 0.0005 * HEAT_OF_WATER_J_PER_KGK,
                start_C=37,
            ),
            minutes=2,
        ),
        lambda run: boils_and_dries(run)[1],
        "45.0 s",
    ),
    Warmed(
        "CP Prob. 20.93",
        "120 V on 0.500 ohm for 0.0500 s, in 2.00 g of metal of 0.200 cal/gK (4.186 J/cal).",
        lambda: heat_up(
            kettle(120**2 / 0.500, heat_capacity_J_per_K=2.00 * 0.200 * 4.186, start_C=20),
            minutes=0.0300 / 60,  # the model stops at 660 °C, so three fifths of the time
        ),
        lambda run: (run.temperature_C(run.end_s) - 20) * 5 / 3,
        "860 K",
    ),
    Warmed("CP Prob. 20.48", "1 kW for an hour.", lasting(1000, 1), heat_of, "3.60e6 J"),
    Warmed(
        "CP Prob. 20.50",
        "A 5.00 kW heater 2.00 h a day for a year at 12.0 cents a kWh, in dollars.",
        lasting(5000, 2),
        costs(0.120, times=365),
        "438",
    ),
    Warmed(
        "CP Ex. 20.8 (m42714)",
        "A 15 W lamp for 1000 h at 12 cents, a tenth of whose own 1.50 dollars is used up.",
        lasting(15, 1000),
        lambda run: costs(0.12)(run) + 1.50 / 10,
        "1.95",
    ),
)


@pytest.mark.parametrize("case", WARMED, ids=lambda case: f"{case.source} {case.problem}")
def test_what_warming_takes_is_the_printed_answer(case: Warmed) -> None:
    exercise = exercise_of(case.found(case.run()), case.printed, case.other_constant)
    assert_takes_the_printed_answer_only(exercise, case.printed)


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
    exercise = exercise_of(metered(copper(20.0, 2.053)), "0.104 ohm")
    assert_takes_the_printed_answer_only(exercise, "0.104 ohm")


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
