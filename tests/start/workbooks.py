"""Small workbooks to copy from, and what a trainee does to a copy."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any


def notebook(*sources: str, outputs: bool = True) -> dict[str, Any]:
    """A lesson as it is stored in the workbook: run, with outputs."""
    cells = [
        {
            "cell_type": "code",
            "id": f"cell-{number}",
            "metadata": {},
            "source": source,
            "execution_count": number if outputs else None,
            "outputs": [
                {"output_type": "stream", "name": "stdout", "text": "the answer is 400 W\n"}
            ]
            if outputs
            else [],
        }
        for number, source in enumerate(sources, 1)
    ]
    return {
        "cells": cells,
        "metadata": {"kernelspec": {"name": "python3"}, "widgets": {"state": {"a": 1}}},
        "nbformat": 4,
        "nbformat_minor": 5,
    }


def write(path: Path, made: dict[str, Any]) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(json.dumps(made, indent=1), encoding="utf-8")


def workbook(folder: Path, **lessons: str) -> Path:
    """A workbook with one lesson for each keyword, holding that one line of code, and an urn."""
    for name, source in lessons.items():
        write(folder / f"{name}.ipynb", notebook(source))
    (folder / "appliances").mkdir(parents=True, exist_ok=True)
    (folder / "appliances" / "urn.toml").write_text('title = "Urn"\n', encoding="utf-8")
    return folder


def run_in_editor(path: Path) -> None:
    """The trainee runs the lesson and saves it; the code stays as it is."""
    made = json.loads(path.read_text("utf-8"))
    made["cells"][0]["execution_count"] = 7
    made["cells"][0]["outputs"] = [
        {"output_type": "stream", "name": "stdout", "text": "my prediction: a quarter\n"}
    ]
    write(path, made)


def save_in_editor(path: Path) -> None:
    """The trainee saves without having done anything: other spacing, lines, editor's notes."""
    made = json.loads(path.read_text("utf-8"))
    for cell in made["cells"]:
        cell["source"] = cell["source"].splitlines(keepends=True)
    empty = {"state": {}, "version_major": 2, "version_minor": 0}
    made["metadata"]["widgets"] = {"application/vnd.jupyter.widget-state+json": empty}
    made["metadata"]["language_info"] = {"name": "python", "version": "3.13.1"}
    made["metadata"]["kernelspec"]["display_name"] = "Python 3 (ipykernel)"
    path.write_text(json.dumps(made, indent=2, sort_keys=True), encoding="utf-8")


def save_a_choice(path: Path) -> None:
    """The trainee saves with a widget's state, the outputs cleared."""
    made = json.loads(path.read_text("utf-8"))
    saved = {"state": {"abc": {"model_name": "RadioButtonsModel"}}}
    made["metadata"]["widgets"] = {"application/vnd.jupyter.widget-state+json": saved}
    write(path, made)


def edit(path: Path, source: str) -> None:
    """The trainee writes something into the lesson."""
    made = json.loads(path.read_text("utf-8"))
    made["cells"][0]["source"] = source
    write(path, made)


def add_text(path: Path) -> None:
    """A second cell, which is text."""
    made = json.loads(path.read_text("utf-8"))
    text = {"cell_type": "markdown", "id": "text", "metadata": {}, "source": "Read this."}
    made["cells"].append(text)
    write(path, made)


def source_of(path: Path) -> str:
    text = json.loads(path.read_text("utf-8"))["cells"][0]["source"]
    return text if isinstance(text, str) else "".join(text)
