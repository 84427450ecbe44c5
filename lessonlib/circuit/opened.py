"""The appliance with its case open: the plug's fuse, the cores of the cord, every wire's ends and
every element's sheath as branches of their own, so that a fault can sit in each.

Points named L, N and PE are the plug's pins here. Behind the cord they are other points, and every
end of a part is a point named as `Terminal` says. All branches of `network_of` keep their numbers.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import Any

from lessonlib.appliance.fault import OF_CORD, OF_WIRES, Fault
from lessonlib.appliance.parts import TERMINALS, Appliance, Diode, Element
from lessonlib.appliance.settings import Setting
from lessonlib.appliance.terminals import Terminal, has_earth, metalwork, plug_fuse, terminals
from lessonlib.circuit.network import (
    Branch,
    Cases,
    Change,
    Network,
    cases_of,
    network_from,
    network_of,
)
from lessonlib.errors import ReadingError, shown

_UNNAMED = "\0"
"""Starts the names of points at which no probe can be put."""


Faults = Fault | tuple[Fault, ...] | None
"""No fault, one, or several at once."""


def several(faults: Faults) -> tuple[Fault, ...]:
    """`faults` as a tuple, empty for none."""
    return faults if isinstance(faults, tuple) else () if faults is None else (faults,)


def needs_opening(faults: Faults) -> bool:
    """Whether a fault sits in what only the opened appliance has branches for."""
    return any(
        fault.kind in (*OF_CORD, *OF_WIRES, "leaking", "reversed") for fault in several(faults)
    )


def probed(name: str) -> bool:
    """Whether a probe can be put on the point of that name."""
    return not name.startswith(_UNNAMED)


@lru_cache(maxsize=16)
def points(appliance: Appliance) -> tuple[str, ...]:
    """Where a probe can be put: the plug's pins and its fuse, the metalwork, the points of the
    file, and the ends of the parts."""
    pinless = () if has_earth(appliance) else ("PE",)
    return tuple(each for each in opened(appliance).nodes if probed(each) and each not in pinless)


@lru_cache(maxsize=16)
def opened(appliance: Appliance) -> Network:
    """The network of `appliance` with its case open, built once and kept."""
    base = network_of(appliance)
    inside = {"L": f"{_UNNAMED}L", "N": f"{_UNNAMED}N", "PE": metalwork(appliance)}
    fuse = plug_fuse(appliance)
    nodes = list(TERMINALS)
    slots: dict[str, Branch] = {}  # what belongs to a part counts as its contact 2

    def at(name: str) -> int:
        if name not in nodes:
            nodes.append(name)
        return nodes.index(name)

    def add(name: str, first: str, second: str, part: int = -1, **more: Any) -> None:
        slots[name] = Branch(part, 0 if part < 0 else 2, at(first), at(second), **more)

    if fuse is not None:
        add("plug fuse", "L", fuse, wire=True)
    add("line core", fuse or "L", inside["L"], wire=True)
    add("neutral core", "N", inside["N"], wire=True)
    # without an earth in the cord it is a gap, and nobody finds its pin
    add("earth core", "PE", inside["PE"], wire=has_earth(appliance))
    _check_names(appliance)
    ends = iter(terminals(appliance))
    branches = []
    for branch in base.branches:
        part = appliance.parts[branch.part]
        one, other = next(ends), next(ends)
        for end in (one, other):
            if str(end) not in slots:
                add(str(end), inside.get(end.node, end.node), str(end), wire=True)
        heats = isinstance(part, Element)
        inner = f"{_UNNAMED}in {part.name}" if heats else str(other)
        branches.append(replace(branch, first=at(str(one)), second=at(inner)))
        if heats:
            add(f"rest of {part.name}", inner, str(other), branch.part, wire=True)
            add(f"sheath of {part.name}", inner, inside["PE"])
        if isinstance(part, Diode):
            turned = {"drop_V": part.forward_drop_V, "spare": True}
            add(f"{part.name} reversed", str(other), str(one), branch.part, **turned)
    numbers = {name: len(branches) + number for number, name in enumerate(slots)}
    branches += slots.values()
    return network_from(appliance, nodes, len(TERMINALS), branches, numbers)


def _check_names(appliance: Appliance) -> None:
    """Ends of parts must have names that no point has, and no other end."""
    ends = set(terminals(appliance))
    names = {str(end) for end in ends}
    clash = sorted(names & set(appliance.nodes))
    if clash or len(names) < len(ends):
        what = f"a point named {shown(clash[0])}" if clash else "two ends of the same name"
        raise ReadingError(
            f"found {what} in {appliance.title}; accepted: points that have no name of a part's "
            'end, such as "E1 at N". Give the point or the part another name in the file.'
        )


def with_resistor(network: Network, red: str, black: str, ohm: float) -> Network:
    """`network` with one more resistor between two of its nodes, such as a meter's own; 0 ohm is an
    ideal join."""
    nodes = network.nodes
    ends = nodes.index(red), nodes.index(black)
    more = Branch(-1, 0, *ends, conductance_S=1 / ohm if ohm else 0.0, wire=ohm == 0)
    branches = (*network.branches, more)
    return network_from(network.appliance, nodes, network.terminals, branches, network.slots)


_CORES = {
    "plug fuse blown": "plug fuse",
    "line core broken": "line core",
    "neutral core broken": "neutral core",
    "earth wire off": "earth core",
}


def network_for(appliance: Appliance, faults: Sequence[Faults], at: Iterable[str] = ()) -> Network:
    """The network that these faults need, and probes at these points: opened only where need be."""
    beyond = not set(at) <= set(appliance.nodes)
    if beyond or any(needs_opening(fault) for fault in faults):
        return opened(appliance)
    return network_of(appliance)


def cases_with(network: Network, settings: Sequence[Setting], faults: Sequence[Faults]) -> Cases:
    """Every setting with every fault, settings outermost, in a network of `network_for`."""
    changed = [[c for fault in several(each) for c in changes(network, fault)] for each in faults]
    return cases_of(network, settings, changed)


def changes(network: Network, fault: Fault) -> list[Change]:
    """What `fault` makes of the branches of `network`, which is opened where it has to be."""
    slots = network.slots
    if fault.kind in OF_CORD:
        return [Change(slots[_CORES[fault.kind]])]
    if fault.kind in OF_WIRES:
        contact = fault.contact if len(network.appliance.part(fault.part).rungs) > 1 else 0
        joint = slots[str(Terminal(fault.part, contact, fault.node))]
        return [_resistor(joint, fault.ohm if fault.kind == "bad joint" else None)]
    branch, share = network.place[fault.part, fault.contact], fault.share or 0.0
    match fault.kind:
        case "drifted":
            return []
        case "shorted" | "welded":
            return [Change(branch, joined=True)]
        case "resistive":
            return [replace(_resistor(branch, fault.ohm), if_closed=True)]
        case "part shorted":
            return [_resistor(branch, share / network.conductance_S[branch])]
        case "leaking":
            ohm = 1 / network.conductance_S[branch]
            return [
                _resistor(branch, share * ohm),
                _resistor(slots[f"rest of {fault.part}"], (1 - share) * ohm),
                _resistor(slots[f"sheath of {fault.part}"], fault.ohm),
            ]
        case "reversed":
            return [Change(branch), Change(slots[f"{fault.part} reversed"], diode=True)]
    return [Change(branch)]


def _resistor(branch: int, ohm: float | None) -> Change:
    """So many ohms in the place of a branch; 0 is a join, None a gap."""
    if ohm is None:
        return Change(branch)
    return Change(branch, joined=True) if ohm == 0 else Change(branch, 1 / max(ohm, 1e-9))
