"""How long recording one try takes, against a bare append that is on the disk when it returns.

Run by hand from the project's folder: python -m tests.benchmarks.progress [FOLDER]

FOLDER is where to measure, such as a network home folder.
"""

from __future__ import annotations

import os
import sys
import tempfile
from pathlib import Path

from lessonlib.progress.progress import Progress
from lessonlib.progress.records import Trainee, Try
from lessonlib.progress.store import Store
from tests.benchmarks.circuit import medians

BEFORE = 1000


def main() -> None:
    """Print both times, and their ratio."""
    with tempfile.TemporaryDirectory(dir=sys.argv[1] if sys.argv[1:] else None) as name:
        path = Path(name) / "progress.jsonl"
        tries = (
            Try(f"exercise {n % 60}", n % 8, "objective", n, "wrong", "slip", "12 W", False)
            for n in range(BEFORE)
        )
        Store(path).add((Trainee(1), *tries), 1)
        progress = Progress(path)
        with (Path(name) / "bare").open("ab") as file:

            def append() -> None:
                file.write(b"x" * 150)
                file.flush()
                os.fsync(file.fileno())

            def record() -> None:
                progress.record(Try("ohm", 2, "objective", 1, "wrong", None, "5 A", False))

            took, bare = medians(record, append, 100)
    print(
        f"one try, after {BEFORE} others: {took * 1e3:.2f} ms, {took / bare:.1f} x the "
        f"{bare * 1e3:.2f} ms of a bare append and fsync"
    )


if __name__ == "__main__":
    main()
