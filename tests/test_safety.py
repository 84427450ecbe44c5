"""The one text of cautions."""

import re
from pathlib import Path

import pytest

from lessonlib import cautions
from lessonlib.safety import AT_BENCH, CAUTIONS, MODEL, ONE_LINE, REPAIR, SOURCES


@pytest.mark.parametrize(
    ("what", "words"),
    [
        ("unplugging", ("Pull the plug", "in sight")),
        ("what acts by itself", ("thermostat", "self-resetting cut-out", "switch on again")),
        ("waiting", ("Wait", "hot parts", "pressure", "capacitors")),
        ("what protects", ("Never bypass", "thermal fuse", "relief valve", "earth wire")),
        ("proving dead", ("two-pole voltage tester on a known live source", "every pair", "again")),
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
    shown, told = html.split("<details>")
    assert len(re.findall("<li>", shown)) == len(re.findall("<li>", told)) == len(CAUTIONS)


def test_every_line_says_where_it_comes_from_and_what_is_from_memory():
    assert all(cautions().sources)
    for line, source in SOURCES.items():
        assert re.search(r"memory|as quoted|no source|the same|GOST", source, re.IGNORECASE), line


def test_nothing_else_in_the_library_says_a_line_of_the_text_in_words_of_its_own():
    lines = (MODEL, *SOURCES, "competent tests", "licensed practice", "Never bypass")
    root = Path(__file__).parents[1] / "lessonlib"
    for file in (each for each in root.rglob("*.*") if each.suffix in (".py", ".js", ".html")):
        text = " ".join(re.sub(r'"\n\s*"', "", file.read_text(encoding="utf-8")).split())
        said = [line for line in lines if line in text]
        assert not said or file.name == "safety.py", (file, said)


def test_a_finding_about_earth_and_the_readme_say_it_in_the_same_words():
    readme = (Path(__file__).parents[1] / "README.md").read_text(encoding="utf-8")
    assert ONE_LINE in " ".join(readme.replace("**", "").split())
    assert REPAIR in AT_BENCH


def test_the_short_form_says_that_neutral_is_live_and_what_to_do():
    for words in (MODEL, "Neutral is a live conductor", "Unplug, wait, prove dead", "licensed"):
        assert words in ONE_LINE
