"""Lists the parts and points of an appliance file's text, even while it has problems."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import count
from typing import Any

from lessonlib.appliance.parts import TERMINALS
from lessonlib.appliance.schema import PART_KEYS, Key
from lessonlib.workbench.fields import NAME_LETTERS, as_typed, keys_of, label_of, unit_of, word_of


@dataclass(frozen=True)
class OutlinedPart:
    """A part as far as it is written. `table` has its keys and values."""

    kind: str
    name: str
    table: Mapping[str, Any]


def row_of(name: str, kind: str, table: Mapping[str, Any]) -> dict[str, Any]:
    """A part, or a table of the whole appliance, as a row of the form's list, as JSON."""
    keys = keys_of(kind)
    return {
        "name": name,
        "kind": kind,
        "word": word_of(kind),
        "words": _words_of(table, keys),
        "values": {key: as_typed(table[key]) for key in keys if key in table},
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
    """What a new part of each kind begins with in the form: the next free name, and for a part with
    a marked voltage that of the supply."""
    supply = document.get("supply")
    volts = as_typed(supply.get("voltage_V")) if isinstance(supply, dict) else None
    marked = {"voltage_V": volts} if isinstance(volts, str) else {}
    return {
        kind: {"name": name, **(marked if "voltage_V" in keys_of(kind) else {})}
        for kind, name in next_names(document).items()
    }


def next_names(document: Mapping[str, Any]) -> dict[str, str]:
    """The next free name of each kind: E2 where there is an E1."""
    taken = {part.name for part in outlined(document)}
    return {
        kind: next(name for number in count(1) if (name := f"{letter}{number}") not in taken)
        for kind, letter in NAME_LETTERS.items()
    }


def tables_of(value: object) -> list[Mapping[str, Any]]:
    """The tables in a list; none where `value` is no list."""
    return [each for each in value if isinstance(each, dict)] if isinstance(value, list) else []


def _ends(between: object) -> str:
    return " – ".join(map(str, between)) if isinstance(between, list) else str(between)
