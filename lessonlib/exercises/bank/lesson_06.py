"""Exercises of lesson 6: what a thermal fuse guards, and at which place its mark counts."""

from __future__ import annotations

from functools import lru_cache
from itertools import product

from lessonlib.appliance.parts import Appliance, ThermalFuse
from lessonlib.appliance.reader import read_appliance
from lessonlib.electric.solution import solve
from lessonlib.exercises.answers import CellTable, Choice, CircuitFile, Number, Order, Points
from lessonlib.exercises.bank.live import cold_ends, distinct, inside, live_inside, one_by_answer
from lessonlib.exercises.draw import Draw
from lessonlib.exercises.exercise import Exercise, Slip, Template
from lessonlib.exercises.reading import written
from lessonlib.heat.protection import TOLERANCE_K
from lessonlib.heat.run import heat_up

_STOPS = "say which elements a thermal fuse stops when it opens, and which it does not"
_LIVE = "say what is live on either side of an open fuse"
_PLACE = "read the mark of a thermal fuse, and say for which place it holds"
_MARGIN = "judge whether a fuse can open for nothing in normal use"
_BEFORE = "say what comes before a new fuse is fitted, and what after it"

_HIGH_MAINS_V = 253.0
"""230 V and 10 % more: IEC 60038, as quoted."""

_MARKS_C = (128, 139, 144, 152, 157, 167, 172, 184, 192, 216, 229, 240)
"""Marks with which thermal fuses are made: common practice, no source."""


def _pot_after_the_fuse(draw: Draw) -> Exercise:
    loss_W_per_K = draw.one_of([2.0, 2.5, 3.0])
    keep_W = loss_W_per_K * draw.number(200, 300, 20)
    boost_W = draw.number(1000, 1500, 100)
    warmer = draw.appliance(
        "punch-warmer",
        {
            "E1": {"power_W": keep_W},
            "E2": {"power_W": boost_W},
            "vessel": {"loss_W_per_K": loss_W_per_K},
        },
    )
    setting = {"S1": "boost"}
    settles_C = heat_up(warmer, setting, minutes=240).settles_at_C
    assert settles_C is not None
    assert warmer.vessel is not None
    room_C = warmer.vessel.ambient_C
    fuse = warmer.part("F1")
    assert isinstance(fuse, ThermalFuse)
    mark_C = fuse.opens_at_C
    heat = f"{keep_W:g} W"
    return Exercise(
        text=(
            f"A punch warmer has E1 with {keep_W:g} W and E2 with {boost_W:g} W; F1 is marked "
            f"{mark_C:g} °C and sits in the return of E2. Its pot loses {loss_W_per_K:g} W for "
            f"each kelvin above the room at {room_C:g} °C. It has boiled dry at boost, F1 has "
            "opened, and nobody comes. At which temperature does the pot settle?"
        ),
        answer=Number(
            settles_C,
            "°C",
            because="three figures, and 2 % for rounding on the way; the slips are 6 % apart",
        ),
        slips=(
            Slip(
                "limit-at-the-mark",
                mark_C,
                thought="the mark of F1 is taken as a limit for the pot",
                why="F1 has done all it can. It opened one wire, and E1 does not use that wire.",
                attempt="Set F1 to open in the panel, at boost: what does E1 still give?",
            ),
            Slip(
                "room-forgotten",
                settles_C - room_C,
                thought="the rise above the room is given as the temperature",
                why="The loss counts from the room, not from 0 °C.",
                attempt="Ask which temperature the pot has with both elements off for a day.",
            ),
            Slip(
                "nothing-has-opened",
                room_C + (keep_W + boost_W) / loss_W_per_K,
                thought="both elements are counted",
                why="E2 gets its current through F1, and F1 is open.",
                attempt="Set F1 to open in the panel and read the power of E2.",
            ),
            Slip(
                "wrong-element",
                room_C + boost_W / loss_W_per_K,
                thought="E2 is counted, and E1 is taken as the one that the fuse stops",
                why="F1 lies in the return of E2.",
                attempt="Follow each element to N in the drawing: which one meets F1?",
            ),
        ),
        hints=(
            "Which element still gives heat once F1 is open?",
            "It settles where the loss is as large as the heat. Divide watts by watts per kelvin.",
        ),
        worked=(
            f"F1 stops E2 only. E1 goes on with {heat}.",
            f"The loss is as large at a rise of {heat} ÷ {loss_W_per_K:g} W/K = "
            f"{written(keep_W / loss_W_per_K, 'K')}.",
            f"{room_C:g} °C + {written(keep_W / loss_W_per_K, 'K')} = {written(settles_C, '°C')}.",
            "What is left of real punch chars and smokes long before, and can catch fire.",
        ),
        appliance=warmer,
        setting={**setting, "F1": "open"},
    )


def _side_by_side(
    names: tuple[str, str, str, str, str],
    wires: tuple[str, str, str, str],
    watts: tuple[float, float],
) -> Appliance:
    """Two elements on one switch. `names`: the title, the two positions that heat, and the points
    to which S1 joins its common point in both of them and in the second. `wires`: that common
    point, and between what E1, E2 and F1 lie."""
    title, low, high, a, b = names
    first, second, fuse = (", ".join(f'"{node}"' for node in pair.split()) for pair in wires[1:])
    return read_appliance(
        f"""\
title = "{title}"
[supply]
voltage_V = 230
[[switch]]
name = "S1"
positions = ["off", "{low}", "{high}"]
contacts = [
  {{ between = ["{wires[0]}", "{a}"], closed_in = ["{low}", "{high}"] }},
  {{ between = ["{wires[0]}", "{b}"], closed_in = ["{high}"] }},
]
[[element]]
name = "E1"
between = [{first}]
power_W = {watts[0]:g}
voltage_V = 230
[[element]]
name = "E2"
between = [{second}]
power_W = {watts[1]:g}
voltage_V = 230
[[thermal_fuse]]
name = "F1"
between = [{fuse}]
opens_at_C = 172
"""
    )


_WARMERS = (
    ("L", "warm N", "boost end", "end N"),  # that of the lesson
    ("L", "warm end", "boost N", "end N"),
    ("L", "warm end", "boost end", "end N"),
    ("L", "warm N", "top N", "boost top"),
    ("L", "top N", "boost N", "warm top"),
    ("fed", "warm N", "boost N", "L fed"),
)
_Fused = tuple[Appliance, str, bool]
"""A punch warmer whose fuse has opened, the position of S1, and whether the lead swaps L and N."""


@lru_cache(maxsize=1)
def _fused() -> list[tuple[_Fused, frozenset[str]]]:
    """Every case, with the points inside that are live."""
    names = ("Punch warmer", "keep warm", "boost", "warm", "boost")
    warmers = [_side_by_side(names, wires, (550, 1300)) for wires in _WARMERS]
    cases = product(warmers, ("off", "keep warm", "boost"), (False, True))
    return [(case, _live(*case)) for case in cases]


def _live(warmer: Appliance, position: str, swapped: bool, fuse: str = "open") -> frozenset[str]:
    return live_inside(warmer, {"S1": position, "F1": fuse}, swapped=swapped)


def _ends(warmer: Appliance, name: str) -> str:
    return " and ".join(warmer.part(name).rungs[0])


def _live_points(draw: Draw) -> Exercise:
    warmer, position, swapped = one_by_answer(draw, _fused(), 3)
    points, right = inside(warmer), _live(warmer, position, swapped)
    setting = {"S1": position, "F1": "open"}
    line, neutral = ("N", "L") if swapped else ("L", "N")
    lead = "The lead swaps line and neutral. " if swapped else "Line and neutral are as marked. "
    source = warmer.part("S1").rungs[0][0]
    slips = (
        Slip(
            "open-means-dead",
            frozenset[str](),
            thought="an open contact is taken to make everything inside dead",
            why="It is enough that one way to the line is left, through a contact or an element.",
            attempt=f"Start at {line} in the drawing and go as far as wire and elements lead.",
        ),
        Slip(
            "fuse-as-if-closed",
            _live(warmer, position, swapped, "closed"),
            thought="the fuse is taken as if it were still closed",
            why=f"It has opened: nothing passes between {_ends(warmer, 'F1')}.",
            attempt="Cover F1 in the drawing with a finger, and follow the wires once more.",
        ),
        Slip(
            "wrong-conductor",
            _live(warmer, position, not swapped),
            thought=f"{neutral} is taken for the line",
            why=f"Here {line} carries the line, and {neutral} is the neutral.",
            attempt=f"Mark {line} in the drawing first, and follow the wires from there.",
        ),
        Slip(
            "cold-means-dead",
            right - cold_ends(warmer, setting, swapped=swapped),
            thought="both ends of the cold element are taken as dead",
            why="Without current there is no voltage across it, and one end is on the line.",
            attempt="Set F1 to open in the panel of lesson 6, at boost, and read both ends of E2.",
        ),
        Slip(
            "ends-of-the-fuse",
            frozenset(points) & {*warmer.part("F1").rungs[0]},
            thought="an open fuse is taken to have the line at its ends",
            why="An end of F1 is live only if something joins it to the line.",
            attempt="Ask of each end of F1 in the drawing what it is joined to.",
        ),
        Slip(
            "all-is-live",
            frozenset(points),
            thought="an open fuse is taken to leave every point live",
            why="A point is live if a closed contact, or an element that carries no current, "
            "joins it to the line.",
            attempt=f"Start at {line} in the drawing and stop at every open contact.",
        ),
    )
    return Exercise(
        text=(
            f"In a punch warmer S1 joins {source} to warm at keep warm, to warm and boost at "
            f"boost. E1 lies between {_ends(warmer, 'E1')}, E2 between {_ends(warmer, 'E2')}, F1 "
            f"between {_ends(warmer, 'F1')}. F1 has opened. {lead}S1 stands at {position}. Which "
            "of the points inside are live?"
        ),
        answer=Points(right, points),
        slips=tuple(distinct(right, slips)),
        hints=(
            f"The line is at {line} here. Start there.",
            "Go on through closed contacts, and through an element if it carries no current.",
        ),
        worked=(
            f"The line comes in at {line}. S1 is at {position}; F1 parts {_ends(warmer, 'F1')}.",
            "Closed contacts join, and so does an element that carries no current.",
            f"Live inside: {', '.join(n for n in points if n in right) or 'none'}.",
            "What is not live here is at neutral or joined to nothing, but not isolated.",
        ),
        appliance=warmer,
        setting=setting,
    )


_COOL = "let hot parts cool"
_COOL_STEAMER = "let it cool and lose its pressure"
_CAUSES = {
    "punch warmer": (
        ("it leans on a broken foot, and E2 runs dry at one side", "fit a foot that fits"),
        ("it was left at boost overnight", "put a note at S1: never leave it at boost"),
        ("the boost contact of S1 has welded", "fit a sound switch as S1"),
        ("a stronger element was fitted as E2", "fit an E2 of the power on the label"),
        ("sugar has burnt on above E2", "clean the pot until the crust above E2 is gone"),
        ("its level mark has worn off, and it was filled too low", "make the level mark readable"),
    ),
    "wax melter": (
        ("its water bath leaks and ran dry", "mend the bath so that it holds its water"),
        ("its level mark has worn off, and the bath ran dry", "make the level mark readable"),
        ("wax has got into its bath in place of water", "clean the bath and fill it with water"),
        ("the clip of F1 has slipped, and F1 touches E1", "put the clip back where it belongs"),
    ),
    "pie cabinet": (
        ("grease has closed its vents", "clean the vents"),
        ("the plate between E2 and F1 has come off", "put the plate back"),
        ("a stronger element was fitted as E2", "fit an E2 of the power on the label"),
        ("a contact of S2 has welded, and low and high heat at once", "fit a sound switch as S2"),
        ("the clip of F1 has slipped, and F1 touches E2", "put the clip back where it belongs"),
    ),
    **{
        f"{kind} steamer": (
            ("P1 has welded, and it boiled dry", "fit a sound pressure switch as P1"),
            ("its vessel leaks and ran dry", "fit a sound vessel"),
            ("its relief valve does not shut, and it ran dry", "fit a sound relief valve"),
            ("scale covers E1", "descale the vessel"),
            ("the clip of F1 has slipped, and F1 touches E1", "put the clip back where it belongs"),
        )
        for kind in ("garment", "curtain", "wallpaper")
    },
}
"""Why a thermal fuse has opened, and what puts it right, by appliance."""


def _repair_in_order(draw: Draw) -> Exercise:
    name, (cause, cure) = draw.one_of(
        [(name, each) for name, causes in _CAUSES.items() for each in causes]
    )
    plug, prove = "pull the plug and keep it in sight", "prove dead"
    cool = _COOL_STEAMER if name.endswith("steamer") else _COOL
    fit, watch = "fit a fuse with the same mark and ratings", "plug it in and stay with it"
    test = "close it up and test earth continuity and insulation"
    return Exercise(
        text=(
            f"The one-shot fuse of a {name} has opened, because {cause}. Somebody competent "
            "repairs it. In which order, beginning as the cautions do?"
        ),
        answer=Order(
            (plug, cool, prove, cure, fit, test, watch),
            reasons={
                (plug, cool): "Until the plug is out, something in it may still heat.",
                (plug, prove): "With the plug in there is nothing to prove: it is live.",
                (plug, cure): "With the plug in you work on live parts.",
                (plug, fit): "With the plug in you work on live parts.",
                (plug, test): "These tests are made with the plug out.",
                (cool, prove): "Proving dead brings your hands to hot parts.",
                (cool, cure): "Hot parts burn whoever works on them.",
                (prove, cure): "Until it is proved dead, it may be live where you work.",
                (prove, fit): "Until it is proved dead, it may be live where you work.",
                (cure, fit): "What opened the old fuse would open the new one.",
                (fit, test): "Fitting the fuse can trap a wire, or leave an earth wire off.",
                (cure, test): "Work done after the tests is not tested.",
                (test, watch): "With no earth and a trapped wire the case is live as soon as the "
                "plug goes in.",
                (cure, watch): "With the cause still there, that run opens the new fuse.",
                (fit, watch): "A first run shows something only with the new fuse in it.",
            },
        ),
        slips=(
            Slip(
                "fuse-first",
                (plug, cool, prove, fit, cure, test, watch),
                thought="the new fuse goes in before the cause is gone",
                why="The old one opened for a reason. While that is there, a new one proves "
                "nothing, and it has only one shot.",
                attempt="Ask what will happen to the new fuse if nothing else is changed.",
            ),
            Slip(
                "cooling-on-the-plug",
                (cool, plug, prove, cure, fit, test, watch),
                thought="it is left to cool with its plug in",
                why="An open fuse stops its own branch only, and parts stay live.",
                attempt="Set F1 to open in the panel of lesson 6, at boost, and read what is left.",
            ),
            Slip(
                "tested-while-hot",
                (plug, prove, cool, cure, fit, test, watch),
                thought="the tester goes in while parts are still hot",
                why="Proving dead brings your hands to those parts, and they burn without any "
                "current.",
                attempt="Read the cautions at the top of the lesson: what comes right after the "
                "plug?",
            ),
            Slip(
                "proved-too-late",
                (plug, cool, cure, prove, fit, test, watch),
                thought="the work begins before it is proved dead",
                why="The plug in sight tells you that it is out. It does not tell you that it was "
                "the right plug.",
                attempt="Read the cautions at the top of the lesson: what comes before touching?",
            ),
            Slip(
                "tested-before-the-fuse",
                (plug, cool, prove, cure, test, fit, watch),
                thought="it is tested before the last part is fitted",
                why="Fitting the fuse opens it once more: a wire can be trapped, or an earth wire "
                "left off, after your test.",
                attempt="Ask of each step what it can undo of the steps before it.",
            ),
            Slip(
                "plugged-in-untested",
                (plug, cool, prove, cure, fit, watch, test),
                thought="it is plugged in before earth continuity and insulation are tested",
                why="With a trapped wire and no earth the case is live as soon as the plug goes "
                "in, and still it heats as it should.",
                attempt="Ask which step would show you an earth wire that was left off.",
            ),
            Slip(
                "cure-after-the-first-run",
                (plug, cool, prove, fit, test, watch, cure),
                thought="the first run comes before the cause is gone",
                why="That run opens the new fuse, or does worse.",
                attempt="Say for each step what must be true before it may begin.",
            ),
        ),
        hints=(
            "Nothing is touched before it is cold and proved dead.",
            "A fuse that opened has told you something. Use it before you replace it; and test "
            "what you have repaired before it is plugged in.",
        ),
        worked=(
            "First the plug: before that nothing cools and nothing is safe.",
            "Cold and proved dead, it may be touched.",
            "Then the cause, and only then the new fuse, like for like.",
            "Closed up, its earth and its insulation are tested with the plug out.",
            "Then the plug goes in, and the first run is watched.",
        ),
    )


_BOILERS = {
    "in the common return": ("L", "a end", "b end", "end N"),
    "in the wire of E1": ("L", "a end", "b N", "end N"),
    "in the wire of E2": ("L", "a N", "b end", "end N"),
}


Cells = tuple[tuple[float, ...], ...]


def _powers(boiler: Appliance, fuse: str) -> Cells:
    rows = []
    for position in ("low", "high"):
        now = solve(boiler, {"S1": position, "F1": fuse})
        values = (now.part["E1"].power_W, now.part["E2"].power_W, now.current_A)
        rows.append(tuple(round(value or 0.0, 9) for value in values))
    return tuple(rows)


def _open_fuse_table(draw: Draw) -> Exercise:
    place = draw.one_of(list(_BOILERS))
    watts = (draw.number(400, 700, 50), draw.number(900, 1500, 100))
    names = ("Wash boiler", "low", "high", "a", "b")
    boilers = {words: _side_by_side(names, wires, watts) for words, wires in _BOILERS.items()}
    boiler = boilers[place]
    ends = [boiler.part(name).rungs[0][1] for name in ("E1", "E2")]
    powers = _powers(boiler, "open")
    return Exercise(
        text=(
            f"A wash boiler: S1 joins L to a at low, and to a and b at high. E1 ({watts[0]:g} W) "
            f"lies between a and {ends[0]}, E2 ({watts[1]:g} W) between b and {ends[1]}, F1 "
            "between end and N. It is on 230 V, and F1 has opened. What do the elements give, and "
            "what does the boiler draw?"
        ),
        answer=CellTable(
            rows=("S1 low", "S1 high"),
            columns=(("E1", "W"), ("E2", "W"), ("current", "A")),
            value=powers,
            because="three figures, and 2 % for rounding on the way",
        ),
        slips=(
            Slip(
                "fuse-left-out",
                _powers(boiler, "closed"),
                thought="the boiler is taken as if F1 were closed",
                why="F1 is open: no current comes from end to N.",
                attempt="Look at F1 in the drawing: which element has lost its return?",
            ),
            *(
                Slip(
                    f"fuse-{words.replace(' ', '-').lower()}",
                    _powers(other, "open"),
                    thought=f"F1 is taken to lie {words}",
                    why=f"F1 lies between end and N. E1 leads to {ends[0]}, and E2 leads to "
                    f"{ends[1]}.",
                    attempt="Follow each element's current to N, and note whether it meets F1.",
                )
                for words, other in boilers.items()
                if words != place
            ),
        ),
        hints=(
            "Which element has its return through F1?",
            "An element without a return gives nothing, and the other gives what it always gives.",
        ),
        worked=(
            f"F1 lies {place}.",
            *(
                f"S1 {position}: E1 {written(row[0], 'W')}, E2 {written(row[1], 'W')}, "
                f"{written(row[2], 'A')}."
                for position, row in zip(("low", "high"), powers, strict=True)
            ),
        ),
        appliance=boiler,
        setting={"S1": "high", "F1": "open"},
    )


def _jam_kettle(power_W: float, rise_K_per_W: float) -> Appliance:
    """An open kettle whose fuse touches its element, with a mark out of reach."""
    return read_appliance(
        f"""\
title = "Jam kettle"
supply.voltage_V = 230
vessel = {{ water_kg = 4, heat_capacity_J_per_K = 900, loss_W_per_K = 2 }}
[[element]]
name = "E1"
between = ["L", "end"]
power_W = {power_W:g}
voltage_V = 230
[[thermal_fuse]]
name = "F1"
between = ["end", "N"]
opens_at_C = 400
placed_on = "E1"
rise_K_per_W = {rise_K_per_W:g}
"""
    )


def _at_the_boil_C(kettle: Appliance, supply_voltage_V: float = 230.0) -> float:
    """The hottest at the place of F1 in normal use: long at the boil, and not yet dry."""
    run = heat_up(kettle, minutes=45, supply_voltage_V=supply_voltage_V)
    return run.hottest_place_C("F1")


def _lowest_mark(draw: Draw) -> Exercise:
    grid = product(range(1000, 1601, 50), (0.03, 0.035, 0.04, 0.045, 0.05, 0.06))
    whole_kelvins = [each for each in grid if round(each[0] * each[1], 6).is_integer()]
    power_W, rise_K_per_W = draw.one_of(whole_kelvins)
    kettle = _jam_kettle(power_W, rise_K_per_W)
    # the text says 100 °C, where the steam table has a few hundredths less
    place_C, hottest_C = (float(round(_at_the_boil_C(kettle, v))) for v in (230.0, _HIGH_MAINS_V))
    pot_C = place_C - rise_K_per_W * power_W
    right_C = place_C + TOLERANCE_K
    made_C = min(mark for mark in _MARKS_C if mark >= right_C)
    rise = f"{rise_K_per_W:g} K/W × {power_W:g} W = {written(rise_K_per_W * power_W, 'K')}"
    apart_K = min(made_C - right_C, abs(made_C - hottest_C - TOLERANCE_K))
    next_made = [
        Slip(
            "next-mark-that-is-made",
            float(made_C),
            thought="the next mark with which fuses are made is given",
            why="Such a fuse would do. What is asked is the limit itself.",
            attempt="Add the tolerance to the place at the boil, and give the sum.",
        )
    ]
    return Exercise(
        text=(
            f"A jam kettle boils at 100 °C. On its mains the one element gives {power_W:g} W. Its "
            f"one-shot thermal fuse touches that element and is {rise_K_per_W:g} K warmer than the "
            "kettle for each watt that the element gives. At least how high must its mark be, so "
            "that it cannot open in normal use, at the boil?"
        ),
        answer=Number(
            right_C,
            "°C",
            tolerance=0.01,
            because="three figures; the tolerance of the fuse is 5 % of it",
            safe_side="above",
            unsafe_because="A fuse with a lower mark can open at the boil.",
        ),
        slips=(
            Slip(
                "tolerance-forgotten",
                place_C,
                thought="the fuse is taken to open exactly at its mark",
                why="A one-shot fuse may open up to 10 K below its mark.",
                attempt="Look at the caption of the protection table in the lesson: what stands "
                "after the mark?",
            ),
            Slip(
                "tolerance-backwards",
                place_C - TOLERANCE_K,
                thought="the tolerance is taken off",
                why="A fuse with that mark would open well before the place is at its hottest.",
                attempt="Take your mark, go 10 K down, and compare with the place at the boil.",
            ),
            Slip(
                "at-the-kettle",
                pot_C + TOLERANCE_K,
                thought="the fuse is taken to be as warm as the kettle",
                why="It touches the element, and an element that gives heat is warmer than what "
                "it heats.",
                attempt="Look at the thin line in the lesson's picture: where is it at the boil?",
            ),
            Slip(
                "mains-higher-than-told",
                hottest_C + TOLERANCE_K,
                thought="the place is worked out for mains that are 10 % up",
                why="In a design that is the right thought. Here you are told what the element "
                "gives.",
                attempt="Work out the place once more, with the power in the text.",
            ),
            *(next_made if apart_K > 5 else ()),  # the tolerances reach 2 K each way
        ),
        hints=(
            "First: how warm is the place of the fuse while the kettle boils?",
            "Then: how far below its mark may a fuse open? Stay clear of that as well.",
        ),
        worked=(
            f"The place is {rise} warmer than the kettle.",
            f"At the boil that is {written(place_C, '°C')}.",
            f"A fuse may open {TOLERANCE_K:g} K below its mark: {written(right_C, '°C')} at least.",
            f"The next mark with which fuses are made is {made_C} °C.",
        ),
    )


_COLD = {
    "F1 has opened": "F1 not making",
    "E1 is open": "E1 open",
    "E2 is open": "E2 open",
    "S1 does not make": "S1 not making",
    "H1 is open": "H1 open",
}


def _cabinet_gone_cold(draw: Draw) -> Exercise:
    low_W, high_W = draw.number(400, 600, 50), draw.number(800, 1200, 100)
    cabinet = draw.appliance("pie-cabinet", {"E1": {"power_W": low_W}, "E2": {"power_W": high_W}})

    def signs(option: str) -> str:
        def now(position: str) -> tuple[str, bool]:
            found = solve(cabinet, {"S1": "on", "S2": position}, fault=_COLD[option])
            watts = sum(found.part[name].power_W or 0.0 for name in ("E1", "E2"))
            return f"{watts:.0f} W", bool(found.part["H1"].power_W)

        (low, lit), (high, _) = now("low"), now("high")
        lamp = "glows" if lit else "stays dark"
        return f"{low} of heat at low, {high} at high, and the lamp {lamp}"

    right = draw.one_of(list(_COLD))
    return Exercise(
        text=(
            f"The hall's pie cabinet has E1 with {low_W:g} W for low and E2 with {high_W:g} W for "
            "high, and one thermal fuse F1 in their common return. S1 is on. "
            f"What you find: {signs(right)}. Which one fault explains it?"
        ),
        answer=Choice(right, tuple(draw.shuffled(list(_COLD)))),
        slips=tuple(
            Slip(
                f"signs-do-not-fit-{fault.replace(' ', '-')}",
                option,
                thought=f'"{option}" is taken without asking what it does to low, high and lamp',
                why=f"With that fault you would find {signs(option)}.",
                attempt=f'In panel(load_appliance("pie-cabinet")) set S1 to on and the fault '
                f'"{fault}", and turn S2.',
            )
            for option, fault in _COLD.items()
            if option != right
        ),
        hints=(
            "Which parts does the current of E1 pass, which that of E2, which that of the lamp?",
            "Look for a part that all that fails needs, and nothing that works.",
        ),
        worked=(
            "E1 needs S1, S2 and F1; E2 needs S1, S2 and F1 too; the lamp needs S1 only.",
            f"{signs(right)[0].upper()}{signs(right)[1:]}: {right}.",
        ),
        appliance=cabinet,
        setting={"S1": "on"},
    )


@lru_cache(maxsize=1)
def _designs() -> list[tuple[float, float]]:
    """Watts, and kelvins for each watt, with which every slip has a mark of its own."""
    grid = product(range(1000, 1801, 50), (0.02, 0.025, 0.03, 0.035, 0.04, 0.045, 0.05, 0.055))
    return [(power_W, rise) for power_W, rise in grid if all(_marks(power_W, rise))]


def _marks(power_W: float, rise_K_per_W: float) -> tuple[list[int], list[int], list[int]]:
    """Marks above the place of a fuse by less than its tolerance, marks that are high enough at
    230 V alone, and marks that are high enough; the last empty where there is no higher one."""
    usual_C, hottest_C = (100 + rise_K_per_W * power_W * up for up in (1.0, 1.21))
    usual, nominal, safe = (
        [mark for mark in _MARKS_C if low + 1 < mark < high - 1]
        for low, high in (
            (usual_C, usual_C + TOLERANCE_K),
            (usual_C + TOLERANCE_K, hottest_C + TOLERANCE_K),
            (hottest_C + TOLERANCE_K, 1000),
        )
    )
    return usual, nominal, safe if len(safe) > 1 else []


def _which_fuse(draw: Draw) -> Exercise:
    power_W, rise_K_per_W = draw.one_of(_designs())
    kettle = _jam_kettle(power_W, rise_K_per_W)
    usual_C, hottest_C = (_at_the_boil_C(kettle, volts) for volts in (230.0, _HIGH_MAINS_V))
    usual, nominal, safe = _marks(power_W, rise_K_per_W)
    right_C, next_C = safe[:2]
    bears_C = draw.one_of(range(right_C + 1, next_C))
    wrong_C = {
        "tolerance-forgotten": draw.one_of(usual),
        "nominal-mains-only": draw.one_of(nominal),
        "higher-is-safer": draw.one_of(safe[1:3]),
    }
    assert usual_C < wrong_C["tolerance-forgotten"] < usual_C + TOLERANCE_K
    assert usual_C + TOLERANCE_K < wrong_C["nominal-mains-only"] < hottest_C + TOLERANCE_K
    assert hottest_C + TOLERANCE_K < right_C < bears_C < wrong_C["higher-is-safer"]

    def option(mark_C: float) -> str:
        return f"mark {mark_C:g} °C"

    marks_C = sorted([right_C, *wrong_C.values()])
    if draw.one_of([False, True]):
        marks_C.reverse()
    return Exercise(
        text=(
            f"Somebody designs a kettle: one element of {power_W:g} W at 230 V, boiling at 100 °C, "
            "on mains of up to 253 V. The one-shot fuse will touch the element, where it is "
            f"{rise_K_per_W:g} K warmer than the kettle for each watt. It must not open in normal "
            f"use, and must have opened when its place is at {bears_C:g} °C. Which one?"
        ),
        answer=Choice(option(right_C), tuple(map(option, marks_C))),
        slips=(
            Slip(
                "tolerance-forgotten",
                option(wrong_C["tolerance-forgotten"]),
                thought="the mark only has to lie above the place at the boil",
                why="Such a fuse may open 10 K below its mark, and its place is hotter than that "
                "at every boil.",
                attempt="Take 10 K off this mark and compare with the place at 230 V.",
            ),
            Slip(
                "nominal-mains-only",
                option(wrong_C["nominal-mains-only"]),
                thought="the place is worked out for 230 V alone",
                why="On 253 V the element gives 21 % more, and the rise grows with it.",
                attempt="Work out the power at 253 V as in lesson 2, then the place.",
            ),
            Slip(
                "higher-is-safer",
                option(wrong_C["higher-is-safer"]),
                thought="a mark farther from normal use is taken as the better one",
                why=f"It may still be closed when its place is at {bears_C:g} °C.",
                attempt="Ask of each mark: what is the hottest at which this fuse is closed?",
            ),
        ),
        hints=(
            "How warm is its place at the boil on the highest mains? Power goes with the square.",
            "Mark less 10 K must lie above that; the mark itself must not lie above the limit.",
        ),
        worked=(
            f"On 253 V: {power_W:g} W × 1.1² = {written(power_W * 1.21, 'W')}.",
            f"The place at the boil: 100 °C + {rise_K_per_W:g} K/W × "
            f"{written(power_W * 1.21, 'W')} = {hottest_C:.0f} °C.",
            f"So the mark lies above {hottest_C + TOLERANCE_K:.0f} °C, and not above "
            f"{bears_C:g} °C.",
            f"That leaves {option(right_C)}.",
        ),
    )


def _stall_boiler(watts: tuple[float, float], wires: tuple[str, str, str, str]) -> Appliance:
    """`wires`: between what S1, E1, E2 and F1 lie; F1 is left out where that is empty."""
    switch, first, second, fuse = (
        ", ".join(f'"{node}"' for node in pair.split()) for pair in wires
    )
    guard = f'thermal_fuse = [{{ name = "F1", between = [{fuse}], opens_at_C = 152 }}]'
    return read_appliance(
        f"""\
title = "Stall boiler"
supply.voltage_V = 230
switch = [{{ name = "S1", positions = ["off", "on"], contacts = [
  {{ between = [{switch}], closed_in = ["on"] }}] }}]
element = [
  {{ name = "E1", between = [{first}], power_W = {watts[0]:g}, voltage_V = 230 }},
  {{ name = "E2", between = [{second}], power_W = {watts[1]:g}, voltage_V = 230 }}]
{guard if fuse else ""}
"""
    )


def _one_fuse_for_both(draw: Draw) -> Exercise:
    watts = (draw.number(400, 700, 50), draw.number(800, 1300, 50))
    right, one_branch, in_return, before, none = (
        _stall_boiler(watts, wires)
        for wires in (
            ("L fed", "top N", "top N", "fed top"),
            ("L fed", "fed N", "top N", "fed top"),
            ("L fed", "fed end", "fed end", "end N"),
            ("top fed", "fed N", "fed N", "L top"),
            ("L fed", "fed N", "fed N", ""),
        )
    )
    return Exercise(
        text=(
            f"The stall's boiler has two elements side by side, {watts[0]:g} W and {watts[1]:g} W "
            "at 230 V, and one switch S1, off and on, with one contact for both. Write its file "
            "with one thermal fuse, opening at 152 °C, so that: open, it stops both elements and "
            "leaves no end of them live; and with S1 off no point inside is live. Mains 230 V, "
            "line and neutral as marked."
        ),
        answer=CircuitFile(
            right,
            start_text='title = "Stall boiler"\n\n[supply]\nvoltage_V = 230\n',
            must=("live points", "protection", "marks", "positions"),
        ),
        slips=(
            Slip(
                "one-branch-guarded",
                one_branch,
                thought="the fuse lies in the wire of the stronger element only",
                why="Open, it leaves the other element heating.",
                attempt="Set F1 to open in the panel of your file: what is still drawn?",
            ),
            Slip(
                "fuse-in-the-return",
                in_return,
                thought="the fuse lies in the common return",
                why="Open, it stops both, and leaves both on the line from end to end.",
                attempt="Set F1 to open in the panel of your file and read the ends of E1.",
            ),
            Slip(
                "fuse-before-the-switch",
                before,
                thought="the fuse comes before S1",
                why="It guards both, but the wire from the fuse to S1 is live when S1 is off.",
                attempt="Set S1 to off in the panel of your file and read every point.",
            ),
            Slip(
                "fuse-left-out",
                none,
                thought="there is no thermal fuse in the file",
                why="Boiled dry, nothing stops it.",
                attempt="Count the parts in the drawing of your file.",
            ),
        ),
        hints=(
            "Which stretches of wire carry the current of both elements? There are two.",
            "Of the two take the one on the line's side, and think about what comes first there.",
        ),
        worked=(
            'S1 joins "L" to a node, such as "fed".',
            'F1 lies between "fed" and a second node, such as "top".',
            'Both elements go from "top" to "N".',
        ),
    )


EXERCISES = (
    Template("pot-after-the-fuse", 6, "same circuit", _STOPS, _pot_after_the_fuse),
    Template("live-points-with-the-fuse-open", 6, "same circuit", _LIVE, _live_points),
    Template("fuse-repair-in-order", 6, "same circuit", _BEFORE, _repair_in_order),
    Template("boiler-with-the-fuse-open", 6, "new circuit", _STOPS, _open_fuse_table),
    Template("lowest-mark", 6, "new circuit", _PLACE, _lowest_mark),
    Template("cabinet-gone-cold", 6, "find or design", _STOPS, _cabinet_gone_cold),
    Template("which-fuse-fits", 6, "find or design", _MARGIN, _which_fuse),
    Template("one-fuse-for-both-file", 6, "find or design", _LIVE, _one_fuse_for_both),
)
