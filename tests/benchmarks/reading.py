"""How long reading a typed answer takes. Run by hand: python -m tests.benchmarks.reading

Each text is read a few times and its shortest time counts, so that a busy machine does not pass for
a slow text. What grows faster than the length of a text would show in the last line.
"""

from __future__ import annotations

import math
import os
import random
import statistics
import sys
import time
from collections.abc import Callable, Sequence

from lessonlib.questions.answers import Number
from lessonlib.questions.exercise import Exercise, Slip
from lessonlib.questions.marking import mark
from lessonlib.questions.reading import MAX_CHARACTERS, find_unit, read_quantity
from tests.questions.test_reading import PIECES, any_text

WANTED_MS = 1.0
REPEATS = 5
WATT = find_unit("W")
SLIPS = tuple(Slip(name, value, "", name, "") for name, value in (("half", 600), ("double", 2400)))
QUESTION = Exercise("", Number(1200, "W"), SLIPS, (), ())


def report(name: str, read: Callable[[str], object], texts: Sequence[str]) -> None:
    timed = []
    for text in texts:
        shortest_ms = math.inf
        for _ in range(REPEATS):
            start = time.perf_counter()
            read(text)
            shortest_ms = min(shortest_ms, (time.perf_counter() - start) * 1e3)
        timed.append((shortest_ms, text))
    times = sorted(each for each, _ in timed)
    p99 = times[int(0.99 * (len(times) - 1))]
    worst, text = max(timed)
    print(
        f"{name:34s} {len(times):6d} texts: median {statistics.median(times) * 1e3:6.1f} µs, "
        f"p99 {p99 * 1e3:6.1f} µs, worst {worst * 1e3:6.1f} µs = {worst / WANTED_MS:.2f} of the "
        f"{WANTED_MS:.0f} ms wanted ({text[:20]!a})"
    )


if __name__ == "__main__":
    print(f"{os.cpu_count()} cores, Python {sys.version.split()[0]}")
    draw = random.Random(1)
    mixed = [any_text(draw) for _ in range(20_000)]
    report("any text", lambda text: read_quantity(text, WATT), mixed)
    report("any text, marked", lambda text: mark(QUESTION, text), mixed)
    long = [(piece * MAX_CHARACTERS)[:MAX_CHARACTERS] for piece in PIECES if piece]
    report("the longest looked at, one piece", lambda text: read_quantity(text, WATT), long)
