"""The saved page as text."""

from __future__ import annotations

import json
import re

import pytest

from lessonlib import load_appliance, panel
from lessonlib.errors import DrawingError
from lessonlib.safety import ONE_LINE
from tests.panels.appliances import MARKUP, markup_everywhere


@pytest.fixture(scope="module")
def urn():
    return panel(load_appliance("tea-urn"), {"S1": "on"}, faults=["E2 open"])


def state_of(html):
    found = re.search(r'<script type="application/json" id="state">(.*?)</script>', html, re.DOTALL)
    return json.loads(found[1])


def test_the_page_carries_the_present_state_and_names_no_host(urn, tmp_path):
    urn.fault = 1
    html = urn.save(tmp_path / "urn.html").read_text("utf-8")
    chosen = {"voltage": 1, "plug": 0, "fault": 1, "position_0": 1}
    assert state_of(html) == {"table": urn.table, "alone": True, **chosen}
    assert urn.table["caution"] == ONE_LINE
    hosts = set(re.findall(r"\w+://[^\s\"'<>\\]+", html))
    assert hosts <= {"http://www.w3.org/2000/svg"}  # the name of SVG, which nothing fetches


def test_no_name_can_end_the_script_element_or_open_another(tmp_path):
    html = panel(markup_everywhere()).save(tmp_path / "x.html").read_text("utf-8")
    assert html.count("<script") == 2
    assert html.count("</script>") == 2
    assert "<img" not in html
    assert state_of(html)["table"]["title"] == MARKUP


@pytest.mark.parametrize("name", ["urn.pdf", "urn", "urn.html.txt", "."])
def test_a_name_that_is_no_page_is_refused_with_the_next_step(urn, tmp_path, monkeypatch, name):
    monkeypatch.chdir(tmp_path)
    with pytest.raises(DrawingError, match=r"Accepted: a name that ends in \.html\. Next:"):
        urn.save(name)
    assert list(tmp_path.iterdir()) == []
