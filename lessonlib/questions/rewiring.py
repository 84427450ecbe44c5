"""The same parts, wired in another way: what a slip in drawing or writing a circuit makes of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from lessonlib.appliance.parts import Appliance, Contact, Part
from lessonlib.appliance.reader import read_appliance
from lessonlib.errors import AnswerError, shown
from lessonlib.questions.answers.file_text import file_text


def rewired(appliance: Appliance, wires: Mapping[str, str]) -> Appliance:
    """`appliance` with the parts named in `wires` between other points, read again as a file is.

    {"E1": "fed N"} puts E1 between fed and N, {"S1": "L fed at low/high; fed heat at high"} gives
    S1 these contacts, and {"F1": ""} leaves F1 out. Raises `AnswerError` for an unknown part and
    for wires that are not written so, `ApplianceError` for a circuit that no file could have.
    """
    for name in wires:
        appliance.part(name)
    parts = (
        _moved(part, wires[part.name]) if part.name in wires else part for part in appliance.parts
    )
    whole = replace(appliance, parts=tuple(part for part in parts if part is not None))
    return read_appliance(file_text(whole), appliance.title)


def _moved(part: Part, wires: str) -> Part | None:
    if not wires:
        return None
    pieces = [_contact(piece) for piece in wires.split(";")]
    if part.kind == "switch":
        moved: dict[str, Any] = {"contacts": tuple(pieces)}
    else:
        moved = {"between": pieces[0].between}
    return replace(part, **moved)


def _contact(text: str) -> Contact:
    ends, _, closed_in = text.partition(" at ")
    between = ends.split()
    if len(between) != 2:
        raise AnswerError(
            f'found {shown(text)}. Accepted: two points, as in "fed N", and for a contact when it '
            'is closed, as in "L fed at low/high". Write it so.'
        )
    return Contact((between[0], between[1]), tuple(closed_in.split("/")))
