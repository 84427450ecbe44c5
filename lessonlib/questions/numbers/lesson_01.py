"""What lines of data cannot draw or work out for lesson 1's questions."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise
from typing import Any

from lessonlib.appliance.reader import read_appliance
from lessonlib.questions.draw import Draw
from lessonlib.questions.numbers.live import PLUGS, STEAMER_POINTS, live_inside


@lru_cache(maxsize=32)
def _live(kind: str, switch: str, pressure: str, plug: str) -> frozenset[str]:
    steamer = Draw("cases", 0).appliance(f"{kind}-steamer")
    return live_inside(steamer, {"S1": switch, "P1": pressure}, plug=plug)


def steamer_live_points(draw: Draw) -> dict[str, Any]:
    """A steamer that does not heat; in one draw of five, nothing in it is live."""
    power_W = draw.number(1200, 2000, 200)
    kind = draw.one_of(["curtain", "garment", "wallpaper"])
    cases = [
        (switch, pressure, plug)
        for switch, pressure in (("off", "closed"), ("off", "open"), ("on", "open"))
        for plug in PLUGS
        if kind != "wallpaper" or switch == "on"
    ]

    dead = [case for case in cases if not _live(kind, *case)]
    live = [case for case in cases if _live(kind, *case)]
    switch, pressure, plug = draw.one_of(dead if dead and draw.number(1, 5, 1) == 1 else live)
    points = STEAMER_POINTS[f"{kind}-steamer"]
    return {
        "kind": kind,
        "points": points,
        "power_W": power_W,
        "switch": switch,
        "pressure": pressure,
        "plug": plug,
        "nearest": points[-1] if plug == "reversed" else points[0],
    }


_PARTS = {"S1": "switch S1", "F1": "thermal fuse F1", "E1": "element E1", "T1": "thermostat T1"}


def foot_warmer_live_points(draw: Draw) -> dict[str, Any]:
    """A chain of four parts in any order, from L to N."""
    order = draw.shuffled(list(_PARTS))
    plug = draw.one_of(PLUGS)
    swapped, place = plug == "reversed", order.index("E1")
    ends = dict(zip(order, pairwise("LabcN"), strict=True))
    return {
        "plug": plug,
        "chain": "; ".join(f"{_PARTS[name]} from {a} to {b}" for name, (a, b) in ends.items()),
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
def _live_at_off(chain: str, plug: str) -> bool:
    pairs = [
        f'["{one}", "{other}"]' for one, other in pairwise(["L", *"ab"[: len(chain) - 1], "N"])
    ]
    contacts = ", ".join(
        f'{{ between = {pair}, closed_in = ["on"] }}'
        for part, pair in zip(chain, pairs, strict=True)
        if part == "S"
    )
    one_switch = read_appliance(
        f"""\
title = "One element, one switch"
supply = {{ voltage_V = 230, reversible_plug = true }}
switch = [{{ name = "S1", positions = ["off", "on"], contacts = [{contacts}] }}]
element = [{{ name = "E1", between = {pairs[chain.index("E")]}, power_W = 800, voltage_V = 230 }}]
"""
    )
    return bool(live_inside(one_switch, {"S1": "off"}, plug=plug))


def smallest_switch(draw: Draw) -> dict[str, Any]:
    """The switch with the fewest contacts that leaves nothing inside live at off."""
    thing = draw.one_of(["glue pot", "foot warmer", "plant warmer", "jam warmer", "wax pot"])
    power_W = draw.number(80, 200, 40)
    fits, plugs = draw.one_of(
        [
            ("fits both ways", PLUGS),
            ("fits one way only, with the line at L", ("as marked",)),
        ]
    )
    live = {chain: [p for p in plugs if _live_at_off(chain, p)] for chain in _SWITCHES}
    right = min((chain for chain in _SWITCHES if not live[chain]), key=len)
    return {
        "thing": thing,
        "power_W": power_W,
        "fits": fits,
        "both_ways": len(plugs) > 1,
        "right": _SWITCHES[right],
        **{f"live_{chain.lower()}": (*ways, "")[0] for chain, ways in live.items()},
    }
