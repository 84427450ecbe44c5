"""An appliance with its parts joined to other points, or without some of them."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from dataclasses import replace

from lessonlib.appliance.parts import Appliance, Contact, Part, Switch, TwoTerminal
from lessonlib.appliance.reader import read_appliance
from lessonlib.errors import AnswerError, shown
from lessonlib.questions.answers.file_text import file_text

_CONTACT = re.compile(r"([^\s-]+)-([^\s-]+)(?: at (.+))?")


def rewired(
    appliance: Appliance, wires: Mapping[str, str], without: Collection[str] = ()
) -> Appliance:
    """`appliance` with new `wires` by part: "fed-N", or a switch's contacts with the positions in
    which each is closed, "(L-low at low/high, L-top at high)". Without positions a contact keeps
    its own. Raises `AnswerError` where the wires are written otherwise, `ApplianceError` where the
    reader would refuse such a file."""
    parts = {part.name: part for part in appliance.parts}
    for name in (*wires, *without):
        if name not in parts:
            raise AnswerError(
                f"found no part {shown(name)}. Accepted: one of {', '.join(parts)}. "
                "Use one of these names."
            )
    for name, ends in wires.items():
        parts[name] = _joined(parts[name], ends)
    kept = tuple(part for part in parts.values() if part.name not in without)
    found = replace(appliance, parts=kept, source="")
    read_appliance(file_text(found), appliance.title)
    return found


def _joined(part: Part, ends: str) -> Part:
    contacts = [_CONTACT.fullmatch(each.strip()) for each in ends.strip("()").split(",")]
    if isinstance(part, Switch):
        known = [contact.closed_in for contact in part.contacts]
        closed = [
            tuple(found[3].split("/")) if found[3] else known[place]
            for place, found in enumerate(contacts)
            if found and (found[3] or place < len(known))
        ]
        if None not in contacts and len(closed) == len(contacts):
            made = (Contact((f[1], f[2]), at) for f, at in zip(contacts, closed, strict=True) if f)
            return replace(part, contacts=tuple(made))
    elif isinstance(part, TwoTerminal) and contacts[0] and len(contacts) == 1:
        return replace(part, between=(contacts[0][1], contacts[0][2]))
    raise AnswerError(
        f"found {part.name} between {shown(ends)}. Accepted: two points, as in fed-N; for a switch "
        "its contacts, as in (L-low at low/high, L-top at high). Write it so."
    )
