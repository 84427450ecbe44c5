"""The one table, on a page that is narrower than it."""

from typing import Any

import pytest

from lessonlib import load_appliance, state_table


@pytest.mark.browser
def test_the_caption_of_a_table_that_scrolls_stays_in_sight(browser: Any) -> None:
    page = browser.new_page(viewport={"width": 320, "height": 400})
    page.set_content(state_table(load_appliance("towel-rail"), reversed_plug=True)._repr_html_())
    page.locator("div").evaluate("box => box.scrollTo(200, 0)")
    assert page.locator("div").evaluate("box => box.scrollLeft") > 50
    caption = page.get_by_text("every switch setting").bounding_box()
    page.close()
    assert caption["x"] >= 0
    assert caption["x"] + caption["width"] <= 320
