"""A sheet read back: the words of its HTML and of its PDF."""

from __future__ import annotations

import io
import re
from html.parser import HTMLParser

from pypdf import PdfReader


class _Text(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.words: list[str] = []
        self.rows: list[list[str]] = []
        self.tags: list[str] = []
        self._silent = 0
        self._cell = False

    def handle_starttag(self, tag: str, attrs: object) -> None:
        self.tags.append(tag)
        self._silent += tag in ("style", "svg")
        if tag == "tr":
            self.rows.append([])
        elif tag in ("td", "th"):
            self.rows[-1].append("")
            self._cell = True

    def handle_endtag(self, tag: str) -> None:
        self._silent -= tag in ("style", "svg")
        self._cell = self._cell and tag not in ("td", "th")

    def handle_data(self, data: str) -> None:
        if self._silent:
            return
        self.words.append(data)
        if self._cell:
            self.rows[-1][-1] += plain(data)


def plain(text: str) -> str:
    """`text` with every run of white space as one space."""
    return re.sub(r"\s+", " ", text).strip()


def html_words(html: str) -> str:
    """All text of a page outside drawings."""
    return plain(" ".join(_parsed(html).words))


def html_rows(html: str) -> list[list[str]]:
    """Every row of every table."""
    return _parsed(html).rows


def html_tags(html: str) -> list[str]:
    """Every element of a page, by name."""
    return _parsed(html).tags


def _parsed(html: str) -> _Text:
    parser = _Text()
    parser.feed(html)
    return parser


def pdf(data: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(data))


def pdf_words(data: bytes) -> str:
    """All text of a PDF, page after page."""
    return plain(" ".join(page.extract_text() for page in pdf(data).pages))
