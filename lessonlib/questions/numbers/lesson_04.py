"""What lines of data cannot draw or work out for lesson 4's questions."""

from __future__ import annotations

from functools import lru_cache
from itertools import product
from typing import Any

from lessonlib.appliance.parts import Appliance
from lessonlib.circuit.condition import Condition
from lessonlib.circuit.solution import solve_all
from lessonlib.questions.draw import Draw
from lessonlib.questions.numbers.live import PLUGS, live_inside
from lessonlib.words import listed


@lru_cache(maxsize=1)
def _kettle_cases(kettle: Appliance) -> dict[bool, list[dict[str, Any]]]:
    """The kettle in every setting, its plug either way, perhaps with a part burnt through: those in
    which something is live, and those in which nothing is."""
    found: dict[bool, list[dict[str, Any]]] = {True: [], False: []}
    cases = product(PLUGS, ("off", "on"), ("simmer", "boil"), ("", "E1", "E2", "H1"))
    for plug, s1, s2, burnt in cases:
        fault = f"{burnt} open" if burnt else None
        live = live_inside(kettle, {"S1": s1, "S2": s2}, plug=plug, fault=fault)
        found[bool(live)].append({"plug": plug, "s1": s1, "s2": s2, "burnt": burnt})
    return found


def kettle_live_points(draw: Draw) -> dict[str, Any]:
    """The kettle in some setting; in one draw of five, nothing in it is live."""
    live = draw.number(1, 5, 1) > 1
    return draw.one_of(_kettle_cases(draw.appliance("soup-kettle"))[live])


def kettle_wired_anew(circuit: Appliance, low_W: float, high_W: float) -> dict[str, Any]:
    """What another wiring of the kettle's two elements can do."""
    given = {
        (bool(now.part["E1"].power_W), bool(now.part["E2"].power_W)) for now in solve_all(circuit)
    }
    asked = {(False, False), (True, False), (False, True)}
    settings = [f"E1 {low_W * e1:g} W, E2 {high_W * e2:g} W" for e1, e2 in sorted(given)]
    return {
        "same": given == asked,
        "more": given > asked,
        "fewer": given < asked,
        "both": (True, True) in given,
        "settings": "; ".join(settings),
    }


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
    for fault, plug in product(_RAIL_FAULTS, PLUGS):
        solved = solve_all(
            rail,
            [{"S1": position} for position in _POSITIONS],
            faults=[None if fault == "none" else fault],
            reversed_plug=plug == "reversed",
        )
        words = [tuple(now.node[name].condition for name in _RAIL_POINTS) for now in solved]
        found[fault, plug] = dict(zip(_POSITIONS, words, strict=True))
    return found


def rail_from_its_words(draw: Draw) -> dict[str, Any]:
    """A position of the towel rail that the words at its three points tell, the plug not known."""
    every = _rail_words(draw.appliance("towel-rail"))
    cases = [
        (fault, plug, position)
        for (fault, plug), words in every.items()
        for position in ("low", "medium", "high")
        if [word for way in PLUGS for word in every[fault, way].values()].count(words[position])
        == 1
    ]
    fault, plug, right = draw.one_of(cases)
    names = {"fault": fault, "plug": plug, "position": right}
    made = []
    for position, words in every[fault, plug].items():
        pairs = list(zip(_RAIL_POINTS, words, every[fault, plug][right], strict=True))
        fits = [name for name, word, seen in pairs if word == seen]
        verb = "is" if len(fits) == 1 else "are"
        names[f"fits_{position}"] = (
            f"only {listed(fits)} {verb} looked at"
            if fits
            else "none of the three words is looked at"
        )
        if position != "off":
            told = ", ".join(f"{name} {word}" for name, word, _ in pairs)
            made.append(f"{position} makes {told}")
    return names | {"each_made": "; ".join(made)}
