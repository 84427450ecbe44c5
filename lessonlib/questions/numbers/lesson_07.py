"""What lines of data cannot draw or work out for lesson 7's questions."""

from __future__ import annotations

from functools import lru_cache
from itertools import product
from typing import Any

from lessonlib.appliance.parts import Appliance
from lessonlib.questions.answers import Choice
from lessonlib.questions.content_circuit import heated
from lessonlib.questions.content_lines import Numbers
from lessonlib.questions.draw import Draw
from lessonlib.questions.numbers.live import PLUGS, inside, live_inside, one_by_answer


@lru_cache(maxsize=2)
def _under_pressure(
    steamers: tuple[Appliance, ...],
) -> list[tuple[dict[str, Any], frozenset[str]]]:
    """Each steamer in every setting, by names; and the points inside that are live then."""
    cases = []
    for steamer in steamers:
        near, far = steamer.part("E1").rungs[0]
        ends = {end for rung in steamer.part("S1").rungs for end in rung}
        names = {
            "kind": steamer.title.split()[0].lower(),
            "points": inside(steamer),
            "s1_ends": [point for point in inside(steamer) if point in ends],
        }
        ways = product(("off", "on"), ("closed", "open"), PLUGS)
        for switch, pressure, plug in ways:
            live = live_inside(steamer, {"S1": switch, "P1": pressure}, plug=plug)
            way = {"switch": switch, "pressure": pressure, "plug": plug}
            cases.append(({**names, **way, "far": near if plug == "reversed" else far}, live))
    return cases


def live_points_under_pressure(draw: Draw, circuit: Appliance) -> dict[str, Any]:
    """One of four steamers, `circuit` the last, by switch, pressure and lead."""
    kinds = ("garment", "curtain", "wallpaper")
    bundled = [draw.appliance(f"{kind}-steamer") for kind in kinds]
    return one_by_answer(draw, _under_pressure((*bundled, circuit)), 3)


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
    times = []
    for bar in closes_bar:
        changes = {"P1": {"closes_at_bar": bar}, "vessel": {"loss_W_per_K": loss_W_per_K}}
        cycle = heated(draw.appliance("garment-steamer", changes), 30, (("S1", "on"),)).cycle
        assert cycle is not None
        times.append(3600 / cycle.period_s)
    place = draw.one_of([1, 2])
    most = round((times[place - 1] + times[place]) / 2)
    assert times[place] < most < times[place - 1]
    options = [f"{bar:g} bar" for bar in closes_bar]
    slips = {_BESIDE[at - place]: at for at in range(4) if at != place}
    words = {name.replace("-", "_"): at for name, at in slips.items()}
    counted = [f"closing at {bar}, {times[at]:.0f}" for at, bar in enumerate(options)]
    return Numbers(
        answer=Choice(options[place], tuple(options[:: draw.one_of([1, -1])])),
        slips={name: options[at] for name, at in slips.items()},
        words={
            "loss_W_per_K": loss_W_per_K,
            "most": most,
            "counted": "; ".join(counted),
            **{name: times[at] for name, at in words.items()},
            **{f"{name}_bar": options[at] for name, at in words.items()},
        },
    )
