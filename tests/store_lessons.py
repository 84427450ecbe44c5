"""Run lessons from top to bottom and store them with their outputs.

Run by hand after a change of a lesson, or of anything that its outputs show:

    python -m tests.store_lessons [LESSON ...]

Of an output its text is stored, and nothing of its looks. What differs from run to run or from
machine to machine is left out: times, widget state, versions.
"""

from __future__ import annotations

import re
import sys
from pathlib import Path
from typing import Any

import nbformat
from nbclient import NotebookClient

from tests.lesson_outputs import TEXT, text_only

WORKBOOK = Path(__file__).resolve().parents[1] / "workbook"
_LANGUAGE = ("name", "file_extension", "mimetype", "pygments_lexer")
# An object's address, or a folder of this machine: nobody else's run would give the same.
_ONLY_HERE = re.compile(r" at 0x[0-9a-f]{6,}|" + re.escape(str(WORKBOOK.parent)))
_SAYS_NOTHING = re.compile(r"<[^>]*>\s*")  # the text of an object that has no words for itself


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
    """Leave only the text of outputs, and of that nothing that differs from run to run."""
    language = book.metadata.get("language_info", {})
    book.metadata["language_info"] = {key: language[key] for key in _LANGUAGE if key in language}
    book.metadata.pop("widgets", None)
    for cell in book.cells:
        cell.metadata.pop("execution", None)
        for output in cell.get("outputs", []):
            text_only(output)
    nbformat.validate(book)
    return book


def unfit(book: Any) -> str | None:
    """The first text in an output that cannot be stored."""
    for output in (output for cell in book.cells for output in cell.get("outputs", [])):
        text = str(output.data[TEXT] if "data" in output else output.text)
        found = _ONLY_HERE.search(text) or _SAYS_NOTHING.fullmatch(text)
        if found:
            return found[0]
    return None


def main(names: list[str]) -> int:
    paths = [WORKBOOK / name for name in names] or sorted(WORKBOOK.rglob("*.ipynb"))
    refused = 0
    for path in paths:
        book = tidy(run(path))
        found = unfit(book)
        if found:
            print(f"{path.name}: not stored, an output holds {found!r}")
            refused += 1
            continue
        text = nbformat.writes(book) + "\n"
        path.write_text(text, encoding="utf-8")
        print(f"{path.name}: stored, {len(text) // 1024} kB")
    return 1 if refused else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
