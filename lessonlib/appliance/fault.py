"""One fault of a part, applied from outside: the appliance itself never changes."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal, get_args

from lessonlib.appliance.parts import Appliance, Part
from lessonlib.errors import FaultError, SettingError, shown

FaultKind = Literal["open", "shorted", "welded", "not making"]

KINDS: tuple[FaultKind, ...] = get_args(FaultKind)


@dataclass(frozen=True)
class Fault:
    """`part` is open or shorted, or its contact number `contact` is welded or not making."""

    part: str
    kind: FaultKind
    contact: int = 1

    def __str__(self) -> str:
        """Plain words, as accepted by `solve(..., fault=...)`."""
        where = f" contact {self.contact}" if self.contact != 1 else ""
        return f"{self.part}{where} {self.kind}"


def fault_words(appliance: Appliance, fault: Fault) -> str:
    """The fault with the contact that has it, as the drawing names it: "S1.2 welded"."""
    return f"{appliance.part(fault.part).path_name(fault.contact)} {fault.kind}"


def kinds_for(part: Part) -> tuple[FaultKind, ...]:
    """The kinds of fault a part can have."""
    return ("welded", "not making") if part.contacts else ("open", "shorted")


def single_faults(appliance: Appliance) -> tuple[Fault, ...]:
    """Every fault that `appliance` can have on its own, in file order."""
    return tuple(
        Fault(part.name, kind, number)
        for part in appliance.parts
        for number in range(1, len(part.rungs) + 1)
        for kind in kinds_for(part)
    )


def find_fault(appliance: Appliance, fault: Fault | str | None) -> Fault | None:
    """`fault` checked against the appliance; words such as "E1 open" are read.

    Raises `FaultError` for an unknown part, kind or contact, and anything that is not a fault.
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
    try:
        part = appliance.part(fault.part)
    except SettingError as error:
        raise FaultError(str(error)) from None
    if fault.kind not in kinds_for(part):
        raise FaultError(
            f"{part.name} cannot be {shown(fault.kind)}. "
            f"This {part.words} can be: {', '.join(kinds_for(part))}."
        )
    if type(fault.contact) is not int or not 1 <= fault.contact <= len(part.rungs):
        raise FaultError(
            f"{part.name} has no contact {shown(fault.contact)}. "
            f"Its contacts are numbered 1 to {len(part.rungs)}, in file order."
        )
    return fault


def _read(appliance: Appliance, words: str) -> Fault:
    for kind in KINDS:
        if not words.endswith(f" {kind}"):
            continue
        name = words.removesuffix(f" {kind}")
        numbered = re.fullmatch(r"(.+)(?: contact |\.)([0-9]{1,3})", name)
        if numbered and all(part.name != name for part in appliance.parts):
            return Fault(numbered[1], kind, int(numbered[2]))
        return Fault(name, kind)
    raise FaultError(
        f"cannot read the fault {shown(words)}. Accepted: {_accepted(appliance)}. "
        "Write it that way."
    )


def _accepted(appliance: Appliance) -> str:
    some = ", ".join(f'"{fault}"' for fault in single_faults(appliance)[:4])
    return f"a part's name and one of {', '.join(KINDS)}, such as {some}"
