"""What lines of data cannot draw or work out for lesson 8's questions."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache
from itertools import combinations, product

from lessonlib.appliance.parts import Appliance, Lamp
from lessonlib.circuit.solution import solve
from lessonlib.questions.answers import CellTable, Choice, Order
from lessonlib.questions.content_lines import Numbers
from lessonlib.questions.draw import Draw
from lessonlib.questions.numbers.live import PLUGS, STEAMER_POINTS, live_inside

_WAYS = {
    "garment-steamer": ("S1", "H2", "P1"),
    "curtain-steamer": ("H2", "P1", "S1"),
    "wallpaper-steamer": ("contact 1 of S1", "H2", "P1", "contact 2 of S1"),
}
"""What the current of H2 passes from L to N."""


def way_of_the_heating_lamp(steamer: str, plug: str) -> Numbers:
    """What the current of H2 passes, from the line on."""
    right = _WAYS[steamer][:: -1 if plug == "reversed" else 1]
    exchange = {"H2": "P1", "P1": "H2"}
    slips = {
        "from-the-neutral": right[::-1],
        "lamp-and-p1-exchanged": tuple(exchange.get(item, item) for item in right),
    }
    if right[-1] == "S1":
        slips["switch-comes-first"] = ("S1", *right[:-1])
    reasons = {
        (first, later): f"From the line you come to {first} first."
        for first, later in combinations(right, 2)
    }
    return Numbers(Order(right, reasons), slips, {"way": right})


_CASES = tuple(product(("closed", "open"), repeat=2))
"""Positions of F1 and P1."""


@lru_cache(maxsize=128)
def _live_in_each(
    name: str, at: str, element: str, plug: str, lamps: bool = True
) -> tuple[tuple[str, ...], ...]:
    """The live points in each of the four cases, with the lamps or without."""
    steamer = Draw("cases", 0).appliance(name)
    if not lamps:
        parts = tuple(part for part in steamer.parts if not isinstance(part, Lamp))
        steamer = replace(steamer, parts=parts)
    found = []
    for fuse, pressure in _CASES:
        setting = {"S1": at, "F1": fuse, "P1": pressure}
        fault = "E1 open" if element == "burnt through" else None
        live = live_inside(steamer, setting, plug=plug, fault=fault)
        found.append(tuple(point for point in STEAMER_POINTS[name] if point in live))
    return tuple(found)


def live_points_in_four_cases(draw: Draw) -> Numbers:
    """How many points are live with F1 and P1 closed or open; one of four cases is given."""
    ways = product(STEAMER_POINTS, ("on", "off"), ("whole", "burnt through"), PLUGS)
    name, at, element, plug = draw.one_of([way for way in ways if any(_live_in_each(*way))])
    given = draw.one_of(range(len(_CASES)))
    asked = [case for case in range(len(_CASES)) if case != given]
    found = _live_in_each(name, at, element, plug)
    (turned,) = set(PLUGS) - {plug}

    def table(live: tuple[tuple[str, ...], ...]) -> tuple[tuple[int], ...]:
        return tuple((len(live[case]),) for case in asked)

    right = table(found)
    heats = at == "on" and element == "whole" and given != 0
    slips = {
        "plug-the-other-way": table(_live_in_each(name, at, element, turned)),
        "lamps-left-out": table(_live_in_each(name, at, element, plug, lamps=False)),
        "no-heat-means-not-live": (right[0] if heats else (0,), (0,), (0,)),
        "all-of-them": ((len(STEAMER_POINTS[name]),),) * len(asked),
    }
    met = [right, *slips.values()]
    rows = [f"F1 {fuse}, P1 {pressure}" for fuse, pressure in _CASES]
    words: dict[str, object] = {
        "steamer": name,
        "points": STEAMER_POINTS[name],
        "at": at,
        "plug": plug,
    }
    words |= {"element": element, "given": rows[given], "given_count": len(found[given])}
    for place, case in enumerate(asked, 1):
        words |= {f"row_{place}": rows[case], f"live_{place}": found[case]}
    return Numbers(
        answer=CellTable(
            rows=tuple(rows[case] for case in asked),
            columns=(("live points", ""),),
            value=right,
            tolerance=0.01,
            because="a count: it is this or another",
        ),
        slips={
            slip: value
            for place, (slip, value) in enumerate(slips.items(), 1)
            if value not in met[:place]
        },
        words=words,
    )


_SUSPECTS: Mapping[str, tuple[str, str | None]] = {
    "E1 has burnt through": ("closed", "E1 open"),
    "F1 has opened": ("closed", "F1 not making"),
    "P1 has welded": ("closed", "P1 welded"),
    "pressure has opened P1": ("open", None),
    "P1 makes no contact": ("closed", "P1 not making"),
    "H2 has burnt out": ("closed", "H2 open"),
    "S1 makes no contact": ("closed", "S1 not making"),
}
"""One thing that may be so: the position of P1, and the fault."""


def excluded_by_the_lamps(draw: Draw, circuit: Appliance, both: str) -> Numbers:
    """The one cause that does not fit what the lamps show: both of them glow, or H1 alone."""
    fits: list[str] = []
    fails: list[str] = []
    for suspect, (pressure, fault) in _SUSPECTS.items():
        part = solve(circuit, {"S1": "on", "P1": pressure}, fault=fault).part
        lit = [(part[lamp].power_W or 0.0) > 0.1 for lamp in ("H1", "H2")]
        (fits if lit == [True, both == "yes"] else fails).append(suspect)
    right = draw.one_of(fails)
    return Numbers(
        answer=Choice(right, tuple(draw.shuffled([*fits, right]))),
        slips={suspect.lower().replace(" ", "-"): suspect for suspect in fits},
        words={"fits": "; ".join(fits)},
    )
