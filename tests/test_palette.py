"""Every colour stands in the palette, and can be read on its paper."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import lessonlib
from lessonlib.palette import DARK, LIGHT, css_variables, with_fallbacks, without_variables

PACKAGE = Path(lessonlib.__file__).parent
FILES = sorted(
    path
    for suffix in ("css", "js", "py", "html")
    for path in PACKAGE.rglob(f"*.{suffix}")
    if path.name != "palette.py"
)
LITERAL = re.compile(r"(?<![\w&])#(?:[0-9a-fA-F]{3,4}){1,2}\b|\b(?:rgb|hsl|oklch|lab)a?\(")
TEXT = ("ink", "quiet", "live", "neutral", "earth", "between", "floating", "alarm")
PLOTTED = ("drive", "flow", "heat")  # lines, and words in their colours


def test_no_other_file_has_a_colour_of_its_own() -> None:
    found = [
        f"{path.relative_to(PACKAGE)}:{number}: {line.strip()}"
        for path in FILES
        for number, line in enumerate(path.read_text("utf-8").splitlines(), 1)
        if LITERAL.search(line)
    ]
    assert found == []


def test_every_colour_that_a_style_names_is_there() -> None:
    text = "\n".join(path.read_text("utf-8") for path in FILES) + css_variables(".any")
    assert set(re.findall(r"var\((--hc-[\w-]+)", text)) <= set(re.findall(r"(--hc-[\w-]+): ", text))


def contrast(one: str, other: str) -> float:
    """By WCAG 2: relative luminances, each with 0.05 added, as a ratio."""

    def luminance(colour: str) -> float:
        parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
        linear = [c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
        return sum(w * c for w, c in zip((0.2126, 0.7152, 0.0722), linear, strict=True))

    dim, bright = sorted((luminance(one), luminance(other)))
    return (bright + 0.05) / (dim + 0.05)


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=["light", "dark"])
def test_words_and_frames_stand_out_from_the_paper(theme: dict[str, str]) -> None:
    assert all(contrast(theme[name], theme["paper"]) >= 4.5 for name in TEXT + PLOTTED)
    assert all(contrast(theme[name], theme["paper"]) >= 3 for name in ("line", "focus"))


def test_a_style_can_be_had_with_fallbacks_and_without_variables() -> None:
    css = "a { fill: var(--hc-earth-stripe) }"
    assert with_fallbacks(css, "svg") == (
        "svg { --c-earth-stripe: var(--hc-earth-stripe, #f5d000) }\n"
        "a { fill: var(--c-earth-stripe) }"
    )
    assert without_variables(css) == "a { fill: #f5d000 }"
