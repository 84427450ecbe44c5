"""The values of one table of a file, checked against the schema and converted."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import Any

from lessonlib.appliance.parts import Contact
from lessonlib.appliance.problems import Problems, near
from lessonlib.appliance.schema import CONTACT_KEYS, Key
from lessonlib.errors import shown

MAX_NAME = 40
MAX_TEXT = 400


def unknown_keys(
    problems: Problems, table: str, found: Mapping[str, Any], accepted: Iterable[str]
) -> None:
    """Report every key of `found` that is not among those accepted."""
    names = sorted(accepted)
    for key in found:
        if key in names:
            continue
        meant = near(key, names)
        problems.add(
            table,
            shown(key)[1:-1],
            f"an unknown {'key' if table else 'key or table'}",
            ", ".join(names),
            f'did you mean "{meant}"?' if meant else "correct the spelling or remove it",
        )


def read_fields(
    problems: Problems, table: str, found: Mapping[str, Any], keys: Mapping[str, Key]
) -> dict[str, Any]:
    """The values of `keys` present in `found` and usable, converted."""
    values: dict[str, Any] = {}
    for name, key in keys.items():
        if name not in found:
            if key.required:
                problems.add(
                    table, name, "nothing", key.accepted, f"add a line: {name} = {key.example}"
                )
            continue
        value = _value(problems, table, name, found[name], key)
        if value is not None:
            values[name] = value
    return values


def _value(problems: Problems, table: str, name: str, value: Any, key: Key) -> Any:
    """`value` converted to what `key` holds, or None after adding a problem."""
    converted: Any = None
    match key.type:
        case "number":
            converted = _as_number(value, key)
        case "flag":
            converted = value if isinstance(value, bool) else None
        case "text":
            converted = value.strip() if _is_text(value, MAX_TEXT) else None
        case "name":
            converted = value if _is_text(value, MAX_NAME) else None
        case "choice":
            converted = value if value in key.choices else None
        case "nodes":
            converted = _nodes(problems, table, name, value)
            if converted == ():
                return None  # already reported
        case "names":
            if _is_names(value) and len(value) >= key.low and len(set(value)) == len(value):
                converted = tuple(value)
        case "contacts":
            return _contacts(problems, table, value, key)
    if converted is None:
        step = f"correct it, for example: {name} = {key.example}"
        problems.add(table, name, shown(value), key.accepted, step)
    return converted


def _nodes(problems: Problems, table: str, name: str, value: Any) -> tuple[str, ...] | None:
    if not (_is_names(value) and len(value) == 2):
        return None
    if value[0] == value[1]:
        problems.add(
            table,
            name,
            f"both ends on node {shown(value[0])}",
            "two different nodes",
            "a part joined to itself does nothing: name the node its other end goes to",
        )
        return ()
    return (value[0], value[1])


def _contacts(problems: Problems, table: str, value: Any, key: Key) -> tuple[Contact, ...] | None:
    if not (isinstance(value, list) and value and all(isinstance(v, dict) for v in value)):
        problems.add(
            table, "contacts", shown(value), key.accepted, "write one { } for each contact"
        )
        return None
    contacts = []
    for number, found in enumerate(value, 1):
        place = f"{table} contact {number}"
        unknown_keys(problems, place, found, CONTACT_KEYS)
        fields = read_fields(problems, place, found, CONTACT_KEYS)
        if len(fields) == len(CONTACT_KEYS):
            contacts.append(Contact(fields["between"], fields["closed_in"]))
    return tuple(contacts) if len(contacts) == len(value) else None


def _as_number(value: Any, key: Key) -> float | None:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    try:
        number = float(value)
    except OverflowError:
        return None
    return number if math.isfinite(number) and key.low <= number <= key.high else None


def _is_text(value: Any, limit: int) -> bool:
    return (
        isinstance(value, str)
        and bool(value.strip())
        and len(value) <= limit
        and value.isprintable()
    )


def _is_names(value: Any) -> bool:
    return isinstance(value, list) and all(_is_text(item, MAX_NAME) for item in value)
