"""What the tests of progress run in processes of their own, since they are killed or restricted.

python children.py WHAT FOLDER
"""

from __future__ import annotations

import os
import random
import resource
import signal
import sys
import time
from collections.abc import Callable
from pathlib import Path

from lessonlib.progress.progress import PLACE, Progress, progress_here
from lessonlib.progress.records import Predicted
from tests.progress.conftest import record_try

KILLS = 80


def record(progress: Progress, number: int) -> None:
    about = {"slip": "halves", "answer": f"{number} W", "lesson": number % 8}
    record_try(progress, "power", number, verdict="wrong", **about)


def forked_and_killed(work: Callable[[int], None], after_s: float) -> bytes:
    """Run `work` in a child, kill it after that time, and give what it wrote to its pipe."""
    reader, writer = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reader)
        work(writer)
        os._exit(0)
    os.close(writer)
    first = os.read(reader, 1)  # it has begun
    time.sleep(after_s)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    said = first
    while more := os.read(reader, 65536):
        said += more
    os.close(reader)
    return said


def killed_while_writing(path: Path) -> None:
    """Kill a writing child again and again; whatever it had recorded must be there each time."""
    chance = random.Random(20)
    expected: list[int] = []
    cut_off = 0
    latest_s = 0.01  # grows and shrinks, so that kills fall among the first few records

    def work(pipe: int) -> None:
        progress = Progress(path)
        number = len(expected)
        while True:
            os.write(pipe, b"b")
            record(progress, number)
            os.write(pipe, b"e")
            number += 1

    for _ in range(KILLS):
        said = forked_and_killed(work, chance.uniform(0, latest_s))
        latest_s *= 0.8 if said.count(b"e") > 3 else 1.2
        cut_off += path.with_name(f".{path.name}.new").exists()
        progress = Progress(path)
        found = [one.seed for one in progress.tries()]
        sure = [*range(len(expected) + said.count(b"e"))]
        # the record that was under way when the child was killed may be there or not
        assert found in (sure, [*sure, len(sure)]), (sure[-3:], found[-3:])
        assert progress.note == "", progress.note
        expected = found
    print(cut_off, len(expected))


def writing(path: Path) -> None:
    """Record 100 tries."""
    progress = Progress(path)
    for number in range(100):
        record(progress, number)
    print(progress.note)


def in_each_place(folder: Path) -> None:
    """Use progress in each place that a line of the standard input names, from that folder."""
    os.chdir(folder)
    for place in sys.stdin.read().split("\0"):
        os.environ[PLACE] = place
        progress_here.cache_clear()
        record(progress_here(), 1)
        progress_here().record(Predicted("first", "a half"))
        print(len(progress_here().tries()), progress_here().note)


def on_a_full_disk(path: Path) -> None:
    """Record until no more fits, then go on once there is space again."""
    progress = Progress(path)
    record(progress, 0)
    limit = path.stat().st_size + 8192
    resource.setrlimit(resource.RLIMIT_FSIZE, (limit, resource.RLIM_INFINITY))
    number = 1
    while progress.note == "":
        record(progress, number)
        number += 1
    record(progress, number)
    print(progress.note)
    print(number + 1, len(progress.tries()), len(Progress(path).tries()))
    resource.setrlimit(resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
    record(progress, number + 1)
    print(repr(progress.note), len(Progress(path).tries()))


def in_a_read_only_folder(path: Path) -> None:
    """Read and record where only reading is allowed, as somebody without rights over files."""
    progress = Progress(path)
    if os.geteuid() == 0:
        os.setegid(65534)
        os.seteuid(65534)
    before = len(progress.tries())
    record(progress, 1)
    print(progress.note)
    print(before, len(progress.tries()), progress.trainee_seed)


if __name__ == "__main__":
    globals()[sys.argv[1]](Path(sys.argv[2]))
