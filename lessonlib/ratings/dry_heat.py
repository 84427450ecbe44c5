"""Elements that nothing stops when they run dry, and single faults after which nothing does."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from lessonlib.appliance.fault import as_drawn
from lessonlib.appliance.parts import Switch, ThermalFuse, Thermostat
from lessonlib.circuit.network import Flags
from lessonlib.ratings.hazard import Hazard, Level, Way
from lessonlib.words import listed

ABOUT = "dry heat"


def dry_heat(way: Way) -> Iterator[Hazard]:
    """`way` has every setting, each with one contact opened, and every single fault."""
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
        yield Hazard(level, ABOUT, when, what, do, seen=seen, marked=frozenset(left))


def _stopped(way: Way) -> Flags:
    """Whether some part that feels heat, when it opens and all others stay closed, leaves each
    element without heat in every setting: by fault and element."""
    found = np.zeros((len(way.batch.faults), len(way.appliance.elements)), dtype=bool)
    for part in way.appliance.self_acting:
        if isinstance(part, ThermalFuse | Thermostat):
            cases = [way.opened(index, part.name) for index in way.as_set]
            found |= ~way.heats[cases].any(axis=0)
    return found
