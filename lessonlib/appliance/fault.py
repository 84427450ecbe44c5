"""One fault of a part, a wire, the cord or the plug, applied from outside: the appliance itself
never changes."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from itertools import combinations
from typing import Literal, get_args

from lessonlib.appliance.parts import Appliance, Diode, Element, Part, SelfActing
from lessonlib.appliance.terminals import has_earth, joints, plug_fuse
from lessonlib.errors import FaultError, SettingError, shown
from lessonlib.quantities import format_quantity, number

FaultKind = Literal[
    "open",
    "shorted",
    "welded",
    "not making",
    "part shorted",
    "leaking",
    "resistive",
    "drifted",
    "reversed",
    "wire off",
    "bad joint",
    "plug fuse blown",
    "line core broken",
    "neutral core broken",
    "earth wire off",
]
KINDS: tuple[FaultKind, ...] = get_args(FaultKind)
BASIC: tuple[FaultKind, ...] = KINDS[:4]
"""What `single_faults` has: the faults that a picture of the circuit can show."""
OF_WIRES: tuple[FaultKind, ...] = ("wire off", "bad joint")
OF_CORD: tuple[FaultKind, ...] = KINDS[-4:]

CORD = "cord"
"""Stands in `Fault.part` for the cord and its plug."""

# What a fault has where nobody gives its size: our own choice, of the size that is common.
HALF = 0.5  # of an element is left, or lies before the leak
BAD_OHM = 20.0  # of a burnt contact or a loose joint
LEAK_OHM = 20_000.0  # of an element into which damp has got
_USUAL: dict[FaultKind, tuple[float | None, float | None]] = {
    "part shorted": (HALF, None),
    "leaking": (HALF, LEAK_OHM),
    "resistive": (None, BAD_OHM),
    "bad joint": (None, BAD_OHM),
}
"""Share and ohms of the kinds that have a size."""

# The words of each kind, and those of its size, which may be left out.
_FORMS: dict[FaultKind, tuple[str, str]] = {
    **{kind: (f"{{where}} {kind}", "") for kind in KINDS},
    "part shorted": ("{where} part shorted", ", {share} left"),
    "leaking": ("{where} leaking", " to its sheath at {share}, {ohm}"),
    "resistive": ("{where} resistive", ", {ohm}"),
    "wire off": ("{where} at {node}: wire off", ""),
    "bad joint": ("{where} at {node}: bad joint", ", {ohm}"),
    "plug fuse blown": ("plug fuse blown", ""),
    "line core broken": ("cord: line core broken", ""),
    "neutral core broken": ("cord: neutral core broken", ""),
    "earth wire off": ("earth wire off", ""),
}
_PREFIXES = {"": 1.0, "m": 1e-3, "k": 1e3, "M": 1e6}


@dataclass(frozen=True)
class Fault:
    """Something wrong with `part`, or with its contact number `contact`.

    `node` is where a wire is off or a joint bad. `share` is how much of a part-shorted element is
    left, or how far along from its first point an element leaks, from 0 to 1. `ohm` is the
    resistance of a leak, a bad joint or a resistive contact. A fault of the cord or the plug has
    "cord" as its part.
    """

    part: str
    kind: FaultKind
    contact: int = 1
    node: str = ""
    share: float | None = None
    ohm: float | None = None
    numbered: bool = field(default=False, compare=False)
    """Whether the words name the contact as a drawing does, "S1.1", the first one too."""

    def __str__(self) -> str:
        """Plain words, as accepted by `solve(..., fault=...)`."""
        contact = f" contact {self.contact}" if self.contact != 1 else ""
        return "".join(_FORMS.get(self.kind, ("{where}", ""))).format(
            where=self.part + (f".{self.contact}" if self.numbered else contact),
            node=self.node,
            share="" if self.share is None else f"{100 * self.share:.3g} %",
            ohm=format_quantity(self.ohm, "Ω"),
        )


def as_drawn(appliance: Appliance, fault: Fault) -> Fault:
    """The fault, whose words name a contact of several as the drawing does: "S1.2 welded"."""
    several = {part.name for part in appliance.parts if len(part.rungs) > 1}
    return replace(fault, numbered=fault.part in several)


def is_closed(part: Part, contact: int, position: str, fault: Fault | None) -> bool:
    """Whether a contact (from 1) joins its nodes: in that position of its part, or by a fault."""
    if fault is not None and (fault.part, fault.contact) == (part.name, contact):
        stuck = {"welded": True, "not making": False}
        if fault.kind in stuck:
            return stuck[fault.kind]
    return position in part.contacts[contact - 1].closed_in


def kinds_for(part: Part) -> tuple[FaultKind, ...]:
    """The kinds of fault a part can have by itself."""
    if part.contacts:
        drifts: tuple[FaultKind, ...] = ("drifted",) if isinstance(part, SelfActing) else ()
        return ("welded", "not making", "resistive", *drifts)
    if isinstance(part, Element):
        return ("open", "shorted", "part shorted", "leaking")
    return ("open", "shorted", "reversed") if isinstance(part, Diode) else ("open", "shorted")


def single_faults(appliance: Appliance) -> tuple[Fault, ...]:
    """Every part open or shorted, and every contact welded or not making, in file order: what a
    picture of the circuit can show. `possible_faults` has all others too."""
    return tuple(fault for fault in _of_parts(appliance) if fault.kind in BASIC)


def possible_faults(appliance: Appliance) -> tuple[Fault, ...]:
    """Every fault that `appliance` can have on its own, those of its plug and cord first, then
    those of its parts and its wires in file order. Sizes are common ones."""
    cord = [kind for kind in OF_CORD if not _lacking(appliance, kind)]
    wires = [
        Fault(end.part, kind, end.contact or 1, end.node, *_usual(kind))
        for end in joints(appliance)
        for kind in OF_WIRES
    ]
    cords = [Fault(CORD, kind) for kind in cord]
    return (*cords, *(as_drawn(appliance, each) for each in (*_of_parts(appliance), *wires)))


def fault_pairs(appliance: Appliance) -> Iterator[tuple[Fault, Fault]]:
    """Every two faults of `possible_faults` that can be there together: one part has one fault."""
    for one, other in combinations(possible_faults(appliance), 2):
        apart = (one.part, one.contact) != (other.part, other.contact)
        wires = one.kind in OF_WIRES and other.kind in OF_WIRES and one.node != other.node
        if apart or wires or (one.part == CORD and one.kind != other.kind):
            yield one, other


def _of_parts(appliance: Appliance) -> Iterator[Fault]:
    for part in appliance.parts:
        for contact in range(1, len(part.rungs) + 1):
            for kind in kinds_for(part):
                yield Fault(part.name, kind, contact, "", *_usual(kind))


def _usual(kind: FaultKind) -> tuple[float | None, float | None]:
    return _USUAL.get(kind, (None, None))


def find_fault(appliance: Appliance, fault: Fault | str | None) -> Fault | None:
    """`fault` checked against the appliance; words such as "E1 open" are read.

    Raises `FaultError` for an unknown part, kind, contact or place, a size that cannot be, and
    anything that is not a fault.
    """
    if fault is None:
        return None
    if isinstance(fault, str):
        fault = _read(appliance, fault)
    if not isinstance(fault, Fault):
        raise FaultError(
            f"found the fault {shown(fault)}; accepted: {_accepted(appliance)}, or None for no "
            "fault. Write one fault that way."
        )
    if fault.kind in OF_CORD:
        lacking = _lacking(appliance, fault.kind)
        if lacking:
            raise FaultError(
                f"found the fault {shown(str(fault))} in {appliance.title}; accepted: {lacking}: "
                "leave this fault out."
            )
        return replace(fault, part=CORD)
    try:
        part = appliance.part(fault.part)
    except SettingError as error:
        raise FaultError(str(error)) from None
    kinds = (*kinds_for(part), *OF_WIRES)
    if fault.kind not in kinds:
        raise FaultError(
            f"{part.name} cannot be {shown(fault.kind)}. "
            f"This {part.words} can be: {', '.join(kinds)}."
        )
    if type(fault.contact) is not int or not 1 <= fault.contact <= len(part.rungs):
        raise FaultError(
            f"{part.name} has no contact {shown(fault.contact)}. "
            f"Its contacts are numbered 1 to {len(part.rungs)}, in file order."
        )
    if fault.kind in OF_WIRES and fault.node not in part.rungs[fault.contact - 1]:
        raise FaultError(
            f"found a wire of {part.name} at {shown(fault.node)}; accepted: "
            f"{', '.join(part.rungs[fault.contact - 1])}. Name one of these points."
        )
    return _sized(fault)


def _lacking(appliance: Appliance, kind: FaultKind) -> str:
    """What a fault of the cord would need, and why it is not there; empty where it is."""
    if kind == "plug fuse blown" and plug_fuse(appliance) is None:
        return "a plug that has a fuse. This one goes in either way round, and has none"
    if kind == "earth wire off" and not has_earth(appliance):
        return "a cord with an earth wire. This one is of class II or has two cores"
    return ""


def _sized(fault: Fault) -> Fault:
    """`fault` with the sizes that its kind has: common ones where none are given."""
    share, ohm = _usual(fault.kind)
    if share is not None and fault.share is not None:
        share = _size("share", fault.share, 1, "how much is left, or how far along it leaks")
    if ohm is not None and fault.ohm is not None:
        ohm = _size("ohm", fault.ohm, 10**9, "the resistance of the fault in ohm")
    return replace(fault, share=share, ohm=ohm)


def _size(name: str, value: float, most: int, what: str) -> float:
    if not 0 <= number(value) <= most:
        raise FaultError(
            f"found {name} = {shown(value)}; accepted: a number from 0 to {most:,}. Give {what}."
        )
    return value


def _read(appliance: Appliance, words: str) -> Fault:
    parts = {part.name for part in appliance.parts}
    for kind in sorted(KINDS, key=len, reverse=True):  # "part shorted" before "shorted"
        form, size = _FORMS[kind]
        pattern = form.format(where="(?P<part>.+)", node="(?P<node>.+)")
        found = re.fullmatch(pattern + ("(?:[, ].+)?" if size else ""), words)
        if not found:
            continue
        groups = {"part": CORD, "node": "", **found.groupdict()}
        name, contact = groups["part"], 1
        numbered = re.fullmatch(r"(.+)(?: contact |\.)([0-9]{1,3})", name)
        if numbered and name not in parts:
            name, contact = numbered[1], int(numbered[2])
        share = re.search(r"([0-9.]+) %", words)
        ohm = re.search(r"([0-9.]+) ([mkM]?)Ω", words)
        return Fault(
            name,
            kind,
            contact,
            groups["node"],
            share=float(share[1]) / 100 if share else None,
            ohm=float(ohm[1]) * _PREFIXES[ohm[2]] if ohm else None,
        )
    raise FaultError(
        f"cannot read the fault {shown(words)}. Accepted: {_accepted(appliance)}. "
        "Write it that way."
    )


def _accepted(appliance: Appliance) -> str:
    some = ", ".join(f'"{fault}"' for fault in single_faults(appliance)[:4])
    cord = ", ".join(repr(_FORMS[kind][0]) for kind in OF_CORD)
    return (
        f"a part's name and one of {', '.join(KINDS[:9])}, such as {some}; or one of "
        f'"E1 at N: wire off", {cord}'
    )
