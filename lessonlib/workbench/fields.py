"""The fields of the form, made from the schema, and how what is typed into them is read."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from lessonlib.appliance.parts import PART_TYPES
from lessonlib.appliance.schema import PART_KEYS, SUPPLY_KEYS, TEXT_KEYS, VESSEL_KEYS, Key
from lessonlib.questions.reading import Unread, find_unit, read_quantity
from lessonlib.workbench.blocks import WHOLE
from lessonlib.workbench.suggest import SUGGESTIONS

# title and supply share one page of the form
_KEYS = {WHOLE: {**TEXT_KEYS, **SUPPLY_KEYS}, "vessel": VESSEL_KEYS, **PART_KEYS}

NAME_LETTERS = {kind: part.letter for kind, part in PART_TYPES.items()}
"""First letter of a proposed name, as in the bundled files."""

_UNIT_WORDS = {
    "ohm": "Ω",
    "degrees Celsius": "°C",
    "bar gauge": "bar(g)",
    "V r.m.s.": "V",
    "mm2": "mm²",
}
_UNIT_ENDING = re.compile(r"_(J_per_K|W_per_K|K_per_W|mm2|ohm|bar|kg|Hz|W|V|A|C|K|m)$")
_MARKED = (
    "Give the marked power with its voltage, or the resistance alone. A new one begins with the "
    "supply's voltage: change that where the plate says another."
)
_HINTS = {
    "element": _MARKED,
    "lamp": _MARKED,
    "link": "Give length and area of copper, or the resistance alone.",
    "diode": "Current goes in at the anode and out at the cathode.",
    "thermal_fuse": "Fill in both “placed on” and “rise”, or neither.",
    "switch": "A contact joins its two points in the positions ticked.",
}


def unit_of(key: Key) -> str:
    """The unit of a number as people write it; empty where there is none."""
    return _UNIT_WORDS.get(key.unit, key.unit)


def label_of(name: str) -> str:
    """A key in words, without its unit: "opens at"."""
    return _UNIT_ENDING.sub("", name).replace("_", " ")


def keys_of(kind: str) -> Mapping[str, Key]:
    """The keys of a kind of part, of "appliance" (with the supply's), or of "vessel"."""
    return _KEYS[kind]


def form_of(kind: str) -> dict[str, Any]:
    """The form for one kind of part, or for "appliance" or "vessel", as JSON."""
    return {
        "kind": kind,
        "word": word_of(kind),
        "hint": _HINTS.get(kind, ""),
        "fields": [
            {
                "key": name,
                "label": label_of(name),
                "type": key.type,
                "unit": unit_of(key),
                "example": key.example.strip('"'),
                "required": key.required,
                "choices": list(key.choices),
                "suggests": (kind, name) in SUGGESTIONS,
            }
            for name, key in keys_of(kind).items()
        ],
    }


def word_of(kind: str) -> str:
    """What the trade calls this kind of part."""
    return {WHOLE: "title and supply", "vessel": "vessel"}.get(kind) or PART_TYPES[kind].words


def as_typed(value: object) -> Any:
    """A value of a file as the form holds it, with numbers as text."""
    match value:
        case bool() | str() | None:
            return value
        case int() | float():
            return f"{value:.12g}"
        case list():
            return [as_typed(each) for each in value]
        case dict():
            return {key: as_typed(each) for key, each in value.items()}
        case _:
            return str(value)


def typed_values(
    kind: str, typed: Mapping[str, Any], present: Mapping[str, Any]
) -> tuple[dict[str, Any], dict[str, str]]:
    """The values typed that differ from those `present`, with None for a field that was emptied;
    and by key what is wrong with each field that cannot be read."""
    values: dict[str, Any] = {}
    wrong: dict[str, str] = {}
    for name, key in keys_of(kind).items():
        if name not in typed:
            continue
        value = _value(typed[name], key)
        if isinstance(value, Unread):
            wrong[name] = value.reason[0].upper() + value.reason[1:]
        elif value is False and name not in present:
            continue
        elif value != present.get(name):
            values[name] = value
    return values, wrong


def _value(typed: Any, key: Key) -> Any:
    """The value of one field; None for an empty one."""
    match key.type:
        case "number":
            return read_number(str(typed), unit_of(key)) if str(typed).strip() else None
        case "flag":
            return bool(typed)
        case "nodes":
            return [str(node).strip() for node in typed]
        case "names":
            return [str(name).strip() for name in typed if str(name).strip()]
        case "contacts":
            return [
                {
                    "between": [str(node).strip() for node in contact["between"]],
                    "closed_in": list(contact["closed_in"]),
                }
                for contact in typed
                if any(str(node).strip() for node in contact["between"])
            ]
        case _:
            return str(typed).strip() or None


def read_number(text: str, unit: str) -> float | Unread:
    """The number in `text`, converted to `unit`."""
    asked = find_unit(unit)
    if asked is None:  # a unit that no answer has, such as W/K
        end = re.escape(unit.replace("²", "2"))
        text = re.sub(rf"(?<![A-Za-z]){end}$", "", text.replace("²", "2").strip())
    found = read_quantity(text, asked)
    if isinstance(found, Unread):
        return Unread(found.reason.replace("number alone", f"number alone, in {unit}"))
    if len(found.values) > 1:
        one, other = (f"{value:g}" for value in found.values)
        return Unread(f"this could be {one} or {other}. Write it without the comma.")
    value = found.values[0]
    if found.unit is not None and asked is not None:
        accepted = {asked.kind} | ({"pressure"} if asked.kind == "gauge pressure" else set())
        if found.unit.kind not in accepted:
            return Unread(f"{found.unit.symbol} is for {found.unit.kind}. Give it in {unit}.")
        value *= found.unit.size / asked.size
    elif found.unit is not None:
        return Unread(f"found the unit {found.unit.symbol}. Write the number alone, in {unit}.")
    return float(f"{value:.12g}")
