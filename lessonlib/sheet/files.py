"""Writes the sheet to files, and none over a file that holds something else."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Protocol

from lessonlib.errors import FileKept
from lessonlib.files import holds, put_keeping
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


class Printable(Protocol):
    """What can be written as a file for the printer."""

    def written(self, suffix: str) -> bytes:
        """What a file with that suffix holds."""


def renew_files(sheet: Printable, targets: Sequence[Path], ours: dict[Path, bytes]) -> list[Path]:
    """Write the sheet to each of `targets`. What else a file held is kept beside it as NAME earlier
    unless `ours`, which has what was written here last, says the same. Returns these copies."""
    copies = []
    for target in targets:
        data = sheet.written(suffix_of(target))
        copies.append(put_keeping(target, data, ours.get(target)))
        ours[target] = data
    return [copy for copy in copies if copy is not None]
