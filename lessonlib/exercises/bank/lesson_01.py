"""Exercises of lesson 1: off is not dead."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import lru_cache
from itertools import pairwise

from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.reader import read_appliance
from lessonlib.electric.solution import solve
from lessonlib.exercises.answers import CellTable, Choice, Number, Order, Points
from lessonlib.exercises.draw import Draw
from lessonlib.exercises.exercise import Exercise, Slip, Template
from lessonlib.exercises.reading import written

_LIVE = 'say which points of a heater circuit are live when it is "off"'
_ZERO = "explain why a tester across an element can read 0 V on a live element"
_PROVE = "put the steps of proving dead in order, and say what each one guards against"

_USED_UP = "D. Psillos, in Connecting Research in Physics Education (ICPE), chapter E4"
_NOT_APART = "Engelhardt and Beichner, Am. J. Phys. 72 (2004), as quoted"


def _inside(appliance: Appliance) -> tuple[str, ...]:
    return tuple(node for node in appliance.nodes if node not in ("L", "N", "PE"))


def _live(appliance: Appliance, setting: Mapping[str, str], swapped: bool) -> frozenset[str]:
    """The points inside that are live; `swapped`: with the plug reversed."""
    node = solve(appliance, setting, reversed_plug=swapped).node
    return frozenset(name for name in _inside(appliance) if node[name].condition == "live")


def _distinct(right: object, slips: tuple[Slip, ...]) -> Iterator[Slip]:
    """Each slip that gives a wrong answer here which no earlier one gave."""
    found = {right}
    for slip in slips:
        if slip.value not in found:
            found.add(slip.value)
            yield slip


def _plugged(swapped: bool) -> tuple[str, str]:
    """A sentence about the plug, and where the line comes in."""
    return ("The plug is reversed.", "N") if swapped else ("The plug is as marked.", "L")


def _steamer_points(draw: Draw) -> Exercise:
    steamer = draw.appliance("curtain-steamer")
    switch, pressure = draw.one_of([("off", "closed"), ("off", "open"), ("on", "open")])
    swapped = draw.one_of([False, True])
    setting = {"S1": switch, "P1": pressure}
    right = _live(steamer, setting, swapped)
    plug, line = _plugged(swapped)
    up = "has come up to pressure, so P1 is open" if pressure == "open" else "is cold: P1 is closed"
    return Exercise(
        text=(
            f"The curtain steamer is drawn switched on and heating, plug as marked. Now S1 is "
            f"{switch}, and the steamer {up}. {plug} Which of top, bottom and return are live?"
        ),
        answer=Points(right, _inside(steamer)),
        slips=tuple(
            _distinct(
                right,
                (
                    Slip(
                        "no-heat-means-dead",
                        frozenset[str](),
                        thought="a steamer that does not heat is taken as dead",
                        why="Heat shows current. A point can be at mains voltage without any.",
                        attempt=f"Start at {line} in the drawing and go on to the open contact.",
                        source=_NOT_APART,
                    ),
                    Slip(
                        "plug-the-other-way",
                        _live(steamer, setting, not swapped),
                        thought="the line is taken to come in at the other terminal",
                        why=f"{plug} So the line comes in at {line}.",
                        attempt="Turn the list Plug in the panel and watch the words change sides.",
                    ),
                    Slip(
                        "only-the-nearest",
                        frozenset({"return" if swapped else "top"}),
                        thought=f"only the point next to {line} is taken as live",
                        why="What decides is not the distance, but the open contacts on the way.",
                        attempt=f"Set S1 to {switch} and P1 to {pressure} in the panel, and read "
                        "one word after the other.",
                        source=_USED_UP,
                    ),
                    Slip(
                        "all-of-it",
                        frozenset(_inside(steamer)),
                        thought="every point is taken as live because the plug is in",
                        why="A point behind an open contact may belong to the neutral.",
                        attempt=f"Strike out the open contacts and start at {line} again.",
                    ),
                ),
            )
        ),
        hints=(
            f"The line comes in at {line}. Start there.",
            "Go on through closed contacts, and through the element too, up to an open contact.",
        ),
        worked=(
            f"{plug} The line comes in at {line}.",
            f"S1 is {switch} and P1 is {pressure}; the element joins top and bottom.",
            f"Live inside: {', '.join(n for n in _inside(steamer) if n in right) or 'none'}.",
        ),
        appliance=steamer,
        setting={"S1": "on"},
    )


def _tester_readings(draw: Draw) -> Exercise:
    supply_V = draw.number(220, 240, 2)
    steamer = draw.appliance("curtain-steamer", {"supply": {"voltage_V": supply_V}})
    cases = {"S1": {"S1": "off", "P1": "closed"}, "P1": {"S1": "on", "P1": "open"}}
    gap = draw.one_of(sorted(cases))
    other = "P1" if gap == "S1" else "S1"
    story = {
        "S1": "It is cold, so P1 is closed, and S1 is off.",
        "P1": "It is at pressure, so P1 is open, and S1 is still on.",
    }

    def readings(case: str) -> tuple[tuple[float, ...], ...]:
        now = solve(steamer, cases[case])
        across = now.part["E1"].voltage_V
        to_earth = (now.node["bottom"].potential_V, now.node["return"].potential_V)
        return tuple((round(volts or 0.0, 6),) for volts in (across, *to_earth))

    right = readings(gap)
    return Exercise(
        text=(
            f"The mains is at {supply_V:g} V, and the curtain steamer's plug is in as marked. "
            f"{story[gap]} Nothing heats. Which voltage stands between each of these pairs?"
        ),
        answer=CellTable(
            rows=("top to bottom", "bottom to earth", "return to earth"),
            columns=(("voltage", "V"),),
            value=right,
            because="no step needs rounding; 2 % is a generous reading of a scale",
        ),
        slips=(
            Slip(
                "nothing-heats-nothing-there",
                ((0.0,), (0.0,), (0.0,)),
                thought="no current is taken to mean no voltage",
                why="Without current the voltage is 0 V across the element, and nowhere else.",
                attempt=f"Follow the wire from L: does it meet anything open before {gap}?",
                source=_NOT_APART,
            ),
            Slip(
                "as-if-it-heated",
                ((supply_V,), (0.0,), (0.0,)),
                thought="the element is taken to use the voltage up, as when it heats",
                why="It does that with current only: volts are amperes times ohms.",
                attempt=f"Set S1 {cases[gap]['S1']} and P1 {cases[gap]['P1']} in the panel, and "
                "read both ends of E1.",
                source=_USED_UP,
            ),
            Slip(
                "gap-elsewhere",
                readings(other),
                thought=f"the wire is taken to be open at {other}",
                why=f"Here {other} is closed, and {gap} is open.",
                attempt=f"Mark {gap} in the drawing, and what lies on either side of it.",
            ),
        ),
        hints=(
            "Which current flows in the element, and what is that current times its ohms?",
            f"Points before {gap} belong to the line. Points behind it belong to the neutral.",
        ),
        worked=(
            f"{gap} is open: no current. 0 A times the resistance of E1 is 0 V, top to bottom.",
            f"Before {gap} all is {supply_V:g} V above earth, behind it all is at 0 V.",
            f"bottom: {written(right[1][0], 'V')}; return: {written(right[2][0], 'V')}.",
        ),
        appliance=steamer,
        setting={"S1": "on"},
    )


def _urn_off(draw: Draw) -> Exercise:
    keep_W, boost_W = draw.number(300, 600, 50), draw.number(900, 1500, 100)
    urn = draw.appliance("tea-urn", {"E1": {"power_W": keep_W}, "E2": {"power_W": boost_W}})
    right_W = solve(urn, {"S1": "off"}).power_W
    assert right_W is not None
    return Exercise(
        text=(
            f"The hall's tea urn has two elements, E1 with {keep_W:g} W and E2 with {boost_W:g} W, "
            "and one switch. It is drawn switched on. Now S1 goes to off, and the plug stays in. "
            "How much power does the urn draw?"
        ),
        answer=Number(right_W, "W", because="one figure read off; the slips are far apart"),
        slips=(
            Slip(
                "off-means-nothing",
                0.0,
                thought='the word "off" is taken for the whole urn',
                why="A switch stops what gets its current through it, and nothing else.",
                attempt='Set S1 to off in panel(load_appliance("tea-urn")) and read each element.',
            ),
            Slip(
                "both-elements",
                keep_W + boost_W,
                thought="both elements are added",
                why="S1 is open: one of them has lost its way to L.",
                attempt="Strike out S1 in the drawing. Which element still reaches both L and N?",
            ),
            Slip(
                "the-one-behind-the-switch",
                boost_W,
                thought="the element behind the open switch is counted",
                why="E2 gets its current through S1, and S1 is open.",
                attempt="Follow E2 from N to L with a finger: what is in the way?",
            ),
        ),
        hints=(
            "Follow each element from L to N in the drawing, one after the other.",
            "Strike out S1, and add up what still reaches from L to N.",
        ),
        worked=(
            "E2 hangs behind S1: 0 W.",
            f"E1 sits straight between L and N: {written(right_W, 'W')}, as long as the plug is "
            "in.",
        ),
        appliance=urn,
        setting={"S1": "on"},
    )


_PARTS = {
    "S1": "switch S1",
    "F1": "thermal fuse F1",
    "E1": "element E1",
    "T1": "thermostat T1",
}


@lru_cache(maxsize=24)
def _foot_warmer(order: tuple[str, ...]) -> Appliance:
    """A chain from L to N, its parts in that order."""
    nodes = ("L", "a", "b", "c", "N")
    between = {
        name: f'between = ["{nodes[place]}", "{nodes[place + 1]}"]'
        for place, name in enumerate(order)
    }
    return read_appliance(
        f"""\
title = "Foot warmer"
supply = {{ voltage_V = 230, reversible_plug = true }}
switch = [{{ name = "S1", positions = ["off", "on"], contacts = [
  {{ {between["S1"]}, closed_in = ["on"] }}] }}]
thermal_fuse = [{{ name = "F1", {between["F1"]}, opens_at_C = 98 }}]
element = [{{ name = "E1", {between["E1"]}, power_W = 120, voltage_V = 230 }}]
thermostat = [{{ name = "T1", {between["T1"]}, opens_at_C = 55, closes_at_C = 48 }}]
"""
    )


def _foot_warmer_points(draw: Draw) -> Exercise:
    order = tuple(draw.shuffled(list(_PARTS)))
    swapped = draw.one_of([False, True])
    warmer = _foot_warmer(order)
    off = {"S1": "off"}
    right = _live(warmer, off, swapped)
    plug, line = _plugged(swapped)
    points = ("a", "b", "c")
    place = order.index("E1")
    before_element = frozenset("abc"[place:] if swapped else "abc"[:place])
    gap_first = (order.index("S1") > place) == swapped
    chain = "; ".join(
        f"{_PARTS[name]} from {first} to {second}"
        for name, first, second in zip(order, "Labc", "abcN", strict=True)
    )
    return Exercise(
        text=(
            f"A foot warmer, drawn switched on with the plug as marked: {chain}. Now S1 is off, "
            f"and it is cold, so F1 and T1 are closed. {plug} Which of the points inside are live?"
        ),
        answer=Points(right, points),
        slips=tuple(
            _distinct(
                right,
                (
                    Slip(
                        "off-means-dead",
                        frozenset[str](),
                        thought="off is taken for dead",
                        why=f"S1 parts only what lies behind it, seen from {line}.",
                        attempt=f"Put a finger on {line} in the drawing and go on until S1.",
                        source=_NOT_APART,
                    ),
                    Slip(
                        "used-up-in-the-element",
                        before_element,
                        thought="the voltage is taken to be there up to the element only",
                        why="S1 comes before it, seen from the line, and S1 is open."
                        if gap_first
                        else "Without current the element uses nothing up: it passes it on.",
                        attempt="Ask what parts each point from the line: wire, element, or gap?",
                        source=_USED_UP,
                    ),
                    Slip(
                        "plug-the-other-way",
                        _live(warmer, off, not swapped),
                        thought="the line is taken to come in at the other terminal",
                        why=f"{plug} So the line comes in at {line}.",
                        attempt="Write live and neutral beside L and N of the drawing first.",
                    ),
                    Slip(
                        "all-of-it",
                        frozenset(points),
                        thought="every point is taken as live because the plug is in",
                        why="S1 is open, and what lies behind it belongs to the neutral.",
                        attempt="Strike out S1 in the drawing. Which pieces are left?",
                    ),
                    Slip(
                        "the-first-point",
                        frozenset("c" if swapped else "a"),
                        thought=f"only the point next to {line} is taken as live",
                        why="What decides is where S1 sits, not the distance.",
                        attempt=f"Start at {line} in the drawing and name each part you pass.",
                    ),
                ),
            )
        ),
        hints=(
            f"The line comes in at {line}. Where does S1 sit, seen from there?",
            "Fuse, thermostat and element pass the voltage on. Only an open contact does not.",
        ),
        worked=(
            f"{plug} The line comes in at {line}.",
            f"From there to S1 all is live: {', '.join(sorted(right))}."
            if right
            else "S1 is the first part on the way, and open: no point inside is live.",
        ),
        appliance=warmer,
        setting={"S1": "on"},
    )


_JOBS = (
    "take the thermal fuse out of the pie cabinet",
    "undo the wires of the soup kettle's element",
    "change the selector of the towel rail",
    "look for a loose wire in the hot trolley",
    "take the lamp out of the bottle warmer",
    "change the pressure switch of the steamer",
)


def _proving_order(draw: Draw) -> Exercise:
    job = draw.one_of(_JOBS)
    pull, keep = "pull the plug", "keep the plug in sight, and let hot parts cool"
    prove, test = "check the tester on a known live source", "test L–N, L–PE and N–PE"
    again, work = "check the tester once more", f"begin: {job}"
    return Exercise(
        text=(
            f"Somebody is about to {job}. Put the steps in the order of this lesson, so that "
            "each one guards what comes after it."
        ),
        answer=Order((pull, keep, prove, test, again, work)),
        slips=(
            Slip(
                "tested-with-an-unproved-tester",
                (pull, keep, test, prove, again, work),
                thought="the pairs are tested before the tester has been seen working",
                why="A tester with a broken lead reads nothing on anything.",
                attempt="Imagine a dead tester, and say which of your steps finds it out in time.",
            ),
            Slip(
                "not-proved-again",
                (pull, keep, prove, test, work, again),
                thought="the work begins on the strength of the first check",
                why="A lead can break between the first check and the last pair.",
                attempt="Imagine the lead breaking at the second pair: who notices, and when?",
            ),
            Slip(
                "plug-out-of-sight",
                (pull, prove, test, again, keep, work),
                thought="the plug is watched only once the testing is done",
                why="Somebody can put it back in while you look at the tester.",
                attempt="Ask at which moment nobody looks at the plug in your order.",
            ),
            Slip(
                "tested-before-the-plug",
                (prove, test, again, pull, keep, work),
                thought="the plug is pulled after the testing",
                why="The test is to show that pulling the plug has done its work.",
                attempt="Ask what the three pairs read while the plug is still in.",
            ),
        ),
        hints=(
            "Isolate first, then secure what you have isolated.",
            "The tester is checked twice, and what lies between the two checks is the test.",
        ),
        worked=(
            "The plug isolates. Kept in sight, it stays out.",
            "A tester just seen working, every pair, and the same tester seen working again.",
            "Only then does the work begin.",
        ),
    )


_STATES = {
    "contact 1 has welded": ("off", "S1 welded"),  # as the panel calls it
    "contact 2 has welded": ("off", "S1 contact 2 welded"),
    "both contacts have welded": ("on", ""),
    "no contact has welded": ("off", ""),
}


@lru_cache(maxsize=64)
def _seen(steamer: Appliance, option: str) -> str:
    """What the wallpaper steamer shows at off, the plug one way and the other. With both contacts
    welded, off is what on is without a fault."""
    position, fault = _STATES[option]
    said = []
    for swapped in (False, True):
        now = solve(steamer, {"S1": position}, fault=fault or None, reversed_plug=swapped)
        top, bottom = (now.node[end].condition for end in ("top", "bottom"))
        ends = f"both ends {top}" if top == bottom else f"top {top}, bottom {bottom}"
        heat_W = now.part["E1"].power_W or 0.0
        said.append(f"{heat_W:.0f} W and {ends} with the plug {('as marked', 'reversed')[swapped]}")
    return "; ".join(said)


def _welded_contact(draw: Draw) -> Exercise:
    power_W = draw.number(1600, 2400, 100)
    steamer = draw.appliance("wallpaper-steamer", {"E1": {"power_W": power_W}})
    right = draw.one_of(list(_STATES))
    panel = 'panel(load_appliance("wallpaper-steamer"))'
    attempts = {
        "both contacts have welded": f"In {panel} set S1 to on, as if it never opened, and turn "
        "the plug.",
        "no contact has welded": f"In {panel} set S1 to off, without a fault, and turn the plug.",
    }
    return Exercise(
        text=(
            "The wallpaper steamer's switch opens both conductors: contact 1 next to L, contact 2 "
            f"next to N. Its element E1 has {power_W:g} W. S1 is set to off. Found at E1: "
            f"{_seen(steamer, right)}. What has happened inside S1?"
        ),
        answer=Choice(right, tuple(draw.shuffled(list(_STATES)))),
        slips=tuple(
            Slip(
                option.replace(" ", "-"),
                option,
                thought=f'"{option}" is taken without asking what E1 would show then',
                why=f"Then you would find at E1: {_seen(steamer, option)}.",
                attempt=attempts.get(
                    option,
                    f"In {panel} set S1 to off and the fault to '{_STATES[option][1]}', and turn "
                    "the plug.",
                ),
            )
            for option in _STATES
            if option != right
        ),
        hints=(
            "Does E1 heat at off? Then ask what its ends are joined to.",
            "A welded contact joins the inside to its own terminal, L or N, and to no other.",
        ),
        worked=(
            "A contact that has welded joins the inside to its terminal; an open one does not.",
            "As marked, the line is at L; reversed, it is at N.",
            f"So {right}.",
        ),
        appliance=steamer,
        setting={"S1": "on"},
    )


_SWITCHES = {
    "one contact, between L and the element": "SE",
    "one contact, between the element and N": "ES",
    "two contacts, one next to L and one next to N": "SES",
    "two contacts, both between L and the element": "SSE",
}
"""Contacts and element in a row from L to N."""


def _switched(chain: str) -> Appliance:
    nodes = ("L", *"ab"[: len(chain) - 1], "N")
    pairs = [f'["{one}", "{other}"]' for one, other in pairwise(nodes)]
    contacts = ", ".join(
        f'{{ between = {pair}, closed_in = ["on"] }}'
        for part, pair in zip(chain, pairs, strict=True)
        if part == "S"
    )
    return read_appliance(
        f"""\
title = "One element, one switch"
supply = {{ voltage_V = 230, reversible_plug = true }}
switch = [{{ name = "S1", positions = ["off", "on"], contacts = [{contacts}] }}]
element = [{{ name = "E1", between = {pairs[chain.index("E")]}, power_W = 800, voltage_V = 230 }}]
"""
    )


@lru_cache(maxsize=8)
def _live_at_off(chain: str, swapped: bool) -> bool:
    return bool(_live(_switched(chain), {"S1": "off"}, swapped))


def _smallest_switch(draw: Draw) -> Exercise:
    thing = draw.one_of(["glue pot", "foot warmer", "plant warmer", "jam warmer", "wax pot"])
    fits, ways = draw.one_of(
        [
            ("fits both ways", (False, True)),
            ("fits one way only, with the line at L", (False,)),
        ]
    )

    def live(option: str) -> list[str]:
        """The ways of the plug that leave something live at off."""
        return [
            ("as marked", "reversed")[way] for way in ways if _live_at_off(_SWITCHES[option], way)
        ]

    right = min(
        (option for option in _SWITCHES if not live(option)),
        key=lambda option: _SWITCHES[option].count("S"),
    )

    def why(option: str) -> str:
        if found := live(option):
            return f"With the plug {found[0]}, off leaves the element live."
        return "It does what is asked, with one contact more than that takes."

    return Exercise(
        text=(
            f"A {thing} has one element, and a plug that {fits}. Off must never leave anything "
            "inside live, and the switch is to have as few contacts as that allows. Which switch? "
            "(For work inside, the plug comes out all the same.)"
        ),
        answer=Choice(right, tuple(draw.shuffled(list(_SWITCHES)))),
        slips=tuple(
            Slip(
                f"switch-{_SWITCHES[option].lower()}",
                option,
                thought="a switch is chosen because it stops the heat"
                if live(option)
                else "a second contact is taken as better in any case",
                why=why(option),
                attempt="Draw L, the element and N in a row, put the contacts in, open them, and "
                "start at the line."
                if live(option)
                else "Draw L, the contacts, the element and N in a row, and leave out one contact: "
                "does the rest still keep the line away?",
            )
            for option in _SWITCHES
            if option != right
        ),
        hints=(
            "On which terminal can the line be, with this plug?",
            "Between the element and each terminal that can be the line there must be a contact.",
        ),
        worked=(
            f"The plug {fits}: the line can be at {'L or N' if len(ways) > 1 else 'L alone'}.",
            f"So it takes {right}.",
        ),
    )


EXERCISES = (
    Template("steamer-live-points", 1, "same circuit", _LIVE, _steamer_points),
    Template("tester-on-the-steamer", 1, "same circuit", _ZERO, _tester_readings),
    Template("urn-switched-off", 1, "new circuit", _LIVE, _urn_off),
    Template("foot-warmer-live-points", 1, "new circuit", _LIVE, _foot_warmer_points),
    Template("steps-of-proving-dead", 1, "new circuit", _PROVE, _proving_order),
    Template("welded-inside-the-switch", 1, "find or design", _LIVE, _welded_contact),
    Template("smallest-switch", 1, "find or design", _LIVE, _smallest_switch),
)
