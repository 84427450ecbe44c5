"""Whether metal that a person touches can become live, and what then operates."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.terminals import has_earth
from lessonlib.limits.components import RCD_A, RCD_MEAN
from lessonlib.quantities import format_quantity
from lessonlib.ratings.hazard import Hazard, Level, Way, Ways, both_ways, different
from lessonlib.ratings.of_supply import FIT_EARTH
from lessonlib.words import listed

ABOUT = "metalwork"
LEAKS_AT = (0.0, 0.5, 1.0)
"""Where along an element it touches its sheath."""


def metalwork(ways: Ways) -> Iterator[Hazard]:
    """An element that touches its sheath. `ways` are the cases without a fault first."""
    appliance = ways[0].appliance
    cls, cores = appliance.supply.protection_class, appliance.supply.cord_cores
    if not appliance.elements:
        return
    when = f"{listed([part.name for part in appliance.elements], 'or')} touches its sheath"
    lifted = _where(ways)
    index = max(ways[0].as_set, key=lambda index: len(_reaching(ways[0], index)))
    shown = ((), ways[0].seen(index), frozenset(_reaching(ways[0], index)))
    if not has_earth(appliance):
        level: Level = "danger" if cls == "I" else "know"
        do = (
            FIT_EARTH if cls == "I" else
            "The second insulation is all there is: test it. An RCD opens once current flows "
            "through somebody."
        )  # fmt: skip
        what = f"no earth: its metal is live {lifted}, at up to the full mains, and no fuse blows"
        yield Hazard(level, ABOUT, when, what, do, *shown)
        return
    do = f"Test earth continuity: with a broken earth wire the metal is live {lifted}."
    yield Hazard("know", ABOUT, when, _operates(ways), do, *shown)
    if cls is None or cores is None:
        do = "Find out, and write protection_class and cord_cores under [supply]."
        yield Hazard("danger", ABOUT, "always", "the file does not say that it has an earth", do)


def _reaching(way: Way, index: int) -> tuple[str, ...]:
    """The elements through which metal becomes live in that setting."""
    live = {end.part for end in way.live(index)}
    return tuple(part.name for part in way.appliance.elements if part.name in live)


def _where(ways: Ways) -> str:
    """The settings in which metal can become live, in words."""
    marked, turned = ([n for n in way.as_set if _reaching(way, n)] for way in ways)
    if len(marked) == len(ways[0].as_set):
        return "in every setting"
    more = [n for n in turned if n not in marked]
    words = [f"at {'; '.join(ways[0].words(n) for n in marked)}"] if marked else []
    if more:
        words.append(f"with the {ways[1].plug} at {'; '.join(ways[1].words(n) for n in more)} too")
    return ", and ".join(words) or "in no setting of the model"


def _operates(ways: Ways) -> str:
    """What opens when an element touches its earthed sheath at one end, half-way, at the other."""
    appliance = ways[0].appliance
    leaks = [
        Fault(part.name, "leaking", share=share, ohm=0.0)
        for part in appliance.elements
        for share in LEAKS_AT
    ]
    ways = both_ways(appliance, different(ways), leaks)
    short = np.array([way.short for way in ways])
    to_earth = [(way.batch.totals, way.batch.network.slots["earth core"]) for way in ways]
    squares = np.array([totals.current2[:, slot] for totals, slot in to_earth])
    means = np.array([totals.current_mean[:, slot] for totals, slot in to_earth])
    amps = np.where(short, 0.0, np.sqrt(np.maximum(squares, 0)).reshape(short.shape))
    one_way = np.abs(means).reshape(short.shape) > RCD_MEAN.value * amps
    told = []
    if short.any():
        told.append("near its live end the fuse or the circuit breaker opens, and an RCD")
    # by element, over both ways and all settings
    half_way = amps.reshape(-1, len(appliance.elements), len(LEAKS_AT))[:, :, 1]
    most = half_way.max(axis=0)
    if most.max() >= RCD_A.value:
        pairs = zip(appliance.elements, most, strict=True)
        each = [f"{format_quantity(float(amps), 'A')} ({part.name})" for part, amps in pairs]
        flows = f"up to {listed(each, 'or')} flows to earth"
        told.append(f"half-way along {flows}: only an RCD opens at once")
    if (one_way & (amps >= RCD_A.value)).any():
        told.append("behind a diode only an RCD of type A is sure to open")
    if (~short & (amps < RCD_A.value)).any():
        told.append("at its neutral end, or switched off, no fuse opens, and not every RCD")
    return "; ".join(told) or "nothing opens"
