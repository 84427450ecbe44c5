"""Exercises of lesson 8: what two lamps can tell of a whole appliance, and what stays live."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import lru_cache
from itertools import product
from typing import NamedTuple

from lessonlib.appliance.parts import Appliance, Lamp
from lessonlib.appliance.reader import read_appliance
from lessonlib.electric.solution import Solution, solve
from lessonlib.exercises.answers import CellTable, Choice, CircuitFile, Number, Order, Points
from lessonlib.exercises.draw import Draw
from lessonlib.exercises.exercise import Exercise, Slip, Template

_CHAIN = "trace the current part by part, and say which part takes the voltage"
_LAMPS = "say what a lamp tells of the two points it joins, and what it cannot tell"
_CAUSES = "list the causes behind each picture of the two lamps"
_LIVE = "say what stays live in every setting, also with line and neutral swapped"
_TWO_POLES = "explain what a double-pole switch adds, and why it is still no isolation"

_ON = {"S1": "on"}
_SEQUENTIAL = "sequential reasoning: Psillos, ICPE, chapter E4; Engelhardt and Beichner, as quoted"

_STEAMERS = {
    "garment-steamer": ("garment steamer", ("fed", "top", "bottom")),
    "curtain-steamer": ("curtain steamer", ("top", "bottom", "return")),
    "wallpaper-steamer": ("wallpaper steamer", ("fed", "top", "bottom", "return")),
}
"""What each is called, and its points inside."""


def _live(now: Solution, points: tuple[str, ...]) -> frozenset[str]:
    return frozenset(name for name in points if now.node[name].condition == "live")


def _lit(now: Solution, lamp: str) -> bool:
    return (now.part[lamp].power_W or 0.0) > 0.1


def _ends(appliance: Appliance, lamp: str) -> str:
    """The two points that a lamp joins, in words."""
    part = appliance.part(lamp)
    assert isinstance(part, Lamp)
    return " and ".join(part.between)


def _lead(swapped: bool) -> str:
    """Which way the lead is, as a sentence."""
    if swapped:
        return "The lead swaps line and neutral: the terminal N is on the line."
    return "The lead is the right way: the terminal L is on the line."


def _panel(name: str) -> str:
    """How to call up the live picture of a bundled steamer in this lesson."""
    return f'panel(load_appliance("{name}"))'


def _listed(points: frozenset[str], order: tuple[str, ...]) -> str:
    return ", ".join(name for name in order if name in points) or "none of them"


_SERIES = ("S1", "F1", "E1", "P1")


def _volts_along_the_chain(draw: Draw) -> Exercise:
    gap = draw.one_of(["F1", "P1", "E1"])
    supply_V = draw.one_of([207, 220, 230, 240, 253])
    steamer = draw.appliance("garment-steamer", {"supply": {"voltage_V": supply_V}})
    setting = _ON if gap == "E1" else {**_ON, gap: "open"}
    now = solve(steamer, setting, fault="E1 open" if gap == "E1" else None)

    def table(**volts: float) -> tuple[tuple[float], ...]:
        return tuple((volts.get(name, 0.0),) for name in _SERIES)

    right = {name: round(now.part[name].voltage_V or 0.0, 9) for name in _SERIES}
    happened = {
        "F1": "F1 has opened",
        "P1": "pressure has opened P1",
        "E1": "E1 has burnt through",
    }[gap]
    share_V = supply_V / len(_SERIES)
    slips = [
        Slip(
            "no-current-no-voltage",
            table(),
            thought="no current is taken to mean no voltage anywhere",
            why="The mains still stands between L and N, and the four together take all of it.",
            attempt="Add up your four: do they give the voltage between L and N?",
            source="Engelhardt and Beichner, Am. J. Phys. 72 (2004), as quoted",
        ),
        Slip(
            "shared-by-count",
            table(**dict.fromkeys(_SERIES, share_V)),
            thought="the voltage is shared out evenly among the parts",
            why="A whole part without current takes no voltage, however many there are.",
            attempt=f"Read the volts at each part in panel(steamer), with {gap} open.",
        ),
    ]
    if gap != "E1":
        slips.append(
            Slip(
                "element-keeps-it",
                table(E1=supply_V),
                thought="E1 is taken to have the voltage, as it has while it heats",
                why="E1 carries no current now, so by Ohm's law no voltage stands across it.",
                attempt=f"Open {gap} in panel(steamer), and read volts and amperes of E1.",
            )
        )
    else:
        slips.append(
            Slip(
                "held-back-at-the-switch",
                table(S1=supply_V),
                thought="the voltage is taken to stop at the first part of a broken chain",
                why="S1 is closed, and nothing stands across a closed contact.",
                attempt="Choose the fault 'E1 open' in panel(steamer) and read the word at fed.",
                source=_SEQUENTIAL,
            )
        )
    return Exercise(
        text=(
            f"The garment steamer is on {supply_V} V, and S1 is on. Now {happened}. What is the "
            "voltage across each part of the chain?"
        ),
        answer=CellTable(
            _SERIES,
            (("voltage", "V"),),
            tuple((right[name],) for name in _SERIES),
            because="each is nothing or the whole mains: 2 % is for rounding only",
        ),
        slips=tuple(slips),
        hints=(
            "Does a current flow? And what does Ohm's law say of a whole part without one?",
            "The four voltages add up to the mains. Only one part can take it.",
        ),
        worked=(
            f"{gap} is a gap, so no current flows in the chain.",
            "Without current the whole parts have 0 V: closed contacts anyway, and 0 A × R is 0 V.",
            f"What is left for {gap}: all of it, {supply_V} V.",
        ),
        appliance=steamer,
        setting=_ON if gap == "E1" else setting,
    )


def _one_picture(draw: Draw) -> Exercise:
    power_W = draw.number(1200, 2000, 100)
    swapped, gap = draw.one_of([False, True]), draw.one_of(["E1", "F1"])
    # listed in an order in which all of them do not spell out the answer
    points = ("fed", "bottom", "top") if gap == "E1" else ("top", "fed", "bottom")
    steamer = draw.appliance("garment-steamer", {"E1": {"power_W": power_W}})
    setting = _ON if gap == "E1" else {**_ON, "F1": "open"}
    fault = "E1 open" if gap == "E1" else None

    def live(way: bool) -> frozenset[str]:
        return _live(solve(steamer, setting, fault=fault, reversed_plug=way), points)

    right = live(swapped)
    tripped = "E1 has burnt through" if gap == "E1" else "F1 has opened"
    find = "Choose the fault 'E1 open'" if gap == "E1" else "Open F1"
    start = "N" if swapped else "L"
    return Exercise(
        text=(
            f"A garment steamer of {power_W:g} W stays cold. S1 is on, and both lamps glow. What "
            f"nobody can see yet: {tripped}. {_lead(swapped)} Which of these points are live?"
        ),
        answer=Points(right, points),
        slips=(
            Slip(
                "lead-not-looked-at",
                live(not swapped),
                thought="line and neutral are taken the other way about",
                why=f"Here the line comes in at {start}.",
                attempt=f"{find} in panel(steamer), with S1 on, and turn the plug round and back.",
            ),
            Slip(
                "cold-is-dead",
                frozenset(),
                thought="a cold element is taken to mean that nothing is live",
                why="The lamps glow: something joins them to the line.",
                attempt=f"Start at {start} in the drawing, and go on while nothing is open.",
            ),
            Slip(
                "lamps-mean-everything",
                frozenset(points),
                thought="two lit lamps are taken to mean that every point is live",
                why="A lamp glows because its two ends differ, so one of them is not live.",
                attempt=f"{find} in panel(steamer), with S1 on, and read both ends of H2.",
            ),
        ),
        hints=(
            f"Start at {start}, which is on the line, and walk.",
            f"You can walk as far as {gap}. Which of the points have you passed?",
        ),
        worked=(
            f"The line comes in at {start}; the gap is at {gap}; S1 and P1 are closed.",
            f"On the line's side of the gap: {_listed(right, points)}. The rest is neutral.",
            "The lamps look the same with the other gap, and with the lead the other way.",
        ),
        appliance=steamer,
        setting=_ON if gap == "E1" else setting,
    )


def _pole(draw: Draw) -> Exercise:
    power_W = draw.number(1600, 2400, 200)
    contact, swapped = draw.one_of([1, 2]), draw.one_of([False, True])
    name = "wallpaper-steamer"
    _, points = _STEAMERS[name]
    steamer = draw.appliance(name, {"E1": {"power_W": power_W}})
    fault = "S1 welded" if contact == 1 else "S1 contact 2 welded"
    right = _live(solve(steamer, fault=fault, reversed_plug=swapped), points)
    terminal, near = ("L", "fed") if contact == 1 else ("N", "return")
    line = "N" if swapped else "L"
    everything, nothing = frozenset(points), frozenset[str]()
    if right:
        slips = (
            Slip(
                "two-poles-two-chances",
                nothing,
                thought="the pole that still opens is taken to be enough",
                why=f"It opens the other conductor; {line}, which is the line, is still joined.",
                attempt=f"Choose the fault '{fault}' in {_panel(name)}, and read the words.",
            ),
            Slip(
                "only-the-next-point",
                frozenset({near}),
                thought="the line is taken to reach the welded contact and end there",
                why="Fuse, element, pressure switch and lamps lead on; none of them is open.",
                attempt=f"Start at {near} in the drawing and go on while nothing is open.",
                source=_SEQUENTIAL,
            ),
        )
    else:
        slips = (
            Slip(
                "welded-is-live",
                everything,
                thought="a welded contact is taken to make everything live",
                why=f"It joins the inside to {terminal}, and {line} is the line.",
                attempt=f"Choose the fault '{fault}' in {_panel(name)}, and read the words.",
            ),
            Slip(
                "next-to-the-weld",
                frozenset({near}),
                thought="the point next to the welded contact is taken as live",
                why=f"The point {near} is joined to {terminal}. Which conductor is that now?",
                attempt=f"Choose the fault '{fault}' in {_panel(name)}, and turn the plug round.",
            ),
        )
    return Exercise(
        text=(
            f"In a wallpaper steamer of {power_W:g} W one contact of the double-pole switch has "
            f"welded, the one at {terminal}. S1 is off, both lamps are dark. {_lead(swapped)} "
            "Which of these points are live?"
        ),
        answer=Points(right, points),
        slips=slips,
        hints=(
            f"Which conductor is the terminal {terminal} on, with this lead?",
            "The inside hangs together through F1, E1, P1 and the lamps: what one point is, all "
            "are.",
        ),
        worked=(
            f"The welded contact joins {near} to {terminal}; the other contact is open.",
            f"{terminal} is the {'line' if terminal == line else 'neutral'} here, and F1, E1 and "
            "P1 join all points inside.",
            f"Live: {_listed(right, points)}. The lamps are dark in either case.",
        ),
        appliance=steamer,
        setting={"S1": "off"},
    )


_BOTH, _FIRST, _SECOND, _NEITHER = "H1 and H2", "H1 alone", "H2 alone", "neither of them"
_PICTURES = {
    (True, True): _BOTH,
    (True, False): _FIRST,
    (False, True): _SECOND,
    (False, False): _NEITHER,
}


def _which_glow(draw: Draw) -> Exercise:
    name = draw.one_of(["curtain-steamer", "wallpaper-steamer"])
    called, _ = _STEAMERS[name]
    power_W = draw.number(1400, 2200, 200)
    gap = draw.one_of(["E1", "F1", "P1"])
    steamer = draw.appliance(name, {"E1": {"power_W": power_W}})
    setting: Mapping[str, str] = _ON if gap == "E1" else {**_ON, gap: "open"}
    now = solve(steamer, setting, fault="E1 open" if gap == "E1" else None)
    right = _PICTURES[_lit(now, "H1"), _lit(now, "H2")]
    happened = {
        "E1": "E1 has burnt through",
        "F1": "F1 has opened",
        "P1": "pressure has opened P1",
    }[gap]
    ends = _ends(steamer, "H2")
    setting_it = "Choose the fault 'E1 open'" if gap == "E1" else f"Open {gap}"
    try_it = f"{setting_it} in {_panel(name)}, set S1 to on, and look at the lamps."
    slips = {
        _BOTH: Slip(
            "switched-on-so-lit",
            _BOTH,
            thought="H2 is taken to glow whenever S1 is on",
            why=f"H2 joins {ends}. Without P1, what leads from there to the neutral?",
            attempt=try_it,
        ),
        _FIRST: Slip(
            "heat-lamp-needs-heat",
            _FIRST,
            thought="H2 is taken to glow only while E1 heats",
            why=f"H2 does not feel heat. It joins {ends}, past {gap}.",
            attempt=try_it,
        ),
        _SECOND: Slip(
            "lamps-take-turns",
            _SECOND,
            thought="one lamp is taken to go out when something is wrong",
            why=f"H1 joins {_ends(steamer, 'H1')}, and needs nothing but S1.",
            attempt="Follow both ways from H1 to the supply in the drawing.",
        ),
        _NEITHER: Slip(
            "one-gap-stops-all",
            _NEITHER,
            thought="one open part is taken to stop every current",
            why=f"It stops the current through E1. The lamps go other ways than through {gap}.",
            attempt=try_it,
            source=_SEQUENTIAL,
        ),
    }
    if gap == "P1":
        slips[_NEITHER] = Slip(
            "one-gap-stops-all",
            _NEITHER,
            thought="an open P1 is taken to cut the way back for everything",
            why="P1 lies on the way back of one lamp only.",
            attempt="Look in the drawing where each lamp's second end is joined.",
            source=_SEQUENTIAL,
        )
    through = {
        _BOTH: f"Neither lamp's current goes through {gap}: S1 and P1 are all that H2 needs.",
        _FIRST: "H1 needs S1 alone. H2 needs P1 as well, and P1 is open.",
    }[right]
    return Exercise(
        text=(
            f"A {called} of {power_W:g} W is on: S1 is on, its lamps and the lead are sound. But "
            f"{happened}. Which lamps glow?"
        ),
        answer=Choice(right, tuple(draw.shuffled(list(slips)))),
        slips=tuple(slip for option, slip in slips.items() if option != right),
        hints=(
            "A lamp glows when one end can reach the line and the other the neutral.",
            "Walk from each end of a lamp without passing the other lamp. Is the gap on the way?",
        ),
        worked=(
            f"H1 joins {_ends(steamer, 'H1')}; H2 joins {ends}.",
            through,
            f"So {right}.",
        ),
        appliance=steamer,
        setting=setting,
    )


_WAYS = {
    "garment-steamer": ("S1", "H2", "P1"),
    "curtain-steamer": ("H2", "P1", "S1"),
    "wallpaper-steamer": ("contact 1 of S1", "H2", "P1", "contact 2 of S1"),
}
"""What the current of H2 passes from L to N."""


def _way_of_h2(draw: Draw) -> Exercise:
    name = draw.one_of(list(_WAYS))
    called, _ = _STEAMERS[name]
    power_W = draw.number(1200, 2000, 200)
    swapped = draw.one_of([False, True])
    steamer = draw.appliance(name, {"E1": {"power_W": power_W}})
    line = "N" if swapped else "L"
    right = _WAYS[name][::-1] if swapped else _WAYS[name]
    exchange = {"H2": "P1", "P1": "H2"}
    slips = [
        Slip(
            "from-the-neutral",
            right[::-1],
            thought="the way is walked from the neutral to the line",
            why=f"With this lead the line comes in at {line}.",
            attempt=f"Look at the words at L and N in {_panel(name)}, and turn the plug round.",
        ),
        Slip(
            "lamp-and-p1-exchanged",
            tuple(exchange.get(item, item) for item in right),
            thought="H2 and P1 change places",
            why="H2 joins the point bottom from the side of F1, and P1 from the other side.",
            attempt="Find both ends of H2 in the drawing, then both ends of P1.",
        ),
    ]
    if right[-1] == "S1":
        slips.append(
            Slip(
                "switch-comes-first",
                ("S1", *right[:-1]),
                thought="the switch is taken to come first",
                why=f"The line comes in at {line}, and S1 is not next to it.",
                attempt=f"Put a finger on {line} in the drawing, and move along.",
            )
        )
    return Exercise(
        text=(
            f"E1 of a {called} ({power_W:g} W) has burnt through; S1 is on, and H2 glows. "
            f"{_lead(swapped)} Which way does the current of H2 take? Begin at the line."
        ),
        answer=Order(right),
        slips=tuple(slips),
        hints=(
            "Which terminal is on the line with this lead? Begin there.",
            "H2 leads round F1 and E1. What has to be closed on either side of it?",
        ),
        worked=(
            f"H2 joins {_ends(steamer, 'H2')}, round F1 and E1.",
            "From line to neutral: " + ", ".join(right) + ".",
            "E1 and F1 are not among them: H2 cannot know about either.",
        ),
        appliance=steamer,
        setting=_ON,
    )


class _Case(NamedTuple):
    """What can be seen and what is so, in one of sixteen cases."""

    swapped: bool
    first_lit: bool
    second_lit: bool
    heats: bool
    live: bool


@lru_cache
def _sixteen(name: str) -> tuple[_Case, ...]:
    """S1, F1 and P1 in either position, with the lead either way."""
    steamer = Draw("sixteen", 0).appliance(name)
    _, points = _STEAMERS[name]
    cases = []
    for s1, f1, p1, swapped in product(
        ("off", "on"), ("closed", "open"), ("closed", "open"), (False, True)
    ):
        now = solve(steamer, {"S1": s1, "F1": f1, "P1": p1}, reversed_plug=swapped)
        heats = (now.part["E1"].power_W or 0.0) > 1
        live = bool(_live(now, points))
        cases.append(_Case(swapped, _lit(now, "H1"), _lit(now, "H2"), heats, live))
    return tuple(cases)


class _Asked(NamedTuple):
    """A question about the sixteen cases: in how many `counted` is so, and a slip that counts
    something else instead."""

    question: str
    counted: Callable[[_Case], bool]
    instead: Callable[[_Case], bool]
    thought: str
    why: str


_ASKED = {
    "dark": _Asked(
        "are both lamps dark while at least one point inside is live",
        lambda case: not case.first_lit and not case.second_lit and case.live,
        lambda case: not case.first_lit and not case.second_lit,
        "every case with dark lamps is counted",
        "In some of these nothing inside reaches the line.",
    ),
    "lit": _Asked(
        "does H2 glow although E1 gives no heat",
        lambda case: case.second_lit and not case.heats,
        lambda case: case.second_lit,
        "every case with H2 lit is counted",
        "In some of these E1 does heat.",
    ),
    "cold": _Asked(
        "does E1 stay cold while at least one point inside is live",
        lambda case: not case.heats and case.live,
        lambda case: not case.heats,
        "every case without heat is counted",
        "In some of these nothing inside reaches the line.",
    ),
    "on": _Asked(
        "does H1 glow and H2 stay dark, with at least one point inside live",
        lambda case: case.first_lit and not case.second_lit and case.live,
        lambda case: case.first_lit and case.live,
        "every case with H1 lit and something live is counted",
        "In some of these H2 glows as well.",
    ),
}


def _of_four(half: tuple[_Case, ...], asked: _Asked, swapped: bool) -> int:
    """In how many of a half of the cases it is so, with the lead one way."""
    return sum(asked.counted(case) for case in half if case.swapped == swapped)


def _count(draw: Draw) -> Exercise:
    name = draw.one_of(list(_STEAMERS))
    called, points = _STEAMERS[name]
    cases = _sixteen(name)
    asked = {
        key: one
        for key, one in _ASKED.items()
        if 0 < sum(map(one.counted, cases)) < sum(map(one.instead, cases))
    }
    one = asked[draw.one_of(list(asked))]
    right = [case for case in cases if one.counted(case)]
    slips = [
        Slip(
            "half-of-the-condition",
            sum(map(one.instead, cases)),
            thought=one.thought,
            why=one.why,
            attempt=f"Go through S1, F1 and P1 in {_panel(name)}, one case after the other.",
        )
    ]
    first_way = sum(not case.swapped for case in right)
    if 0 < first_way < len(right):
        slips.append(
            Slip(
                "one-way-of-the-lead",
                first_way,
                thought="only the cases with the lead the right way are counted",
                why="The lead doubles the cases: the other half has line and neutral swapped.",
                attempt=f"Turn the plug round in {_panel(name)}, and go through them again.",
            )
        )
    slips.append(
        Slip(
            "all-of-them",
            16,
            thought="all cases are counted",
            why="The sixteen differ in what glows and in what is live.",
            attempt=f"Switch S1 off and on in {_panel(name)}: what changes at lamps and points?",
        )
    )
    return Exercise(
        text=(
            f"Take the {called}: S1 off or on, F1 closed or open, P1 closed or open, the lead the "
            f"right way or swapped. That makes sixteen cases. In how many of them {one.question}? "
            f"Points inside are {', '.join(points)}."
        ),
        answer=Number(len(right), "", tolerance=0.01, because="a count: it is this or another"),
        slips=tuple(slips),
        hints=(
            "Eight cases have S1 off and eight have it on. Take each half by itself.",
            "For every position of F1 and P1 ask which end of the inside reaches the line.",
        ),
        worked=(
            *(
                f"S1 {s1}: {_of_four(half, one, False)} of 4 with the lead the right way, "
                f"{_of_four(half, one, True)} of 4 with it swapped."
                for s1, half in (("off", cases[:8]), ("on", cases[8:]))
            ),
            f"Together {len(right)}.",
        ),
        appliance=draw.appliance(name),
        setting=_ON,
    )


class _Suspect(NamedTuple):
    """One thing that may be so: in words, how to solve it, and why somebody excludes it wrongly."""

    words: str
    setting: Mapping[str, str]
    fault: str | None
    thought: str
    why: str

    @property
    def find(self) -> str:
        """How to set it in the live picture."""
        return f"Choose the fault '{self.fault}'" if self.fault else "Open P1"


_SUSPECTS = (
    _Suspect(
        "E1 has burnt through",
        _ON,
        "E1 open",
        "the lamp for heating is taken to go out with the element",
        "H2 goes round E1, by S1 and P1.",
    ),
    _Suspect(
        "F1 has opened",
        _ON,
        "F1 not making",
        "an open fuse is taken to put out the lamps",
        "F1 lies before E1 alone, and both lamps branch off before it or behind E1.",
    ),
    _Suspect(
        "P1 has welded",
        _ON,
        "P1 welded",
        "a welded contact is taken to show at once",
        "A welded contact is a closed one, and closed is how P1 begins.",
    ),
    _Suspect(
        "pressure has opened P1",
        {**_ON, "P1": "open"},
        None,
        "an open P1 is taken to be a fault that shows",
        "It is no fault, and of the lamps only H2 needs P1.",
    ),
    _Suspect(
        "P1 makes no contact",
        _ON,
        "P1 not making",
        "a P1 without contact is taken to put out both lamps",
        "Only one of them has its way through P1.",
    ),
    _Suspect(
        "H2 has burnt out",
        _ON,
        "H2 open",
        "a lamp is taken to be always sound",
        "A lamp can fail like any part, and then it is dark in every setting.",
    ),
    _Suspect(
        "S1 makes no contact",
        _ON,
        "S1 not making",
        "a broken switch is taken to leave the lamps alone",
        "Both lamps get their current through S1.",
    ),
)


def _excluded(draw: Draw) -> Exercise:
    name = draw.one_of(list(_STEAMERS))
    called, _ = _STEAMERS[name]
    power_W = draw.number(1200, 2000, 200)
    seen = draw.one_of([_BOTH, _FIRST])
    steamer = draw.appliance(name, {"E1": {"power_W": power_W}})
    fits: list[_Suspect] = []
    fails: list[_Suspect] = []
    for suspect in _SUSPECTS:
        now = solve(steamer, suspect.setting, fault=suspect.fault)
        picture = _PICTURES[_lit(now, "H1"), _lit(now, "H2")]
        (fits if picture == seen else fails).append(suspect)
    right = draw.one_of(fails)
    options = [suspect.words for suspect in (*fits, right)]
    needs = "through S1 and P1" if seen == _BOTH else "through S1 and, for H2, P1"
    return Exercise(
        text=(
            f"A {called} of {power_W:g} W has S1 on. This is seen from outside: "
            + ("H1 and H2 both glow. " if seen == _BOTH else "H1 glows, H2 is dark. ")
            + "Suppose that one of these is so and nothing else is: all other contacts are closed, "
            "all other parts sound. Which of them is excluded?"
        ),
        answer=Choice(right.words, tuple(draw.shuffled(options))),
        slips=tuple(
            Slip(
                suspect.words.lower().replace(" ", "-"),
                suspect.words,
                thought=suspect.thought,
                why=suspect.why,
                attempt=f"{suspect.find} in {_panel(name)}, with S1 on: do the lamps do this?",
            )
            for suspect in fits
        ),
        hints=(
            "Take them one by one: which way do the currents of H1 and H2 go?",
            f"The lamps get their current {needs}. Which one does not fit what is seen?",
        ),
        worked=(
            "H1 glows if its way through S1 is closed; H2 needs P1 as well.",
            "These fit what is seen: " + "; ".join(suspect.words for suspect in fits) + ".",
            f"This does not: {right.words}.",
        ),
        appliance=steamer,
        setting=_ON,
    )


_LAMP_FILE = """\
title = "Steamer with a better lamp"
[supply]
voltage_V = 230
[[switch]]
name = "S1"
positions = ["off", "on"]
contacts = [{{ between = ["L", "fed"], closed_in = ["on"] }}]
[[thermal_fuse]]
name = "F1"
between = ["fed", "top"]
opens_at_C = {opens_C:g}
[[element]]
name = "E1"
between = ["top", "bottom"]
power_W = {power_W:g}
voltage_V = 230
[[pressure_switch]]
name = "P1"
between = ["bottom", "N"]
opens_at_bar = 0.75
closes_at_bar = 0.55
[[lamp]]
name = "H1"
between = ["fed", "N"]
power_W = 0.5
voltage_V = 230
[[lamp]]
name = "H2"
between = ["{one}", "{other}"]
power_W = 0.5
voltage_V = 230
"""


def _better_lamp(draw: Draw) -> Exercise:
    power_W = draw.number(1200, 2000, 100)
    opens_C = draw.one_of([184, 192, 216])

    def text(one: str, other: str) -> str:
        return _LAMP_FILE.format(power_W=power_W, opens_C=opens_C, one=one, other=other)

    def steamer(one: str, other: str) -> Appliance:
        return read_appliance(text(one, other))

    return Exercise(
        text=(
            f"A steamer of {power_W:g} W has the lamp H2 across F1 and E1, as the garment steamer. "
            "Rewire H2 in the text so that it glows while E1 heats, and is dark when P1 is open "
            "and also when F1 is open. Change nothing else."
        ),
        answer=CircuitFile(
            steamer("top", "bottom"),
            start_text=text("fed", "bottom"),
            must=("live points", "lamps", "protection", "marks", "positions"),
        ),
        slips=(
            Slip(
                "left-as-it-was",
                steamer("fed", "bottom"),
                thought="H2 still joins fed and bottom",
                why="Its way does not pass F1, so it glows with F1 open.",
                attempt="Set F1 to open in the drawing of your file, and look at H2.",
            ),
            Slip(
                "across-the-fuse",
                steamer("fed", "top"),
                thought="H2 is put across F1",
                why="Then it is dark while E1 heats, and glows when F1 has opened.",
                attempt="Set F1 to open and to closed in the drawing, and look at H2 each time.",
            ),
            Slip(
                "behind-the-fuse-to-neutral",
                steamer("top", "N"),
                thought="H2 is put from behind the fuse to the neutral",
                why="That way does not pass P1, so H2 glows with P1 open.",
                attempt="Set P1 to open in the drawing of your file, and look at H2.",
            ),
        ),
        hints=(
            "What has to lie on the way of H2, so that an open F1 and an open P1 put it out?",
            "One end of H2 is right as it is. Move the other one past F1.",
        ),
        worked=(
            "P1 is on the way of H2 as long as one end stays at bottom.",
            'F1 gets on the way if the other end moves behind it: between = ["top", "bottom"].',
            "E1 stays off the way, wherever you put it: a lamp across E1 glows with E1 open.",
        ),
    )


EXERCISES = (
    Template("volts-along-the-chain", 8, "same circuit", _CHAIN, _volts_along_the_chain),
    Template("one-picture-four-insides", 8, "same circuit", _LIVE, _one_picture),
    Template("double-pole-with-a-weld", 8, "new circuit", _TWO_POLES, _pole),
    Template("which-lamps-glow", 8, "new circuit", _LAMPS, _which_glow),
    Template("way-of-the-heating-lamp", 8, "new circuit", _CHAIN, _way_of_h2),
    Template("sixteen-cases", 8, "find or design", _LIVE, _count),
    Template("excluded-by-the-lamps", 8, "find or design", _CAUSES, _excluded),
    Template("lamp-behind-the-fuse-file", 8, "find or design", _LAMPS, _better_lamp),
)
