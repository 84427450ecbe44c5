"""The one table, on a page that is narrower than it."""

from typing import Any

import pytest

from lessonlib import load_appliance, meter_table, state_table

pytestmark = pytest.mark.browser
KETTLE = load_appliance("soup-kettle")


def shown(browser: Any, table: Any, width: int) -> Any:
    page = browser.new_page(viewport={"width": width, "height": 800})
    page.set_content(table._repr_html_())
    return page


def test_the_caption_of_a_table_that_scrolls_stays_in_sight(browser: Any) -> None:
    page = shown(browser, state_table(KETTLE), 240)
    page.locator("div").evaluate("box => box.scrollTo(200, 0)")
    assert page.locator("div").evaluate("box => box.scrollLeft") > 50
    caption = page.get_by_text("every switch setting").bounding_box()
    page.close()
    assert caption["x"] >= 0
    assert caption["x"] + caption["width"] <= 240


@pytest.mark.parametrize("table", [state_table(KETTLE), meter_table(load_appliance("wax-melter"))])
def test_on_a_phone_words_stand_below_the_figures_of_their_row(browser: Any, table: Any) -> None:
    wide, narrow = shown(browser, table, 1000), shown(browser, table, 400)
    words = table.shown_rows[-1][-1]
    for page, below in ((wide, False), (narrow, True)):
        row = page.get_by_role("row").last
        figures = row.get_by_role("rowheader").first.bounding_box()
        cell = row.get_by_role("cell").last
        assert cell.text_content() == words
        box = cell.bounding_box()
        assert (box["y"] >= figures["y"] + figures["height"]) is below
        assert box["x"] + box["width"] <= page.viewport_size["width"]
        page.close()
