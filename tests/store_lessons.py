"""Run lessons from top to bottom and store them with their outputs.

Run by hand after a change of a lesson, or of anything that its outputs show:

    python -m tests.store_lessons [LESSON ...]

What differs from run to run or from machine to machine is left out: times, widget state, versions.
"""

from __future__ import annotations

import re
import sys
from pathlib import Path
from typing import Any

import nbformat
from nbclient import NotebookClient

WORKBOOK = Path(__file__).resolve().parents[1] / "workbook"
_LANGUAGE = ("name", "file_extension", "mimetype", "pygments_lexer")
# An object's address, or a folder of this machine: nobody else's run would give the same.
_ONLY_HERE = re.compile(r" at 0x[0-9a-f]{6,}|" + re.escape(str(WORKBOOK.parent)))


def run(path: Path) -> Any:
    """The lesson, run; raises `nbclient.exceptions.CellExecutionError` at the first error."""
    book = nbformat.read(path, as_version=4)
    NotebookClient(
        book,
        timeout=120,
        kernel_name="python3",
        resources={"metadata": {"path": str(path.parent)}},
        store_widget_state=False,
    ).execute()
    return book


def tidy(book: Any) -> Any:
    """Leave out what differs from run to run."""
    language = book.metadata.get("language_info", {})
    book.metadata["language_info"] = {key: language[key] for key in _LANGUAGE if key in language}
    book.metadata.pop("widgets", None)
    for cell in book.cells:
        cell.metadata.pop("execution", None)
        for output in cell.get("outputs", []):
            output.get("metadata", {}).pop("execution", None)
    nbformat.validate(book)
    return book


def main(names: list[str]) -> int:
    paths = [WORKBOOK / name for name in names] or sorted(WORKBOOK.rglob("[0-9]*.ipynb"))
    refused = 0
    for path in paths:
        text = nbformat.writes(tidy(run(path))) + "\n"
        found = _ONLY_HERE.search(text)
        if found:
            print(f"{path.name}: not stored, an output holds {found[0]!r}")
            refused += 1
            continue
        path.write_text(text, encoding="utf-8")
        print(f"{path.name}: stored, {len(text) // 1024} kB")
    return 1 if refused else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
