"""Elements that nothing stops when they run dry, and single faults after which nothing does."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from lessonlib.appliance.fault import as_drawn
from lessonlib.appliance.parts import SelfActing, Switch, ThermalFuse, Thermostat
from lessonlib.circuit.network import Flags
from lessonlib.ratings.hazard import Hazard, Way
from lessonlib.words import listed

ABOUT = "dry heat"


def dry_heat(way: Way) -> Iterator[Hazard]:
    """`way` has every setting, each with one contact opened, and every single fault."""
    appliance = way.appliance
    sensing = [part for part in appliance.self_acting if isinstance(part, ThermalFuse | Thermostat)]
    stops = _stops(way, sensing)
    elements = appliance.elements
    hottest = max(way.as_set, key=lambda index: int(way.heats[index, 0].sum()))
    bare = [part.name for e, part in enumerate(elements) if not stops[:, 0, e].any()]
    if bare:
        what = f"nothing that feels heat stops {listed(bare)}"
        do = "Never leave it alone, unless its maker shows that it cannot overheat."
        yield Hazard("danger", ABOUT, "it runs dry or is covered", what, do,
                     seen=way.seen(hottest), marked=frozenset(bare))  # fmt: skip
    for number, fault in enumerate(way.batch.faults):
        if fault is None or fault.kind == "open":
            continue
        left = [
            part.name
            for e, part in enumerate(elements)
            if part.name not in bare and not stops[:, number, e].any()
        ]
        if left:
            welds = isinstance(appliance.part(fault.part), Switch | Thermostat)
            words = str(as_drawn(appliance, fault))
            if isinstance(appliance.part(fault.part), ThermalFuse):
                words = f"{fault.part} bridged"
            do = (
                "A second protector is needed: this one's contact can weld." if welds
                else "Never bridge it."
            )  # fmt: skip
            what = f"nothing that feels heat stops {listed(left)}"
            yield Hazard("danger" if welds else "know", ABOUT, words, what, do,
                         seen=way.seen(hottest, number), marked=frozenset(left))  # fmt: skip


def _stops(way: Way, sensing: Sequence[SelfActing]) -> Flags:
    """Whether opening each of `sensing`, all others closed, leaves each element without heat in
    every setting: by part, fault and element."""
    found = np.zeros((len(sensing), len(way.batch.faults), len(way.appliance.elements)), dtype=bool)
    for row, part in enumerate(sensing):
        cases = [way.opened(index, part.name) for index in way.as_set]
        found[row] = ~way.heats[cases].any(axis=0)
    return found
