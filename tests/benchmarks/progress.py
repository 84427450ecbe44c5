"""How long recording one try takes, against a bare append that is on the disk when it returns.

Run by hand from the project's folder: python -m tests.benchmarks.progress [FOLDER]

FOLDER is where to measure, such as a network home folder.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from statistics import median

from lessonlib.progress.progress import Progress
from lessonlib.progress.records import Trainee, Try
from lessonlib.progress.store import Store


def milliseconds(run: Callable[[], object], times: int = 100) -> tuple[float, float]:
    """Median and largest of `times` runs."""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        run()
        taken.append(time.perf_counter() - start)
    return median(taken) * 1000, max(taken) * 1000


def main() -> None:
    """Print times, and their ratio to the bare append."""
    with tempfile.TemporaryDirectory(dir=sys.argv[1] if sys.argv[1:] else None) as name:
        folder = Path(name)
        with (folder / "bare").open("ab") as file:

            def append() -> None:
                file.write(b"x" * 150)
                file.flush()
                os.fsync(file.fileno())

            bare, slowest = milliseconds(append)
        print(f"{'bare append and fsync':36} {bare:7.2f} ms, slowest {slowest:7.2f} ms")
        for before in (0, 1000, 20_000):
            path = folder / f"{before}.jsonl"
            tries = tuple(
                Try(f"exercise {n % 60}", n % 8, "objective", n, "wrong", "slip", "12 W", False)
                for n in range(before)
            )
            Store(path).add((Trainee(1), *tries), 1)
            progress = Progress(path)

            def record(progress: Progress = progress) -> None:
                progress.record(Try("ohm", 2, "objective", 1, "wrong", None, "5 A", False))

            took, slowest = milliseconds(record)
            label = f"one try, after {before} others"
            print(f"{label:36} {took:7.2f} ms, slowest {slowest:7.2f} ms, {took / bare:5.1f} x")
            took, slowest = milliseconds(progress.summary, 5)
            print(f"{'    summary':36} {took:7.2f} ms, slowest {slowest:7.2f} ms")


if __name__ == "__main__":
    main()
