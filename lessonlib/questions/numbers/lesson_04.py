"""The numbers of lesson 4's questions that lines of data cannot draw."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import lru_cache

from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.reader import read_appliance
from lessonlib.circuit.solution import Solution, solve, solve_all
from lessonlib.meter.ohmmeter import resistance
from lessonlib.questions.answers import CellTable, Choice, CircuitFile, Number, OneSetting, Points
from lessonlib.questions.content_template import Numbers
from lessonlib.questions.draw import Draw
from lessonlib.questions.numbers.live import distinct


def _two_elements(draw: Draw, name: str, first_W: float, second_W: float) -> Appliance:
    return draw.appliance(name, {"E1": {"power_W": first_W}, "E2": {"power_W": second_W}})


def kettle_state_table(draw: Draw) -> Numbers:
    """Powers and current of the kettle in three settings, without the lamp."""
    simmer_W, boil_W = draw.number(300, 600, 50), draw.number(1000, 1600, 100)
    kettle = _two_elements(draw, "soup-kettle", simmer_W, boil_W)
    turned = draw.one_of(["simmer", "boil"])
    settings = [("off", turned), ("on", "simmer"), ("on", "boil")]

    def row(now: Solution) -> tuple[float, ...]:
        first_W, second_W = (now.part[name].power_W or 0.0 for name in ("E1", "E2"))
        return tuple(round(value, 9) for value in (first_W, second_W, (first_W + second_W) / 230))

    solved = solve_all(kettle, [{"S1": first, "S2": second} for first, second in settings])
    off, simmer, boil = right = tuple(map(row, solved))
    return Numbers(
        answer=CellTable(
            rows=tuple(f"S1 {first}, S2 {second}" for first, second in settings),
            columns=(("E1", "W"), ("E2", "W"), ("current", "A")),
            value=right,
            because="three figures, 2 % for rounding; with the lamp, a row has 0.2 % more",
        ),
        slips={
            "s1-left-out": (simmer if turned == "simmer" else boil, simmer, boil),
            "boil-adds": (off, simmer, tuple(map(sum, zip(simmer, boil, strict=True)))),
            "outputs-exchanged": (off, boil, simmer),
        },
        words={
            "kettle": kettle,
            "simmer_W": simmer_W,
            "boil_W": boil_W,
            "turned": turned,
            "simmer_A": simmer[2],
            "boil_A": boil[2],
        },
        appliance=kettle,
        setting={"S1": "on", "S2": "simmer"},
    )


_KETTLE = ("simmer", "boil", "fed")


def _live(found: Solution) -> frozenset[str]:
    return frozenset(name for name in _KETTLE if found.node[name].condition == "live")


@lru_cache(maxsize=1)
def _kettle_cases(kettle: Appliance) -> tuple[tuple[Solution, Solution], ...]:
    """The kettle in every setting, its plug either way, perhaps with a part burnt through; and
    beside each the same without the fault."""
    settings = [{"S1": s1, "S2": s2} for s1 in ("off", "on") for s2 in ("simmer", "boil")]
    faults = (None, "E1 open", "E2 open", "H1 open")
    cases = []
    for swapped in (False, True):
        for setting in settings:
            solved = solve_all(kettle, [setting], faults=faults, reversed_plug=swapped)
            cases += [(now, solved[0]) for now in solved]
    return tuple(cases)


def kettle_live_points(draw: Draw) -> Numbers:
    """What is live in the kettle; in one draw of five, nothing."""
    kettle = draw.appliance("soup-kettle")
    cases = _kettle_cases(kettle)
    none = draw.number(1, 5, 1) == 1
    now, sound = draw.one_of([case for case in cases if none != bool(_live(case[0]))])
    s1, s2, swapped = now.setting["S1"], now.setting["S2"], now.reversed_plug
    turned = solve(kettle, now.setting, reversed_plug=not swapped, fault=now.fault)
    right = _live(now)
    carrying = {
        node
        for part in (*kettle.elements, *kettle.lamps)
        if now.part[part.name].current_A
        for node in part.rungs[0]
    }
    slips = {"no-current-no-danger": right & carrying}
    if s1 == "on":
        slips["on-means-all-live"] = frozenset(_KETTLE)
    elif swapped:
        slips["open-contact-guards"] = frozenset({"fed", s2})
    else:
        slips["s2-feeds-by-itself"] = frozenset({s2})
    slips |= {"wrong-conductor": _live(turned), "fault-left-out": _live(sound)}
    return Numbers(
        answer=Points(right, _KETTLE),
        slips=distinct(right, slips),
        words={
            "s1": s1,
            "s2": s2,
            "swapped": swapped,
            "burnt": str(now.fault).removesuffix(" open") if now.fault else "",
            "live": tuple(name for name in _KETTLE if name in right),
        },
        appliance=kettle,
        setting={"S1": s1, "S2": s2},
    )


def warmer_on_the_ohmmeter(draw: Draw) -> Numbers:
    """What an ohmmeter shows between two points of the unplugged plate warmer."""
    low_W, high_W = draw.number(210, 390, 20), draw.number(620, 860, 60)
    warmer = _two_elements(draw, "plate-warmer", low_W, high_W)
    red, black, position = draw.one_of(
        [
            *(("low", "high", position) for position in ("low", "off", "high")),
            ("L", "high", "low"),
            ("L", "low", "high"),
            ("L", "high", "off"),
            ("L", "low", "off"),
        ]
    )
    ohm = resistance(warmer, {"S1": position}, red=red, black=black).ohm
    first, second = 230**2 / low_W, 230**2 / high_W
    far = "low" if black == "high" else "high"
    ohms = {"low": first, "high": second}
    slips = {"one-element-only": ohms[black], "side-by-side": first * second / (first + second)}
    if ohm is None:
        slips["open-contact-passed"] = first + second
    else:
        slips |= {"other-element-only": ohms[far], "no-way-seen": math.inf}
    return Numbers(
        answer=Number(
            math.inf if ohm is None else ohm,
            "Ω",
            because="three figures, and 2 % for rounding on the way; the slips are 15 % apart",
        ),
        slips=slips,
        words={
            "warmer": warmer,
            "red": red,
            "black": black,
            "far": far,
            "position": position,
            "open": ohm is None,
        },
        appliance=warmer,
        setting={"S1": position},
    )


_WIRINGS = {
    "selector": "S1 low off high: L a low, L b high",
    "separate": "S1 off on: L a on; S2 off on: L b on",
    "change-over": "S1 low high: L a low, L b high",
    "chain": "S1 off on: L a on; S2 off on: a b on",
}
"""Switches with their positions, then contacts: between what, and when closed."""


@lru_cache(maxsize=8)
def _heated(wiring: str) -> frozenset[tuple[bool, bool]]:
    """Which of two elements, from a and b to N, a wiring can heat in its settings."""
    switches = []
    for switch in _WIRINGS[wiring].split("; "):
        head, contacts = switch.split(": ")
        name, *positions = head.split()
        rows = ", ".join(
            f'{{ between = ["{one}", "{other}"], closed_in = ["{when}"] }}'
            for one, other, when in map(str.split, contacts.split(", "))
        )
        switches.append(f'{{ name = "{name}", positions = {positions}, contacts = [{rows}] }}')
    rewired = read_appliance(
        f"""\
title = "The new wiring"
supply.voltage_V = 230
element = [
  {{ name = "E1", between = ["a", "N"], power_W = 400, voltage_V = 230 }},
  {{ name = "E2", between = ["b", "N"], power_W = 900, voltage_V = 230 }}]
switch = [{", ".join(switches)}]
"""
    )
    return frozenset(
        (bool(now.part["E1"].power_W), bool(now.part["E2"].power_W)) for now in solve_all(rewired)
    )


_CAN_DO = {
    "taken-as-the-same": "just the same three",
    "both-and-all-the-rest": "the same three, and both elements at once",
    "no-off-seen": "two of the three: it cannot be off",
    "e1-comes-with-e2": "two of the three, and both at once in place of E2 alone",
}


def kettle_wired_anew(draw: Draw) -> Numbers:
    """What another wiring of the kettle's two elements can do."""
    low_W, high_W = draw.number(320, 600, 40), draw.number(720, 1440, 80)
    wiring = draw.one_of(list(_WIRINGS))
    given, asked = _heated(wiring), {(False, False), (True, False), (False, True)}
    right = (
        "taken-as-the-same"
        if given == asked
        else "both-and-all-the-rest"
        if given > asked
        else "no-off-seen"
        if given < asked
        else "e1-comes-with-e2"
    )
    return Numbers(
        answer=Choice(_CAN_DO[right], tuple(draw.shuffled(list(_CAN_DO.values())))),
        slips={name: option for name, option in _CAN_DO.items() if name != right},
        words={
            "low_W": low_W,
            "high_W": high_W,
            "wiring": wiring,
            "right": _CAN_DO[right],
            "both": (True, True) in given,
            "settings": "; ".join(
                f"E1 {low_W * first:g} W, E2 {high_W * second:g} W"
                for first, second in sorted(given)
            ),
        },
    )


_RAIL_FAULTS = (
    "",
    "E1 open",
    "E2 open",
    *(f"S1 contact {number} not making" for number in (1, 2, 3, 4)),
    "S1 contact 1 welded",
)
_RAIL_POINTS = ("a", "middle", "b")
Triple = tuple[str, ...]


@lru_cache(maxsize=1)
def _rail_words(rail: Appliance) -> Mapping[tuple[str, bool], Mapping[str, Triple]]:
    """The words at the three points, for each fault and way of the lead, by position."""
    positions = ("low", "medium", "high", "off")
    found: dict[tuple[str, bool], dict[str, Triple]] = {}
    for fault in _RAIL_FAULTS:
        for swapped in (False, True):
            solved = solve_all(
                rail,
                [{"S1": name} for name in positions],
                faults=[fault or None],
                reversed_plug=swapped,
            )
            found[fault, swapped] = {
                now.setting["S1"]: tuple(now.node[name].condition for name in _RAIL_POINTS)
                for now in solved
            }
    return found


def rail_from_its_words(draw: Draw) -> Numbers:
    """The position of the towel rail from the words at its three points, the lead not known."""
    rail = draw.appliance("towel-rail")
    every = _rail_words(rail)
    fault, swapped, right = draw.one_of(
        [
            (fault, swapped, position)
            for (fault, swapped), words in every.items()
            for position in ("low", "medium", "high")
            if [*every[fault, False].values(), *every[fault, True].values()].count(words[position])
            == 1
        ]
    )
    found = every[fault, swapped]
    words: dict[str, object] = {}
    for position, others in found.items():
        triples = list(zip(_RAIL_POINTS, found[right], others, strict=True))
        fits = [name for name, word, other in triples if word == other]
        words[f"fits_{position}"] = " and ".join(fits) + (" is" if len(fits) == 1 else " are")
        words[f"made_{position}"] = ", ".join(f"{name} {other}" for name, _, other in triples)
    return Numbers(
        answer=OneSetting(rail, ({"S1": right},), ("S1",)),
        slips={f"{each}-fits-in-part": {"S1": each} for each in found if each != right},
        words={
            "right": right,
            "swapped": swapped,
            "fault": fault,
            "made_here": words[f"made_{right}"],
        }
        | words,
        appliance=rail,
        setting={"S1": "off"},
    )


def _plate_warmer(watts: tuple[float, float], end: str, third: str = "") -> str:
    """The file. `end`: where both elements end; `third`: a third contact."""
    return f"""\
title = "Plate warmer, to be rewired"
supply = {{ voltage_V = 230, reversible_plug = true }}
element = [
  {{ name = "E1", between = ["low", "{end}"], power_W = {watts[0]:g}, voltage_V = 230 }},
  {{ name = "E2", between = ["high", "{end}"], power_W = {watts[1]:g}, voltage_V = 230 }}]
[[switch]]
name = "S1"
positions = ["low", "off", "high"]
contacts = [
  {{ between = ["L", "low"], closed_in = ["low"] }},
  {{ between = ["L", "high"], closed_in = ["high"] }}{third}]
"""


def plate_warmer_file(draw: Draw) -> Numbers:
    """The plate warmer with a selector that opens both conductors."""
    watts = (draw.number(210, 390, 20), draw.number(620, 860, 60))
    start = _plate_warmer(watts, "N")
    third = ',\n  {{ between = ["{}", "N"], closed_in = [{}] }}'
    in_neutral = start.replace('"L"', '"N"').replace('", "N"], power', '", "L"], power')
    return Numbers(
        answer=CircuitFile(
            read_appliance(_plate_warmer(watts, "end", third.format("end", '"low", "high"'))),
            start_text=start,
            must=("off is dead", "positions"),
        ),
        slips={
            "one-pole-only": read_appliance(start),
            "short-in-off": read_appliance(_plate_warmer(watts, "N", third.format("L", '"off"'))),
            "closed-when-off": read_appliance(
                _plate_warmer(watts, "end", third.format("end", '"off"'))
            ),
            "moved-to-neutral": read_appliance(in_neutral),
        },
        words={"low_W": watts[0], "high_W": watts[1]},
    )
