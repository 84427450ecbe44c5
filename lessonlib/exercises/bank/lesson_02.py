"""Exercises of lesson 2: half the voltage gives a quarter."""

from __future__ import annotations

from lessonlib.appliance.reader import read_appliance
from lessonlib.electric.solution import solve
from lessonlib.exercises.answers import Choice, CircuitFile, Number
from lessonlib.exercises.draw import Draw
from lessonlib.exercises.exercise import Exercise, Slip, Template
from lessonlib.exercises.reading import written

_PROPORTIONAL = "Engelhardt and Beichner, Am. J. Phys. 72 (2004), as quoted"

_ON_ANOTHER_VOLTAGE = "say what it gives on any other voltage"
_FROM_THE_MARKING = (
    "find an element's current and resistance from the power and voltage marked on it"
)


def _low_mains(draw: Draw) -> Exercise:
    keep_W = draw.number(300, 600, 50)
    boost_W = draw.number(800, 1600, 100)
    supply_V = draw.one_of([198, 202, 207])
    urn = draw.appliance(
        "tea-urn",
        {
            "E1": {"power_W": keep_W},
            "E2": {"power_W": boost_W},
            "supply": {"voltage_V": supply_V},
        },
    )
    current_A = solve(urn, {"S1": "on"}).current_A
    assert current_A is not None
    marked_W = keep_W + boost_W
    share = supply_V / 230
    return Exercise(
        text=(
            f"The tea urn's elements are marked {keep_W:g} W and {boost_W:g} W, both at 230 V. In "
            f"the evening the mains is at {supply_V} V, and S1 is on. Which current does the urn "
            "draw?"
        ),
        answer=Number(
            current_A,
            "A",
            because="three figures, and 2 % for rounding on the way; the slips are 10 % apart",
        ),
        slips=(
            Slip(
                "marked-current",
                marked_W / 230,
                thought="the current of the marking is taken for the current on any voltage",
                why=f"The marking holds at 230 V. On {supply_V} V less voltage drives the current.",
                attempt="Set the supply in the panel to less than 230 V and watch the current.",
            ),
            Slip(
                "power-kept",
                marked_W / supply_V,
                thought=f"{marked_W:g} W is divided by {supply_V} V",
                why=f"On {supply_V} V the elements no longer give what is marked on them.",
                attempt="Read the power of E1 in the panel at 230 V and at a lower voltage.",
            ),
            Slip(
                "square-for-current",
                marked_W / 230 * share**2,
                thought="the current is made smaller twice, as if it were the power",
                why="Power falls with the square of the voltage, current with the voltage alone.",
                attempt="Halve the voltage in the panel: is the current halved or quartered?",
                source=_PROPORTIONAL,
            ),
        ),
        hints=(
            "What does the urn draw at the voltage that is marked? Begin there.",
            f"The elements stay the same, so the current goes with the voltage: {supply_V} ÷ 230.",
        ),
        worked=(
            f"Marked: {keep_W:g} W + {boost_W:g} W = {marked_W:g} W at 230 V.",
            f"At 230 V the current is {marked_W:g} W ÷ 230 V = {written(marked_W / 230, 'A')}.",
            f"Current follows voltage: × {supply_V} ÷ 230 = {written(current_A, 'A')}.",
        ),
        appliance=urn,
        setting={"S1": "on"},
    )


def _adapter(draw: Draw) -> Exercise:
    power_W = draw.number(400, 900, 100)
    marked_V, supply_V = draw.one_of([(120, 230), (230, 120), (230, 115), (110, 230)])
    stall = draw.appliance(
        "food-warmer",
        {
            "supply": {"voltage_V": supply_V},
            "E1": {"power_W": power_W, "voltage_V": marked_V},
            "E2": {"power_W": power_W, "voltage_V": marked_V},
        },
    )
    right_W = solve(stall, {"S1": "on", "S2": "one side"}).part["E1"].power_W
    assert right_W is not None
    ratio = supply_V / marked_V

    def option(value_W: float) -> str:
        return f"{value_W:.0f} W"

    powers_W = [right_W, power_W, power_W * ratio, power_W / ratio**2]
    more = "more" if ratio > 1 else "less"
    return Exercise(
        text=(
            f"An element of the stall's food warmer is marked {power_W:g} W at {marked_V} V. "
            f"Somebody puts it on {supply_V} V. What would it give, as long as it lasts?"
        ),
        answer=Choice(option(right_W), tuple(map(option, draw.shuffled(powers_W)))),
        slips=(
            Slip(
                "power-printed-on-it",
                option(power_W),
                thought="the power belongs to the element",
                why=f"The print holds at {marked_V} V and at no other voltage.",
                attempt="Change the supply voltage in the panel and watch the power of E1.",
            ),
            Slip(
                "power-follows-voltage",
                option(power_W * ratio),
                thought="the power follows the voltage once",
                why="The voltage changes, and the current changes with it.",
                attempt="Halve the voltage in the panel: which share of the power is left?",
                source=_PROPORTIONAL,
            ),
            Slip(
                "ratio-upside-down",
                option(power_W / ratio**2),
                thought="the ratio of the voltages is turned upside down",
                why=f"{supply_V} V is {more} than {marked_V} V, so the power is {more} as well.",
                attempt="Raise the supply voltage in the panel: does the power rise or fall?",
            ),
        ),
        hints=(
            "What stays the same on another voltage: power, current or resistance?",
            "Take the ratio of the two voltages, and count it twice.",
        ),
        worked=(
            f"Ratio of the voltages: {supply_V} ÷ {marked_V} = {written(ratio)}.",
            f"Power goes with its square: {written(ratio)}² = {written(ratio**2)}.",
            f"{power_W:g} W × {written(ratio**2)} = {option(right_W)}.",
        ),
    )


def _club_heater(draw: Draw) -> Exercise:
    power_W = draw.number(400, 1200, 100)
    supply_V = draw.one_of([198, 207, 216, 240])

    def heater(marked_V: float, volts: float, between: tuple[str, str], contact: str) -> str:
        return f"""\
title = "Club heater"
[supply]
voltage_V = {volts:g}
[[switch]]
name = "S1"
positions = ["off", "on"]
contacts = [{{ between = [{contact}], closed_in = ["on"] }}]
[[element]]
name = "E1"
between = ["{between[0]}", "{between[1]}"]
power_W = {power_W:g}
voltage_V = {marked_V:g}
"""

    line, neutral = '"L", "fed"', '"fed", "N"'
    right, *wrong = (
        read_appliance(heater(*values))
        for values in (
            (230, supply_V, ("fed", "N"), line),
            (supply_V, supply_V, ("fed", "N"), line),
            (230, 230, ("fed", "N"), line),
            (230, supply_V, ("L", "fed"), neutral),
        )
    )
    return Exercise(
        text=(
            f"A club's mains is always at {supply_V} V. Its heater has one element, marked "
            f"{power_W:g} W at 230 V, and one switch S1 with the positions off and on, in the line."
            " Write its appliance file."
        ),
        answer=CircuitFile(
            right,
            start_text='title = "Club heater"\n\n[supply]\nvoltage_V = \n',
        ),
        slips=(
            Slip(
                "marking-moved",
                wrong[0],
                thought="the element's marking is given the voltage of the mains",
                why=f"The element is marked at 230 V, whatever it is connected to: {power_W:g} W "
                "belong to that voltage.",
                attempt="Compare voltage_V of the supply with voltage_V of the element.",
            ),
            Slip(
                "mains-as-marked",
                wrong[1],
                thought="the supply is given the voltage that is marked on the element",
                why=f"The mains there is at {supply_V} V.",
                attempt="Read your file line by line: which line is about the club's mains?",
            ),
            Slip(
                "switch-in-neutral",
                wrong[2],
                thought="the switch sits between the element and N",
                why="It heats as it should, but off leaves the whole element joined to the line.",
                attempt="Set S1 to off in the drawing of your file and read the ends of E1.",
            ),
        ),
        hints=(
            "Three tables are needed: [supply], [[switch]] and [[element]].",
            "The switch goes from L to a node of your own, the element from there to N.",
        ),
        worked=(
            f"The supply has voltage_V = {supply_V}; the element keeps its own voltage_V = 230.",
            'The switch joins "L" to a node, such as "fed", when on. The element goes on to "N".',
            f"On, it gives {power_W:g} W × ({supply_V} ÷ 230)² = "
            f"{written(power_W * (supply_V / 230) ** 2, 'W')}.",
        ),
    )


EXERCISES = (
    Template("urn-on-low-mains", 2, "same circuit", _ON_ANOTHER_VOLTAGE, _low_mains),
    Template("element-on-an-adapter", 2, "new circuit", _ON_ANOTHER_VOLTAGE, _adapter),
    Template("club-heater-file", 2, "find or design", _FROM_THE_MARKING, _club_heater),
)
