"""Lists the parts and points of an appliance file's text, even while it has problems."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import count
from typing import Any, NamedTuple

from lessonlib.appliance.parts import TERMINALS
from lessonlib.appliance.schema import PART_KEYS, Key
from lessonlib.workbench.blocks import WHOLE
from lessonlib.workbench.fields import NAME_LETTERS, as_typed, keys_of, label_of, unit_of, word_of


class OutlinedPart(NamedTuple):
    """A part as far as it is written. `table` has its keys and values."""

    kind: str
    name: str
    table: Mapping[str, Any]


def row_of(part: OutlinedPart) -> dict[str, Any]:
    """The part as a row of the form's list, as JSON."""
    keys = keys_of(part.kind)
    return {
        "name": part.name,
        "kind": part.kind,
        "word": word_of(part.kind),
        "words": _words_of(part.table, keys),
        "values": {key: as_typed(part.table[key]) for key in keys if key in part.table},
    }


def _words_of(table: Mapping[str, Any], keys: Mapping[str, Key]) -> str:
    """A part's ends and marks: "L – N, power 400 W, voltage 230 V"."""
    words = []
    for name, key in keys.items():
        value = table.get(name)
        if value is None or name in ("name", "start", "purpose"):
            continue
        match key.type:
            case "nodes":
                words.append(_ends(value))
            case "number":
                number = f"{value:.6g}" if isinstance(value, int | float) else str(value)
                words.append(f"{label_of(name)} {number} {unit_of(key)}".rstrip())
            case "names" if isinstance(value, list):
                words.append(" / ".join(map(str, value)))
            case "contacts":
                words += [_ends(contact.get("between")) for contact in tables_of(value)]
            case "choice":
                words.append(f"{label_of(name)} {value}")
            case "flag":
                words += [label_of(name)] if value is True else []
            case _:
                words.append(str(value))
    return ", ".join(words)


def outlined(document: Mapping[str, Any]) -> list[OutlinedPart]:
    """The parts that a parsed text names, in its order."""
    return [
        OutlinedPart(kind, table["name"], table)
        for kind, tables in document.items()
        if kind in PART_KEYS
        for table in tables_of(tables)
        if isinstance(table.get("name"), str)
    ]


def listed(document: Mapping[str, Any]) -> list[OutlinedPart]:
    """What the form lists: title and supply together, the vessel if there is one, and the parts."""
    supply, vessel = (
        found if isinstance(found := document.get(name), dict) else {}
        for name in ("supply", "vessel")
    )
    found = [OutlinedPart(WHOLE, WHOLE, {**document, **supply})]
    if "vessel" in document:
        found.append(OutlinedPart("vessel", "vessel", vessel))
    return [*found, *outlined(document)]


def nodes_of(document: Mapping[str, Any]) -> list[str]:
    """The points of a parsed text: the terminals first, then in the order of their first use."""
    seen = dict.fromkeys(TERMINALS)
    for part in outlined(document):
        for table in (part.table, *tables_of(part.table.get("contacts"))):
            between = table.get("between")
            if isinstance(between, list):
                seen.update(dict.fromkeys(node for node in between if isinstance(node, str)))
    return list(seen)


def begun_values(document: Mapping[str, Any]) -> dict[str, dict[str, str]]:
    """What a new part of each kind begins with in the form: the next free name, such as E2 where
    there is an E1, and for a part with a marked voltage that of the supply."""
    taken = {part.name for part in outlined(document)}
    supply = document.get("supply")
    volts = as_typed(supply.get("voltage_V")) if isinstance(supply, dict) else None
    begun = {}
    for kind, letter in NAME_LETTERS.items():
        names = (f"{letter}{number}" for number in count(1))
        begun[kind] = {"name": next(name for name in names if name not in taken)}
        if isinstance(volts, str) and "voltage_V" in keys_of(kind):
            begun[kind]["voltage_V"] = volts
    return begun


def tables_of(value: object) -> list[Mapping[str, Any]]:
    """The tables in a list; none where `value` is no list."""
    return [each for each in value if isinstance(each, dict)] if isinstance(value, list) else []


def _ends(between: object) -> str:
    return " – ".join(map(str, between)) if isinstance(between, list) else str(between)
