"""The one text of cautions."""

import re

import pytest

from lessonlib import cautions
from lessonlib.safety import CAUTIONS, MODEL, ONE_LINE


@pytest.mark.parametrize(
    ("what", "words"),
    [
        ("unplugging", ("Pull the plug", "in sight")),
        ("what acts by itself", ("thermostat", "self-resetting cut-out", "switch on again")),
        ("proving dead", ("known live source", "every pair", "tester again")),
        ("neutral", ("Neutral is a live conductor", "breaks on the supply side", "line voltage")),
        ("colours", ("Colours prove nothing", "reversed plug", "blue wire is live")),
        ("a repair", ("After a repair", "competent", "earth continuity (class I)", "insulation")),
        ("the law", ("Local codes and licensed practice",)),
    ],
)
def test_one_line_of_the_cautions_speaks_of(what, words):
    assert any(all(word in line for word in words) for line in CAUTIONS), what


def test_they_are_shown_whole_as_text_and_as_html():
    text, html = str(cautions()), cautions()._repr_html_()
    for line in (MODEL, *CAUTIONS):
        assert line in text
        assert line in html
    assert len(re.findall("<li>", html)) == len(CAUTIONS)


def test_the_short_form_says_that_neutral_is_live_and_what_to_do():
    for words in (MODEL, "Neutral is a live conductor", "Unplug, wait, prove dead", "licensed"):
        assert words in ONE_LINE
