"""`hazards`: what can shock, what stays live, and what stops protecting, in every setting.

Every setting of the switches, and each with one contact that has opened by itself, is solved with
every single fault, each way the plug can go in or a socket be wired. A row says what follows, and
what to do about it.
"""

from __future__ import annotations

from collections.abc import Iterator

from lessonlib.appliance.fault import single_faults
from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.settings import settings
from lessonlib.ratings.dry_heat import dry_heat
from lessonlib.ratings.hazard import (
    LEVELS,
    Hazard,
    Hazards,
    Ways,
    alike,
    both_ways,
    live_either_way,
)
from lessonlib.ratings.metalwork import metalwork
from lessonlib.ratings.of_wiring import SHORT
from lessonlib.ratings.stays_live import left_on, when_cord_fails, when_off, when_opened
from lessonlib.words import counted


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
        *dry_heat(ways[0]),
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
