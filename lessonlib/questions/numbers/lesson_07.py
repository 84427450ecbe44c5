"""The numbers of lesson 7's questions that lines of data cannot draw."""

from __future__ import annotations

from functools import lru_cache
from itertools import product

from lessonlib.appliance.parts import Appliance, PressureSwitch
from lessonlib.heat.run import heat_up
from lessonlib.questions.answers import Choice
from lessonlib.questions.content_template import Numbers
from lessonlib.questions.draw import Draw
from lessonlib.questions.numbers.live import LiveCase, one_by_answer

_ON = {"S1": "on"}

Changes = dict[str, dict[str, object]]


def _opens_bar(steamer: Appliance) -> float:
    found = steamer.part("P1")
    assert isinstance(found, PressureSwitch)
    return found.opens_at_bar


@lru_cache(maxsize=2)
def _under_pressure(steamers: tuple[Appliance, ...]) -> list[tuple[LiveCase, frozenset[str]]]:
    ways = product(steamers, ("off", "on"), ("closed", "open"), (False, True))
    cases = [LiveCase(one, {"S1": at, "P1": p1}, swapped) for one, at, p1, swapped in ways]
    return [(case, case.live) for case in cases]


def live_points_under_pressure(draw: Draw, circuit: Appliance) -> Numbers:
    """What is live in one of four steamers, `circuit` the last, by switch, pressure and lead."""
    kinds = ("garment", "curtain", "wallpaper")
    bundled = [draw.appliance(f"{kind}-steamer") for kind in kinds]
    case = one_by_answer(draw, _under_pressure((*bundled, circuit)), 3)
    steamer, switch, pressure = case.appliance, case.setting["S1"], case.setting["P1"]
    return case.asked(
        {
            "no-current-no-danger": case.live - case.cold_ends,
            "p1-the-other-way": case.but(P1="closed" if pressure == "open" else "open").live,
            "s1-the-other-way": case.but(S1="on" if switch == "off" else "off").live,
            "plug-the-other-way": case.turned.live,
            "voltage-used-up-in-e1": case.live - {steamer.part("E1").rungs[0][not case.swapped]},
            "ends-of-s1": case.points & {end for rung in steamer.part("S1").rungs for end in rung},
            "everything-inside": case.points,
        },
        steamer=steamer,
        name=steamer.title.lower(),
        switch=switch,
        pressure=pressure,
    )


@lru_cache(maxsize=64)
def _openings_per_hour(steamer: Appliance) -> float:
    cycle = heat_up(steamer, _ON, minutes=30).cycle
    assert cycle is not None
    return 3600 / cycle.period_s


_BESIDE = {
    -1: "opens-too-often",
    -2: "opens-far-too-often",
    1: "cooler-than-asked",
    2: "far-cooler-than-asked",
}
"""Slips by their place from the right one, the closing pressures from high to low."""


def closing_pressure(draw: Draw) -> Numbers:
    """The highest closing pressure with which the contact opens no more often than it may."""
    loss_W_per_K = draw.one_of([1.5, 1.8, 2.1])
    closes_bar = sorted(draw.some_of([0.2, 0.3, 0.35, 0.4, 0.45, 0.5, 0.55], 4), reverse=True)
    vessel = {"loss_W_per_K": loss_W_per_K, "start_C": 100.0}
    times = [
        _openings_per_hour(
            draw.appliance("garment-steamer", {"P1": {"closes_at_bar": bar}, "vessel": vessel})
        )
        for bar in closes_bar
    ]
    place = draw.one_of([1, 2])
    most = round((times[place - 1] + times[place]) / 2)
    assert times[place] < most < times[place - 1]
    options = [f"{bar:g} bar" for bar in closes_bar]
    slips = {_BESIDE[at - place]: at for at in range(4) if at != place}
    words = {name.replace("-", "_"): at for name, at in slips.items()}
    return Numbers(
        answer=Choice(options[place], tuple(options[:: draw.one_of([1, -1])])),
        slips={name: options[at] for name, at in slips.items()},
        words={
            "loss_W_per_K": loss_W_per_K,
            "opens_bar": _opens_bar(draw.appliance("garment-steamer")),
            "most": most,
            "right": options[place],
            "counted": "; ".join(
                f"closing at {option}, {count:.0f}"
                for option, count in zip(options, times, strict=True)
            ),
            **{name: times[at] for name, at in words.items()},
            **{f"{name}_bar": options[at] for name, at in words.items()},
        },
    )


_IN_LINE = ("L fed", "fed high", "high top", "top N")
"""Between what the parts of the costume steamer belong."""
