"""An appliance as the text of its file."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import MISSING, fields
from typing import Any

from lessonlib.appliance.parts import Appliance, Contact, Resistive
from lessonlib.appliance.schema import PART_KEYS, SUPPLY_KEYS, VESSEL_KEYS, Key


def file_text(appliance: Appliance) -> str:
    """The TOML text that `read_appliance` reads as the same appliance."""
    lines = [f"title = {_value(appliance.title)}"]
    if appliance.purpose:
        lines.append(f"purpose = {_value(appliance.purpose)}")
    lines += ["", "[supply]", *_lines(appliance.supply, SUPPLY_KEYS)]
    for part in appliance.parts:
        lines += ["", f"[[{part.kind}]]", *_lines(part, PART_KEYS[part.kind])]
    if appliance.vessel is not None:
        lines += ["", "[vessel]", *_lines(appliance.vessel, VESSEL_KEYS)]
    return "\n".join(lines) + "\n"


def _lines(block: Any, keys: Mapping[str, Key]) -> Iterator[str]:
    usual = {f.name: f.default for f in fields(block) if f.default is not MISSING}
    marked = isinstance(block, Resistive) and (
        block.power_W is not None or getattr(block, "length_m", None) is not None
    )
    for name, key in keys.items():
        value = getattr(block, name)
        if value is None or (name == "resistance_ohm" and marked):
            continue
        if key.required or value != usual.get(name, MISSING):
            yield f"{name} = {_value(value)}"


def _value(value: Any) -> str:
    if isinstance(value, Contact):
        between, closed_in = _value(value.between), _value(value.closed_in)
        return f"{{ between = {between}, closed_in = {closed_in} }}"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float | int):
        return f"{value:.12g}"
    if isinstance(value, tuple):
        items = [_value(item) for item in value]
        if value and isinstance(value[0], Contact):
            return "[\n" + "".join(f"  {item},\n" for item in items) + "]"
        return f"[{', '.join(items)}]"
    return json.dumps(value, ensure_ascii=False)
