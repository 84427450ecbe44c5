"""Exercises of lesson 11: your own appliance, and your own readings."""

from __future__ import annotations

from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.reader import read_appliance
from lessonlib.electric.alloys import WIRE_C, resistance_factor
from lessonlib.electric.meter import OhmReading, resistance, resistances
from lessonlib.electric.solution import solve
from lessonlib.exercises.answers import CellTable, Choice, CircuitFile, Number, OneSetting, Order
from lessonlib.exercises.draw import Draw
from lessonlib.exercises.exercise import Exercise, Slip, Template
from lessonlib.exercises.reading import written
from lessonlib.ratings.agreement import Verdict, compare_reading
from lessonlib.ratings.input_power import input_power_limits
from lessonlib.ratings.readings import PowerReading

_DESCRIBE = "describe an appliance step by step, until its file has no problems"
_COLD = "work out what an ohmmeter should show on a cold appliance"
_JUDGE = "judge a reading: it agrees, it is within the limits, or it is off"
_CHOOSE = "choose the readings that between them pass through every part"

# total resistance confused with the number of elements; a source of constant current
_COUNTED = _CONSTANT_CURRENT = "Engelhardt and Beichner, Am. J. Phys. 72 (2004), as quoted"

_RIGHT_TO_THREE_FIGURES = "three figures, and 2 % for rounding on the way"


def gluepot(
    keep_W: float, boost_W: float, *, alloy: str = "", contacts: tuple[str, str] | None = None
) -> Appliance:
    """The gluepot of the lesson: off, warm (E1) and hot (E1 and E2). `contacts` are the positions
    in which E1 and E2 get their line, as lists of a file."""
    first, second = contacts or ('"warm", "hot"', '"hot"')
    wire = f'alloy = "{alloy}"' if alloy else ""
    return read_appliance(f"""\
title = "Gluepot"
[supply]
voltage_V = 230
[[element]]
name = "E1"
between = ["warm", "N"]
power_W = {keep_W:g}
voltage_V = 230
{wire}
[[element]]
name = "E2"
between = ["boost", "N"]
power_W = {boost_W:g}
voltage_V = 230
{wire}
[[switch]]
name = "S1"
positions = ["off", "warm", "hot"]
contacts = [
    {{ between = ["L", "warm"], closed_in = [{first}] }},
    {{ between = ["L", "boost"], closed_in = [{second}] }},
]
""")


def _ohms(reading: OhmReading) -> str:
    return "OL" if reading.ohm is None else f"{reading.ohm:.0f} Ω"


def _cold_gluepot(draw: Draw) -> Exercise:
    alloy = draw.one_of(["NiCr 35/20", "FeCrAl 13/4", "NiCr 60/15"])
    keep_W = draw.number(200, 300, 20)
    boost_W = draw.number(360, 560, 40)
    pot = gluepot(keep_W, boost_W, alloy=alloy)
    shown = resistance(pot, {"S1": "hot"}, red="L", black="N").ohm
    assert shown is not None
    factor = resistance_factor(alloy, WIRE_C)
    hot = 230**2 / (keep_W + boost_W)
    first, second = 230**2 / keep_W / factor, 230**2 / boost_W / factor
    return Exercise(
        text=(
            f"The elements of a gluepot are marked {keep_W:g} W and {boost_W:g} W, both at 230 V, "
            f"and lie side by side when S1 is at hot. Their wire is {alloy}; at work it resists "
            f"{factor:.3f} times as much as cold. The pot is unplugged and cold, S1 at hot. What "
            "does an ohmmeter show between L and N?"
        ),
        answer=Number(shown, "Ω", because=_RIGHT_TO_THREE_FIGURES),
        slips=(
            Slip(
                "hot-for-cold",
                hot,
                thought="the resistance is worked out from the marked powers, and left at that",
                why="The marking holds at work, when the wire glows. The meter sees it cold.",
                attempt="Read what the text says of wire at work and cold. Which one is yours?",
            ),
            Slip(
                "factor-upside-down",
                hot * factor,
                thought="the cold resistance is taken to be the larger one",
                why="The factor says how much more the wire resists at work than cold.",
                attempt="Is the resistance from the marking the hot or the cold one? Begin there.",
            ),
            Slip(
                "added-side-by-side",
                first + second,
                thought="the two resistances are added",
                why="At hot the current has two ways side by side, so it meets less, not more.",
                attempt="Follow the two ways from L to N in the drawing with S1 at hot.",
                source=_COUNTED,
            ),
        ),
        hints=(
            "Two steps: what do both together resist at work, and what is that cold?",
            f"At work: 230 V squared, divided by {keep_W + boost_W:g} W. Then the factor.",
        ),
        worked=(
            f"Together the elements are marked {keep_W:g} W + {boost_W:g} W = "
            f"{keep_W + boost_W:g} W.",
            f"At work: (230 V)² ÷ {keep_W + boost_W:g} W = {written(hot, 'Ω')}.",
            f"Cold: {written(hot, 'Ω')} ÷ {factor:.3f} = {written(shown, 'Ω')}.",
        ),
        appliance=pot,
        setting={"S1": "hot"},
    )


_WORDS: dict[Verdict, str] = {
    "agrees": "it agrees: the difference is no more than the meter's own",
    "within the limits": "it is within the limits: off for the meter, but a marked power may be",
    "off": "it is off: no honest marking gives that",
}
_THOUGHTS: dict[Verdict, tuple[str, str, str]] = {
    "agrees": (
        "marked-is-about",
        "the reading is near enough by feel",
        "The meter has a tolerance of its own. Compare the difference with that first.",
    ),
    "within the limits": (
        "limits-for-everything",
        "the limits for marked powers are held to be the answer to any difference",
        "Work out both: how far the meter may be off, and how far the marked power may.",
    ),
    "off": (
        "marked-is-exact",
        "the reading is held against the power on the plate",
        "The plate's power belongs to the voltage on the plate, and it has limits.",
    ),
}


def _watts_on_low_mains(draw: Draw) -> Exercise:
    keep_W = draw.number(200, 400, 50)
    boost_W = draw.number(400, 600, 50)
    volts = draw.one_of([216, 218, 222, 239, 242])
    share = draw.one_of([1.0, 1.005, 0.93, 0.94, 0.8, 0.84])
    pot = gluepot(keep_W, boost_W)
    marked_W = keep_W + boost_W
    wanted_W = solve(pot, {"S1": "hot"}, supply_voltage_V=volts).power_W
    assert wanted_W is not None
    shown_W = round(wanted_W * share)
    reading = PowerReading(power_W=shown_W, setting={"S1": "hot"}, supply_voltage_V=volts)
    limits = input_power_limits(marked_W)
    scale = (volts / 230) ** 2
    verdict = compare_reading(pot, reading).verdict
    right = _WORDS[verdict]

    def slip(wrong: Verdict) -> Slip:
        name, thought, attempt = _THOUGHTS[wrong]
        why = (
            f"On {volts} V a sound pot draws {marked_W:g} W × ({volts} ÷ 230)². Set {shown_W} W "
            "beside that, not beside the plate."
        )
        return Slip(name, _WORDS[wrong], thought=thought, why=why, attempt=attempt)

    return Exercise(
        text=(
            f"A gluepot marked {marked_W:g} W at 230 V stands at hot. The energy meter at the plug "
            f"shows {volts} V and {shown_W} W; its leaflet says ± 2 % of the reading and 2 W. "
            "A marked power of this size may be "
            f"{written(100 * (1 - limits.low_W / marked_W))} % too high and "
            f"{written(100 * (limits.high_W / marked_W - 1))} % too low. What do you say of the "
            "reading?"
        ),
        answer=Choice(right, tuple(draw.shuffled(list(_WORDS.values())))),
        slips=tuple(slip(wrong) for wrong in _WORDS if wrong != verdict),
        hints=(
            "Bring the marked power to the measured voltage first: with its square.",
            "Then three numbers: the difference, the meter's tolerance, the limits of the marking.",
        ),
        worked=(
            f"On {volts} V: {marked_W:g} W × ({volts} ÷ 230)² = {written(wanted_W, 'W')}.",
            f"The meter may be off by 2 % of {shown_W} W and 2 W: "
            f"{written(reading.tolerance, 'W')}.",
            f"The limits of the marking, on {volts} V: {written(limits.low_W * scale, 'W')} to "
            f"{written(limits.high_W * scale, 'W')}.",
            f"{shown_W} W: {right}.",
        ),
        appliance=pot,
        setting={"S1": "hot"},
    )


def _dish_warmer(low_W: float, high_W: float) -> Appliance:
    return read_appliance(f"""\
title = "Dish warmer"
[supply]
voltage_V = 230
[[switch]]
name = "S1"
positions = ["off", "on"]
contacts = [{{ between = ["L", "shelf"], closed_in = ["on"] }}]
[[switch]]
name = "S2"
positions = ["off", "on"]
contacts = [{{ between = ["L", "base"], closed_in = ["on"] }}]
[[element]]
name = "E1"
between = ["shelf", "N"]
power_W = {low_W:g}
voltage_V = 230
[[element]]
name = "E2"
between = ["base", "N"]
power_W = {high_W:g}
voltage_V = 230
""")


def _which_setting(draw: Draw) -> Exercise:
    low_W, high_W = draw.number(150, 300, 10), draw.number(450, 800, 10)
    warmer = _dish_warmer(low_W, high_W)
    parts = ("S1", "S2")
    settings = [dict(zip(parts, row, strict=True)) for row in (("on", "off"), ("off", "on"))]
    settings.append({"S1": "on", "S2": "on"})
    which = draw.one_of([0, 1, 2])
    ohms = [resistance(warmer, each, red="L", black="N").ohm for each in settings]
    shown = ohms[which]
    assert shown is not None
    slips = [
        Slip(
            "more-watts-more-ohms",
            settings[1 if which == 0 else 0],
            thought="the stronger element is taken for the one with more ohms",
            why="At the same voltage more power needs more current, and that means fewer ohms.",
            attempt="Divide 230 V squared by the power of each element, and compare.",
        ),
        Slip(
            "more-paths-more-ohms",
            settings[2 if which != 2 else 1],
            thought="two elements side by side are taken to resist more than one"
            if which != 2
            else "the smaller of the two is taken alone, as if the other did not count",
            why="Side by side the current has two ways, so both together resist less than either.",
            attempt="Look from L to N in the drawing: how many ways lead through?",
            source=_COUNTED,
        ),
        Slip(
            "off-and-measured",
            {"S1": "off", "S2": "off"},
            thought="the switches are taken not to matter to a meter",
            why="The meter's current needs a way too, and open contacts leave none: it shows OL.",
            attempt="Open both switches in the drawing, and go from L to N with a finger.",
        ),
    ]
    return Exercise(
        text=(
            f"A dish warmer: S1 gives E1, marked {low_W:g} W, its line, and S2 does so for E2, "
            f"marked {high_W:g} W, both at 230 V. It is unplugged and sound, and cold wire is "
            f"taken to resist as much as hot. Between L and N the ohmmeter shows "
            f"{written(round(shown, 1), 'Ω')}. How do the switches stand?"
        ),
        answer=OneSetting(warmer, accepted=(settings[which],), parts=parts),
        slips=tuple(slips),
        hints=(
            "Work out the resistance of each element from its marking.",
            "And of both side by side: 230 V squared, divided by both powers together.",
        ),
        worked=(
            f"E1: (230 V)² ÷ {low_W:g} W = {written(ohms[0] or 0, 'Ω')}.",
            f"E2: (230 V)² ÷ {high_W:g} W = {written(ohms[1] or 0, 'Ω')}.",
            f"Both: (230 V)² ÷ {low_W + high_W:g} W = {written(ohms[2] or 0, 'Ω')}.",
        ),
        appliance=warmer,
    )


def _dead_element_table(draw: Draw) -> Exercise:
    low_W, high_W = draw.number(150, 300, 10), draw.number(450, 800, 10)
    volts = draw.one_of([214, 218, 220])
    warmer = _dish_warmer(low_W, high_W)
    rows = {"S1 on, S2 off": ("on", "off"), "both on": ("on", "on")}

    def watts(fault: str | None) -> list[float]:
        found = []
        for first, second in rows.values():
            setting = {"S1": first, "S2": second}
            power_W = solve(warmer, setting, fault=fault, supply_voltage_V=volts).power_W
            assert power_W is not None
            found.append(power_W)
        return found

    sound, dead = watts(None), watts("E2 open")
    scale = (volts / 230) ** 2

    def table(columns: list[list[float]]) -> tuple[tuple[float, ...], ...]:
        return tuple(zip(*columns, strict=True))

    return Exercise(
        text=(
            f"The dish warmer has E1, {low_W:g} W by S1, and E2, {high_W:g} W by S2, both marked "
            f"at 230 V. The energy meter shows {volts} V. Which watts does it show with the "
            "switches as named: sound, and with E2 burnt through?"
        ),
        answer=CellTable(
            rows=tuple(rows),
            columns=(("sound", "W"), ("E2 open", "W")),
            value=table([sound, dead]),
            tolerance=0.02,
            because=_RIGHT_TO_THREE_FIGURES,
        ),
        slips=(
            Slip(
                "marked-on-any-voltage",
                table([[w / scale for w in sound], [w / scale for w in dead]]),
                thought="the powers are taken as marked",
                why=f"They are marked at 230 V, and the meter shows {volts} V.",
                attempt=f"Work out the ohms of E1 from its marking, and put {volts} V across them.",
            ),
            Slip(
                "dead-one-stops-both",
                table([sound, [dead[0], 0.0]]),
                thought="one open element is taken to stop the other one too",
                why="They lie side by side. The current through E1 does not pass E2.",
                attempt="Strike E2 out in the drawing, and go from L to N: is a way left?",
            ),
            Slip(
                "other-one-takes-over",
                table([sound, [dead[0], sound[1]]]),
                thought="the element that is left is taken to draw for both",
                why="E1 has its own resistance, and its voltage is the same as before.",
                attempt="Work out the current of E1 from its ohms: where does E2 come in?",
                source=_CONSTANT_CURRENT,
            ),
        ),
        hints=(
            "Only what the current passes counts. Which elements does it pass in each cell?",
            f"Each marked power times ({volts} ÷ 230) squared, and zero for what is open.",
        ),
        worked=(
            f"E1 on {volts} V: {low_W:g} W × ({volts} ÷ 230)² = {written(sound[0], 'W')}.",
            f"Both, sound: {low_W + high_W:g} W × ({volts} ÷ 230)² = {written(sound[1], 'W')}.",
            "With E2 open the first row is the same: that reading says nothing of E2.",
        ),
        appliance=warmer,
        setting={"S1": "on", "S2": "on"},
    )


_FAULTS = {
    "E1 open": "E1 burnt through",
    "E2 open": "E2 burnt through",
    "S1 contact 1 welded": "the contact of S1 for E1 welded",
    "S1 contact 2 welded": "the contact of S1 for E2 welded",
}
_SHOWN = {
    "E1 open": "Strike out E1",
    "E2 open": "Strike out E2",
    "S1 contact 1 welded": "Close the contact between L and E1 for good",
    "S1 contact 2 welded": "Close the contact between L and E2 for good",
}
"""How to draw each fault."""
_POSITIONS = ("off", "warm", "hot")


def _fault_by_readings(draw: Draw) -> Exercise:
    keep_W, boost_W = draw.number(200, 300, 20), draw.number(360, 560, 40)
    alloy = draw.one_of(["NiCr 35/20", "NiCr 80/20", "FeCrAl 25/5"])
    pot = gluepot(keep_W, boost_W, alloy=alloy)
    settings = [{"S1": position} for position in _POSITIONS]
    found = resistances(pot, settings, red="L", black="N", faults=(None, *_FAULTS))
    width = 1 + len(_FAULTS)
    columns = [[_ohms(one) for one in found[at::width]] for at in range(width)]
    sound, by_fault = columns[0], dict(zip(_FAULTS, columns[1:], strict=True))
    fault = draw.one_of(list(_FAULTS))
    seen = by_fault[fault]

    def told(row: list[str]) -> str:
        return ", ".join(f"{at} {ohms}" for at, ohms in zip(_POSITIONS, row, strict=True))

    def slip(name: str) -> Slip:
        differs = [at for at, a, b in zip(_POSITIONS, by_fault[name], seen, strict=True) if a != b]
        first = differs[0]
        return Slip(
            name.lower().replace(" ", "-"),
            _FAULTS[name],
            thought=f"{_FAULTS[name]} is taken to explain every reading",
            why=f"At {first} the meter would then show {by_fault[name][_POSITIONS.index(first)]}.",
            attempt=f"{_SHOWN[name]} in the drawing, and look for ways from L to N at {first}.",
        )

    return Exercise(
        text=(
            f"A gluepot has E1, {keep_W:g} W, at warm and hot, and beside it E2, {boost_W:g} W, at "
            f"hot only. Unplugged and cold, L to N should read: {told(sound)}. It reads: "
            f"{told(seen)}. Which one fault fits all three readings?"
        ),
        answer=Choice(_FAULTS[fault], tuple(draw.shuffled(list(_FAULTS.values())))),
        slips=tuple(slip(name) for name in _FAULTS if name != fault),
        hints=(
            "Begin with the setting that reads wrong. Which parts does the current pass there?",
            "OL: a path is missing. Too few ohms: a path is there that should not be.",
        ),
        worked=(
            f"Should read: {told(sound)}.",
            f"Reads: {told(seen)}.",
            f"Only {_FAULTS[fault]} gives that in all three.",
        ),
        appliance=pot,
    )


def _file_from_notes(draw: Draw) -> Exercise:
    keep_W, boost_W = draw.number(150, 350, 25), draw.number(400, 700, 25)
    right = gluepot(keep_W, boost_W)
    return Exercise(
        text=(
            "Notes from the bench: gluepot, 230 V. One switch S1 in the line, with the positions "
            f"off, warm and hot. At warm an element of {keep_W:g} W works, at hot a second one of "
            f"{boost_W:g} W beside it; both are marked at 230 V and end on N. Write its appliance "
            "file. describe() gives you the text as you put in part after part."
        ),
        answer=CircuitFile(
            right,
            start_text='title = "Gluepot"\n\n[supply]\nvoltage_V = 230\n',
            must=("live points", "lamps", "protection", "positions"),
        ),
        slips=(
            Slip(
                "hot-is-the-second-alone",
                gluepot(keep_W, boost_W, contacts=('"warm"', '"hot"')),
                thought="at hot the second element works alone",
                why="The notes put the second one beside the first: at hot both work.",
                attempt="Set S1 to hot in the drawing of your file. Which elements have a current?",
            ),
            Slip(
                "markings-swapped",
                gluepot(boost_W, keep_W),
                thought="the two markings have changed places",
                why=f"The element that works at warm is the one of {keep_W:g} W.",
                attempt="Set S1 to warm in the drawing of your file and read the power.",
            ),
            Slip(
                "first-never-off",
                gluepot(keep_W, boost_W, contacts=('"off", "warm", "hot"', '"hot"')),
                thought="the first element has its line in every position",
                why="Off is off by the notes: nothing works there.",
                attempt="Set S1 to off in the drawing of your file. Is any point inside live?",
            ),
        ),
        hints=(
            "Two contacts on one switch: one for each element.",
            "The contact of the first element is closed in two positions, the other in one.",
        ),
        worked=(
            'First contact: between = ["L", "warm"], closed_in = ["warm", "hot"].',
            'Second contact: between = ["L", "boost"], closed_in = ["hot"].',
            'The elements go on from "warm" and from "boost" to "N".',
        ),
    )


def _order_of_work(draw: Draw) -> Exercise:
    setting = draw.one_of(["hot", "warm", "boost", "full", "low", "both on"])
    what = draw.one_of(["gluepot", "dish warmer", "plate warmer", "wax melter"])
    work = (
        "pull the plug and keep it in sight",
        "wait until it is cold",
        "prove dead between every pair of pins",
        f"turn the switch to {setting}",
        "read the ohmmeter between L and N",
        "compare the reading with the file",
    )
    plug, wait, prove, turn, read, compare = work
    return Exercise(
        text=(
            f"You want to know whether a {what} is sound at {setting}, with an ohmmeter. Follow "
            "the cautions in their order; until dead is proved, touch nothing but plug and "
            "tester. In which order do you work?"
        ),
        answer=Order(work),
        slips=(
            Slip(
                "proved-too-late",
                (plug, wait, turn, read, prove, compare),
                thought="dead is proved after the measurement",
                why="Whatever is touched first must be known to be dead first.",
                attempt="Read the cautions again: what comes before you touch?",
            ),
            Slip(
                "measured-warm",
                (plug, prove, turn, read, compare, wait),
                thought="the wait comes at the end",
                why="Warm wire resists otherwise than cold, and hot parts burn.",
                attempt="Hold the wait against the cautions: which line asks for it?",
            ),
            Slip(
                "proved-while-hot",
                (plug, prove, wait, turn, read, compare),
                thought="dead is proved while the appliance is still hot",
                why="The cautions ask for the wait first: hot parts burn whoever tests near them.",
                attempt="Read the cautions again: which of the two comes first?",
            ),
            Slip(
                "switch-too-early",
                (plug, turn, wait, prove, read, compare),
                thought="the switch is taken to be safe to touch",
                why="Until dead is proved it is not among the things to touch.",
                attempt="Read in the text what you may touch, and until when.",
            ),
            Slip(
                "switch-last",
                (plug, wait, prove, read, compare, turn),
                thought="the switch is set after the reading",
                why="A reading belongs to the setting in which it was taken.",
                attempt="Enter one reading in the form for readings, then turn only the switch.",
            ),
        ),
        hints=(
            "First what keeps you alive, then what makes the reading true.",
            "Plug, wait, prove; then the switch, the meter, the file.",
        ),
        worked=tuple(f"{number}. {step}." for number, step in enumerate(work, 1)),
    )


EXERCISES = (
    Template("gluepot-cold-ohms", 11, "same circuit", _COLD, _cold_gluepot),
    Template("gluepot-watts-on-this-mains", 11, "same circuit", _JUDGE, _watts_on_low_mains),
    Template("dish-warmer-which-setting", 11, "new circuit", _COLD, _which_setting),
    Template("dish-warmer-dead-element", 11, "new circuit", _CHOOSE, _dead_element_table),
    Template("order-of-a-measurement", 11, "new circuit", _CHOOSE, _order_of_work),
    Template("gluepot-fault-by-readings", 11, "find or design", _CHOOSE, _fault_by_readings),
    Template("gluepot-file-from-notes", 11, "find or design", _DESCRIBE, _file_from_notes),
)
