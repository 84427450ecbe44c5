"""Exercises of lesson 3: series gives a quarter."""

from __future__ import annotations

from functools import lru_cache

from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.reader import read_appliance
from lessonlib.electric.solution import solve
from lessonlib.exercises.answers import CellTable, Choice, CircuitFile, Number, OneSetting
from lessonlib.exercises.draw import Draw
from lessonlib.exercises.exercise import Exercise, Slip, Template
from lessonlib.exercises.reading import written

_TELL = "tell series from parallel in a drawing"
_WORK_OUT = "work out volts, amperes and watts of each element, either way"
_HOTTER = "say which of two unequal elements gets hotter in series"
_DESCRIBE = "describe a wiring of your own, and get its drawing and its numbers"

_ONE_AFTER_ANOTHER = "D. Psillos, in Connecting Research in Physics Education (ICPE), chapter E4"
_CONSTANT_CURRENT = "Engelhardt and Beichner, Am. J. Phys. 72 (2004), as quoted"

_HEATING = ("low", "medium", "high")

Cells = tuple[tuple[float, ...], ...]


def _rail(draw: Draw, power_W: float, supply_V: float = 230) -> Appliance:
    changes: dict[str, dict[str, object]] = {
        "E1": {"power_W": power_W},
        "E2": {"power_W": power_W},
        "supply": {"voltage_V": supply_V},
    }
    return draw.appliance("towel-rail", changes)


def _rail_table(draw: Draw) -> Exercise:
    power_W = draw.number(200, 800, 20)
    rail = _rail(draw, power_W)
    one_A = power_W / 230
    rows = []
    for position in _HEATING:
        now = solve(rail, {"S1": position})
        values = (now.part["E1"].power_W, now.part["E2"].power_W, now.current_A)
        rows.append(tuple(round(value or 0.0, 9) for value in values))
    right: Cells = tuple(rows)
    low, medium, high = right

    def with_low(*row: float) -> Cells:
        return (row, medium, high)

    return Exercise(
        text=(
            f"A towel rail like that of the lesson has two equal elements, each marked "
            f"{power_W:g} W at 230 V, on mains of 230 V. It is drawn at medium. What does each "
            "element give at low, at medium and at high, and which current does the rail draw?"
        ),
        answer=CellTable(
            rows=_HEATING,
            columns=(("E1", "W"), ("E2", "W"), ("current", "A")),
            value=right,
            because="three figures, and 2 % for rounding on the way",
        ),
        slips=(
            Slip(
                "low-halves-the-power",
                with_low(power_W / 2, power_W / 2, one_A),
                thought="at low the voltage is shared, and the power is halved with it",
                why="On half its voltage an element also gets half the current.",
                attempt="Set S1 to low in the panel, and multiply volts and amperes of E1.",
            ),
            Slip(
                "watts-halved-amperes-right",
                with_low(power_W / 2, power_W / 2, low[2]),
                thought="at low the power is halved, while the current is taken as it is",
                why="Then the watts in your row do not belong to its amperes.",
                attempt="Multiply your current by half the mains voltage, and compare.",
            ),
            Slip(
                "marking-kept-at-low",
                with_low(power_W, power_W, 2 * one_A),
                thought="at low each element is taken to give what is marked on it",
                why="The marking holds on the full voltage, and neither gets that at low.",
                attempt="Set S1 to low in the panel and read the volts of E1.",
            ),
            Slip(
                "first-takes-it-all",
                with_low(power_W, 0.0, one_A),
                thought="at low the first element takes what it needs and leaves nothing",
                why="No current is used up on the way: the same flows through both.",
                attempt="Set S1 to low in the panel and compare the amperes of E1 and E2.",
                source=_ONE_AFTER_ANOTHER,
            ),
            Slip(
                "current-of-one-at-low",
                with_low(low[0], low[1], one_A),
                thought="at low the current is taken to be that of one element alone",
                why="Two in series resist twice as much as one.",
                attempt="Set S1 to low in the panel, then to medium, and compare the amperes.",
                source=_CONSTANT_CURRENT,
            ),
            Slip(
                "current-of-one-at-high",
                (low, medium, (*high[:2], one_A)),
                thought="at high the rail is taken to draw the current of one element",
                why="Each element takes its own current from the mains, and they add up.",
                attempt="Set S1 to high in the panel, and compare the total with E1.",
                source=_CONSTANT_CURRENT,
            ),
            Slip(
                "the-other-one-at-medium",
                (low, (medium[1], medium[0], medium[2]), high),
                thought="E2 is taken for the one that works at medium",
                why="At medium both contacts at the far end of E2 are open.",
                attempt="Follow the current from L in the drawing with a finger.",
            ),
        ),
        hints=(
            "For each position: which elements carry current, and how many volts has each?",
            "At low the two share the voltage, so the current is that of twice the resistance.",
        ),
        worked=(
            f"Medium: E1 alone on 230 V, {power_W:g} W and {written(one_A, 'A')}.",
            f"High: both on 230 V, {power_W:g} W each and {written(high[2], 'A')} together.",
            f"Low: 115 V each, half the current, {written(low[2], 'A')}, and a quarter of the "
            f"power, {written(low[0], 'W')} each.",
        ),
        appliance=rail,
        setting={"S1": "medium"},
    )


_THOUGHTS = {
    "off": "the rail is taken to be off",
    "low": "the two elements are taken to be in series",
    "medium": "one element is taken to work alone",
    "high": "the two elements are taken to be in parallel",
}


def _rail_position(draw: Draw) -> Exercise:
    power_W, supply_V = draw.number(200, 800, 50), draw.one_of([220, 230, 240])
    rail = _rail(draw, power_W, supply_V)
    right = draw.one_of(_HEATING)

    solved = {position: solve(rail, {"S1": position}) for position in _THOUGHTS}
    found = {
        position: f"{now.current_A:.2f} A from the mains, and "
        f"{now.part['E2'].voltage_V:.0f} V across E2"
        for position, now in solved.items()
    }

    return Exercise(
        text=(
            f"A towel rail like that of the lesson, on {supply_V} V, has two elements marked "
            f"{power_W:g} W at 230 V. The marks on its knob have worn off. In one position "
            f"you find {found[right]}. Which position is it? The drawing shows "
            "off."
        ),
        answer=OneSetting(rail, ({"S1": right},), ("S1",)),
        slips=tuple(
            Slip(
                f"taken-for-{position}",
                {"S1": position},
                thought=thought,
                why=f"Then you would find {found[position]}.",
                attempt="Set S1 to off in the panel: does a current flow anywhere?"
                if position == "off"
                else f"Set S1 to {position} in the panel, and follow the current with a finger.",
            )
            for position, thought in _THOUGHTS.items()
            if position != right
        ),
        hints=(
            f"What does one of these elements draw alone on {supply_V} V?",
            "Read the volts across E2: at 0 V it is out, and on less than all it is in series.",
        ),
        worked=(
            f"One element alone draws {written(solved['medium'].current_A or 0.0, 'A')}"
            f" on {supply_V} V.",
            *(f"S1 {position}: {found[position]}." for position in _HEATING),
        ),
        appliance=rail,
        setting={"S1": "off"},
    )


@lru_cache(maxsize=512)
def _pair(first_W: float, second_W: float, title: str) -> Appliance:
    """Two elements in series."""
    return read_appliance(
        f"""\
title = "{title}"
supply.voltage_V = 230
element = [
  {{ name = "E1", between = ["L", "middle"], power_W = {first_W:g}, voltage_V = 230 }},
  {{ name = "E2", between = ["middle", "N"], power_W = {second_W:g}, voltage_V = 230 }},
]
"""
    )


def _unequal(draw: Draw) -> tuple[float, float]:
    """Two markings in W, one about twice the other, in either order. At three times, a quarter of
    their sum would be the lesser of them."""
    weak_W = draw.number(200, 500, 50)
    strong_W = 50 * round(weak_W * draw.one_of([1.9, 2.2, 2.5]) / 50)
    first, second = draw.shuffled([weak_W, strong_W])
    return first, second


def _ohms(power_W: float) -> str:
    return f"230² ÷ {power_W:g} = {230**2 / power_W:.2f} Ω"


def _unequal_pair(draw: Draw) -> Exercise:
    first_W, second_W = _unequal(draw)
    drawer = _pair(first_W, second_W, "Warming drawer")
    total_W = solve(drawer).power_W
    assert total_W is not None
    sum_W = first_W + second_W
    sum_ohm = 230**2 / first_W + 230**2 / second_W
    return Exercise(
        text=(
            "Somebody repairs a warming drawer with what is in the box: an element marked "
            f"{first_W:g} W and one marked {second_W:g} W, both at 230 V, joined as drawn, on "
            "230 V. What do they draw together?"
        ),
        answer=Number(
            total_W,
            "W",
            because="three figures, and 2 % for rounding on the way; the slips are 8 % apart",
        ),
        slips=(
            Slip(
                "markings-added",
                sum_W,
                thought="the two markings are added",
                why="That takes 230 V across each of them, and there is one path for both.",
                attempt="Follow the current in the drawing from L to N: is there a branch?",
            ),
            Slip(
                "quarter-of-the-sum",
                sum_W / 4,
                thought="a quarter of the sum is taken, as in the towel rail",
                why="A quarter holds for two equal elements. These are unequal.",
                attempt="Work out both resistances, and add them.",
            ),
            Slip(
                "mean-of-the-markings",
                sum_W / 2,
                thought="the mean of the two markings is taken",
                why="In series it is ohms that add up, not watts.",
                attempt="Work out the current through both, and with it the volts of each.",
            ),
            Slip(
                "as-if-the-weaker-alone",
                min(first_W, second_W),
                thought="the weaker one is taken to let its marked power through",
                why="It would give that on 230 V, and the other takes some of those volts.",
                attempt="Ask what is left across the weaker one if the other has any volts at all.",
            ),
        ),
        hints=(
            "Find the two resistances first, from the markings.",
            "In series ohms add up. The power is the square of 230 V, divided by the sum of the "
            "ohms.",
        ),
        worked=(
            f"E1: {_ohms(first_W)}. E2: {_ohms(second_W)}.",
            f"In series: {sum_ohm:.2f} Ω.",
            f"230² ÷ {sum_ohm:.2f} = {written(round(total_W, 1), 'W')}.",
        ),
        appliance=drawer,
    )


def _hotter(draw: Draw) -> Exercise:
    first_W, second_W = _unequal(draw)
    bench = _pair(first_W, second_W, "Plant bench")
    now = solve(bench)
    heat_W = {name: now.part[name].power_W or 0.0 for name in ("E1", "E2")}
    weak, strong = ("E1", "E2") if first_W < second_W else ("E2", "E1")
    more, less = f"{heat_W[weak]:.0f} W", f"{heat_W[strong]:.0f} W"
    half = f"{sum(heat_W.values()) / 2:.0f} W"
    right = f"{weak} gives {more}, {strong} gives {less}"
    swapped = f"{strong} gives {more}, {weak} gives {less}"
    equal = f"each gives {half}"
    full = f"E1 gives {first_W:g} W, E2 gives {second_W:g} W"
    return Exercise(
        text=(
            f"A plant bench has two elements in series on 230 V, E1 marked {first_W:g} W and E2 "
            f"marked {second_W:g} W, both at 230 V. Which of the two gets hotter?"
        ),
        answer=Choice(right, tuple(draw.shuffled([right, swapped, equal, full]))),
        slips=(
            Slip(
                "stronger-gets-hotter",
                swapped,
                thought="the stronger element is taken to get hotter, as it does by itself",
                why=f"The same current flows through both, and {strong} has fewer ohms: it takes "
                "fewer of the volts.",
                attempt="Look up which of the three textbook parts of the lesson got most in "
                "series.",
            ),
            Slip(
                "equal-current-equal-heat",
                equal,
                thought="equal current is taken to mean equal heat",
                why="Power is volts times amperes, and their volts differ.",
                attempt="Multiply the current by the ohms of each, and compare the volts.",
                source=_CONSTANT_CURRENT,
            ),
            Slip(
                "markings-kept",
                full,
                thought="each is taken to give what is marked on it",
                why="The markings hold at 230 V, and the two share that.",
                attempt="Put the ohms of the two, and 230 V, into the textbook's three in series, "
                "and read the watts.",
            ),
        ),
        hints=(
            "Which of the two has more ohms? Which current flows in each?",
            "With the same current, volts go with ohms, and watts with volts.",
        ),
        worked=(
            f"E1: {_ohms(first_W)}. E2: {_ohms(second_W)}.",
            f"The current is {now.current_A:.3f} A in both, so more ohms mean more heat.",
            f"{right}.",
        ),
        appliance=bench,
    )


_FAULTS = {
    "E1 is open": "E1 open",
    "E2 is open": "E2 open",
    "the contact from middle to N does not make": "S1 contact 2 not making",
    "the contact from L to b does not make": "S1 contact 3 not making",
    "the contact from b to N does not make": "S1 contact 4 not making",
}


@lru_cache(maxsize=128)
def _signs(rail: Appliance, option: str) -> str:
    watts = [solve(rail, {"S1": p}, fault=_FAULTS[option]).power_W or 0.0 for p in _HEATING]
    return ", ".join(f"{watt:.0f} W at {p}" for watt, p in zip(watts, _HEATING, strict=True))


def _rail_with_signs(draw: Draw) -> Exercise:
    power_W = draw.number(200, 800, 50)
    rail = _rail(draw, power_W)
    right = draw.one_of(list(_FAULTS))

    return Exercise(
        text=(
            f"A towel rail with two elements of {power_W:g} W comes in for repair; it is drawn at "
            f"medium, as it should be. What it draws: {_signs(rail, right)}. Which one fault "
            "explains it?"
        ),
        answer=Choice(right, tuple(draw.shuffled(list(_FAULTS)))),
        slips=tuple(
            Slip(
                f"signs-do-not-fit-{fault.lower().replace(' ', '-')}",
                option,
                thought=f'"{option}" is taken without following the current in all positions',
                why=f"With that fault it would draw {_signs(rail, option)}.",
                attempt=f'Set the fault "{fault}" in the panel and turn S1 through its positions.',
            )
            for option, fault in _FAULTS.items()
            if option != right
        ),
        hints=(
            "Write down for each position which parts the current passes.",
            "Look for a part that all failing positions have in common, and no sound one needs.",
        ),
        worked=(
            "Low: L to a, E1, E2, b to N. Medium: L to a, E1, middle to N.",
            "High: L to a, E1, middle to N; and beside it L to b, E2, middle to N.",
            f"{_signs(rail, right)}: {right}.",
        ),
        appliance=rail,
        setting={"S1": "medium"},
    )


_LOW_HIGH = {"low": ["low"], "high": ["high"], "both": ["low", "high"]}


def _rack(power_W: float, second: str, contacts: tuple[str, ...]) -> Appliance:
    """`second`: between what E2 lies. `contacts`, as "L a both": between what, and when closed."""
    rows = ", ".join(
        f'{{ between = ["{one}", "{other}"], closed_in = {_LOW_HIGH[when]} }}'
        for one, other, when in map(str.split, contacts)
    )
    ends = '", "'.join(second.split())
    marking = f"power_W = {power_W:g}, voltage_V = 230"
    return read_appliance(
        f"""\
title = "Boot rack"
supply.voltage_V = 230
switch = [{{ name = "S1", positions = ["off", "low", "high"], contacts = [{rows}] }}]
element = [
  {{ name = "E1", between = ["a", "middle"], {marking} }},
  {{ name = "E2", between = ["{ends}"], {marking} }},
]
"""
    )


def _rack_file(draw: Draw) -> Exercise:
    power_W = draw.number(40, 200, 10)
    right, parallel, swapped, neutral = (
        _rack(power_W, second, contacts)
        for second, contacts in (
            ("middle N", ("L a both", "middle N high")),
            ("b middle", ("L a both", "L b high", "middle N both")),
            ("middle N", ("L a both", "middle N low")),
            ("L middle", ("a N both", "L middle high")),
        )
    )
    return Exercise(
        text=(
            f"A boot rack has two elements, each {power_W:g} W at 230 V, and a selector S1 with "
            f"the positions off, low and high. It is to draw {power_W / 2:g} W at low and "
            f"{power_W:g} W at high, and at off no point inside may be live. Write its file. Mains "
            "230 V, line and neutral as marked."
        ),
        answer=CircuitFile(
            right,
            start_text='title = "Boot rack"\nsupply.voltage_V = 230\n',
            must=("off is dead", "positions"),
        ),
        slips=(
            Slip(
                "one-then-both-in-parallel",
                parallel,
                thought="low is one element, and high is both in parallel",
                why="One element alone gives all that is asked for at high.",
                attempt="Run state_table on your file, and compare with the watts asked for.",
            ),
            Slip(
                "bridge-closed-at-low",
                swapped,
                thought="one element is out at low, and at high both are in series",
                why="The one that is left gets all of the voltage, so low gives more than high.",
                attempt="Set S1 to low in the panel of your file: how many volts has each element?",
            ),
            Slip(
                "off-in-the-neutral",
                neutral,
                thought="off stops the heat, and leaves something inside joined to L",
                why="L is the line. A contact next to N alone does not part anything from it.",
                attempt="Set S1 to off in the panel of your file and read the word at each point.",
            ),
        ),
        hints=(
            "Half the power of one element: in which of the two ways do two equal ones give that?",
            "One contact next to L for low and high; one more that takes an element out.",
        ),
        worked=(
            f"In series the two give {power_W / 2:g} W; one alone gives {power_W:g} W.",
            'One way: S1 joins "L" to "a" at low and high. E1 lies between "a" and "middle".',
            'E2 lies between "middle" and "N", with a contact across it that closes at high.',
        ),
    )


EXERCISES = (
    Template("rail-in-each-position", 3, "same circuit", _WORK_OUT, _rail_table),
    Template("rail-position-from-readings", 3, "same circuit", _TELL, _rail_position),
    Template("warming-drawer-in-series", 3, "new circuit", _WORK_OUT, _unequal_pair),
    Template("hotter-of-two", 3, "new circuit", _HOTTER, _hotter),
    Template("rail-with-signs", 3, "find or design", _TELL, _rail_with_signs),
    Template("boot-rack-file", 3, "find or design", _DESCRIBE, _rack_file),
)
