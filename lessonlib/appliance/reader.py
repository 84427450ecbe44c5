"""TOML to appliance. Every problem of a file is collected and reported together."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any, TypeVar

from lessonlib.appliance.check import check_names, check_nodes, check_part, check_size
from lessonlib.appliance.document import parsed
from lessonlib.appliance.parts import PART_TYPES, Appliance, Part, Supply, Vessel
from lessonlib.appliance.problems import Problems
from lessonlib.appliance.schema import PART_KEYS, SUPPLY_KEYS, TEXT_KEYS, VESSEL_KEYS, Key
from lessonlib.appliance.values import read_fields, unknown_keys
from lessonlib.errors import ApplianceError, ApplianceNotFound, MisreadError, Problem, shown
from lessonlib.files import read_regular

MAX_BYTES = 262_144
"""Largest file read. The bundled ones are near 2 kB; a file this large is not an appliance."""

_FILE = f"a text file of at most {MAX_BYTES:,} bytes"
_ANOTHER = "check that this is the appliance file and not another one"

_Block = TypeVar("_Block", Supply, Vessel)


def read_appliance(text: str | bytes, file: str = "appliance") -> Appliance:
    """The appliance that `text` describes; `file` is the name used in error messages.

    Raises `ApplianceError`, a `ValueError`, that lists everything wrong with the description.
    """
    try:
        document = _document(text)
    except MisreadError as error:
        raise _unusable(file, error) from error
    problems = Problems(file)
    unknown_keys(problems, "", document, {*TEXT_KEYS, "supply", "vessel", *PART_KEYS})
    texts = read_fields(problems, "", document, TEXT_KEYS)
    if "supply" not in document:
        step = "add the lines: [supply] and voltage_V = 230"
        problems.add("[supply]", "", "no such table", "one [supply] table", step)
    supply = _block(problems, document, "supply", SUPPLY_KEYS, Supply)
    vessel = _block(problems, document, "vessel", VESSEL_KEYS, Vessel)
    parts = tuple(_parts(problems, document))
    check_names(problems, parts)
    check_nodes(problems, parts)
    if problems or supply is None:
        raise ApplianceError(problems.found)
    return Appliance(texts["title"], texts.get("purpose", ""), supply, parts, vessel)


def read_appliance_file(path: Path) -> Appliance:
    """The appliance in the file at `path`.

    Raises `ApplianceNotFound` where there is no file, else `ApplianceError` as `read_appliance`.
    """
    try:
        content = read_regular(path, MAX_BYTES)
    except FileNotFoundError:
        raise ApplianceNotFound(
            f"found no file {shown(str(path), 200)}. Accepted: a path to a .toml file. "
            "Check the name and its folder."
        ) from None
    except OSError as error:
        problem = MisreadError(error.strerror or str(error), _FILE, _ANOTHER)
        raise _unusable(path.name, problem) from error
    return replace(read_appliance(content, path.name), source=str(path))


def _unusable(file: str, error: MisreadError) -> ApplianceError:
    return ApplianceError([Problem(file, "", "", error.found, error.accepted, error.next_step)])


def _document(text: str | bytes) -> dict[str, Any]:
    if not isinstance(text, str | bytes):
        step = "to read a file, give its path to load_appliance"
        raise MisreadError(shown(text), "the text of an appliance file", step)
    if len(text) > MAX_BYTES:
        unit = "bytes" if isinstance(text, bytes) else "characters"
        raise MisreadError(f"a text of {len(text):,} {unit}", _FILE, _ANOTHER)
    try:
        return parsed(text.decode("utf-8-sig") if isinstance(text, bytes) else text)
    except UnicodeDecodeError as error:
        found = f"byte {error.start} that is not UTF-8 text"
        step = "save the file again as UTF-8 text"
        raise MisreadError(found, "a text file in UTF-8", step) from error


def _block(
    problems: Problems,
    document: Mapping[str, Any],
    name: str,
    keys: Mapping[str, Key],
    build: type[_Block],
) -> _Block | None:
    found, table = document.get(name, {}), f"[{name}]"
    if not isinstance(found, dict):
        seen = f"[{table}], in double brackets" if _tables(found) else shown(found)
        step = f"write {table} in single brackets and its keys below"
        problems.add(table, "", seen, f"one {table} table", step)
    if name not in document or not isinstance(found, dict):
        return None
    unknown_keys(problems, table, found, keys)
    fields = read_fields(problems, table, found, keys)
    complete = all(name in fields for name, key in keys.items() if key.required)
    return build(**fields) if complete else None


def _parts(problems: Problems, document: Mapping[str, Any]) -> Iterable[Part]:
    tables: dict[str, list[dict[str, Any]]] = {}
    for kind in (each for each in document if each in PART_KEYS):
        found, table = document[kind], f"[[{kind}]]"
        if _tables(found):
            tables[kind] = found
            continue
        seen = f"[{kind}], in single brackets" if isinstance(found, dict) else shown(found)
        step = f"write {table} in double brackets and its keys below"
        problems.add(table, "", seen, f"{table} tables, one for each part", step)
    if not check_size(problems, tables):
        return
    # parts with problems of their own included, as others may name them
    kinds = {
        item["name"]: kind
        for kind, items in tables.items()
        for item in items
        if isinstance(item.get("name"), str)
    }
    for kind, items in tables.items():
        for number, item in enumerate(items, 1):
            before, named = len(problems), isinstance(item.get("name"), str)
            table = f"[[{kind}]] {shown(item['name'], 30)[1:-1] if named else number}"
            unknown_keys(problems, table, item, PART_KEYS[kind])
            fields = read_fields(problems, table, item, PART_KEYS[kind])
            if len(problems) == before:
                check_part(problems, table, PART_TYPES[kind], fields, kinds)
            if len(problems) == before:
                yield PART_TYPES[kind](**fields)
    if not any(tables.values()):
        step = "add an [[element]] table with name, between, power_W and voltage_V"
        problems.add("", "", "no parts", "at least one part, such as [[element]]", step)


def _tables(found: Any) -> bool:
    return isinstance(found, list) and all(isinstance(item, dict) for item in found)
