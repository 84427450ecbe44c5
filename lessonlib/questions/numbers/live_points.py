"""Numbers of the questions about live points: fair draws of cases in which nothing, some or all of
the points inside an appliance are live."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache
from itertools import pairwise, product
from typing import Any

from lessonlib.appliance.parts import TERMINALS, Appliance, Lamp
from lessonlib.circuit.condition import Condition
from lessonlib.circuit.solution import solve, solve_all
from lessonlib.questions.content_circuit import rewired
from lessonlib.questions.draw import Draw, bundled
from lessonlib.words import listed

Names = dict[str, Any]

_PLUGS = ("as marked", "reversed")
_STEAMERS = {
    "garment": ("fed", "top", "bottom"),
    "curtain": ("top", "bottom", "return"),
    "wallpaper": ("fed", "top", "bottom", "return"),
}
"""Points inside each steamer, from L to N."""


def _inside(appliance: Appliance) -> tuple[str, ...]:
    """The points that are no terminal of the supply, in the order of the file."""
    return tuple(node for node in appliance.nodes if node not in TERMINALS)


@lru_cache(maxsize=1024)
def _live(
    appliance: Appliance, plug: str, fault: str | None = None, **setting: str
) -> frozenset[str]:
    """The points inside that can give a shock, with the plug "as marked" or "reversed"."""
    node = solve(appliance, setting, fault=fault, reversed_plug=plug == "reversed").node
    return frozenset(name for name in _inside(appliance) if node[name].can_shock)


def _by_answer(draw: Draw, cases: Sequence[tuple[Names, frozenset[str]]], every: int) -> Names:
    """One of `cases`, each with what is right for it: nothing, some or all of its `every` points
    are equally likely, so that no one does well by always giving the same answer."""
    sorts = (
        [case for case, right in cases if not right],
        [case for case, right in cases if 0 < len(right) < every],
        [case for case, right in cases if len(right) == every],
    )
    return draw.one_of(draw.one_of([sort for sort in sorts if sort]))


def steamer_live_points(draw: Draw) -> Names:
    """A steamer that does not heat; in one draw of five, nothing in it is live."""
    power_W = draw.number(1200, 2000, 200)
    kind = draw.one_of(["curtain", "garment", "wallpaper"])
    steamer = bundled(f"{kind}-steamer")
    cases: dict[bool, list[tuple[str, str, str]]] = {True: [], False: []}
    ways = (("off", "closed"), ("off", "open"), ("on", "open"))
    for (switch, pressure), plug in product(ways, _PLUGS):
        if kind != "wallpaper" or switch == "on":
            live = _live(steamer, plug, S1=switch, P1=pressure)
            cases[bool(live)].append((switch, pressure, plug))
    some = not cases[False] or draw.number(1, 5, 1) > 1
    switch, pressure, plug = draw.one_of(cases[some])
    points = _STEAMERS[kind]
    return {
        "kind": kind,
        "points": points,
        "power_W": power_W,
        "switch": switch,
        "pressure": pressure,
        "plug": plug,
        "nearest": points[-1] if plug == "reversed" else points[0],
    }


_IN_A_ROW = {"S1": "switch S1", "F1": "thermal fuse F1", "E1": "element E1", "T1": "thermostat T1"}


def foot_warmer_live_points(draw: Draw) -> Names:
    """A chain of four parts in any order, from L to N."""
    order = draw.shuffled(list(_IN_A_ROW))
    plug = draw.one_of(_PLUGS)
    swapped, place = plug == "reversed", order.index("E1")
    ends = dict(zip(order, pairwise("LabcN"), strict=True))
    return {
        "plug": plug,
        "chain": "; ".join(f"{_IN_A_ROW[name]} from {a} to {b}" for name, (a, b) in ends.items()),
        "gap_first": (order.index("S1") > place) == swapped,
        "first": "c" if swapped else "a",
        "before_e1": tuple("abc"[place:] if swapped else "abc"[:place]),
        **{name: "-".join(pair) for name, pair in ends.items()},
    }


_SWITCHES = {
    "SE": "one contact, between L and the element",
    "ES": "one contact, between the element and N",
    "SES": "two contacts, one next to L and one next to N",
    "SSE": "two contacts, both between L and the element",
}
"""Contacts and element in a row from L to N."""


@lru_cache(maxsize=8)
def _one_switch(chain: str) -> Appliance:
    pairs = [f"{a}-{b}" for a, b in pairwise(["L", *"ab"[: len(chain) - 1], "N"])]
    closed = ", ".join(
        f"{pair} at on" for part, pair in zip(chain, pairs, strict=True) if part == "S"
    )
    wires = {"S1": f"({closed})", "E1": pairs[chain.index("E")]}
    return rewired(bundled("garment-steamer"), wires, without=("F1", "P1", "H1", "H2"))


def smallest_switch(draw: Draw) -> Names:
    """The switch with the fewest contacts that leaves nothing inside live at off."""
    thing = draw.one_of(["glue pot", "foot warmer", "plant warmer", "jam warmer", "wax pot"])
    power_W = draw.number(80, 200, 40)
    one_way = ("fits one way only, with the line at L", _PLUGS[:1])
    fits, plugs = draw.one_of([("fits both ways", _PLUGS), one_way])
    live = {
        chain: [plug for plug in plugs if _live(_one_switch(chain), plug, S1="off")]
        for chain in _SWITCHES
    }
    right = min((chain for chain in _SWITCHES if not live[chain]), key=len)
    return {
        "thing": thing,
        "power_W": power_W,
        "fits": fits,
        "both_ways": len(plugs) > 1,
        "right": _SWITCHES[right],
        **{f"live_{chain.lower()}": (*ways, "")[0] for chain, ways in live.items()},
    }


def kettle_live_points(draw: Draw) -> Names:
    """The kettle in any setting, its plug either way, perhaps with a part burnt through; in one
    draw of five, nothing in it is live."""
    some = draw.number(1, 5, 1) > 1
    kettle, cases = bundled("soup-kettle"), []
    ways = product(_PLUGS, ("off", "on"), ("simmer", "boil"), ("", "E1", "E2", "H1"))
    for plug, s1, s2, burnt in ways:
        fault = f"{burnt} open" if burnt else None
        if bool(_live(kettle, plug, fault, S1=s1, S2=s2)) is some:
            cases.append({"plug": plug, "s1": s1, "s2": s2, "burnt": burnt})
    return draw.one_of(cases)


_RAIL_FAULTS = (
    "none",
    "E1 open",
    "E2 open",
    *(f"S1 contact {number} not making" for number in (1, 2, 3, 4)),
    "S1 contact 1 welded",
)
_RAIL_POINTS = ("a", "middle", "b")
_POSITIONS = ("low", "medium", "high", "off")


@lru_cache(maxsize=1)
def _rail_words(rail: Appliance) -> dict[tuple[str, str], dict[str, tuple[Condition, ...]]]:
    """The words at the three points, for each fault and way of the plug, by position."""
    found = {}
    for fault, plug in product(_RAIL_FAULTS, _PLUGS):
        solved = solve_all(
            rail,
            [{"S1": position} for position in _POSITIONS],
            faults=[None if fault == "none" else fault],
            reversed_plug=plug == "reversed",
        )
        words = [tuple(now.node[name].condition for name in _RAIL_POINTS) for now in solved]
        found[fault, plug] = dict(zip(_POSITIONS, words, strict=True))
    return found


def rail_from_its_words(draw: Draw) -> Names:
    """A position of the towel rail that the words at its three points tell, the plug not known."""
    every = _rail_words(bundled("towel-rail"))
    cases = [
        (fault, plug, position)
        for (fault, plug), words in every.items()
        for position in ("low", "medium", "high")
        if [word for way in _PLUGS for word in every[fault, way].values()].count(words[position])
        == 1
    ]
    fault, plug, right = draw.one_of(cases)
    names = {"fault": fault, "plug": plug, "position": right}
    made = []
    for position, words in every[fault, plug].items():
        seen = zip(_RAIL_POINTS, words, every[fault, plug][right], strict=True)
        fits = [name for name, word, asked in seen if word == asked]
        looked = f"only {listed(fits)} {'is' if len(fits) == 1 else 'are'}" if fits else ""
        names[f"fits_{position}"] = f"{looked or 'none of the three words is'} looked at"
        if position != "off":
            told = ", ".join(map(" ".join, zip(_RAIL_POINTS, words, strict=True)))
            made.append(f"{position} makes {told}")
    return names | {"each_made": "; ".join(made)}


_PLACES = (
    ("L", "warm-N", "boost-end", "end-N"),  # as in the lesson
    ("L", "warm-end", "boost-N", "end-N"),
    ("L", "warm-end", "boost-end", "end-N"),
    ("L", "warm-N", "top-N", "boost-top"),
    ("L", "top-N", "boost-N", "warm-top"),
    ("fed", "warm-N", "boost-N", "L-fed"),
)
"""Where S1 of a punch warmer gets its line, and between what E1, E2 and F1 lie."""


@lru_cache(maxsize=8)
def _fused(place: tuple[str, str, str, str]) -> Appliance:
    """The punch warmer with its fuse in that place."""
    source, first, second, fuse = place
    wires = {"S1": f"({source}-warm, {source}-boost)", "E1": first, "E2": second, "F1": fuse}
    return rewired(bundled("punch-warmer"), wires)


def live_points_with_the_fuse_open(draw: Draw) -> Names:
    """A punch warmer whose fuse, at one of six places, has opened."""
    cases = []
    for place, at, plug in product(_PLACES, ("off", "keep warm", "boost"), _PLUGS):
        names: Names = dict(zip(("source", "first", "second", "fuse"), place, strict=True))
        points = _inside(_fused(place))
        names |= {"points": points, "fuse_ends": {*names["fuse"].split("-")} & {*points}}
        live = _live(_fused(place), plug, S1=at, F1="open")
        cases.append(({**names, "position": at, "plug": plug}, live))
    return _by_answer(draw, cases, 3)


def live_points_under_pressure(draw: Draw, circuit: Appliance) -> Names:
    """One of four steamers, `circuit` the last, by switch, pressure and lead."""
    steamers = (*(bundled(f"{kind}-steamer") for kind in _STEAMERS), circuit)
    cases = []
    ways = product(steamers, ("off", "on"), ("closed", "open"), _PLUGS)
    for steamer, switch, pressure, plug in ways:
        near, far = steamer.part("E1").rungs[0]
        ends = {end for rung in steamer.part("S1").rungs for end in rung}
        names: Names = {
            "kind": steamer.title.split()[0].lower(),
            "points": _inside(steamer),
            "s1_ends": [point for point in _inside(steamer) if point in ends],
            "switch": switch,
            "pressure": pressure,
            "plug": plug,
            "far": near if plug == "reversed" else far,
        }
        cases.append((names, _live(steamer, plug, S1=switch, P1=pressure)))
    return _by_answer(draw, cases, 3)


_FOUR = tuple(product(("closed", "open"), repeat=2))
"""Positions of F1 and P1."""


def live_points_in_four_cases(draw: Draw) -> Names:
    """How many points are live with F1 and P1 closed or open; one of four cases is given."""

    def found(kind: str, at: str, element: str, plug: str, lamps: bool = True) -> list[list[str]]:
        steamer = bundled(f"{kind}-steamer")
        if not lamps:
            parts = tuple(part for part in steamer.parts if not isinstance(part, Lamp))
            steamer = replace(steamer, parts=parts)
        fault = "E1 open" if element == "burnt through" else None
        each = [_live(steamer, plug, fault, S1=at, F1=fuse, P1=bar) for fuse, bar in _FOUR]
        return [[point for point in _STEAMERS[kind] if point in live] for live in each]

    ways = product(_STEAMERS, ("on", "off"), ("whole", "burnt through"), _PLUGS)
    kind, at, element, plug = draw.one_of([way for way in ways if any(found(*way))])
    given = draw.one_of(range(len(_FOUR)))
    asked = [case for case in range(len(_FOUR)) if case != given]
    live = found(kind, at, element, plug)
    turned = _PLUGS[plug == _PLUGS[0]]

    def counts(found: list[list[str]]) -> tuple[tuple[int], ...]:
        return tuple((len(found[case]),) for case in asked)

    right = counts(live)
    heats = at == "on" and element == "whole" and given != 0
    slips = {
        "plug_the_other_way": counts(found(kind, at, element, turned)),
        "lamps_left_out": counts(found(kind, at, element, plug, lamps=False)),
        "no_heat_means_not_live": (right[0] if heats else (0,), (0,), (0,)),
        "all_of_them": ((len(_STEAMERS[kind]),),) * len(asked),
    }
    rows = [f"F1 {fuse}, P1 {pressure}" for fuse, pressure in _FOUR]
    names: Names = {"steamer": f"{kind}-steamer", "points": _STEAMERS[kind], "at": at, "plug": plug}
    names |= {"element": element, "given": rows[given], "given_count": len(live[given])}
    for place, case in enumerate(asked, 1):
        names |= {f"row_{place}": rows[case], f"live_{place}": live[case]}
        names[f"count_{place}"] = len(live[case])
    return names | slips
