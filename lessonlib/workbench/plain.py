"""What the reader of appliance files found, in the words of a person who fills in the form.

The reader speaks to somebody who writes the file: tables, keys, lines to add. Here the same is said
about a part and one of its fields. What has no words here keeps those of the reader.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from lessonlib.appliance.schema import PART_KEYS, TEXT_KEYS
from lessonlib.errors import Problem, shown
from lessonlib.workbench.blocks import WHOLE
from lessonlib.workbench.fields import as_typed, keys_of, label_of, unit_of, word_of

_PART = re.compile(r"\[\[(\w+)\]\] (.*?)(?: contact (\d+))?")
_KEY = re.compile(r"\b[a-z]+(?:_[A-Za-z0-9]+)+\b")
_ONCE = " used only once"
_NOTHING = ("", "", "", "")


def plain(problem: Problem, document: Mapping[str, Any] | None) -> dict[str, Any]:
    """The problem as a row of the form, as JSON: in the words of the reader, and where there are
    some in plain "words". Those are said "at" its field "key" of a "part", which is a part's name,
    "appliance" or "vessel". "unfinished": it is not wrong in itself, another part is missing.
    `document` is the text that has it, as parsed, or None where it cannot be.
    """
    row: dict[str, Any] = {
        "place": " ".join(filter(None, (problem.table, problem.key))) or "the whole text",
        "found": problem.found,
        "accepted": problem.accepted,
        "next": problem.next_step,
    }
    part, kind, key, words = _NOTHING if document is None else _said(problem, document)
    sentence = words
    if kind:
        called = word_of(kind) + (f" {part}" if kind in PART_KEYS else "")
        sentence = f"{called[0].upper()}{called[1:]}: {words}"
    of = {"part": part, "kind": kind, "at": words} if key else {"part": "", "kind": "", "at": ""}
    return {**row, **of, "key": key, "words": sentence, "unfinished": bool(words and not key)}


def _said(problem: Problem, document: Mapping[str, Any]) -> tuple[str, str, str, str]:
    """The part, its kind, the key and the words; without a key where another part is missing,
    without a kind where it is about the whole, and all empty where only the reader's words fit."""
    place, key = problem.table, problem.key
    found = _PART.fullmatch(place)
    values: Any = None
    if found:
        kind, part = found[1], found[2]
        values = _part(document, kind, part)
    elif place == "[vessel]":
        part, kind, values = "vessel", "vessel", document.get("vessel")
    elif place == "[supply]" or (not place and key in TEXT_KEYS):
        part, kind, values = WHOLE, WHOLE, document.get("supply") if place else document
    else:
        return "", "", "", _of_the_whole(problem)
    if not isinstance(values, dict):
        return _NOTHING
    if found and found[3]:
        words = "Tick a position in which it is closed."
        if key == "between":
            words = _of_ends(problem, values["contacts"][int(found[3]) - 1].get("between"))
        return part, kind, "contacts", f"Contact {found[3]}: {words}"
    if " together with " in problem.accepted:
        return part, kind, *_of_marking(problem, values)
    if problem.found.endswith(_ONCE):
        return part, kind, "", _of_ends(problem, None)
    if key not in keys_of(kind):
        return _NOTHING
    return part, kind, key, _of_field(problem, kind, values)


def _part(document: Mapping[str, Any], kind: str, label: str) -> dict[str, Any] | None:
    """The table of the part that the reader calls `label`."""
    tables = document.get(kind)
    for table in tables if isinstance(tables, list) else []:
        if isinstance(table, dict) and shown(table.get("name"), 30)[1:-1] == label:
            return table
    return None


def _of_the_whole(problem: Problem) -> str:
    if problem.found == "no parts":
        return "There are no parts yet. Choose the first one under “Add a part”."
    if problem.found.startswith("no part on point "):
        return f"Nothing is joined to {problem.found[-1]} yet. Let a part begin or end there."
    return ""


def _of_ends(problem: Problem, between: object) -> str:
    if problem.found.endswith(_ONCE):
        point = problem.found.removeprefix("point ").removesuffix(_ONCE).strip("'\"")
        return f"Nothing else is joined to {point} yet. Let another part end there too."
    ends = [str(end).strip() for end in between] if isinstance(between, list) else []
    first, second = (*ends, "", "")[:2]
    if not (first or second):
        return "It needs two ends. Choose the points that it joins."
    if not first:
        return "It needs a first end. Choose the point where it begins."
    if not second:
        return "It needs a second end. Choose the point where it goes."
    if first == second:
        return f"Both ends are on {first}. Choose another point for one of them."
    return f"Found {problem.found}. Choose {problem.accepted}."


def _of_marking(problem: Problem, values: Mapping[str, Any]) -> tuple[str, str]:
    """The field, and what is said there, where marked values or resistance do not fit."""
    first, second, resistance = _KEY.findall(problem.accepted)[:3]
    both = f"its {label_of(first)} and {label_of(second)}"
    if resistance in values:
        return resistance, f"Give {both}, or the resistance alone, not both."
    missing = first if second in values else second
    if first in values or second in values:
        return missing, f"Give its {label_of(missing)} too."
    return first, f"Give {both}, or its resistance alone."


def _of_field(problem: Problem, kind: str, values: Mapping[str, Any]) -> str:
    name, key = problem.key, keys_of(kind)[problem.key]
    label, unit = label_of(name).capitalize(), unit_of(key)
    if name == "between":
        return _of_ends(problem, values.get(name))
    if name == "contacts":
        return "It needs a contact. Choose the two points that it joins."
    if problem.found == "nothing" and key.required:
        return f"{label} is needed. {f'Give it in {unit}.' if unit else 'Type one.'}"
    if key.type == "number" and problem.accepted == key.accepted:
        limits = key.accepted.removesuffix(key.unit).strip()
        return f"Found {as_typed(values.get(name))} {unit}. Give {limits} {unit}."
    # the reader's own words, with the labels of the fields for the names of the keys
    found, accepted, step = (
        _KEY.sub(lambda key: label_of(key[0]), text)
        for text in (problem.found, problem.accepted, problem.next_step)
    )
    step = step.replace("add a line, such as", "fill it in, such as")
    return f"Found {found}. Accepted: {accepted}. {step[0].upper()}{step[1:].rstrip('?.')}."
