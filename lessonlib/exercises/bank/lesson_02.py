"""Exercises of lesson 2: half the voltage gives a quarter."""

from __future__ import annotations

from collections.abc import Callable

from lessonlib.appliance.reader import read_appliance
from lessonlib.electric.solution import solve
from lessonlib.exercises.answers import CellTable, Choice, CircuitFile, Number, Order
from lessonlib.exercises.draw import Draw
from lessonlib.exercises.exercise import Exercise, Slip, Template
from lessonlib.exercises.reading import written

_PROPORTIONAL = "Engelhardt and Beichner, Am. J. Phys. 72 (2004), as quoted"

_ON_ANOTHER_VOLTAGE = "say what it gives on any other voltage"
_FROM_THE_MARKING = (
    "find an element's current and resistance from the power and voltage marked on it"
)
_PERMITTED = "say what the permitted mains voltage does to a heater"
_LIMITS_V = (207.0, 253.0)
"""230 V, 10 % down and up: IEC 60038, as quoted."""


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


def _permitted_mains(draw: Draw) -> Exercise:
    keep_W, boost_W = draw.number(300, 600, 50), draw.number(800, 1600, 100)
    position = draw.one_of(["off", "on"])
    urn = draw.appliance("tea-urn", {"E1": {"power_W": keep_W}, "E2": {"power_W": boost_W}})
    marked_W = keep_W + (boost_W if position == "on" else 0)

    def table(current_by: int, power_by: int) -> tuple[tuple[float, ...], ...]:
        """Current and power at both limits, each with that power of the ratio of voltages."""
        ratios = [volts / 230 for volts in _LIMITS_V]
        return tuple((marked_W / 230 * q**current_by, marked_W * q**power_by) for q in ratios)

    solved = [solve(urn, {"S1": position}, supply_voltage_V=volts) for volts in _LIMITS_V]
    right = tuple((now.current_A or 0.0, now.power_W or 0.0) for now in solved)
    return Exercise(
        text=(
            f"The tea urn's elements are marked E1 {keep_W:g} W and E2 {boost_W:g} W, both at "
            f"230 V. S1 is {position}. What does the urn draw at either limit of the mains?"
        ),
        answer=CellTable(
            rows=tuple(f"{volts:g} V" for volts in _LIMITS_V),
            columns=(("current", "A"), ("power", "W")),
            value=right,
            because="three figures, and 2 % for rounding on the way; the slips are 10 % apart",
        ),
        slips=(
            Slip(
                "nothing-changes",
                table(0, 0),
                thought="what holds at 230 V is taken to hold at the limits as well",
                why="A permitted voltage is still another voltage.",
                attempt="Set the supply in the panel to 207 V and watch the current.",
            ),
            Slip(
                "power-follows-voltage",
                table(1, 1),
                thought="the power is changed by a tenth, as the current is",
                why="The voltage is a tenth off, and the current that it drives is too.",
                attempt="Multiply your volts and amperes at 253 V, and compare with your watts.",
                source=_PROPORTIONAL,
            ),
            Slip(
                "square-for-both",
                table(2, 2),
                thought="the square is taken for the current as well",
                why="The resistance stays, so the current follows the voltage once.",
                attempt="Divide your watts at 207 V by your amperes: is that the voltage?",
            ),
            Slip(
                "current-makes-up-for-it",
                table(-1, 0),
                thought="the urn is taken to draw what it needs for its marked power",
                why="An element cannot ask for current. Volts and ohms decide.",
                attempt="Lower the supply in the panel: does the current rise or fall?",
            ),
        ),
        hints=(
            "Which elements are on? Find their current at 230 V first.",
            "The current goes with the voltage; the power is voltage times current.",
        ),
        worked=(
            f"On are {marked_W:g} W at 230 V, or {written(marked_W / 230, 'A')}.",
            *(
                f"{volts:g} V: {written(amperes, 'A')}, and {volts:g} V × {written(amperes, 'A')} "
                f"= {written(watts, 'W')}."
                for volts, (amperes, watts) in zip(_LIMITS_V, right, strict=True)
            ),
        ),
        appliance=urn,
        setting={"S1": position},
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
                thought="the power is taken to belong to the element",
                why=f"The print holds at {marked_V} V and at no other voltage.",
                attempt="Change the supply voltage in the panel and watch the power of E1.",
            ),
            Slip(
                "power-follows-voltage",
                option(power_W * ratio),
                thought="the power is taken to follow the voltage once",
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


def _by_resistance(draw: Draw) -> Exercise:
    first_W, step = draw.number(200, 400, 50), draw.one_of([1.5, 1.6, 1.8])
    low_V, high_V = draw.one_of([(115, 230), (110, 220), (120, 240)])
    # a low voltage with few watts, and a high one with many, so that no single figure tells
    marked = draw.shuffled(
        [(first_W, low_V), (first_W * step, high_V), (2.5 * first_W, high_V), (6 * first_W, high_V)]
    )

    def name(marking: tuple[float, float]) -> str:
        return f"{marking[0]:g} W at {marking[1]:g} V"

    def ordered(by: Callable[[tuple[float, float]], float]) -> tuple[str, ...]:
        return tuple(map(name, sorted(marked, key=by)))

    return Exercise(
        text=(
            "Four elements from the hall's box, and their markings: "
            f"{', '.join(map(name, marked))}. Put them in order of resistance, the least first."
        ),
        answer=Order(ordered(lambda marking: marking[1] ** 2 / marking[0])),
        slips=(
            Slip(
                "more-watts-more-ohms",
                ordered(lambda marking: marking[0]),
                thought="more watts are taken to mean more resistance",
                why="A stronger element for the same voltage lets more current through.",
                attempt="Set S1 to on in the panel, and compare the currents of E1 and E2.",
            ),
            Slip(
                "watts-alone",
                ordered(lambda marking: -marking[0]),
                thought="only the watts are compared, and the volts left aside",
                why=f"One of them gets its watts from {low_V} V, not from {high_V} V.",
                attempt=f"Work out the current of the one for {low_V} V, then its volts for each "
                "ampere.",
            ),
            Slip(
                "voltage-once",
                ordered(lambda marking: marking[1] / marking[0]),
                thought="the volts are divided by the watts",
                why="That leaves the current out. The voltage counts twice.",
                attempt=f"Work out the resistance of the one for {low_V} V in two steps, the "
                "current first.",
            ),
            Slip(
                "most-first",
                ordered(lambda marking: -(marking[1] ** 2) / marking[0]),
                thought="the greatest resistance is put first",
                why="The question asks for the least first.",
                attempt="Read the last words of the question again.",
            ),
        ),
        hints=(
            "Power and voltage give the current. Voltage and current give the resistance.",
            "Square the marked voltage, and divide by the marked power.",
        ),
        worked=tuple(
            f"{name(marking)}: {marking[1]:g}² ÷ {marking[0]:g} = "
            f"{written(float(f'{marking[1] ** 2 / marking[0]:.3g}'), 'Ω')}."
            for marking in sorted(marked, key=lambda marking: marking[1] ** 2 / marking[0])
        ),
    )


def _weak_line(draw: Draw) -> Exercise:
    wanted_W = draw.number(300, 900, 50)
    supply_V = draw.one_of([198, 202, 207, 212])
    share = supply_V / 230
    right_W = wanted_W / share**2
    fitted = read_appliance(
        f"""\
title = "Club urn"
supply.voltage_V = {supply_V}
element = [{{ name = "E1", between = ["L", "N"], power_W = {right_W:.12g}, voltage_V = 230 }}]
"""
    )
    gives_W = solve(fitted).power_W
    assert gives_W is not None
    return Exercise(
        text=(
            f"A club far down a weak line always has {supply_V} V. Its urn is to get a keep-warm "
            f"element that gives {wanted_W:g} W there. Which power must be marked on it, at 230 V?"
        ),
        answer=Number(
            right_W,
            "W",
            tolerance=0.007,
            because="three figures on the way; the nearest slip is 2 % off",
        ),
        slips=(
            Slip(
                "made-up-for-once",
                wanted_W / share,
                thought="the missing voltage is made up for once",
                why="The current falls short together with the voltage.",
                attempt="Take your marking down to the club: what does it give there?",
                source=_PROPORTIONAL,
            ),
            Slip(
                "missing-watts-added",
                wanted_W * (2 - share**2),
                thought="the watts that an element of that marking lacks there are added to it",
                why="What you add is short of power as well, down there.",
                attempt="Multiply your marking by the share of power that is left there.",
            ),
            Slip(
                "the-wrong-way",
                wanted_W * share**2,
                thought="the share of the power is taken of what is wanted",
                why=f"Such an element is weaker, and {supply_V} V weakens it once more.",
                attempt="Ask whether the element must be stronger or weaker than it is to give.",
            ),
            Slip(
                "marked-as-wanted",
                wanted_W,
                thought="the marking is taken for what the element gives there",
                why="The marking holds at 230 V.",
                attempt="Set the supply in the panel of the urn to less than 230 V, and read E1.",
            ),
        ),
        hints=(
            f"Which share of its marking does an element give on {supply_V} V?",
            "You know the result and the share. Undo the multiplication.",
        ),
        worked=(
            f"On {supply_V} V: ({supply_V} ÷ 230)² = {written(share**2)} of the marking.",
            f"{wanted_W:g} W ÷ {written(share**2)} = {written(right_W, 'W')}.",
            f"Check: on {supply_V} V it gives {gives_W:.0f} W.",
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
            f"{power_W:g} W at 230 V, and one switch S1 with the positions off and on, and with "
            "one contact, in the line. Write its appliance file."
        ),
        answer=CircuitFile(
            right,
            start_text='title = "Club heater"\n\n[supply]\nvoltage_V = \n',
            must=("live points", "lamps", "protection", "positions"),
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
    Template("urn-within-the-limits", 2, "same circuit", _PERMITTED, _permitted_mains),
    Template("element-on-an-adapter", 2, "new circuit", _ON_ANOTHER_VOLTAGE, _adapter),
    Template("elements-by-resistance", 2, "new circuit", _FROM_THE_MARKING, _by_resistance),
    Template("marking-for-a-weak-line", 2, "find or design", _ON_ANOTHER_VOLTAGE, _weak_line),
    Template("club-heater-file", 2, "find or design", _FROM_THE_MARKING, _club_heater),
)
