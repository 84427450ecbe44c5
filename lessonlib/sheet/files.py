"""Writes the sheet to files, and none over a file that holds something else."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from lessonlib.errors import FileKept
from lessonlib.files import holds
from lessonlib.sheet.sheet import BenchSheet, suffix_of


def write_files(sheet: BenchSheet, targets: Sequence[Path]) -> list[Path]:
    """Write the sheet to each of `targets`, and return those that were not there already.

    A file that already holds this sheet is left alone. Raises `FileKept` (a `FileExistsError`) for
    one that holds anything else, before any is written.
    """
    contents = {target: sheet.written(suffix_of(target)) for target in targets}
    there = [target for target in targets if target.exists() or target.is_symlink()]
    kept = [one for one in there if not holds(one, contents[one])]
    if kept:
        raise FileKept(
            f"found {', '.join(map(str, kept))}, with something else in it; accepted: a name that "
            "is free. Move it away, or name another file with --to."
        )
    written = [target for target in targets if target not in there]
    for target in written:
        with target.open("xb") as file:  # never over a file that came in the meantime
            file.write(contents[target])
    return written
