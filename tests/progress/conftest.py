"""Files of progress to try things on, on a disk in memory if there is one: each write waits for its
disk."""

import os
import tempfile
from pathlib import Path

import pytest

from lessonlib.progress.records import Predicted, Trainee, Try
from lessonlib.progress.store import Store

SEED = 123_456
TRIES = 300


def record_try(progress, exercise, seed, **details):
    """Record a try of which only the details that matter are given."""
    usual = {"lesson": 1, "objective": "", "slip": None, "answer": "", "worked_shown": False}
    progress.record(Try(exercise, seed=seed, **{**usual, **details}))


@pytest.fixture
def path():
    folder = "/dev/shm" if os.path.isdir("/dev/shm") else None
    with tempfile.TemporaryDirectory(dir=folder) as name:
        yield Path(name) / "progress.jsonl"


@pytest.fixture
def few(path):
    """The bytes of a small file: three tries and two predictions."""
    tries = [Try("ohm", 2, "aim", n, "wrong", "halves", f"{n} W", False) for n in range(3)]
    predictions = [Predicted("first", "a half"), Predicted("second", "a quarter")]
    Store(path).add((Trainee(SEED), *tries, *predictions), 1)
    return path.read_bytes()


@pytest.fixture
def filled(path):
    """A file of some hundred kilobytes."""
    tries = [
        Try(f"power {n % 9}", 1, "", n, "wrong", None, f"{n} W" * 9, False) for n in range(TRIES)
    ]
    Store(path).add((Trainee(SEED), *tries, Predicted("first", "a half")), 1)
    return path
