"""`hazards`: what can shock, what stays live, and what stops protecting, in every setting.

Every setting of the switches, and each with one contact that has opened by itself, is solved with
every single fault, each way the plug can go in or a socket be wired. A row says what follows, and
what to do about it.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from lessonlib.appliance.fault import as_drawn, single_faults
from lessonlib.appliance.parts import Appliance, Switch, ThermalFuse, Thermostat
from lessonlib.appliance.settings import settings
from lessonlib.circuit.network import Flags
from lessonlib.ratings.hazard import (
    LEVELS,
    Hazard,
    Hazards,
    Level,
    Way,
    Ways,
    alike,
    both_ways,
    live_either_way,
)
from lessonlib.ratings.metalwork import metalwork
from lessonlib.ratings.of_wiring import SHORT
from lessonlib.ratings.stays_live import left_on, when_cord_fails, when_off, when_opened
from lessonlib.words import counted, listed

DRY_HEAT = "dry heat"


def hazards(appliance: Appliance) -> Hazards:
    """What can hurt somebody, setting by setting, with every single fault, the plug either way.

    Raises `SettingError` for an appliance with too many settings to solve at once.
    """
    by_hand = settings(appliance)
    opened = [
        {**setting, part.name: "open"} for part in appliance.self_acting for setting in by_hand
    ]
    ways = both_ways(appliance, [*by_hand, *opened], (None, *single_faults(appliance)))
    rows = [
        *shorts(ways),
        *_shocks(ways),
        *when_off(ways),
        *left_on(ways),
        *when_opened(ways),
        *when_cord_fails(ways),
        *metalwork(ways),
        *_dry_heat(ways[0]),
    ]
    return Hazards(appliance, tuple(sorted(rows, key=lambda row: LEVELS.index(row.level))))


def shorts(ways: Ways) -> Iterator[Hazard]:
    """The settings that short the mains, by the first of them."""
    way = ways[0]
    found = [index for index in way.as_set if way.short[index, 0]]
    if found:
        also = f", and {counted(len(found) - 1, 'more setting')}" if len(found) > 1 else ""
        seen = way.seen(found[0])
        what = f"the mains is shorted: {seen.short}"
        yield Hazard("danger", SHORT, f"{way.words(found[0])}{also}", what,
                     "Never plug it in.", way.live(found[0]), seen)  # fmt: skip


def _shocks(ways: Ways) -> Iterator[Hazard]:
    """What can shock in each setting that heats; settings that leave the same live share a row."""
    way = ways[0]
    heating = [n for n in way.as_set if n not in way.off and not way.short[n, 0]]
    for when, index in alike(ways, heating):
        what = f"can shock: {live_either_way(ways, index)}"
        yield Hazard("know", "shock", when, what, "", way.live(index), way.seen(index))


def _dry_heat(way: Way) -> Iterator[Hazard]:
    """Elements that nothing stops when they run dry, and single faults after which nothing does."""
    appliance, stopped = way.appliance, _stopped(way)
    hottest = max(way.as_set, key=lambda index: int(way.heats[index, 0].sum()))
    bare: list[str] = []
    for number, fault in enumerate(way.batch.faults):
        if fault is not None and fault.kind == "open":
            continue
        left = [
            part.name
            for part, stops in zip(appliance.elements, stopped[number], strict=True)
            if not stops and part.name not in bare
        ]
        if not left:
            continue
        level: Level = "danger"
        if fault is None:
            bare = left
            when = "it runs dry or is covered"
            do = "Never leave it alone, unless its maker shows that it cannot overheat."
        else:
            part = appliance.part(fault.part)
            bridged = isinstance(part, ThermalFuse)
            when = f"{fault.part} bridged" if bridged else str(as_drawn(appliance, fault))
            do = "A second protector is needed: this one's contact can weld."
            if not isinstance(part, Switch | Thermostat):
                level, do = "know", "Never bridge it."
        what = f"nothing that feels heat stops {listed(left)}"
        seen = way.seen(hottest, number)
        yield Hazard(level, DRY_HEAT, when, what, do, seen=seen, marked=frozenset(left))


def _stopped(way: Way) -> Flags:
    """Whether some part that feels heat, when it opens and all others stay closed, leaves each
    element without heat in every setting: by fault and element."""
    found = np.zeros((len(way.batch.faults), len(way.appliance.elements)), dtype=bool)
    for part in way.appliance.self_acting:
        if isinstance(part, ThermalFuse | Thermostat):
            cases = [way.opened(index, part.name) for index in way.as_set]
            found |= ~way.heats[cases].any(axis=0)
    return found
