"""Saves a panel as one self-contained HTML file, which opens offline from disk."""

from __future__ import annotations

import json
from collections.abc import Mapping
from html import escape
from os import PathLike, fspath
from pathlib import Path
from string import Template
from typing import Any

from lessonlib.errors import DrawingError, shown
from lessonlib.page.document import document

_PAGE = Path(__file__).with_name("page.html")


def json_in_html(value: object) -> str:
    """JSON that is safe inside a script element: no text in it can end the element or open another.

    U+2028 and U+2029 end a line in older JavaScript, so they are written as escapes too.
    """
    text = json.dumps(value, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    for character in "<>&\u2028\u2029":
        text = text.replace(character, f"\\u{ord(character):04x}")
    return text


def page(state: Mapping[str, Any], module: str, style: str) -> str:
    """The whole page for a panel's state (its traits by name), ES module and style."""
    table = state["table"]
    title = escape(table["title"])
    # one pass, so that nothing in a name can be taken for a placeholder
    body = Template(_PAGE.read_text("utf-8")).substitute(
        title=title,
        purpose=escape(table["purpose"]),
        module=module,
        state=json_in_html({**state, "alone": True}),
    )
    return document(title, style, "hcp-page", body)


PANEL = ":is(.hck.hcp, .hcp-page)"
"""Selector of what has the palette's colours and a background of its own: panel and page."""


def html_or_pdf(
    path: str | PathLike[str], suffixes: tuple[str, ...] = (".html", ".htm", ".pdf")
) -> Path:
    """`path`, checked to end in one of `suffixes`. Raises `DrawingError` for any other name."""
    file = Path(fspath(path))
    if file.suffix.lower() not in suffixes:
        also = " or .pdf" if ".pdf" in suffixes else ""
        better = file.with_suffix(".html") if file.name else file / "panel.html"
        raise DrawingError(
            f"cannot save a live page as {shown(fspath(path))}. Accepted: a name that ends in "
            f".html{also}. Next: save it as {shown(str(better))}."
        )
    return file
