"""The same appliance with other values, as if its file had them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from lessonlib.appliance.check import check_part
from lessonlib.appliance.parts import Appliance, Part, Resistive, ThermalFuse
from lessonlib.appliance.problems import Problems, meant_or
from lessonlib.appliance.schema import PART_KEYS, SUPPLY_KEYS, VESSEL_KEYS, Key
from lessonlib.appliance.values import read_fields, unknown_keys
from lessonlib.errors import ApplianceError, shown

_VALUES = ("number", "flag", "choice")


def variant(appliance: Appliance, changes: Mapping[str, Mapping[str, object]]) -> Appliance:
    """`appliance` with the values in `changes`, by part name (or "supply", "vessel") and key.

    Keys and limits are those of the file; names and wiring stay. A new `power_W` or `voltage_V` of
    an element changes its resistance; a new `resistance_ohm` replaces its marking.
    Raises `ApplianceError` that lists every unknown name and key and every value out of range.
    """
    problems = Problems(appliance.title)
    blocks: dict[str, Any] = {"supply": appliance.supply}
    if appliance.vessel is not None:
        blocks["vessel"] = appliance.vessel
    parts = {part.name: part for part in appliance.parts}
    kinds = {part.name: part.kind for part in appliance.parts}
    for name, found in changes.items():
        if name not in parts and name not in blocks:
            known = [*parts, *blocks]
            table = shown(name)[1:-1] if isinstance(name, str) else shown(name)
            step = meant_or(str(name), known, "use one of these names")
            problems.add(table, "", "no part of that name", ", ".join(known), step)
        elif not isinstance(found, Mapping):
            step = 'write it as in {"E1": {"power_W": 900}}'
            problems.add(name, "", shown(found), "new values by key", step)
        elif name in parts:
            parts[name] = _changed(problems, parts[name], found, kinds)
        else:
            keys = SUPPLY_KEYS if name == "supply" else VESSEL_KEYS
            blocks[name] = replace(blocks[name], **_new(problems, f"[{name}]", found, keys))
    if problems:
        raise ApplianceError(problems.found)
    return replace(
        appliance,
        supply=blocks["supply"],
        vessel=blocks.get("vessel"),
        parts=tuple(parts.values()),
        source="",
    )


def _changed(
    problems: Problems, part: Part, found: Mapping[str, object], kinds: Mapping[str, str]
) -> Part:
    table, before = f"[[{part.kind}]] {part.name}", len(problems)
    keys = {name: key for name, key in PART_KEYS[part.kind].items() if key.type in _VALUES}
    new = _new(problems, table, found, keys)
    if len(problems) > before or not new:
        return part
    own = {name: getattr(part, name) for name in PART_KEYS[part.kind]}
    fields = {name: value for name, value in own.items() if value is not None}
    if isinstance(part, Resistive):  # a marking replaces the resistance, and the other way round
        if "resistance_ohm" in new:
            fields = {name: value for name, value in fields.items() if name not in part.marking}
        if {*part.marking, "resistance_ohm"} & new.keys() or set(part.marking) & fields.keys():
            fields.pop("resistance_ohm")
    if isinstance(part, ThermalFuse) and part.placed_on is None:
        del fields["rise_K_per_W"]
    fields |= new
    check_part(problems, table, type(part), fields, kinds)
    return type(part)(**fields) if len(problems) == before else part


def _new(
    problems: Problems, table: str, found: Mapping[str, object], keys: Mapping[str, Key]
) -> dict[str, Any]:
    """The values in `found`, checked against those of `keys` that it names."""
    unknown_keys(problems, table, found, keys)
    return read_fields(problems, table, found, {k: key for k, key in keys.items() if k in found})
