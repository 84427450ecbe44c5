"""The ends of the parts, where a wire is fixed and a probe can touch; and the points beside them
that a file does not name: the plug's fuse and the metalwork."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from lessonlib.appliance.parts import TERMINALS, Appliance


@dataclass(frozen=True)
class Terminal:
    """An end of a part. `contact` counts from 1 in a part with several, and is 0 in a part with
    one path."""

    part: str
    contact: int
    node: str

    def __str__(self) -> str:
        """ "S1 at L", or with several contacts "S1.2 at N"."""
        contact = f".{self.contact}" if self.contact else ""
        return f"{self.part}{contact} at {self.node}"


@lru_cache(maxsize=16)
def terminals(appliance: Appliance) -> tuple[Terminal, ...]:
    """Every end of every part, in file order, the first end before the second."""
    return tuple(
        Terminal(part.name, number if len(part.rungs) > 1 else 0, node)
        for part in appliance.parts
        for number, rung in enumerate(part.rungs, 1)
        for node in rung
    )


@lru_cache(maxsize=16)
def joints(appliance: Appliance) -> tuple[Terminal, ...]:
    """The ends at which a wire can come off, each wire once: where a point joins two ends and
    nothing else, one wire runs from the one to the other, and the first of them stands for it."""
    ends: dict[str, list[Terminal]] = {}
    for end in terminals(appliance):
        ends.setdefault(end.node, []).append(end)
    alone = {
        found[1]
        for node, found in ends.items()
        if len(found) == 2 and node not in TERMINALS and found[0] != found[1]
    }
    return tuple(dict.fromkeys(end for end in terminals(appliance) if end not in alone))


def metalwork(appliance: Appliance) -> str:
    """The name of the point that is the metal one can touch: "case", unless a point of the file
    has that name."""
    return _free("case", appliance)


def has_earth(appliance: Appliance) -> bool:
    """Whether an earth wire is taken to join its metalwork to the plug: unless the file says that
    it is of class II, or that its cord has two cores, and puts no part on PE."""
    supply = appliance.supply
    without = supply.protection_class == "II" or supply.cord_cores == "two"
    return "PE" in appliance.nodes or not without


def plug_fuse(appliance: Appliance) -> str | None:
    """The name of the inner end of the plug's fuse; None for a plug that goes in either way round,
    which has none (from memory: BS 1363 plugs have a fuse and go in one way only)."""
    return None if appliance.supply.reversible_plug else _free("plug fuse", appliance)


def _free(name: str, appliance: Appliance) -> str:
    while name in appliance.nodes:
        name = f"{name} itself"
    return name
