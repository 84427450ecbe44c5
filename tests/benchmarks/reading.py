"""How long reading a typed answer takes. Run by hand: python -m tests.benchmarks.reading

Each text is read a few times and its shortest time counts, so that a busy machine does not pass for
a slow text. What grows with the length of a text faster than the text would show in the last line.
"""

from __future__ import annotations

import os
import random
import statistics
import sys
import time
from collections.abc import Sequence

from lessonlib.questions.answers import Number
from lessonlib.questions.exercise import Exercise, Slip
from lessonlib.questions.marking import mark
from lessonlib.questions.reading import MAX_CHARACTERS, find_unit, read_quantity
from tests.questions.test_reading import FORMS, PIECES, any_text

WANTED_MS = 1.0
REPEATS = 5
WATT = find_unit("W")
SLIPS = tuple(Slip(name, value, "", name, "") for name, value in (("half", 600), ("double", 2400)))
QUESTION = Exercise("", Number(1200, "W"), SLIPS, (), ())


def shortest_ms(text: str, marked: bool) -> float:
    found = []
    for _ in range(REPEATS):
        start = time.perf_counter()
        if marked:
            mark(QUESTION, text)
        else:
            read_quantity(text, WATT)
        found.append((time.perf_counter() - start) * 1e3)
    return min(found)


def report(name: str, texts: Sequence[str], marked: bool = False) -> None:
    timed = sorted((shortest_ms(text, marked), text) for text in texts)
    times = [each for each, _ in timed]
    p99 = times[int(0.99 * (len(times) - 1))]
    worst, text = timed[-1]
    print(
        f"{name:34s} {len(times):6d} texts: median {statistics.median(times) * 1e3:6.1f} µs, "
        f"p99 {p99 * 1e3:6.1f} µs, worst {worst * 1e3:6.1f} µs = {worst / WANTED_MS:.2f} of the "
        f"{WANTED_MS:.0f} ms wanted ({text[:20]!a})"
    )


if __name__ == "__main__":
    print(f"{os.cpu_count()} cores, Python {sys.version.split()[0]}")
    draw = random.Random(1)
    mixed = [any_text(draw) for _ in range(20_000)]
    report("forms that are read", FORMS)
    report("any text", mixed)
    report("any text, marked", mixed, marked=True)
    report(
        "the longest looked at, one piece",
        [(piece * MAX_CHARACTERS)[:MAX_CHARACTERS] for piece in PIECES if piece],
    )
    report("a megabyte", [(piece * 2**20)[: 2**20] for piece in (*"1 =x", "1,", "\ufdfa", "P = ")])
