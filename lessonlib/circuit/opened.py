"""The appliance with its case open: the plug's fuse, the cores of the cord, every wire's ends and
every element's sheath as branches of their own, so that a fault can sit in each.

Points named L, N and PE are the plug's pins here. Behind the cord they are other points, and every
end of a part is a point named as `Terminal` says. All branches of `network_of` keep their numbers.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from functools import lru_cache

import numpy as np

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
    incidence_of,
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
    wires: set[str] = set()

    def at(name: str) -> int:
        if name not in nodes:
            nodes.append(name)
        return nodes.index(name)

    def add(name: str, first: str, second: str, part: int = -1) -> None:
        slots[name] = Branch(part, 0 if part < 0 else 2, at(first), at(second))

    def wire(name: str, first: str, second: str, part: int = -1) -> None:
        add(name, first, second, part)
        wires.add(name)

    if fuse is not None:
        wire("plug fuse", "L", fuse)
    wire("line core", fuse or "L", inside["L"])
    wire("neutral core", "N", inside["N"])
    # without an earth in the cord it is a gap, and nobody finds its pin
    (wire if has_earth(appliance) else add)("earth core", "PE", inside["PE"])
    _check_names(appliance)
    ends = iter(terminals(appliance))
    branches = []
    for branch in base.branches:
        part = appliance.parts[branch.part]
        one, other = next(ends), next(ends)
        for end in (one, other):
            if str(end) not in slots:
                wire(str(end), inside.get(end.node, end.node), str(end))
        heats = isinstance(part, Element)
        inner = f"{_UNNAMED}in {part.name}" if heats else str(other)
        branches.append(replace(branch, first=at(str(one)), second=at(inner)))
        if heats:
            wire(f"rest of {part.name}", inner, str(other), branch.part)
            add(f"sheath of {part.name}", inner, inside["PE"])
        if isinstance(part, Diode):
            add(f"{part.name} reversed", str(other), str(one), branch.part)
    branches += slots.values()
    first_ends = np.array([branch.first for branch in branches])
    second_ends = np.array([branch.second for branch in branches])
    drops = {f"{diode.name} reversed": diode.forward_drop_V for diode in appliance.diodes}
    turned = np.array([name in drops for name in slots])
    is_diode = np.append(base.is_diode, turned)
    return replace(
        base,
        nodes=tuple(nodes),
        terminals=len(TERMINALS),
        branches=tuple(branches),
        first=first_ends,
        second=second_ends,
        conductance_S=np.append(base.conductance_S, np.zeros(len(slots))),
        drop_V=np.append(base.drop_V, [drops.get(name, 0.0) for name in slots]),
        is_diode=is_diode,
        diodes=tuple(np.flatnonzero(is_diode).tolist()),
        incidence=incidence_of(first_ends, second_ends, len(nodes)),
        joined=np.append(base.joined, [name in wires for name in slots]),
        fitted=np.append(base.fitted, ~turned),
        slots={name: len(base.branches) + number for number, name in enumerate(slots)},
    )


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
    first, second = (
        np.append(ends, network.nodes.index(point))
        for ends, point in ((network.first, red), (network.second, black))
    )
    return replace(
        network,
        branches=(*network.branches, Branch(-1, 0, int(first[-1]), int(second[-1]))),
        first=first,
        second=second,
        conductance_S=np.append(network.conductance_S, 1 / ohm if ohm else 0.0),
        drop_V=np.append(network.drop_V, 0.0),
        is_diode=np.append(network.is_diode, False),
        incidence=incidence_of(first, second, len(network.nodes)),
        joined=np.append(network.joined, ohm == 0),
        fitted=np.append(network.fitted, True),
    )


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
    if fault.kind in OF_CORD:
        return [Change(network.slots[_CORES[fault.kind]])]
    if fault.kind in OF_WIRES:
        joint = network.slots[str(end_of(network.appliance, fault))]
        return [Change(joint, _siemens(fault.ohm if fault.kind == "bad joint" else None))]
    branch = network.place[fault.part, fault.contact]
    if fault.kind in ("shorted", "welded"):
        return [Change(branch, joined=True)]
    if fault.kind == "resistive":
        return [Change(branch, _siemens(fault.ohm), if_closed=True)]
    if fault.kind == "part shorted":
        return [_piece(network, branch, branch, fault.share)]
    if fault.kind == "leaking":
        rest = network.slots[f"rest of {fault.part}"]
        sheath = network.slots[f"sheath of {fault.part}"]
        far = None if fault.share is None else 1 - fault.share
        return [
            _piece(network, branch, branch, fault.share),
            _piece(network, branch, rest, far),
            _resistor(sheath, fault.ohm),
        ]
    if fault.kind == "reversed":
        return [Change(branch), Change(network.slots[f"{fault.part} reversed"], diode=True)]
    if fault.kind == "drifted":
        return []
    return [Change(branch)]


def end_of(appliance: Appliance, fault: Fault) -> Terminal:
    """The end of a part at which `fault` has a wire off or a bad joint."""
    several = len(appliance.part(fault.part).rungs) > 1
    return Terminal(fault.part, fault.contact if several else 0, fault.node)


def _piece(network: Network, whole: int, branch: int, share: float | None) -> Change:
    """That share of the element `whole`, in `branch`."""
    element = network.conductance_S[whole]
    return _resistor(branch, (share or 0.0) / element)


def _resistor(branch: int, ohm: float | None) -> Change:
    return Change(branch, joined=True) if ohm == 0 else Change(branch, _siemens(ohm))


def _siemens(ohm: float | None) -> float:
    return 0.0 if ohm is None else 1 / max(ohm, 1e-9)
