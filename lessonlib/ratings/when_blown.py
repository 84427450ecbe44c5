"""What stays live behind a fuse that has blown, a contact that has opened, a broken neutral."""

from __future__ import annotations

from collections.abc import Iterator

from lessonlib.appliance.fault import CORD, Fault
from lessonlib.appliance.parts import ThermalFuse
from lessonlib.appliance.settings import setting_words
from lessonlib.appliance.terminals import plug_fuse
from lessonlib.circuit.live import live_words
from lessonlib.ratings.hazard import (
    Hazard,
    Way,
    Ways,
    beyond_switches,
    both_ways,
    different,
    live_either_way,
)


def when_opened(ways: Ways) -> Iterator[Hazard]:
    """What each contact that opened by itself leaves live, in the worst setting."""
    way = ways[0]
    heating = [index for index in way.as_set if index not in way.off]
    for part in way.appliance.self_acting:
        cases = [way.opened(index, part.name) for index in heating]
        worst = way.most_live(cases) if cases else 0
        if not cases or not way.live(worst):
            continue
        about = "fuse" if isinstance(part, ThermalFuse) else "contact"
        when = setting_words(way.appliance, way.batch.settings[worst])
        what = f"still live: {live_either_way(ways, worst)}"
        do = "An open contact is no isolation: pull the plug."
        yield way.row("know", about, when, what, do, worst)


def when_cord_fails(ways: Ways) -> Iterator[Hazard]:
    """What a blown plug fuse or a broken neutral core leaves live, in the worst setting."""
    appliance, every = ways[0].appliance, different(ways)
    kinds = [Fault(CORD, "neutral core broken")]
    if plug_fuse(appliance) is not None:
        kinds.insert(0, Fault(CORD, "plug fuse blown"))
    ways = both_ways(appliance, every, kinds)
    for fault, kind in enumerate(kinds):
        told: list[str] = []
        shown: list[tuple[Way, int]] = []
        for way in ways:
            worst = way.most_live(way.as_set, fault)
            live = way.live(worst, fault)
            if beyond_switches(appliance, live):
                words = f"still live ({way.words(worst)}): {live_words(appliance, live)}"
                shown.append((way, worst))
            else:
                words = "in the model nothing behind the switches is live"
            told.append(f"{way.plug}: {words}")
        do = "It looks dead and is not: pull the plug, and prove dead."
        way, worst = (*shown, (ways[0], 0))[0]
        about = "fuse" if "fuse" in str(kind) else "cord"
        yield way.row("know", about, str(kind), "; ".join(told), do, worst, fault)
