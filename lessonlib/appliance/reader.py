"""TOML to appliance. Every problem of a file is collected and reported together."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any, TypeVar

from lessonlib.appliance.check import check_names, check_nodes, check_part, check_size
from lessonlib.appliance.document import parsed
from lessonlib.appliance.parts import PART_TYPES, Appliance, Part, Supply, Vessel
from lessonlib.appliance.problems import Problems
from lessonlib.appliance.schema import PART_KEYS, SUPPLY_KEYS, TEXT_KEYS, VESSEL_KEYS, Key
from lessonlib.appliance.values import read_fields, unknown_keys
from lessonlib.errors import ApplianceError, ApplianceNotFound, MisreadError, shown
from lessonlib.files import read_regular

MAX_BYTES = 262_144
"""Largest file read. The bundled ones are near 2 kB; a file this large is not an appliance."""

_Block = TypeVar("_Block", Supply, Vessel)


def read_appliance(text: str | bytes, file: str = "appliance") -> Appliance:
    """The appliance that `text` describes; `file` is the name used in error messages.

    Raises `ApplianceError`, a `ValueError`, that lists everything wrong with the description.
    """
    return _Reader(file).read(text)


def read_appliance_file(path: Path) -> Appliance:
    """The appliance in the file at `path`.

    Raises `ApplianceNotFound` where there is no file, else `ApplianceError` as `read_appliance`.
    """
    reader = _Reader(path.name)
    try:
        content = read_regular(path, MAX_BYTES)
    except FileNotFoundError:
        raise ApplianceNotFound(
            f"found no file {shown(str(path), 200)}. Accepted: a path to a .toml file. "
            "Check the name and its folder."
        ) from None
    except OSError as error:
        reader.unusable(error.strerror or str(error))
        raise ApplianceError(reader.problems.found) from error
    return reader.read(content, source=str(path))


class _Reader:
    """Collects problems while it builds; only `read` raises."""

    def __init__(self, file: str) -> None:
        self.problems = Problems(file)

    def unusable(self, found: str) -> None:
        self.problems.add(
            "",
            "",
            found,
            f"a text file of at most {MAX_BYTES:,} bytes",
            "check that this is the appliance file and not another one",
        )

    def read(self, text: str | bytes, source: str = "") -> Appliance:
        document = self._parse(text)
        if document is None:
            raise ApplianceError(self.problems.found)
        accepted = {*TEXT_KEYS, "supply", "vessel", *PART_KEYS}
        unknown_keys(self.problems, "", document, accepted)
        texts = read_fields(self.problems, "", document, TEXT_KEYS)
        supply = self._block(document, "supply", SUPPLY_KEYS, Supply, required=True)
        vessel = self._block(document, "vessel", VESSEL_KEYS, Vessel)
        parts = tuple(self._parts(document))
        check_names(self.problems, parts)
        check_nodes(self.problems, parts)
        if self.problems or supply is None:
            raise ApplianceError(self.problems.found)
        return Appliance(
            title=texts["title"],
            purpose=texts.get("purpose", ""),
            supply=supply,
            parts=parts,
            vessel=vessel,
            source=source,
        )

    def _parse(self, text: str | bytes) -> dict[str, Any] | None:
        if not isinstance(text, str | bytes):
            step = "to read a file, give its path to load_appliance"
            self.problems.add("", "", shown(text), "the text of an appliance file", step)
            return None
        if len(text) > MAX_BYTES:
            unit = "bytes" if isinstance(text, bytes) else "characters"
            self.unusable(f"a text of {len(text):,} {unit}")
            return None
        try:
            return parsed(text.decode("utf-8-sig") if isinstance(text, bytes) else text)
        except UnicodeDecodeError as error:
            self.problems.add(
                "",
                "",
                f"byte {error.start} that is not UTF-8 text",
                "a text file in UTF-8",
                "save the file again as UTF-8 text",
            )
        except MisreadError as error:
            self.problems.add("", "", error.found, error.accepted, error.next_step)
        return None

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
                self.problems.add(f"[{table}]", "", "no such table", f"one [{table}] table", step)
            return None
        found = document[table]
        if not isinstance(found, dict):
            self.problems.add(
                f"[{table}]",
                "",
                f"[[{table}]], in double brackets" if _tables(found) else shown(found),
                f"one [{table}] table",
                f"write [{table}] in single brackets and its keys below",
            )
            return None
        unknown_keys(self.problems, f"[{table}]", found, keys)
        fields = read_fields(self.problems, f"[{table}]", found, keys)
        if any(key.required and name not in fields for name, key in keys.items()):
            return None
        return build(**fields)

    def _parts(self, document: Mapping[str, Any]) -> Iterable[Part]:
        tables: dict[str, list[dict[str, Any]]] = {}
        for kind, found in document.items():
            if kind not in PART_KEYS:
                continue
            if _tables(found):
                tables[kind] = found
                continue
            self.problems.add(
                f"[[{kind}]]",
                "",
                f"[{kind}], in single brackets" if isinstance(found, dict) else shown(found),
                f"[[{kind}]] tables, one for each part",
                f"write [[{kind}]] in double brackets and its keys below",
            )
        if not check_size(self.problems, tables):
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
                part = self._part(kind, number, item, kinds)
                if part is not None:
                    yield part
        if not any(tables.values()):
            self.problems.add(
                "",
                "",
                "no parts",
                "at least one part, such as [[element]]",
                "add an [[element]] table with name, between, power_W and voltage_V",
            )

    def _part(
        self, kind: str, number: int, found: Mapping[str, Any], kinds: Mapping[str, str]
    ) -> Part | None:
        label = shown(found["name"], 30)[1:-1] if isinstance(found.get("name"), str) else number
        table = f"[[{kind}]] {label}"
        keys = PART_KEYS[kind]
        before = len(self.problems)
        unknown_keys(self.problems, table, found, keys)
        fields = read_fields(self.problems, table, found, keys)
        if len(self.problems) == before:
            check_part(self.problems, table, PART_TYPES[kind], fields, kinds)
        return PART_TYPES[kind](**fields) if len(self.problems) == before else None


def _tables(found: Any) -> bool:
    return isinstance(found, list) and all(isinstance(item, dict) for item in found)
