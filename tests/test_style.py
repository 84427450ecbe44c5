"""The code is formatted, free of lint, and typed: the same checks for everyone, run as tests."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

CODE = ("lessonlib", "tests")


def _run(checkout: Path, *arguments: str) -> None:
    done = subprocess.run(
        [sys.executable, "-m", *arguments], cwd=checkout, capture_output=True, text=True
    )
    assert done.returncode == 0, f"{' '.join(arguments)}\n{done.stdout}{done.stderr}"


def test_ruff_finds_nothing(checkout: Path) -> None:
    _run(checkout, "ruff", "check", *CODE)


def test_code_is_formatted(checkout: Path) -> None:
    _run(checkout, "ruff", "format", "--check", *CODE)


def test_library_passes_strict_type_checking(checkout: Path) -> None:
    _run(checkout, "mypy", "--strict", "-p", "lessonlib")
