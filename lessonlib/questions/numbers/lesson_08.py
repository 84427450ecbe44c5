"""The numbers of lesson 8's questions that lines of data cannot draw."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache
from itertools import combinations, product

from lessonlib.appliance.parts import Appliance, Lamp
from lessonlib.circuit.solution import Solution, solve
from lessonlib.questions.answers import CellTable, Choice, Order
from lessonlib.questions.content_template import Numbers
from lessonlib.questions.draw import Draw

_ON = {"S1": "on"}

_STEAMERS = {
    "garment-steamer": ("fed", "top", "bottom"),
    "curtain-steamer": ("top", "bottom", "return"),
    "wallpaper-steamer": ("fed", "top", "bottom", "return"),
}
"""The points inside each."""

_GAPS: dict[str, tuple[Mapping[str, str], str | None]] = {
    "F1": ({**_ON, "F1": "open"}, None),
    "P1": ({**_ON, "P1": "open"}, None),
    "E1": (_ON, "E1 open"),
}
"""Setting and fault that make a gap of each part."""


def _live(now: Solution, points: tuple[str, ...]) -> frozenset[str]:
    return frozenset(name for name in points if now.node[name].condition == "live")


def _ordered(points: frozenset[str], order: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(name for name in order if name in points)


def _lit(now: Solution, lamp: str) -> bool:
    return (now.part[lamp].power_W or 0.0) > 0.1


def _ends(appliance: Appliance, lamp: str) -> str:
    """The two points that a lamp joins, in words."""
    part = appliance.part(lamp)
    assert isinstance(part, Lamp)
    return " and ".join(part.between)


_BOTH, _FIRST, _SECOND, _NEITHER = "H1 and H2", "H1 alone", "H2 alone", "neither of them"
_PICTURES = {
    (True, True): _BOTH,
    (True, False): _FIRST,
    (False, True): _SECOND,
    (False, False): _NEITHER,
}


def _picture(now: Solution) -> str:
    return _PICTURES[_lit(now, "H1"), _lit(now, "H2")]


_WAYS = {
    "garment-steamer": ("S1", "H2", "P1"),
    "curtain-steamer": ("H2", "P1", "S1"),
    "wallpaper-steamer": ("contact 1 of S1", "H2", "P1", "contact 2 of S1"),
}
"""What the current of H2 passes from L to N."""


def way_of_the_heating_lamp(draw: Draw) -> Numbers:
    """What the current of H2 passes, from the line on."""
    name = draw.one_of(list(_WAYS))
    power_W = draw.number(1200, 2000, 50)
    swapped = draw.one_of([False, True])
    steamer = draw.appliance(name, {"E1": {"power_W": power_W}})
    right = _WAYS[name][::-1] if swapped else _WAYS[name]
    exchange = {"H2": "P1", "P1": "H2"}
    slips = {
        "from-the-neutral": right[::-1],
        "lamp-and-p1-exchanged": tuple(exchange.get(item, item) for item in right),
    }
    if right[-1] == "S1":
        slips["switch-comes-first"] = ("S1", *right[:-1])
    return Numbers(
        answer=Order(
            right,
            reasons={
                (first, later): f"From the line you come to {first} first."
                for first, later in combinations(right, 2)
            },
        ),
        slips=slips,
        words={
            "steamer": name,
            "power_W": power_W,
            "swapped": swapped,
            "way": right,
            "ends": _ends(steamer, "H2"),
        },
        appliance=steamer,
        setting=_ON,
    )


_CASES = tuple(product(("closed", "open"), repeat=2))
"""Positions of F1 and P1."""


@lru_cache(maxsize=128)
def _live_in_each(
    name: str, at: str, burnt: bool, swapped: bool, lamps: bool = True
) -> tuple[frozenset[str], ...]:
    """The live points in each of the four cases, with the lamps or without."""
    steamer = Draw("cases", 0).appliance(name)
    if not lamps:
        parts = tuple(part for part in steamer.parts if not isinstance(part, Lamp))
        steamer = replace(steamer, parts=parts)
    return tuple(
        _live(
            solve(
                steamer,
                {"S1": at, "F1": fuse, "P1": pressure},
                fault="E1 open" if burnt else None,
                reversed_plug=swapped,
            ),
            _STEAMERS[name],
        )
        for fuse, pressure in _CASES
    )


def live_points_in_four_cases(draw: Draw) -> Numbers:
    """How many points are live with F1 and P1 closed or open; one of four cases is given."""
    drawn = draw.one_of(
        [
            (name, at, burnt, swapped)
            for name in _STEAMERS
            for at in ("on", "off")
            for burnt in (False, True)
            for swapped in (False, True)
            if any(_live_in_each(name, at, burnt, swapped))
        ]
    )
    name, at, burnt, swapped = drawn
    given = draw.one_of(range(len(_CASES)))
    asked = [case for case in range(len(_CASES)) if case != given]
    found = _live_in_each(*drawn)

    def table(live: tuple[frozenset[str], ...]) -> tuple[tuple[int], ...]:
        return tuple((len(live[case]),) for case in asked)

    heats = at == "on" and not burnt and given != 0
    right = table(found)
    slips = {
        "plug-the-other-way": table(_live_in_each(name, at, burnt, not swapped)),
        "lamps-left-out": table(_live_in_each(name, at, burnt, swapped, lamps=False)),
        "no-heat-means-not-live": ((right[0] if heats else (0,)), (0,), (0,)),
        "all-of-them": ((len(_STEAMERS[name]),),) * len(asked),
    }
    kept: dict[str, tuple[tuple[int], ...]] = {}
    for slip, value in slips.items():
        if value not in (right, *kept.values()):
            kept[slip] = value
    rows = [f"F1 {fuse}, P1 {pressure}" for fuse, pressure in _CASES]
    return Numbers(
        answer=CellTable(
            rows=tuple(rows[case] for case in asked),
            columns=(("live points", ""),),
            value=right,
            tolerance=0.01,
            because="a count: it is this or another",
        ),
        slips=kept,
        words={
            "steamer": name,
            "points": _STEAMERS[name],
            "at": at,
            "burnt": burnt,
            "swapped": swapped,
            "given": rows[given],
            "given_count": len(found[given]),
            **{f"row_{place}": rows[case] for place, case in enumerate(asked, 1)},
            **{
                f"live_{place}": _ordered(found[case], _STEAMERS[name])
                for place, case in enumerate(asked, 1)
            },
        },
        appliance=draw.appliance(name),
        setting={"S1": at},
    )


_SUSPECTS: Mapping[str, tuple[Mapping[str, str], str | None]] = {
    "E1 has burnt through": (_ON, "E1 open"),
    "F1 has opened": (_ON, "F1 not making"),
    "P1 has welded": (_ON, "P1 welded"),
    "pressure has opened P1": _GAPS["P1"],
    "P1 makes no contact": (_ON, "P1 not making"),
    "H2 has burnt out": (_ON, "H2 open"),
    "S1 makes no contact": (_ON, "S1 not making"),
}
"""One thing that may be so, and how to solve it."""


def excluded_by_the_lamps(draw: Draw) -> Numbers:
    """The one cause that does not fit what the lamps show."""
    name = draw.one_of(list(_STEAMERS))
    power_W = draw.number(1200, 2000, 200)
    seen = draw.one_of([_BOTH, _FIRST])
    steamer = draw.appliance(name, {"E1": {"power_W": power_W}})
    fits: list[str] = []
    fails: list[str] = []
    for suspect, (setting, fault) in _SUSPECTS.items():
        (fits if _picture(solve(steamer, setting, fault=fault)) == seen else fails).append(suspect)
    right = draw.one_of(fails)
    return Numbers(
        answer=Choice(right, tuple(draw.shuffled([*fits, right]))),
        slips={suspect.lower().replace(" ", "-"): suspect for suspect in fits},
        words={
            "steamer": name,
            "power_W": power_W,
            "both": seen == _BOTH,
            "fits": "; ".join(fits),
            "right": right,
        },
        appliance=steamer,
        setting=_ON,
    )
