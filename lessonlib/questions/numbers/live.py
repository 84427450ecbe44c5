"""What questions about live points share: the points inside, which are live, a fair draw."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from lessonlib.appliance.parts import Appliance
from lessonlib.circuit.solution import solve
from lessonlib.questions.draw import Draw, T

PLUGS = ("as marked", "reversed")

STEAMER_POINTS = {
    "garment-steamer": ("fed", "top", "bottom"),
    "curtain-steamer": ("top", "bottom", "return"),
    "wallpaper-steamer": ("fed", "top", "bottom", "return"),
}
"""Points inside each steamer, from L to N."""


def inside(appliance: Appliance) -> tuple[str, ...]:
    """The points that are no terminal of the supply, in the order of the file."""
    return tuple(node for node in appliance.nodes if node not in ("L", "N", "PE"))


def live_inside(
    appliance: Appliance, setting: Mapping[str, str], *, plug: str, fault: str | None = None
) -> frozenset[str]:
    """The points inside that can give a shock, with the plug "as marked" or "reversed"."""
    node = solve(appliance, setting, fault=fault, reversed_plug=plug == "reversed").node
    return frozenset(name for name in inside(appliance) if node[name].can_shock)


def one_by_answer(draw: Draw, cases: Sequence[tuple[T, frozenset[str]]], every: int) -> T:
    """One of `cases`, each with what is right for it: nothing, some or all of its `every` points
    are equally likely, so that no one does well by always giving the same answer."""
    sorts = {
        "none": [case for case, right in cases if not right],
        "some": [case for case, right in cases if 0 < len(right) < every],
        "all": [case for case, right in cases if len(right) == every],
    }
    return draw.one_of(draw.one_of([kind for kind in sorts.values() if kind]))
