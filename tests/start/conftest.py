"""What the tests of copying share: a small workbook, and a trainee with a copy of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from lessonlib.start import record
from lessonlib.start.copying import LOCK, Report, sources, update
from tests.start.workbooks import edit, workbook

ALL = ["first.ipynb", "second.ipynb", "appliances/urn.toml"]


class Trainee:
    """A workbook of two lessons and an appliance, and a folder for a copy of it."""

    def __init__(self, folder: Path) -> None:
        self.book = workbook(folder / "book", first="x = 1", second="y = 1")
        self.mine = folder / "mine"
        self.record = self.mine / record.NAME
        self.first = self.mine / "first.ipynb"
        self.beside = self.mine / "first (new).ipynb"
        self.outside = folder / "outside"

    def start(self, *fresh: str) -> Report:
        return update(self.mine, sources(self.book), fresh=fresh, patience_s=0.1)

    def publish(self, source: str = "x = 2") -> None:
        """A new version of the first lesson in the workbook."""
        edit(self.book / "first.ipynb", source)

    def work(self) -> bytes:
        """The trainee changes the first lesson; what it says then."""
        edit(self.first, "x = 99")
        return self.first.read_bytes()

    def files(self) -> set[str]:
        found = {p.relative_to(self.mine).as_posix() for p in self.mine.rglob("*") if p.is_file()}
        return found - {record.NAME, LOCK}


@pytest.fixture
def new(tmp_path: Path) -> Trainee:
    """Nothing is copied yet."""
    return Trainee(tmp_path)


@pytest.fixture
def own(new: Trainee) -> Trainee:
    """Everything is copied."""
    new.start()
    return new
