"""The values of one table of a file, checked against the schema and converted."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from lessonlib.appliance.names import letters, oddity, supply_look
from lessonlib.appliance.parts import Contact
from lessonlib.appliance.problems import Problems, meant_or
from lessonlib.appliance.schema import CONTACT_KEYS, Key
from lessonlib.errors import shown
from lessonlib.quantities import number

MAX_TEXT = 400


def unknown_keys(
    problems: Problems, table: str, found: Mapping[str, Any], accepted: Iterable[str]
) -> None:
    """Report every key of `found` that is not among those accepted."""
    names = sorted(accepted)
    for key in found:
        if key not in names:
            unknown = f"an unknown {'key' if table else 'key or table'}"
            step = meant_or(key, names, "correct the spelling or remove it")
            problems.add(table, shown(key)[1:-1], unknown, ", ".join(names), step)


def read_fields(
    problems: Problems, table: str, found: Mapping[str, Any], keys: Mapping[str, Key]
) -> dict[str, Any]:
    """The values of `keys` present in `found` and usable, converted."""
    values: dict[str, Any] = {}
    for name, key in keys.items():
        if name not in found:
            if key.required:
                add = "add to its { }" if keys is CONTACT_KEYS else "add a line"
                problems.add(table, name, "nothing", key.accepted, f"{add}: {name} = {key.example}")
            continue
        value = _value(problems, table, name, found[name], key)
        if value is not None:
            values[name] = value
    return values


def _value(problems: Problems, table: str, name: str, value: Any, key: Key) -> Any:
    """`value` converted to what `key` holds, or None after adding a problem."""
    converted: Any = None
    found = ""
    match key.type:
        case "number" if key.low <= number(value) <= key.high:
            converted = number(value)
        case "flag" if isinstance(value, bool):
            converted = value
        case "text" if isinstance(value, str):
            if len(value) > MAX_TEXT:
                found = f"{shown(value)}, {len(value):,} characters long"
            elif value.isprintable():
                converted = value.strip() or None
        case "choice" if value in key.choices:
            converted = value
        case "contacts":
            return _contacts(problems, table, value, key)
        case "name":
            converted, found = (None, _odd(value)) if oddity(value) else (value, "")
        case "nodes":
            if _misleading(problems, table, name, value):
                return None
            converted, found = _several(value, key)
        case "names":
            converted, found = _several(value, key)
    if converted is None:
        step = f"correct it, for example: {name} = {key.example}"
        problems.add(table, name, found or shown(value), key.accepted, step)
    return converted


def _several(value: Any, key: Key) -> tuple[tuple[str, ...] | None, str]:
    """The names in a list; or None, and what was found instead."""
    if not isinstance(value, list):
        return None, shown(value)
    for each in value:
        if oddity(each):
            return None, _odd(each)
    if key.low <= len(value) <= key.high and len(set(value)) == len(value):
        return tuple(value), ""
    many = f"{len(value):,} names: " if len(value) > key.high else ""
    return None, many + shown(value)


def _odd(name: Any) -> str:
    return shown(name) + oddity(name)


def _misleading(problems: Problems, table: str, name: str, nodes: Any) -> bool:
    """Whether the ends are impossible or misleading; reports them if so."""
    ends = [node for node in nodes if isinstance(node, str)] if isinstance(nodes, list) else []
    found = ""
    for node, terminal in ((node, supply_look(node)) for node in ends):
        if terminal and not found:
            found = f"point {shown(node)}{letters(node)}, which is not {terminal} but looks like it"
            accepted = (
                "L, N or PE for the supply, and for other points names that do not look like these"
            )
            step = f'write "{terminal}" if you mean the supply, or give the point another name'
    if not found and len(ends) == 2 and ends[0] == ends[1] and not oddity(ends[0]):
        found, accepted = f"both ends on point {shown(ends[0])}", "two different points"
        step = "a part joined to itself does nothing: name the point its other end goes to"
    if found:
        problems.add(table, name, found, accepted, step)
    return bool(found)


def _contacts(problems: Problems, table: str, value: Any, key: Key) -> tuple[Contact, ...] | None:
    tables = isinstance(value, list) and all(isinstance(each, dict) for each in value)
    if not (tables and key.low <= len(value) <= key.high):
        step = "write one { } for each contact"
        problems.add(table, "contacts", shown(value), key.accepted, step)
        return None
    contacts = []
    for count, found in enumerate(value, 1):
        place = f"{table} contact {count}"
        unknown_keys(problems, place, found, CONTACT_KEYS)
        fields = read_fields(problems, place, found, CONTACT_KEYS)
        if len(fields) == len(CONTACT_KEYS):
            contacts.append(Contact(fields["between"], fields["closed_in"]))
    return tuple(contacts) if len(contacts) == len(value) else None
