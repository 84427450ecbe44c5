"""The page of a family in a real Chromium: one flip moves all, and arrow keys lead a talk."""

import pytest

from lessonlib import family

pytestmark = pytest.mark.browser


@pytest.fixture
def opened(open_page):
    return open_page(family("floor-steamer"), viewport={"width": 1280, "height": 900})


def powers(opened):
    return [text.strip() for text in opened.page.locator(".hcf-now strong").all_text_contents()]


def test_a_flip_in_one_drawing_or_a_row_of_the_table_sets_all_that_can_do_the_same(opened):
    page = opened.page
    sixth = page.locator(".hcf-card").nth(5)
    sixth.locator('.hc-contact[data-part="S2"] .hc-hit').click()
    assert powers(opened)[5:] == ["901 W, 5.54 A", "901 W, 5.54 A"]
    assert page.locator(".hcf-cannot").nth(0).text_content() == (
        "cannot give 900 W, and stays as it was"
    )
    sixth.get_by_role("radio", name="off").click()
    assert powers(opened)[1] == "0 W, 0 A"
    assert "6 of 7 can do this" in opened.text(".hcp-said")
    page.get_by_role("button", name="700 W", exact=True).click()
    assert powers(opened)[:2] == ["700 W, 3.04 A", "700 W, 3.04 A"]
    page.get_by_label("Plug").select_option(index=1)
    assert "E1" in page.locator(".hcp-live").nth(0).text_content()


def test_one_at_a_time_arrow_keys_lead_through_members_and_changes(open_page):
    opened = open_page(family("floor-steamer", one_at_a_time=True))
    page, (first, second) = opened.page, map(opened.page.locator(".hcf-card").nth, range(2))
    assert page.locator(".hcf-card:visible").count() == 1
    # read in the moment of the press: a card that still waits for a frame has no words yet
    seen = page.get_by_role("button", name="Next").evaluate(
        "next => { next.click(); return document.querySelectorAll('.hcf-card')[1].innerText; }"
    )
    assert "centre off" in seen
    assert not first.is_visible()
    for count, key in ((0, ""), (1, "ArrowRight"), (0, "ArrowLeft")):
        if key:
            page.keyboard.press(key)
        assert second.locator("li:visible").count() == count
        assert second.locator(".hcf-mark:visible").count() == count
        if count:
            assert "The switch S1 has 3 positions (" in opened.text(".hcp-said")
    for _ in range(2):  # and stays at the first
        page.keyboard.press("ArrowLeft")
        assert first.is_visible()
    page.get_by_role("button", name="Show all side by side").click()
    assert second.locator("li:visible").count() == 6


def test_names_from_a_file_are_text_and_never_markup(open_page):
    label = "<img src=x onerror=alert(1)>"
    opened = open_page(family([(label, "tea-urn"), ("second", "soup-kettle")]))
    assert label in opened.page.locator(".hcf-label").nth(0).text_content()
    assert opened.page.locator("img").count() == 0


def test_the_bench_sheet_of_a_member_opens_in_the_page_and_leaves_with_escape(opened):
    page = opened.page
    button = page.get_by_role("button", name="Bench sheet of with a lamp")
    button.press("Enter")
    sheet = page.frame_locator("dialog iframe")
    sheet.get_by_role("heading", name="Floor steamer", level=1).wait_for()
    assert "H1" in sheet.locator("main").text_content()
    sheet.locator("body").press("Escape")
    page.locator("dialog").wait_for(state="hidden")
    assert button.evaluate("button => button === document.activeElement")
