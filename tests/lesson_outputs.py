"""What a lesson says: the text of its outputs. That is what is stored and what nbval compares, so a
change of looks alone (a colour in a drawing, the style of a table) leaves the stored lessons as
they are. A pytest plug-in; pyproject.toml names it.
"""

from __future__ import annotations

from collections.abc import Generator
from typing import Any

import pytest

TEXT = "text/plain"
_LOOKS = ("text/html", "text/latex", "image/svg+xml")  # nbval itself skips widgets and dots


def text_only(output: Any) -> None:
    """Leave of an output of a notebook what is stored. Printed text and errors stay whole."""
    if "data" in output:
        output["data"] = {TEXT: output["data"][TEXT]}
        output["metadata"] = {}


@pytest.hookimpl(wrapper=True)
def pytest_collect_file() -> Generator[None, list[pytest.Collector], list[pytest.Collector]]:
    files = yield
    for file in files:
        if hasattr(file, "skip_compare"):  # a lesson, collected by nbval
            file.skip_compare += _LOOKS
    return files
