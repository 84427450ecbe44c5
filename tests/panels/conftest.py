"""A saved page, open in Chromium from disk, that fails the test on any error or network request."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from lessonlib import panel
from lessonlib.appliance.parts import Appliance

WIDE = {"width": 1100, "height": 900}
PHONE = {"width": 360, "height": 740}


class Opened:
    """A panel, and its saved page as a person sees it."""

    def __init__(self, live: Any, page: Any) -> None:
        self.live = live
        self.page = page

    def text(self, selector: str) -> str:
        return str(self.page.locator(selector).first.text_content())

    def button(self, part: str) -> Any:
        """The part's button in the drawing, on its first contact."""
        return self.contact(part).locator("[role=button]")

    def contact(self, part: str, number: int = 1) -> Any:
        """A contact in the drawing."""
        return self.page.locator(f'.hc-contact[data-part="{part}"][data-contact="{number}"]')

    def press(self, part: str, contact: int = 1) -> None:
        """Click the part's area in the drawing, as a person does."""
        self.contact(part, contact).locator(".hc-hit").click()

    def cells(self) -> dict[str, list[str]]:
        """The cells after each row's header, in both tables."""
        rows = self.page.locator("tbody tr").evaluate_all(
            "all => all.map((row) => [...row.cells].map((cell) => cell.textContent))"
        )
        return {head.replace("\u00a0", " "): cells for head, *cells in rows}


Open = Callable[..., Opened]


@pytest.fixture
def open_page(browser: Any, tmp_path: Path) -> Iterator[Open]:
    contexts = []
    trouble: list[str] = []

    def open_it(
        shown: Any,
        *,
        viewport: dict[str, int] = WIDE,
        color_scheme: str = "light",
        touch: bool = False,
        **options: Any,
    ) -> Opened:
        live = panel(shown, **options) if isinstance(shown, Appliance) else shown
        file = live.save(tmp_path / f"page{len(contexts)}.html")
        context = browser.new_context(
            viewport=viewport, color_scheme=color_scheme, has_touch=touch, offline=True
        )
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(120_000)
        page.on("console", lambda message: trouble.append(f"console: {message.text}"))
        page.on("pageerror", lambda error: trouble.append(f"error: {error}"))
        page.on("request", lambda request: requests.append(request.url))
        requests: list[str] = []
        page.goto(file.as_uri())
        # the file itself and its empty icon are all that may be fetched
        others = [url for url in requests if url != file.as_uri() and not url.startswith("data:")]
        trouble.extend(f"request: {url}" for url in others)
        page.on("request", lambda request: trouble.append(f"request: {request.url}"))
        return Opened(live, page)

    yield open_it
    for context in contexts:
        context.close()
    assert trouble == []
