"""Hands on a form in Chromium: what most browser tests of this room do."""

from __future__ import annotations

from typing import Any

from tests.page.notebook import Notebook


def field(book: Notebook, label: str) -> Any:
    return book.page.get_by_label(label, exact=True)


def tab_to(book: Notebook, label: str) -> None:
    """Press Tab until the field or button of that label has the focus."""
    for _ in range(60):
        book.page.keyboard.press("Tab")
        if book.focused() == label:
            return
    raise AssertionError(f"no Tab leads to {label}")


def fill_in(book: Notebook, **typed: str) -> None:
    """Type into fields by keyboard alone."""
    for label, text in typed.items():
        tab_to(book, label)
        book.page.keyboard.insert_text(text)
