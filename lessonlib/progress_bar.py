"""One line that fills up while somebody waits: `[#####-----] 40 of 80 members read`."""

from __future__ import annotations

import sys

_WIDTH = 20
_MANY = 12
"""With no more than these nobody has to wait, and nothing is shown."""


def progress_bar(done: int, whole: int, what: str) -> None:
    """Draw the line again for `done` of `whole`, and end it when all are done.

    Call it after each one, with the plural of what is counted. It says nothing where nobody
    watches the output, such as in a file or a pipe.
    """
    percent = 100 * done // whole
    if whole <= _MANY or percent == 100 * (done - 1) // whole or not _watched():
        return
    full = _WIDTH * done // whole
    bar = "#" * full + "-" * (_WIDTH - full)
    print(f"\r[{bar}] {done} of {whole} {what}", end="\n" if done == whole else "", flush=True)


def _watched() -> bool:
    """Whether the output goes to a terminal or to the page of a notebook."""
    return sys.stdout.isatty() or type(sys.stdout).__module__.startswith("ipykernel.")
