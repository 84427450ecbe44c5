"""A heating run on a page, by what a person sees of it."""

from __future__ import annotations

from typing import Any


class Run:
    """A heating run on a page, by what a person sees of it."""

    def __init__(self, page: Any, within: Any) -> None:
        self.page = page
        self.within = within

    def number(self, label: str) -> str:
        pair = self.within.locator(".hcp-numbers > div").filter(has_text=label)
        return str(pair.locator("strong").text_content())

    @property
    def temperature_C(self) -> float:
        return float(self.number("Temperature").removesuffix(" °C"))

    @property
    def events(self) -> list[tuple[str, str]]:
        """What has happened, oldest first."""
        items = self.within.locator(".hcp-happened li").all()
        texts = [tuple(item.locator("span").all_text_contents()) for item in items]
        return [(when, what) for when, what in reversed(texts)]

    def press(self, name: str) -> None:
        self.within.get_by_role("button", name=name, exact=True).click()

    def flip(self, part: str) -> None:
        self.within.locator(f'.hc-contact[data-part="{part}"] .hc-hit').first.click()

    def wait_for(self, words: str) -> None:
        self.within.locator(".hcp-happened li", has_text=words).first.wait_for()

    def wait_until(self, holds: str) -> None:
        """Until that holds of the temperature `now`, in °C as shown."""
        self.page.wait_for_function(
            f"shown => {{ const now = parseFloat(shown.textContent); return {holds}; }}",
            arg=self.within.locator(".hcp-numbers strong").nth(1).element_handle(),
        )

    def contact(self, part: str) -> str:
        return str(
            self.within.locator(f'.hc-contact[data-part="{part}"]').get_attribute("data-state")
        )
