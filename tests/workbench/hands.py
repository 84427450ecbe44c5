"""Hands on the forms: on that of a description without a browser, and on a page of Chromium."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from lessonlib.workbench.box import DescriptionBox
from lessonlib.workbench.description import Description, describe
from tests.page.notebook import Notebook


class Shown:
    """The form of a description, without a browser."""

    def __init__(self, name: str | None = None) -> None:
        self.description: Description = describe(name)
        self.description._repr_mimebundle_()
        box = self.description._view
        assert box is not None
        self.box: DescriptionBox = box
        self.form = box.form

    def press(self, do: str, text: str | None = None, **action: Any) -> str:
        state = {"action": {"do": do, **action}, "asked": self.form.asked + 1}
        self.form.set_state({"text": self.form.text if text is None else text, **state})
        assert self.form.heard == self.form.asked
        return str(self.form.said)

    def type(self, text: str) -> str:
        return self.press("type", text)


def save_another(name: str) -> None:
    """An own appliance of that name, which has the text of a bundled one."""
    Path("appliances").mkdir(exist_ok=True)
    Path("appliances", f"{name}.toml").write_text(describe("soup-kettle").text, "utf-8")


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
