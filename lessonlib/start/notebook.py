"""Clears a lesson's outputs, and tells whether a copy of it has been worked in.

Outputs are the trainee's work too (a prediction is kept in one), so a copy counts as untouched only
while it has the cells that were copied and none has been run. What an editor changes on its own,
such as the order of keys or the Python version, does not count. Nor do outputs of the start page,
which runs by itself each time it is opened.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from typing import Any

START_PAGE = "00_start_here.ipynb"
_FROM_THE_EDITOR = ("kernelspec", "language_info", "widgets", "signature")


class NotANotebook(ValueError):
    """The file cannot be read as a notebook."""


@dataclass(frozen=True)
class FileState:
    """The `fingerprint` of a file's text, and whether something was run in it (`worked`)."""

    fingerprint: str
    worked: bool


def clean(data: bytes) -> bytes:
    """The notebook with outputs, execution counts and saved widget states taken out, and locked
    against a slip of the hand: no cell can be deleted, and no text changed.

    Cell ids stay. Raises `NotANotebook`.
    """
    notebook = _parsed(data)
    for cell in notebook["cells"]:
        if cell.get("cell_type") == "code":
            cell["outputs"] = []
            cell["execution_count"] = None
        metadata = cell.get("metadata")
        cell["metadata"] = metadata if isinstance(metadata, dict) else {}
        cell["metadata"].pop("execution", None)  # times of the run
        cell["metadata"]["deletable"] = False
        if cell.get("cell_type") == "markdown":
            cell["metadata"]["editable"] = False
    notebook["metadata"].pop("widgets", None)
    return (json.dumps(notebook, indent=1, ensure_ascii=False, sort_keys=True) + "\n").encode()


def content(name: str, data: bytes) -> FileState | None:
    """The state of a file with that name and `data`; None for a notebook that cannot be read."""
    if not name.endswith(".ipynb"):
        return FileState(_digest(data.replace(b"\r\n", b"\n")), worked=False)
    try:
        notebook = _parsed(data)
        metadata, cells = notebook["metadata"], notebook["cells"]
        worked = name != START_PAGE and (
            _has_widget_state(metadata.get("widgets"))
            or any(cell.get("outputs") or cell.get("execution_count") is not None for cell in cells)
        )
        said = {
            "metadata": _without(metadata, *_FROM_THE_EDITOR),
            "cells": [
                _without(cell, "outputs", "execution_count") | {"source": _text(cell.get("source"))}
                for cell in cells
            ],
        }
        return FileState(_digest(json.dumps(said, sort_keys=True).encode()), worked)
    except (NotANotebook, RecursionError):
        return None


def _parsed(data: bytes) -> dict[str, Any]:
    try:
        notebook = json.loads(data)
    except (ValueError, RecursionError) as problem:
        raise NotANotebook(f"not a notebook file: {problem}") from None
    if not (
        isinstance(notebook, dict)
        and isinstance(notebook.setdefault("metadata", {}), dict)
        and isinstance(notebook.get("cells"), list)
        and all(isinstance(cell, dict) for cell in notebook["cells"])
    ):
        raise NotANotebook("not a notebook file: it has no list of cells")
    return notebook


def _without(table: dict[str, Any], *keys: str) -> dict[str, Any]:
    return {key: value for key, value in table.items() if key not in keys}


def _has_widget_state(widgets: Any) -> bool:
    """Whether widget states are saved; JupyterLab also saves an empty set, without any run."""
    if not isinstance(widgets, dict):
        return bool(widgets)
    return any(not isinstance(saved, dict) or saved.get("state", 1) for saved in widgets.values())


def _text(source: Any) -> Any:
    """Source as one text: the format allows a list of lines as well."""
    if isinstance(source, list) and all(isinstance(line, str) for line in source):
        return "".join(source)
    return source


def _digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
