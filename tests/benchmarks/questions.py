"""How fast a reply comes, for every exercise of the bank: python -m tests.benchmarks.questions

Shares of the time allowed, from one run: 5 ms for the reply to an answer, 50 ms for new numbers
with their drawing. Nothing is kept from one seed to the next, as for a learner.
"""

from __future__ import annotations

import os
import statistics
import sys
import time
from collections.abc import Callable

from lessonlib.circuit.behaviour import behaviour
from lessonlib.questions.bank import templates
from lessonlib.questions.exercise import Template
from lessonlib.questions.marking import mark
from lessonlib.questions.task import Task
from tests.benchmarks.circuit import report

SEEDS = range(60)
REPLY_S, NEW_NUMBERS_S = 5e-3, 50e-3


def seconds(call: Callable[..., object], *arguments: object) -> float:
    """Processor seconds of a call, so that other work on the machine does not count."""
    start = time.process_time()
    call(*arguments)
    return time.process_time() - start


def replies(template: Template) -> list[float]:
    """Seconds for each reply: to the right answer, every slip, and what cannot be read."""
    found = []
    for seed in SEEDS:
        exercise = template.draw(seed)
        answer = exercise.answer
        given = [
            answer.written(value) for value in (answer.value, *(s.value for s in exercise.slips))
        ]
        for text in (*given, "<b>no such thing</b>"):
            behaviour.cache_clear()
            task = Task(template, seed)
            found.append(seconds(mark, task.exercise, text))
    return found


def new_numbers(template: Template) -> list[float]:
    """Seconds for each new set of numbers and its drawing."""

    def draw() -> None:
        assert all(picture.svg for _, picture in task.new_numbers().pictures())

    task = Task(template, 0)
    draw()
    return [seconds(draw) for _ in SEEDS]


def against(what: str, allowed_s: float, found: dict[str, list[float]]) -> None:
    """Report the slowest exercise: its 95th percentile as a share of the time allowed."""
    p95 = {name: statistics.quantiles(times, n=20)[-1] for name, times in found.items()}
    slowest = max(p95, key=lambda name: p95[name])
    middle = statistics.median(time for times in found.values() for time in times)
    report(
        what,
        p95[slowest] / allowed_s,
        "at most 1",
        f"{len(found)} exercises, median {middle * 1e3:.2f} ms; slowest {slowest}, p95 "
        f"{p95[slowest] * 1e3:.2f} ms of {allowed_s * 1e3:.0f} ms",
    )


if __name__ == "__main__":
    print(f"{os.cpu_count()} cores, Python {sys.version.split()[0]}")
    every = templates()
    against("reply to an answer", REPLY_S, {t.name: replies(t) for t in every})
    against("new numbers and their drawing", NEW_NUMBERS_S, {t.name: new_numbers(t) for t in every})
