"""Runs the tests and every lesson: each lesson must reproduce the outputs it is stored with."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

# One process for each core. The tests of a file stay together, as they share their set-up; so do
# the cells of a lesson, as they share a kernel. tests/conftest.py puts the longest files first.
_PROCESSES = ["-n", "logical", "--maxprocesses", "4"]
_SHARED_OUT = ["--dist", "loadfile", "--no-loadscope-reorder"]
_NOT_PATHS_AFTER = ("-k", "-m", "-n", "-p", "-c", "-o", "-W", "--deselect", "--ignore", "--rootdir")


def test_command(checkout: Path, extra: Sequence[str]) -> list[str]:
    """The pytest command. Paths among the extra arguments are run instead of all tests and lessons,
    in one process."""
    what: list[str] = []
    if not _names_tests(checkout, extra):
        workbook = checkout / "workbook"
        lessons = [*workbook.glob("*.ipynb"), *(workbook / "instructor").glob("*.ipynb")]
        paths = sorted(str(path.relative_to(checkout)) for path in lessons)
        what = [*_PROCESSES, *_SHARED_OUT, "tests", *paths]
    # strict: outputs are compared; in this very environment, whatever kernel a lesson names
    return [sys.executable, "-m", "pytest", "--nbval", "--nbval-current-env", *what, *extra]


def run_tests(checkout: Path, extra: Sequence[str]) -> int:
    environment = {**os.environ, "JUPYTER_PREFER_ENV_PATH": "1"}
    return subprocess.call(test_command(checkout, extra), cwd=checkout, env=environment)


def _names_tests(checkout: Path, extra: Sequence[str]) -> bool:
    before = ""
    for word in extra:
        is_path = before not in _NOT_PATHS_AFTER and not word.startswith("-")
        if is_path and (checkout / word.split("::")[0]).exists():
            return True
        before = word
    return False
