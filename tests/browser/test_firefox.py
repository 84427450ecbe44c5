"""Saved pages in a second browser, one with another engine than Chromium's: Firefox."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from lessonlib import heat_up, heating_panel, load_appliance, panel, solve
from lessonlib.quantities import format_quantity
from tests.browser.firefox import Firefox, find_firefox, running_firefox

pytestmark = pytest.mark.browser

CLICK = """(() => {
    const part = document.querySelector('.hc-contact[data-part="S1"] [role=button]');
    part.dispatchEvent(new MouseEvent("click", { bubbles: true }));
    return document.querySelector(".hcp-power").textContent;
})()"""
NEXT_EVENT = """new Promise((done) => {
    const shown = () => document.querySelector(".hcp-numbers").textContent;
    const first = shown();
    const named = (button) => button.textContent === "Next event";
    [...document.querySelectorAll("button")].find(named).click();
    const next = () => (shown() === first ? requestAnimationFrame(next) : done(shown()));
    next();
})"""


@pytest.fixture(scope="module")
def firefox(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Firefox]:
    path = find_firefox()
    if path is None:
        pytest.skip("no Firefox found: install firefox-esr or firefox")
    with running_firefox(path, tmp_path_factory.mktemp("profile")) as running:
        yield running


def test_a_click_on_a_switch_shows_the_solvers_power(firefox: Firefox, tmp_path: Path) -> None:
    urn = load_appliance("tea-urn")
    firefox.open(panel(urn).save(tmp_path / "urn.html").as_uri())
    power_W = solve(urn, {"S1": "on"}).power_W
    assert firefox.evaluate(CLICK) == format_quantity(power_W, "W")
    assert firefox.errors == []


def test_the_heating_panel_goes_on_to_the_temperature_of_the_next_event(
    firefox: Firefox, tmp_path: Path
) -> None:
    steamer = load_appliance("garment-steamer")
    live = heating_panel(steamer, {"S1": "on"})
    firefox.open(live.save(tmp_path / "heating.html").as_uri())
    event = heat_up(steamer, {"S1": "on"}, minutes=60).events[0]
    assert f"{event.temperature_C:.1f} °C" in firefox.evaluate(NEXT_EVENT)
    assert firefox.errors == []
