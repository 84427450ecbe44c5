"""Waiting for what must be true, never for a time: a busy machine is only later, not wrong."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any

LOOK_EVERY_S = 0.05


def until(found: Callable[[], Any], within_s: float, failure: Callable[[], str]) -> Any:
    """What `found` gives as soon as that is true; fails with `failure` after `within_s`."""
    end = time.monotonic() + within_s
    while not (value := found()):
        assert time.monotonic() < end, failure()
        time.sleep(LOOK_EVERY_S)
    return value


def frames(page: Any, count: int = 3) -> None:
    """Until the page has drawn so often: what plays has moved on by then, and what rests has not
    moved at all."""
    page.evaluate(
        """count => new Promise((done) => {
            const next = () => (count-- > 0 ? requestAnimationFrame(next) : done());
            next();
        })""",
        count,
    )
