"""TOML to appliance. Every problem of a file is collected and reported together."""

from __future__ import annotations

import difflib
import math
import tomllib
from collections import Counter
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any, TypeVar

from lessonlib.appliance.parts import (
    COPPER_OHM_MM2_PER_M,
    TERMINALS,
    Appliance,
    Contact,
    Diode,
    Element,
    Lamp,
    Link,
    Part,
    PressureSwitch,
    Supply,
    Switch,
    ThermalFuse,
    Thermostat,
    Vessel,
)
from lessonlib.appliance.schema import (
    CONTACT_KEYS,
    PART_KEYS,
    SUPPLY_KEYS,
    TEXT_KEYS,
    VESSEL_KEYS,
    Key,
)
from lessonlib.errors import ApplianceError, Problem, shown

MAX_BYTES = 262_144
"""Largest file read. The bundled ones are near 2 kB; a file this large is not an appliance."""

MAX_PARTS = 200
MAX_DIODES = 12  # so that the solver can always try every set of diode states
MAX_NAME = 40
MAX_TEXT = 400

_PART_TYPES: dict[str, type[Part]] = {
    cls.kind: cls
    for cls in (
        Element,
        Lamp,
        Link,
        Diode,
        Switch,
        ThermalFuse,
        PressureSwitch,
        Thermostat,
    )
}

_Block = TypeVar("_Block", Supply, Vessel)


def read_appliance(text: str | bytes, file: str = "appliance") -> Appliance:
    """The appliance that `text` describes; `file` is the name used in error messages.

    Raises `ApplianceError`, a `ValueError`, that lists everything wrong with the description.
    """
    return _Reader(file).read(text)


def read_appliance_file(path: Path) -> Appliance:
    """The appliance in the file at `path`. Raises `ApplianceError` as `read_appliance` does."""
    reader = _Reader(path.name)
    try:
        size = path.stat().st_size
        content = b"" if size > MAX_BYTES else path.read_bytes()
    except OSError as error:
        reader.add("", "", f"{error.strerror or error}", "a readable file", f"check {path}")
        raise ApplianceError(reader.problems) from error
    if size > MAX_BYTES:
        reader.too_large(size)
        raise ApplianceError(reader.problems)
    return reader.read(content, source=str(path))


class _Reader:
    """Collects problems while it builds; only `read` raises."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.problems: list[Problem] = []

    def add(self, table: str, key: str, found: str, accepted: str, next_step: str) -> None:
        self.problems.append(Problem(self.file, table, key, found, accepted, next_step))

    def too_large(self, size: int) -> None:
        self.add(
            "",
            "",
            f"a file of {size:,} bytes",
            f"at most {MAX_BYTES:,} bytes",
            "check that this is the appliance file and not another one",
        )

    def read(self, text: str | bytes, source: str = "") -> Appliance:
        document = self._parse(text)
        if document is None:
            raise ApplianceError(self.problems)
        accepted = {*TEXT_KEYS, "supply", "vessel", *PART_KEYS}
        self._unknown("", document, accepted)
        texts = self._fields("", document, TEXT_KEYS)
        supply = self._block(document, "supply", SUPPLY_KEYS, Supply, required=True)
        vessel = self._block(document, "vessel", VESSEL_KEYS, Vessel)
        parts = tuple(self._parts(document))
        if not self.problems or parts:
            self._check_names(parts)
            self._check_nodes(parts)
        if self.problems or supply is None:
            raise ApplianceError(self.problems)
        return Appliance(
            title=texts["title"],
            purpose=texts.get("purpose", ""),
            supply=supply,
            parts=parts,
            vessel=vessel,
            source=source,
        )

    def _parse(self, text: str | bytes) -> dict[str, Any] | None:
        if len(text) > MAX_BYTES:
            self.too_large(len(text))
            return None
        try:
            decoded = text.decode("utf-8-sig") if isinstance(text, bytes) else text
            document = tomllib.loads(decoded)
        except UnicodeDecodeError as error:
            self.add(
                "",
                "",
                f"byte {error.start} that is not UTF-8 text",
                "a text file in UTF-8",
                "save the file again as UTF-8 text",
            )
        except RecursionError:
            self.add(
                "", "", "brackets nested too deeply", "flat tables", "remove the nested brackets"
            )
        except ValueError as error:  # TOMLDecodeError, or an integer with too many digits
            self.add(
                "",
                "",
                f"not valid TOML: {shown(str(error), 120)[1:-1]}",
                "TOML as in the bundled appliance files",
                "correct the place named; quotes and brackets must come in pairs",
            )
        else:
            return document
        return None

    def _unknown(self, table: str, found: Mapping[str, Any], accepted: Iterable[str]) -> None:
        names = sorted(accepted)
        for key in found:
            if key in names:
                continue
            near = _near(key, names)
            self.add(
                table,
                shown(key)[1:-1],
                f"an unknown {'key' if table else 'key or table'}",
                ", ".join(names),
                f'did you mean "{near}"?' if near else "correct the spelling or remove it",
            )

    def _fields(
        self, table: str, found: Mapping[str, Any], keys: Mapping[str, Key]
    ) -> dict[str, Any]:
        """The values of `keys` present in `found` and usable, converted."""
        values: dict[str, Any] = {}
        for name, key in keys.items():
            if name not in found:
                if key.required:
                    self.add(
                        table, name, "nothing", key.accepted, f"add a line: {name} = {key.example}"
                    )
                continue
            value = self._value(table, name, found[name], key)
            if value is not None:
                values[name] = value
        return values

    def _value(self, table: str, name: str, value: Any, key: Key) -> Any:
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
                converted = self._nodes(table, name, value)
                if converted == ():
                    return None  # already reported
            case "names":
                least = 1 if name == "closed_in" else 2
                if _is_names(value) and len(value) >= least and len(set(value)) == len(value):
                    converted = tuple(value)
            case "contacts":
                return self._contacts(table, value, key)
        if converted is None:
            step = f"correct it, for example: {name} = {key.example}"
            self.add(table, name, shown(value), key.accepted, step)
        return converted

    def _nodes(self, table: str, name: str, value: Any) -> tuple[str, ...] | None:
        if not (_is_names(value) and len(value) == 2):
            return None
        if value[0] == value[1]:
            self.add(
                table,
                name,
                f"both ends on node {shown(value[0])}",
                "two different nodes",
                "a part joined to itself does nothing: name the node its other end goes to",
            )
            return ()
        return (value[0], value[1])

    def _contacts(self, table: str, value: Any, key: Key) -> tuple[Contact, ...] | None:
        if not (isinstance(value, list) and value and all(isinstance(v, dict) for v in value)):
            self.add(
                table, "contacts", shown(value), key.accepted, "write one { } for each contact"
            )
            return None
        contacts = []
        for number, found in enumerate(value, 1):
            place = f"{table} contact {number}"
            self._unknown(place, found, CONTACT_KEYS)
            fields = self._fields(place, found, CONTACT_KEYS)
            if len(fields) == len(CONTACT_KEYS):
                contacts.append(Contact(fields["between"], fields["closed_in"]))
        return tuple(contacts) if len(contacts) == len(value) else None

    def _block(
        self,
        document: Mapping[str, Any],
        table: str,
        keys: Mapping[str, Key],
        build: type[_Block],
        required: bool = False,
    ) -> _Block | None:
        if table not in document:
            if required:
                step = "add the lines: [supply] and voltage_V = 230"
                self.add(f"[{table}]", "", "no such table", f"one [{table}] table", step)
            return None
        found = document[table]
        if not isinstance(found, dict):
            self.add(
                f"[{table}]",
                "",
                shown(found),
                f"one [{table}] table",
                f"write [{table}] in single brackets and its keys below",
            )
            return None
        self._unknown(f"[{table}]", found, keys)
        fields = self._fields(f"[{table}]", found, keys)
        if any(key.required and name not in fields for name, key in keys.items()):
            return None
        return build(**fields)

    def _parts(self, document: Mapping[str, Any]) -> Iterable[Part]:
        count = 0
        for kind, found in document.items():
            if kind not in PART_KEYS:
                continue
            if not (isinstance(found, list) and all(isinstance(item, dict) for item in found)):
                self.add(
                    f"[[{kind}]]",
                    "",
                    shown(found),
                    f"[[{kind}]] tables, one for each part",
                    f"write [[{kind}]] in double brackets and its keys below",
                )
                continue
            for number, item in enumerate(found, 1):
                count += 1
                if count > MAX_PARTS:
                    continue
                part = self._part(kind, number, item)
                if part is not None:
                    yield part
        diodes = document.get("diode")
        if isinstance(diodes, list) and len(diodes) > MAX_DIODES:
            step = "describe the appliance with fewer diodes"
            self.add("[[diode]]", "", f"{len(diodes)} diodes", f"at most {MAX_DIODES}", step)
        if count == 0:
            self.add(
                "",
                "",
                "no parts",
                "at least one part, such as [[element]]",
                "add an [[element]] table with name, between, power_W and voltage_V",
            )
        if count > MAX_PARTS:
            self.add(
                "", "", f"{count} parts", f"at most {MAX_PARTS}", "describe one appliance a file"
            )

    def _part(self, kind: str, number: int, found: Mapping[str, Any]) -> Part | None:
        label = shown(found["name"], 30)[1:-1] if isinstance(found.get("name"), str) else number
        table = f"[[{kind}]] {label}"
        keys = PART_KEYS[kind]
        before = len(self.problems)
        self._unknown(table, found, keys)
        fields = self._fields(table, found, keys)
        if len(self.problems) == before:
            if "resistance_ohm" in keys:
                self._resistance(table, kind, fields)
            if kind == "switch":
                self._positions(table, fields)
            if kind in ("pressure_switch", "thermostat"):
                self._hysteresis(table, fields)
        return _PART_TYPES[kind](**fields) if len(self.problems) == before else None

    def _resistance(self, table: str, kind: str, fields: dict[str, Any]) -> None:
        first, second = ("length_m", "area_mm2") if kind == "link" else ("power_W", "voltage_V")
        given = [key for key in (first, second, "resistance_ohm") if key in fields]
        if given == [first, second]:
            a, b = fields[first], fields[second]
            fields["resistance_ohm"] = COPPER_OHM_MM2_PER_M * a / b if kind == "link" else b * b / a
        elif given != ["resistance_ohm"]:
            self.add(
                table,
                " and ".join(given) or first,
                "nothing that fixes the resistance"
                if not given
                else f"only {' and '.join(given)}"
                if len(given) == 1
                else " and ".join(given),
                f"{first} together with {second}, or resistance_ohm alone",
                f"give {first} and {second}, or resistance_ohm, and nothing else",
            )

    def _positions(self, table: str, fields: dict[str, Any]) -> None:
        positions = fields["positions"]
        fields.setdefault("start", positions[0])
        named = ", ".join(f'"{position}"' for position in positions)
        if fields["start"] not in positions:
            step = "use one of the switch's positions"
            self.add(table, "start", shown(fields["start"]), named, step)
        for number, contact in enumerate(fields["contacts"], 1):
            for position in contact.closed_in:
                if position not in positions:
                    place = f"{table} contact {number}"
                    step = "use the switch's own positions, spelled the same"
                    self.add(place, "closed_in", shown(position), named, step)

    def _hysteresis(self, table: str, fields: dict[str, Any]) -> None:
        unit = "bar" if "opens_at_bar" in fields else "C"
        opens, closes = fields[f"opens_at_{unit}"], fields[f"closes_at_{unit}"]
        if closes >= opens:
            self.add(
                table,
                f"closes_at_{unit}",
                f"{closes:g}, not below opens_at_{unit} = {opens:g}",
                f"a number below opens_at_{unit}",
                "the contact opens on the way up and closes again on the way down: swap or correct",
            )

    def _check_names(self, parts: tuple[Part, ...]) -> None:
        for name, count in Counter(part.name for part in parts).items():
            if count > 1:
                kinds = " and ".join(f"[[{part.kind}]]" for part in parts if part.name == name)
                self.add(
                    kinds,
                    "name",
                    f"{shown(name)} used {count} times",
                    "a different name for each part",
                    "rename all but one of them",
                )

    def _check_nodes(self, parts: tuple[Part, ...]) -> None:
        if self.problems:
            return  # a part that could not be read would make its neighbours look unconnected
        ends = Counter(node for part in parts for rung in part.rungs for node in rung)
        for terminal in ("L", "N"):
            if not ends[terminal]:
                self.add(
                    "",
                    "between",
                    f"no part on node {terminal}",
                    "at least one part on L and one on N",
                    f"connect the part next to the supply to {terminal} (names are case-sensitive)",
                )
        for part in parts:
            for node in dict.fromkeys(node for rung in part.rungs for node in rung):
                if ends[node] == 1 and node not in TERMINALS:
                    near = _near(node, [*TERMINALS, *(n for n in ends if n != node)])
                    self.add(
                        f"[[{part.kind}]] {shown(part.name, 30)[1:-1]}",
                        "between",
                        f"node {shown(node)} used only once",
                        "each node joined to at least two part ends",
                        f'did you mean "{near}"?' if near else "connect something else to it",
                    )


def _near(word: str, names: Iterable[str]) -> str:
    """The name that `word` was probably meant to be, or nothing."""
    by_lower = {name.lower(): name for name in names}
    close = difflib.get_close_matches(word[:MAX_NAME].lower(), by_lower, n=1)
    return by_lower[close[0]] if close else ""


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
