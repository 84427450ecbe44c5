"""Every test begins without any progress, kept in memory only."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from lessonlib.progress.progress import PLACE, progress_here


@pytest.fixture(autouse=True)
def _no_progress_yet(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.delenv(PLACE, raising=False)
    progress_here.cache_clear()
    yield
    progress_here.cache_clear()
