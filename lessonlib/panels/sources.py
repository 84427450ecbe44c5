"""The ES modules and styles as texts. A widget takes one of each, so files are joined in order."""

from __future__ import annotations

from pathlib import Path

from lessonlib.palette import css_variables

HERE = Path(__file__).parent


def joined(*names: str) -> str:
    """The texts of files of this folder, one after the other."""
    return "\n".join((HERE / name).read_text("utf-8") for name in names)


def style(*names: str) -> str:
    """The colours and style sheets of this folder, joined."""
    return css_variables(":is(.hcp, .hcp-page)") + joined(*names)
