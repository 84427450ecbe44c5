"""The circuit of a question: changed as its file says, solved and measured in a situation."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache
from typing import Any

from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.reader import read_appliance
from lessonlib.appliance.variant import variant
from lessonlib.circuit.solution import Solution, solve
from lessonlib.errors import AnswerError, shown
from lessonlib.meter.ohmmeter import resistance
from lessonlib.questions.arithmetic import work_out
from lessonlib.questions.content_values import Names, split, words
from lessonlib.questions.rewiring import rewired
from lessonlib.questions.written_words import filled

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


@lru_cache(maxsize=64)
def own_circuit(text: str, name: str) -> Appliance:
    """The circuit of an appliance file within a question file."""
    return read_appliance(text, name)


@lru_cache(maxsize=256)
def solved(appliance: Appliance, setting: Settings, **more: Any) -> Solution:
    """The circuit solved; slips often ask for what the question has solved already."""
    return solve(appliance, dict(setting), **more)


@lru_cache(maxsize=256)
def metered(appliance: Appliance, setting: Settings, red: str, black: str, fault: Any) -> float:
    """What an ohmmeter shows, Ω; infinite where nothing leads from probe to probe."""
    found = resistance(appliance, dict(setting), red=red, black=black, fault=fault).ohm
    return math.inf if found is None else found
