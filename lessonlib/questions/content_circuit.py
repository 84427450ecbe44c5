"""The circuit of a question: changed as its file says, then solved, measured or heated up."""

from __future__ import annotations

import math
import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import Any

from lessonlib.appliance.file_text import file_text
from lessonlib.appliance.parts import Appliance, Contact, Part, Switch, ThermalFuse, TwoTerminal
from lessonlib.appliance.reader import read_appliance
from lessonlib.appliance.variant import variant
from lessonlib.circuit.solution import Solution, solve
from lessonlib.errors import AnswerError, shown
from lessonlib.heat.run import heat_up
from lessonlib.heat.vessel import body_of
from lessonlib.heat.water import HEAT_OF_WATER_J_PER_KGK
from lessonlib.meter.ohmmeter import resistance
from lessonlib.questions.arithmetic import work_out
from lessonlib.questions.content_words import Names, filled, split, words

_CONTACT = re.compile(r"([^\s-]+)-([^\s-]+)(?: at (.+))?")
_PLUGS = {"reversed": True, "as marked": False}

Settings = tuple[tuple[str, str], ...]
"""Positions by part, as a value that can be remembered."""


def changed(appliance: Appliance, pieces: Sequence[str], names: Names) -> Appliance:
    """`appliance` with the changes in `pieces`, as in "E1.power_W = keep_W"."""
    values: dict[str, dict[str, Any]] = {}
    wires: dict[str, str] = {}
    without: list[str] = []
    for piece in pieces:
        place, sign, new = (each.strip() for each in piece.partition("="))
        owner, dot, key = place.partition(".")
        if place.startswith("without "):
            without.append(place.removeprefix("without ").strip())
        elif place == "title":
            appliance = replace(appliance, title=words(new, names))
        elif not sign or not dot:
            raise AnswerError(
                f"found {shown(piece)}. Accepted: a value such as E1.power_W = keep_W, or a "
                "setting such as at S1 on. Write it so."
            )
        elif key in ("between", "contacts"):
            wires[owner] = words(new, names)
        else:
            values.setdefault(owner, {})[key] = work_out(new, names)
    if wires or without:
        appliance = rewired(appliance, wires, without)
    return variant(appliance, values) if values else appliance


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


def situation(text: str, names: Names) -> tuple[Settings, dict[str, Any]]:
    """Positions by part, and fault, plug and supply: "S1 on, fault E1 open, supply 115 V"."""
    setting: dict[str, str] = {}
    more: dict[str, Any] = {}
    for piece in split(filled(text, names)):
        what, _, rest = piece.partition(" ")
        if piece in ("start", "as it is"):
            continue
        if what == "fault":
            more["fault"] = None if rest == "none" else rest
        elif what == "plug":
            if rest not in _PLUGS:
                raise AnswerError(
                    f"found {shown(rest)}. Accepted: {', '.join(_PLUGS)}. Use one of these."
                )
            more["reversed_plug"] = _PLUGS[rest]
        elif what == "supply":
            more["supply_voltage_V"] = work_out(rest.removesuffix("V").strip(), names)
        else:
            setting[what] = rest
    return tuple(setting.items()), more


own_circuit = lru_cache(maxsize=64)(read_appliance)
"""The circuit of an appliance file within a question file, by its text and name."""


@lru_cache(maxsize=256)
def solved(appliance: Appliance, setting: Settings, **more: Any) -> Solution:
    """The circuit solved; slips often ask for what the question has solved already."""
    return solve(appliance, dict(setting), **more)


@lru_cache(maxsize=256)
def metered(appliance: Appliance, setting: Settings, red: str, black: str, fault: Any) -> float:
    """What an ohmmeter shows, Ω; infinite where nothing leads from probe to probe."""
    found = resistance(appliance, dict(setting), red=red, black=black, fault=fault).ohm
    return math.inf if found is None else found


@lru_cache(maxsize=256)
def heated(
    appliance: Appliance, minutes: float, setting: Settings, **more: Any
) -> Mapping[str, Any]:
    """A heating run of so many minutes, by names that a question can read; `more` has what else
    `heat_up` may be told.

    `ready_s` is when it is ready, `cycle` how it cycles then; `first_s` says when each kind of
    event happens first, as in `first_s.vents`, and `hottest_C` how hot the place of each thermal
    fuse gets. `capacity_J_per_K` is that of the full vessel, `held_C` where its water takes up heat
    without warming, at `latent_J_per_kg`.
    """
    run = heat_up(appliance, dict(setting), minutes=minutes, **more)
    body = body_of(appliance)
    fuses = [part.name for part in appliance.of_type(ThermalFuse)]
    return {
        "ready_s": run.time_to_ready_s,
        "cycle": run.cycle,
        "first_s": {event.kind: event.time_s for event in reversed(run.events)},
        "hottest_C": {fuse: run.hottest_place_C(fuse) for fuse in fuses},
        "capacity_J_per_K": body.capacity_J_per_K(body.vessel.water_kg),
        "held_C": body.held_C,
        "latent_J_per_kg": body.latent_J_per_kg,
        "water_J_per_kgK": HEAT_OF_WATER_J_PER_KGK,
    }
