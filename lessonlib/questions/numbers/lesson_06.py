"""What lines of data cannot draw or work out for lesson 6's questions."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise, product
from typing import Any

from lessonlib.appliance.parts import Appliance
from lessonlib.heat.protection import TOLERANCE_K
from lessonlib.questions.answers import Choice
from lessonlib.questions.content_lines import Numbers
from lessonlib.questions.draw import Draw
from lessonlib.questions.numbers.live import PLUGS, inside, live_inside, one_by_answer
from lessonlib.questions.rewiring import rewired

_HIGH_MAINS_V = 253.0
"""230 V and 10 % more: IEC 60038, as quoted."""

_MARKS_C = (128, 139, 144, 152, 157, 167, 172, 184, 192, 216, 229, 240)
"""Marks with which thermal fuses are made: common practice, no source."""

_PLACES = (
    ("L", "warm-N", "boost-end", "end-N"),  # as in the lesson
    ("L", "warm-end", "boost-N", "end-N"),
    ("L", "warm-end", "boost-end", "end-N"),
    ("L", "warm-N", "top-N", "boost-top"),
    ("L", "top-N", "boost-N", "warm-top"),
    ("fed", "warm-N", "boost-N", "L-fed"),
)
"""Where S1 of a punch warmer gets its line, and between what E1, E2 and F1 lie."""


@lru_cache(maxsize=2)
def _fused(bundled: Appliance) -> list[tuple[dict[str, Any], frozenset[str]]]:
    """The warmer with its fuse open at each place, at each position and either way of the lead, by
    names; and the points inside that are live then."""
    cases = []
    for source, first, second, fuse in _PLACES:
        wires = {"S1": f"({source}-warm, {source}-boost)", "E1": first, "E2": second, "F1": fuse}
        warmer = rewired(bundled, wires)
        names: dict[str, Any] = {"source": source, "first": first, "second": second, "fuse": fuse}
        names |= {"points": inside(warmer), "fuse_ends": {*fuse.split("-")} & {*inside(warmer)}}
        for at, plug in product(("off", "keep warm", "boost"), PLUGS):
            live = live_inside(warmer, {"S1": at, "F1": "open"}, plug=plug)
            cases.append(({**names, "position": at, "plug": plug}, live))
    return cases


def live_points_with_the_fuse_open(draw: Draw) -> dict[str, Any]:
    """A punch warmer whose fuse, at one of six places, has opened."""
    return one_by_answer(draw, _fused(draw.appliance("punch-warmer")), 3)


def lowest_mark(draw: Draw) -> dict[str, Any]:
    """Watts and kelvins for each watt that give whole kelvins, and the next mark that is made."""
    grid = product(range(1000, 1601, 50), (0.03, 0.035, 0.04, 0.045, 0.05, 0.06))
    power_W, rise_K_per_W = draw.one_of([(w, k) for w, k in grid if round(w * k, 6) % 1 == 0])
    lowest_C = round(100 + power_W * rise_K_per_W) + TOLERANCE_K
    return {
        "power_W": power_W,
        "rise_K_per_W": rise_K_per_W,
        "tolerance_K": TOLERANCE_K,
        "made_C": min(mark for mark in _MARKS_C if mark >= lowest_C),
    }


@lru_cache(maxsize=1)
def _designs() -> list[tuple[float, float]]:
    """Watts, and kelvins for each watt, with which every slip has a mark of its own."""
    grid = product(range(1000, 1801, 50), (0.02, 0.025, 0.03, 0.035, 0.04, 0.045, 0.05, 0.055))
    return [(power_W, rise) for power_W, rise in grid if all(_marks(power_W, rise))]


def _marks(power_W: float, rise_K_per_W: float) -> tuple[list[int], list[int], list[int]]:
    """Marks above the place of a fuse by less than its tolerance, marks that are high enough at
    230 V alone, and marks that are high enough; the last empty where there is no higher one."""
    highest = (_HIGH_MAINS_V / 230) ** 2
    usual_C, hottest_C = (100 + rise_K_per_W * power_W * up for up in (1.0, highest))
    limits = (usual_C, usual_C + TOLERANCE_K, hottest_C + TOLERANCE_K, 1000)
    usual, nominal, safe = (
        [mark for mark in _MARKS_C if low + 1 < mark < high - 1] for low, high in pairwise(limits)
    )
    return usual, nominal, safe if len(safe) > 1 else []


def which_fuse_fits(draw: Draw) -> Numbers:
    """The mark that is out of reach of normal use and low enough to act in time."""
    power_W, rise_K_per_W = draw.one_of(_designs())
    usual, nominal, safe = _marks(power_W, rise_K_per_W)
    right_C, next_C = safe[:2]
    bears_C = draw.one_of(range(right_C + 1, next_C))
    marks_C = {
        "right": right_C,
        "tolerance-forgotten": draw.one_of(usual),
        "nominal-mains-only": draw.one_of(nominal),
        "higher-is-safer": draw.one_of(safe[1:3]),
    }
    slips = {name: f"mark {mark_C} °C" for name, mark_C in marks_C.items()}
    options = sorted(slips.values(), reverse=draw.one_of([False, True]))
    return Numbers(
        answer=Choice(slips.pop("right"), tuple(options)),
        slips=slips,
        words={
            "power_W": power_W,
            "rise_K_per_W": rise_K_per_W,
            "tolerance_K": TOLERANCE_K,
            "high_V": _HIGH_MAINS_V,
            "bears_C": bears_C,
        },
    )
