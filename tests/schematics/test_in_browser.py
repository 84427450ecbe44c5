"""What a browser really shows: one state of each contact, no text over text, legible colours."""

from __future__ import annotations

import json
from typing import Any

import pytest

from lessonlib.appliance.bundled import appliance_names, load_appliance
from lessonlib.appliance.settings import settings
from lessonlib.schematics.schematic import schematic

pytestmark = pytest.mark.browser

OVERLAPS = """() => {
  const boxes = [...document.querySelectorAll('svg text, svg .hc-symbol')].filter(
    (e) => e.textContent.trim() || e.matches('.hc-symbol')).map((e) => {
      const b = e.getBoundingClientRect();
      return {e, what: e.getAttribute('class') + ' ' + e.textContent, x: b.left, y: b.top,
              r: b.right, b: b.bottom};
    }).filter((b) => b.r > b.x);
  const found = [];
  for (const [i, one] of boxes.entries()) for (const two of boxes.slice(i + 1)) {
    if (one.e.contains(two.e) || two.e.contains(one.e)) continue;
    // a symbol's box also spans the corners beside an actuator; those are checked by geometry
    const boxed = [one, two].some((b) => b.e.querySelector?.('.hc-mark'));
    if (boxed) continue;
    // the blade of a change-over switch goes from its pole to a contact
    if (/^hc-symbol hc-pole/.test(two.what) && /^hc-symbol/.test(one.what)) continue;
    if (one.x < two.r && two.x < one.r && one.y < two.b && two.y < one.b)
      found.push(one.what + ' | ' + two.what);
  }
  return found;
}"""

SHOWN = """() => [...document.querySelectorAll('.hc-contact')].map((c) => [
  c.dataset.part, c.dataset.contact,
  ...['open', 'closed'].map((s) => getComputedStyle(c.querySelector('.hc-when-' + s)).display)])"""

# contrast of what is drawn with the page, by the formula of WCAG 2 (relative luminance)
CONTRASTS = """() => {
  const light = (c) => { const [r, g, b] = c.match(/[\\d.]+/g).slice(0, 3).map((v) => {
    v /= 255; return v <= 0.03928 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; });
    return 0.2126 * r + 0.7152 * g + 0.0722 * b; };
  const page = light(getComputedStyle(document.body).backgroundColor);
  const contrast = (c) => { const v = light(c);
    return (Math.max(v, page) + 0.05) / (Math.min(v, page) + 0.05); };
  const found = {};
  for (const t of document.querySelectorAll('svg text')) {
    const c = getComputedStyle(t).fill; found['text ' + c] = contrast(c); }
  for (const w of document.querySelectorAll('svg .hc-wire, svg .hc-rail')) {
    const c = getComputedStyle(w).stroke; found['wire ' + c] = contrast(c); }
  return found;
}"""


@pytest.fixture(scope="module")
def page(browser: Any) -> Any:
    context = browser.new_context(viewport={"width": 1200, "height": 900})
    yield context.new_page()
    context.close()


def show(page: Any, html: str, dark: bool = False) -> None:
    paper, ink = ("#111111", "#ffffff") if dark else ("#ffffff", "#000000")
    page.set_content(
        f'<body data-jp-theme-light="{json.dumps(not dark)}" style="background:{paper};'
        f'--jp-content-font-color1:{ink}">{html}</body>'
    )


@pytest.mark.parametrize("name", appliance_names())
def test_no_text_lies_on_text_or_symbol_in_any_setting(page: Any, name: str) -> None:
    appliance = load_appliance(name)
    for setting in settings(appliance):
        show(page, schematic(appliance, setting)._repr_mimebundle_()["text/html"])
        assert page.evaluate(OVERLAPS) == [], setting


def test_one_state_of_each_contact_is_shown(page: Any) -> None:
    appliance = load_appliance("towel-rail")
    show(page, schematic(appliance, {"S1": "low"}).svg)
    # contacts 1 and 4 are closed in "low"
    shown = {row[1]: row[2:] for row in page.evaluate(SHOWN)}
    assert shown == {
        "1": ["none", "inline"],
        "2": ["inline", "none"],
        "3": ["inline", "none"],
        "4": ["none", "inline"],
    }


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("fault", [None, "E1 shorted"])
def test_everything_is_legible(page: Any, dark: bool, fault: str | None) -> None:
    appliance = load_appliance("towel-rail")
    for setting in settings(appliance):
        drawn = schematic(appliance, setting, fault=fault)
        show(page, drawn._repr_mimebundle_()["text/html"], dark)
        # 4.5 to 1: what WCAG 2 asks of text; wires are held to the same
        assert min(page.evaluate(CONTRASTS).values()) >= 4.5


def test_on_a_narrow_page_a_drawing_shrinks_to_letters_of_nine_pixels_before_it_scrolls(
    page: Any,
) -> None:
    page.set_viewport_size({"width": 420, "height": 740})
    found = {}
    for name in ("tea-urn", "soup-kettle", "hot-trolley"):
        show(page, schematic(load_appliance(name))._repr_mimebundle_()["text/html"])
        found[name] = page.evaluate(
            "(() => { const box = document.querySelector('.hc-figure');"
            "const scale = box.querySelector('svg').getScreenCTM().a;"
            "return [Math.round(12 * scale * 10) / 10, box.scrollWidth > box.clientWidth]; })()"
        )
        assert page.evaluate("document.documentElement.scrollWidth") <= 420
    assert found["tea-urn"] == [12, False]
    assert 9 < found["soup-kettle"][0] < 12
    assert not found["soup-kettle"][1]
    assert found["hot-trolley"] == [9, True]
    page.set_viewport_size({"width": 1200, "height": 900})
