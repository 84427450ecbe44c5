"""The numbers of lesson 1's questions that lines of data cannot draw."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise

from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.reader import read_appliance
from lessonlib.circuit.solution import Solution, solve
from lessonlib.questions.answers import CellTable, Choice, Order, Points
from lessonlib.questions.content_template import Numbers
from lessonlib.questions.draw import Draw
from lessonlib.questions.numbers.live import distinct, live_inside

_CHAINS = {
    "curtain-steamer": ("top", "bottom", "return"),
    "garment-steamer": ("fed", "top", "bottom"),
    "wallpaper-steamer": ("fed", "top", "bottom", "return"),
}
"""Points inside each steamer, from L to N."""


def steamer_live_points(draw: Draw) -> Numbers:
    """What is live in a steamer that does not heat; in one draw of five, nothing."""
    power_W = draw.number(1200, 2000, 200)
    name = draw.one_of(list(_CHAINS))
    steamer = draw.appliance(name, {"E1": {"power_W": power_W}})
    cases = [
        (switch, pressure, swapped)
        for switch, pressure in (("off", "closed"), ("off", "open"), ("on", "open"))
        for swapped in (False, True)
        if name != "wallpaper-steamer" or switch == "on"
    ]

    def live(case: tuple[str, str, bool]) -> frozenset[str]:
        return live_inside(steamer, {"S1": case[0], "P1": case[1]}, swapped=case[2])

    some = [case for case in cases if live(case)]
    none = [case for case in cases if not live(case)]
    case = draw.one_of(none if none and draw.number(1, 5, 1) == 1 else some)
    switch, pressure, swapped = case
    points, right = _CHAINS[name], live(case)
    return Numbers(
        answer=Points(right, points),
        slips=distinct(
            right,
            {
                "no-heat-means-dead": frozenset[str](),
                "plug-the-other-way": live((switch, pressure, not swapped)),
                "only-the-nearest": frozenset({points[-1] if swapped else points[0]}),
                "all-of-it": frozenset(points),
            },
        ),
        words={
            "name": name.replace("-", " "),
            "points": points,
            "power_W": power_W,
            "switch": switch,
            "pressure": pressure,
            "swapped": swapped,
            "live": tuple(point for point in points if point in right),
        },
        appliance=steamer,
        setting={"S1": "on"},
    )


def tester_on_the_steamer(draw: Draw) -> Numbers:
    """What a tester reads across the element and from its far side to earth."""
    supply_V = draw.number(216, 252, 1)
    steamer = draw.appliance("curtain-steamer", {"supply": {"voltage_V": supply_V}})
    cases = {"S1": {"S1": "off", "P1": "closed"}, "P1": {"S1": "on", "P1": "open"}}
    gap = draw.one_of(sorted(cases))
    other = "P1" if gap == "S1" else "S1"

    def readings(case: str) -> tuple[tuple[float, ...], ...]:
        now = solve(steamer, cases[case])
        across = now.part["E1"].voltage_V
        to_earth = (now.node["bottom"].potential_V, now.node["return"].potential_V)
        return tuple((round(volts or 0.0, 6),) for volts in (across, *to_earth))

    right = readings(gap)
    return Numbers(
        answer=CellTable(
            rows=("top to bottom", "bottom to earth", "return to earth"),
            columns=(("voltage", "V"),),
            value=right,
            because="no step needs rounding; 2 % is a generous reading of a scale",
        ),
        slips={
            "nothing-heats-nothing-there": ((0.0,), (0.0,), (0.0,)),
            "as-if-it-heated": ((supply_V,), (0.0,), (0.0,)),
            "gap-elsewhere": readings(other),
        },
        words={
            "supply_V": supply_V,
            "gap": gap,
            "other": other,
            "switch": cases[gap]["S1"],
            "pressure": cases[gap]["P1"],
            "bottom_V": right[1][0],
            "return_V": right[2][0],
        },
        appliance=steamer,
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
    between = {
        name: f'between = ["{first}", "{second}"]'
        for name, first, second in zip(order, "Labc", "abcN", strict=True)
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


def foot_warmer_live_points(draw: Draw) -> Numbers:
    """What is live at off in a chain of four parts in any order."""
    order = tuple(draw.shuffled(list(_PARTS)))
    swapped = draw.one_of([False, True])
    warmer = _foot_warmer(order)
    off, points = {"S1": "off"}, ("a", "b", "c")
    right = live_inside(warmer, off, swapped=swapped)
    place = order.index("E1")
    return Numbers(
        answer=Points(right, points),
        slips=distinct(
            right,
            {
                "off-means-dead": frozenset[str](),
                "used-up-in-the-element": frozenset("abc"[place:] if swapped else "abc"[:place]),
                "plug-the-other-way": live_inside(warmer, off, swapped=not swapped),
                "all-of-it": frozenset(points),
                "the-first-point": frozenset("c" if swapped else "a"),
            },
        ),
        words={
            "chain": "; ".join(
                f"{_PARTS[name]} from {first} to {second}"
                for name, first, second in zip(order, "Labc", "abcN", strict=True)
            ),
            "swapped": swapped,
            "gap_first": (order.index("S1") > place) == swapped,
            "live": tuple(sorted(right)),
        },
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
    "tighten a terminal of the plate warmer",
    "change the cord of the tea urn",
    "take the diode out of the wax melter",
    "change the thermostat of the food warmer",
)
_KNOWN = ("a known live source", "a proving unit", "a socket that is known to be live")


def steps_of_proving_dead(draw: Draw) -> Numbers:
    """The steps of isolating and proving dead, before a job."""
    job, known = draw.one_of(_JOBS), draw.one_of(_KNOWN)
    pull, keep = "pull the plug", "keep the plug in sight, and let hot parts cool"
    prove, test = f"check the tester on {known}", "test L–N, L–PE and N–PE"
    again, work = "check the tester once more", f"begin: {job}"
    isolated = "Until the plug is out there is nothing to show: the pairs are live."
    return Numbers(
        answer=Order(
            (pull, keep, prove, test, again, work),
            reasons={
                (pull, keep): "You cannot keep a plug in sight before it is out.",
                (pull, test): isolated,
                (pull, prove): "Isolate first: what you do with the tester is to show that it is.",
                (prove, test): "A tester with a broken lead reads nothing on anything.",
                (test, again): "The second check is of the tester that has done the test.",
                (again, work): "A lead can break during the test. Find that out before you touch.",
            },
        ),
        slips={
            "tested-with-an-unproved-tester": (pull, keep, test, prove, again, work),
            "not-proved-again": (pull, keep, prove, test, work, again),
            "plug-out-of-sight": (pull, prove, test, again, keep, work),
            "tested-before-the-plug": (prove, test, again, pull, keep, work),
            "work-first": (pull, keep, work, prove, test, again),
        },
        words={"job": job},
    )


_STATES = {
    "the contact at L has welded": ("off", "S1 welded"),  # as the panel calls it
    "the contact at N has welded": ("off", "S1 contact 2 welded"),
    "both contacts have welded": ("on", ""),  # off is then what on is without a fault
    "no contact has welded": ("off", ""),
}


@lru_cache(maxsize=64)
def _found(steamer: Appliance, option: str) -> tuple[Solution, Solution]:
    """The wallpaper steamer at off, the plug one way and the other."""
    position, fault = _STATES[option]
    one, other = (
        solve(steamer, {"S1": position}, fault=fault or None, reversed_plug=way)
        for way in (False, True)
    )
    return one, other


def _seen(steamer: Appliance, option: str) -> str:
    said = []
    for now in _found(steamer, option):
        top, bottom = (now.node[end].condition for end in ("top", "bottom"))
        ends = f"both ends {top}" if top == bottom else f"top {top}, bottom {bottom}"
        way = "reversed" if now.reversed_plug else "as marked"
        said.append(f"{now.part['E1'].power_W or 0.0:.0f} W and {ends} with the plug {way}")
    return "; ".join(said)


def welded_inside_the_switch(draw: Draw) -> Numbers:
    """Which contacts of a double-pole switch have welded."""
    power_W = draw.number(1600, 2400, 100)
    steamer = draw.appliance("wallpaper-steamer", {"E1": {"power_W": power_W}})
    right = draw.one_of(list(_STATES))
    return Numbers(
        answer=Choice(right, tuple(draw.shuffled(list(_STATES)))),
        slips={
            name: option
            for name, option in zip(("at-l", "at-n", "both", "no"), _STATES, strict=True)
            if option != right
        },
        words={
            "power_W": power_W,
            "right": right,
            "seen": _seen(steamer, right),
            **{
                f"seen_{name}": _seen(steamer, option)
                for name, option in zip(("l", "n", "both", "no"), _STATES, strict=True)
            },
        },
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


@lru_cache(maxsize=8)
def _live_at_off(chain: str, swapped: bool) -> bool:
    nodes = ("L", *"ab"[: len(chain) - 1], "N")
    pairs = [f'["{one}", "{other}"]' for one, other in pairwise(nodes)]
    contacts = ", ".join(
        f'{{ between = {pair}, closed_in = ["on"] }}'
        for part, pair in zip(chain, pairs, strict=True)
        if part == "S"
    )
    one_switch = read_appliance(
        f"""\
title = "One element, one switch"
supply = {{ voltage_V = 230, reversible_plug = true }}
switch = [{{ name = "S1", positions = ["off", "on"], contacts = [{contacts}] }}]
element = [{{ name = "E1", between = {pairs[chain.index("E")]}, power_W = 800, voltage_V = 230 }}]
"""
    )
    return bool(live_inside(one_switch, {"S1": "off"}, swapped=swapped))


def smallest_switch(draw: Draw) -> Numbers:
    """The switch with the fewest contacts that leaves nothing inside live at off."""
    thing = draw.one_of(["glue pot", "foot warmer", "plant warmer", "jam warmer", "wax pot"])
    power_W = draw.number(80, 200, 40)
    fits, ways = draw.one_of(
        [
            ("fits both ways", (False, True)),
            ("fits one way only, with the line at L", (False,)),
        ]
    )
    live = {
        option: [way for way in ways if _live_at_off(chain, way)]
        for option, chain in _SWITCHES.items()
    }
    right = min(
        (option for option in _SWITCHES if not live[option]),
        key=lambda option: _SWITCHES[option].count("S"),
    )
    return Numbers(
        answer=Choice(right, tuple(draw.shuffled(list(_SWITCHES)))),
        slips={f"switch-{c.lower()}": option for option, c in _SWITCHES.items() if option != right},
        words={
            "thing": thing,
            "power_W": power_W,
            "fits": fits,
            "both_ways": len(ways) > 1,
            "right": right,
            **{
                f"live_{chain.lower()}": ("as marked", "reversed")[live[option][0]]
                if live[option]
                else ""
                for option, chain in _SWITCHES.items()
            },
        },
    )
