"""Exercises of lesson 5: what a diode in series leaves, and what a meter makes of it."""

from __future__ import annotations

import math
from itertools import pairwise

from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.reader import read_appliance
from lessonlib.electric.diode import diode_duty
from lessonlib.electric.solution import Solution, solve, solve_all
from lessonlib.electric.wave import Wave
from lessonlib.electric.waveform import waveform
from lessonlib.exercises.answers import CellTable, Choice, CircuitFile, Number, Order
from lessonlib.exercises.draw import Draw
from lessonlib.exercises.exercise import Exercise, Slip, Template
from lessonlib.exercises.reading import written

_LEAVES = "say what a diode in series leaves of an element's power, and why it is no quarter"
_METER = "tell peak, mean and r.m.s. apart, and say which of them your meter shows"
_FAULTS = "recognise a diode that is open, shorted, or fitted the wrong way round"
_GOOD_ENOUGH = "check whether a diode is good enough for its place"

_HALF = {"S1": "on", "S2": "half"}
_FULL = {"S1": "on", "S2": "full"}


def _melter(draw: Draw, power_W: float, supply_V: float = 230) -> Appliance:
    return draw.appliance(
        "wax-melter", {"E1": {"power_W": power_W}, "supply": {"voltage_V": supply_V}}
    )


def _voltage(solution: Solution, part: str) -> Wave:
    wave = waveform(solution, part).voltage
    assert wave is not None
    return wave


def _other_mains(draw: Draw) -> Exercise:
    marked_W = draw.number(800, 1400, 50)
    supply_V = draw.one_of([198, 207, 216, 253])
    melter = _melter(draw, marked_W, supply_V)
    full_W, half_W = (now.power_W for now in solve_all(melter, [_FULL, _HALF]))
    assert full_W is not None
    assert half_W is not None
    share = supply_V / 230
    return Exercise(
        text=(
            f"A wax melter's element is marked {marked_W:g} W at 230 V. The mains is at "
            f"{supply_V} V, and the melter stands at half, with its diode in series. What does it "
            "draw?"
        ),
        answer=Number(
            half_W,
            "W",
            because="three figures, and 2 % for rounding on the way; the slips are 4 % apart",
        ),
        slips=(
            Slip(
                "mains-as-marked",
                marked_W / 2,
                thought="half of the marked power is taken",
                why=f"The marking holds at 230 V, and the mains is at {supply_V} V.",
                attempt=f"Switch S1 on in panel(melter, voltages=(230, {supply_V})), and compare.",
            ),
            Slip(
                "power-follows-voltage",
                marked_W * share / 2,
                thought="the power follows the voltage once",
                why="On another voltage the current is another one too: see lesson 2.",
                attempt="Work out full power on that mains first, and check it in the panel.",
            ),
            Slip(
                "as-half-the-voltage",
                full_W / 4,
                thought="the diode is taken to halve the voltage, and so to leave a quarter",
                why="While current flows the voltage is the full one. It is the time that is "
                "halved.",
                attempt="Count the hills of power in the picture of E1, at full and at half.",
            ),
            Slip(
                "divided-by-root-two",
                full_W / math.sqrt(2),
                thought="the power is divided by √2",
                why="It is the r.m.s. voltage that goes down by √2, and power goes with its "
                "square.",
                attempt="Read volts and watts of E1 in the panel: which of them has halved?",
            ),
            Slip(
                "diode-forgotten",
                full_W,
                thought="the diode is left out",
                why="At half S2 is open, and all current has to pass D1.",
                attempt="Flip S2 between full and half in the panel.",
            ),
        ),
        hints=(
            "First without the diode: what would the element give on that mains?",
            "Then the diode: how many hills of power out of two does it let through?",
        ),
        worked=(
            f"At full: {marked_W:g} W × ({supply_V} ÷ 230)² = {written(full_W, 'W')}.",
            f"The diode lets one hill of two through: ÷ 2 = {written(half_W, 'W')}.",
        ),
        appliance=melter,
        setting=_HALF,
    )


def _meter_across(draw: Draw) -> Exercise:
    supply_V = draw.number(200, 250, 5)
    part = draw.one_of(["E1", "D1"])
    needle = draw.one_of([False, True])
    melter = _melter(draw, 1000, supply_V)
    wave = _voltage(solve(melter, _HALF), part)
    shown_V = wave.averaging_meter if needle else wave.true_rms_meter
    mean_V = abs(wave.mean)
    kind = "an averaging meter with a needle" if needle else "a true r.m.s. meter"
    cold = Slip(
        "no-volts-across-a-diode",
        0.0,
        thought="a diode that stays cold is taken to have no voltage across it",
        why="It is cold because it never has volts and amperes at the same instant.",
        attempt='Draw waves(waveform(half, "D1"), ["voltage"]): what is there while it blocks?',
    )
    other = Slip(
        *(
            ("read-as-true-rms", wave.true_rms_meter, "a needle is taken to show what heats")
            if needle
            else ("read-as-a-needle", wave.averaging_meter, "the meter is taken to average")
        ),
        why="A needle follows the mean of the wave. Its scale fits a whole sine, and here half of "
        "it is missing."
        if needle
        else "This one forms the square root of the mean square itself.",
        attempt="Compare averaging_meter and true_rms_meter of wave.voltage in the lesson.",
    )
    return Exercise(
        text=(
            f"In the model of the wax melter, at half on {supply_V:g} V, {kind} lies across "
            f"{part}. It takes in steady current too, and reads right on a whole sine. What does "
            "it show?"
        ),
        answer=Number(
            shown_V,
            "V",
            because="three figures, and 2 % for rounding on the way; the slips are 10 % apart",
        ),
        slips=(
            other,
            Slip(
                "mean-as-it-is",
                mean_V,
                thought="the plain mean of the wave is taken",
                why="A d.c. range shows that. On a.c. the needle's scale is stretched by 1.11."
                if needle
                else "This meter squares before it averages.",
                attempt="Look at the meter section of the lesson: what becomes of the mean?",
            ),
            Slip(
                "mains-voltage",
                supply_V,
                thought=f"{part} is taken to have the mains across it all the time",
                why="E1 and D1 take turns: one has the voltage while the other has none.",
                attempt=f'Draw waves(waveform(half, "{part}"), ["voltage"]) and look for the gap.',
            ),
            Slip(
                "peak",
                abs(wave.peak),
                thought="the peak is taken",
                why="The peak is one instant of a cycle. No such meter stops there.",
                attempt="Find the peak in the lesson's picture: how long does it last?",
            ),
            *((cold,) if part == "D1" else ()),
        ),
        hints=(
            "Does this meter average, or does it form the r.m.s. value?",
            "A needle: half the hills give half the mean. True r.m.s.: half the power goes with "
            "the voltage divided by √2.",
        ),
        worked=(
            f"Half of the time {part} has the whole sine across it, half of the time nothing.",
            f"The mean is half, and the scale fits a sine: {supply_V:g} V ÷ 2 = "
            f"{written(shown_V, 'V')}."
            if needle
            else f"Half the mean square: {supply_V:g} V ÷ √2 = {written(shown_V, 'V')}.",
        ),
        appliance=melter,
        setting=_HALF,
    )


def _glue_pot(power_W: float, supply_V: float, contacts: tuple[str, str, str, str]) -> Appliance:
    """A pot with one diode. `contacts`: between what each of the two lies, and when it is closed;
    the diode leads from "fed" to "heat"."""
    first, when_first, second, when_second = contacts
    return read_appliance(
        f"""\
title = "Glue pot"
supply.voltage_V = {supply_V:g}
[[switch]]
name = "S1"
positions = ["off", "low", "high"]
contacts = [
  {{ between = [{first}], closed_in = [{when_first}] }},
  {{ between = [{second}], closed_in = [{when_second}] }},
]
[[diode]]
name = "D1"
between = ["fed", "heat"]
[[element]]
name = "E1"
between = ["heat", "N"]
power_W = {power_W:g}
voltage_V = {supply_V:g}
"""
    )


_TO_FED, _TO_HEAT = '"L", "fed"', '"L", "heat"'
_BRIDGED = (_TO_FED, '"low", "high"', '"fed", "heat"', '"high"')


def _pot_table(draw: Draw) -> Exercise:
    power_W = draw.number(40, 100, 5)
    supply_V = draw.one_of([120, 230])
    pot = _glue_pot(power_W, supply_V, _BRIDGED)

    def row(now: Solution) -> tuple[float, ...]:
        found = now.part["E1"]
        return tuple(
            value or 0.0 for value in (found.power_W, found.current_A, found.current_peak_A)
        )

    high, low = map(row, solve_all(pot, [{"S1": "high"}, {"S1": "low"}]))
    halved = tuple(value / 2 for value in high)
    return Exercise(
        text=(
            f"A glue pot has one element, {power_W:g} W at {supply_V} V, and is on {supply_V} V. "
            "At high the diode is bridged, at low it is in series. What does the pot draw at high "
            "and at low: which power, which r.m.s. current, which peak current?"
        ),
        answer=CellTable(
            rows=("high", "low"),
            columns=(("power", "W"), ("r.m.s. current", "A"), ("peak current", "A")),
            value=(high, low),
            because="three figures, and 2 % for rounding on the way",
        ),
        slips=(
            Slip(
                "all-halved",
                (high, halved),
                thought="everything is halved at low",
                why="Half of the time nothing is missing: the current is as high as ever then.",
                attempt="Compare the current of E1 with the dashed line in the lesson's picture.",
            ),
            Slip(
                "as-half-the-voltage",
                (high, (high[0] / 4, *halved[1:])),
                thought="low is taken as half the voltage, as in lesson 2",
                why="There every instant is smaller. Here half of the instants are untouched.",
                attempt="Count the hills of power in the lesson's picture, at full and at half.",
            ),
            Slip(
                "peak-from-rms",
                (high, (*low[:2], low[1] * math.sqrt(2))),
                thought="the peak at low is worked out as √2 times the r.m.s. current",
                why="That holds for a whole sine, and at low half of it is missing.",
                attempt="Put a ruler on the two peaks of current in the lesson's picture.",
            ),
            Slip(
                "peak-taken-as-rms",
                ((*high[:2], high[1]), (*low[:2], high[1])),
                thought="the r.m.s. current at high is put down as the peak as well",
                why="A sine goes higher than its r.m.s. value, for part of the time.",
                attempt="Divide the peak of the mains in the lesson, 325 V, by its r.m.s. 230 V.",
            ),
            Slip(
                "rms-follows-power",
                (high, (low[0], high[1] / 2, low[2])),
                thought="the r.m.s. current is halved with the power",
                why="Power goes with the square of the r.m.s. current.",
                attempt="Square your r.m.s. current and multiply by the element's resistance.",
            ),
        ),
        hints=(
            "Begin with the row high: power by voltage, and √2 times that for the peak.",
            "At low ask of each value: does it count hills, or look at a single one?",
        ),
        worked=(
            f"High: {power_W:g} W ÷ {supply_V} V = {written(high[1], 'A')}; times √2, the peak: "
            f"{written(high[2], 'A')}.",
            f"Low: one hill of two, {written(low[0], 'W')}; r.m.s. ÷ √2 = {written(low[1], 'A')}; "
            "the peak stays.",
        ),
        appliance=pot,
        setting={"S1": "low"},
    )


_MEAN = "the mean of the voltage across the element"
_NEEDLE = "what a needle meter shows across the element"
_RMS = "the r.m.s. voltage across the element"
_MAINS = "the r.m.s. voltage of the mains"
_PEAK = "the peak voltage across the element"

_COMPARE = (
    "In a cell, compare mean, averaging_meter, rms and peak of wave.voltage; its mains has 230 V."
)

_EXCHANGED = {
    (_MEAN, _NEEDLE): (
        "needle-below-the-mean",
        "the needle is taken to show less than the mean",
        "Its scale is stretched by 1.11, to fit a whole sine.",
    ),
    (_NEEDLE, _RMS): (
        "needle-above-rms",
        "the needle is taken to show more than what heats",
        "The fewer hills, the farther such a meter falls behind the r.m.s. value.",
    ),
    (_RMS, _MAINS): (
        "diode-raises-rms",
        "the element is taken to have more r.m.s. volts than the mains",
        "Half of the hills are missing, and nothing is added.",
    ),
    (_MAINS, _PEAK): (
        "rms-as-the-highest",
        "the r.m.s. value of the mains is taken as its highest instant",
        "A sine goes higher than its r.m.s. value, and the diode cuts nothing off the top.",
    ),
    (_MEAN, _RMS): (
        "mean-above-rms",
        "the mean is taken to be larger than the r.m.s. value",
        "Squaring gives the high instants more weight, so the r.m.s. value is the larger one.",
    ),
    (_NEEDLE, _MAINS): (
        "needle-above-the-mains",
        "the needle is taken to show more than the mains has",
        "On the whole sine it would show the mains. Half of the hills are missing.",
    ),
    (_RMS, _PEAK): (
        "rms-above-the-peak",
        "the r.m.s. value is taken to be larger than the peak",
        "The peak is the highest instant; no average can lie above it.",
    ),
}


def _which_is_larger(draw: Draw) -> Exercise:
    supply_V = draw.one_of([110, 120, 220, 230, 240])
    pot = _glue_pot(60, supply_V, _BRIDGED)
    wave = _voltage(solve(pot, {"S1": "low"}), "E1")
    size_V = {
        _MEAN: wave.mean,
        _NEEDLE: wave.averaging_meter,
        _RMS: wave.rms,
        _MAINS: float(supply_V),
        _PEAK: wave.peak,
    }
    left_out = draw.one_of(list(size_V)[:4])
    right = tuple(sorted((name for name in size_V if name != left_out), key=size_V.__getitem__))
    slips = [
        Slip(
            name,
            (*right[:place], upper, lower, *right[place + 2 :]),
            thought=thought,
            why=why,
            attempt=_COMPARE,
        )
        for place, (lower, upper) in enumerate(pairwise(right))
        for name, thought, why in [_EXCHANGED[lower, upper]]
    ]
    backwards = Slip(
        "largest-first",
        right[::-1],
        thought="the largest is put first",
        why="The smallest is asked for at the top.",
        attempt=_COMPARE,
    )
    return Exercise(
        text=(
            f"An element is fed from {supply_V} V through a diode. Put these in order, the "
            "smallest first."
        ),
        answer=Order(right),
        slips=(*slips, backwards),
        hints=(
            "Which of them is the voltage of a single instant, and which are averages?",
            "Squaring lifts an average; stretching a scale by 1.11 lifts it less.",
        ),
        worked=tuple(f"{name}: {written(round(size_V[name], 1), 'V')}." for name in right),
        appliance=pot,
        setting={"S1": "low"},
    )


_FAULT_OF = {
    "D1 is open": "D1 open",
    "D1 is shorted": "D1 shorted",
    "D1 is fitted the wrong way round": "",
    "S2 does not make": "S2 not making",
    "E1 is open": "E1 open",
}


def _turned(power_W: float) -> Appliance:
    """The wax melter with its diode the wrong way round."""
    return read_appliance(
        f"""\
title = "Wax melter, diode turned"
supply.voltage_V = 230
switch = [
  {{ name = "S1", positions = ["off", "on"], contacts = [
    {{ between = ["L", "fed"], closed_in = ["on"] }}] }},
  {{ name = "S2", positions = ["half", "full"], contacts = [
    {{ between = ["fed", "heat"], closed_in = ["full"] }}] }}]
diode = [{{ name = "D1", between = ["heat", "fed"] }}]
element = [{{ name = "E1", between = ["heat", "N"], power_W = {power_W:g}, voltage_V = 230 }}]
"""
    )


def _melter_with_signs(draw: Draw) -> Exercise:
    power_W = draw.number(800, 1400, 100)
    melter, turned = _melter(draw, power_W), _turned(power_W)

    settings, faults = [_HALF, _FULL], [fault for fault in _FAULT_OF.values() if fault]
    batches = solve_all(melter, settings, faults=faults), solve_all(turned, settings)
    solved = {(str(now.fault or ""), now.setting["S2"]): now for batch in batches for now in batch}

    def signs(option: str) -> str:
        half, full = (solved[_FAULT_OF[option], position] for position in ("half", "full"))
        dc = half.part["E1"].current_mean_A or 0.0
        flow = "no d.c." if abs(dc) < 1e-9 else f"d.c. from {'fed' if dc > 0 else 'N'} through E1"
        return f"{half.power_W:.0f} W at half, with {flow}, and {full.power_W:.0f} W at full"

    right = draw.one_of(list(_FAULT_OF))
    return Exercise(
        text=(
            f"A wax melter with an element of {power_W:g} W is on 230 V. Sound, it would give half "
            "of that at half, with d.c. from fed through E1. The model of one that came in gives "
            f"{signs(right)}. Which one fault explains it?"
        ),
        answer=Choice(right, tuple(draw.shuffled(list(_FAULT_OF)))),
        slips=tuple(
            Slip(
                "signs-do-not-fit-" + option.lower().replace(" ", "-"),
                option,
                thought=f'"{option}" is taken without asking what it does at half and at full',
                why=f"With that fault you would find {signs(option)}.",
                attempt="Build it with read_appliance, as the lesson does, and draw its waves."
                if not fault
                else f'Choose "{fault}" under Fault in the panel, and flip S2.',
            )
            for option, fault in _FAULT_OF.items()
            if option != right
        ),
        hints=(
            "At full the contact of S2 goes round the diode. What does that rule out?",
            "Ask of half: is the diode in the way, is it bridged, or is nothing there?",
        ),
        worked=(
            "Sound, the diode is bridged at full, and at half all current has to pass it.",
            f"{signs(right)[0].upper()}{signs(right)[1:]}: {right}.",
        ),
        appliance=melter,
        setting=_HALF,
    )


def _smallest_diode(draw: Draw) -> Exercise:
    power_W = draw.number(900, 1350, 50)
    blocks_V = draw.one_of([400, 600, 800])
    worst = solve(_melter(draw, power_W), _HALF, supply_voltage_V=253)
    duty = diode_duty(worst, "D1")
    peak_V = duty.reverse_peak_V
    assert peak_V is not None
    ratings = {"right": (3, blocks_V), "1": (1, 1000), "2": (3, 200), "6": (6, blocks_V)}
    good = [key for key, (amps, volts) in ratings.items() if duty.within(amps, volts)]
    assert good == ["right", "6"]
    assert duty.current_A > 3

    def option(key: str) -> str:
        amps, volts = ratings[key]
        return f"{amps} A, {volts} V"

    return Exercise(
        text=(
            f"A wax melter has an element of {power_W:g} W at 230 V; the mains may rise to 253 V. "
            "Which is the smallest of these diodes that is enough for it, by mean current and "
            "repetitive reverse peak? Cooling and surges are not looked at."
        ),
        answer=Choice(option("right"), tuple(draw.shuffled([option(key) for key in ratings]))),
        slips=(
            Slip(
                "volts-for-amperes",
                option("1"),
                thought="a diode that blocks plenty is taken as strong enough in every way",
                why="Current and reverse voltage are two ratings, and both have to fit.",
                attempt="Ask diode_duty for the mean current, as the lesson does, and compare.",
            ),
            Slip(
                "shares-the-voltage",
                option("2"),
                thought="the diode is taken to block only the mean or the r.m.s. voltage of half "
                "a wave",
                why="While it blocks, the element has no voltage, and the diode has all of it, up "
                "to the peak.",
                attempt='Draw waves(waveform(half, "D1"), ["voltage"]): how deep does it go?',
            ),
            Slip(
                "rms-current",
                option("6"),
                thought="the r.m.s. current is compared with the rating",
                why="A rectifier is rated by its mean current, and that is the smaller one. This "
                "one would do, but it is not the smallest.",
                attempt="Ask diode_duty for current_mean_A and current_A: which is the mean?",
            ),
        ),
        hints=(
            "Two questions: which mean current, and which reverse peak, both on 253 V?",
            "The mean of half the hills is 0.45 of the r.m.s. current without the diode. The peak "
            "is √2 times 253 V.",
        ),
        worked=(
            f"On 253 V: mean current {written(round(duty.current_mean_A, 2), 'A')}, reverse peak "
            f"{written(round(peak_V), 'V')}.",
            f"So 1 A and 200 V are too little. The smallest that is left: {option('right')}.",
        ),
    )


def _glue_pot_file(draw: Draw) -> Exercise:
    power_W = draw.number(40, 100, 5)
    right, always, exchanged, across = (
        _glue_pot(power_W, 230, contacts)
        for contacts in (
            _BRIDGED,
            (_TO_FED, '"low"', _TO_FED, '"high"'),
            (_TO_FED, '"low", "high"', '"fed", "heat"', '"low"'),
            (_TO_HEAT, '"low", "high"', '"fed", "N"', '"low"'),
        )
    )
    return Exercise(
        text=(
            f"The craft room wants a glue pot: one element of {power_W:g} W at 230 V and one "
            "switch S1 with off, low and high. High is full power, low is half, by a diode. At "
            "off no point inside is live, with line and neutral as marked. Write its file."
        ),
        answer=CircuitFile(
            right,
            start_text='title = "Glue pot"\n\n[supply]\nvoltage_V = 230\n',
            must=("off is dead", "positions"),
        ),
        slips=(
            Slip(
                "always-through-the-diode",
                always,
                thought="the current has to pass the diode at high too",
                why="For full power there must be a way round the diode.",
                attempt="Turn S1 from low to high in the panel of your file: does anything change?",
            ),
            Slip(
                "bridged-at-low",
                exchanged,
                thought="the diode is bridged at low and in the way at high",
                why="Bridged means full power.",
                attempt="Set S1 to low in the panel of your file, and read the watts.",
            ),
            Slip(
                "diode-across-the-element",
                across,
                thought="at low there is a way from L to N past the element, such as a diode "
                "across it",
                why="A way without a load is a short circuit; a diode bars it half of the time.",
                attempt="Set S1 to low in the panel of your file, and read the message.",
            ),
        ),
        hints=(
            "One contact feeds the diode at low and at high. What must a second one do at high?",
            "The nodes: L, one behind the first contact, one behind the diode, N.",
        ),
        worked=(
            'One way: S1 joins "L" to "fed" at low and high. D1 leads from "fed" to "heat".',
            'A second contact joins "fed" to "heat" at high. The element goes on to "N".',
            f"Low: {power_W:g} W ÷ 2 = {written(power_W / 2, 'W')}. The element's {power_W:g} W "
            "are not above 100 W, so even a new design may do it.",
        ),
    )


EXERCISES = (
    Template("melter-on-other-mains", 5, "same circuit", _LEAVES, _other_mains),
    Template("meter-across-the-melter", 5, "same circuit", _METER, _meter_across),
    Template("glue-pot-table", 5, "new circuit", _LEAVES, _pot_table),
    Template("smallest-first", 5, "new circuit", _METER, _which_is_larger),
    Template("melter-with-signs", 5, "find or design", _FAULTS, _melter_with_signs),
    Template("smallest-diode", 5, "find or design", _GOOD_ENOUGH, _smallest_diode),
    Template("glue-pot-file", 5, "find or design", _LEAVES, _glue_pot_file),
)
