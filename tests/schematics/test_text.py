"""Widths of text are safe in a wide font, and long names are cut."""

from __future__ import annotations

import string
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lessonlib.schematics.text import shortened, width_px, wrapped, xml

CHARACTERS = string.printable[:95] + "".join(map(chr, range(0xA1, 0x180))) + "θΩ–…·"


@pytest.mark.parametrize(("face", "bold"), [("DejaVuSans", False), ("DejaVuSans-Bold", True)])
def test_no_character_is_wider_than_we_say_in_a_wide_font(face: str, bold: bool) -> None:
    import matplotlib
    from matplotlib.ft2font import FT2Font

    font = FT2Font(str(Path(matplotlib.get_data_path()) / "fonts" / "ttf" / f"{face}.ttf"))
    font.set_size(1000, 72)
    too_wide = {
        character: width
        for character in CHARACTERS
        # linearHoriAdvance counts in 65536ths of a pixel
        if (width := font.load_char(ord(character)).linearHoriAdvance / 65536)
        > width_px(character, 1000, bold)
    }
    assert too_wide == {}


@given(st.text(max_size=60), st.floats(20, 200))
def test_a_cut_name_fits_and_ends_in_an_ellipsis(name: str, most: float) -> None:
    cut = shortened(name, most)
    assert width_px(cut) <= most
    assert cut == name if width_px(name) <= most else cut.endswith("…")


@given(st.text(max_size=200), st.floats(40, 300))
def test_every_line_of_wrapped_text_fits(text: str, most: float) -> None:
    lines = wrapped(text, most)
    assert all(width_px(line) <= most for line in lines)
    assert "".join("".join(lines).split()) == "".join(text.split())  # and no letter is lost


@pytest.mark.parametrize("bad", ["\x00", "\x1b", "\x7f", "\x85", "\ud800", "\uffff"])
def test_what_xml_cannot_hold_becomes_a_replacement_character(bad: str) -> None:
    assert xml(f"a{bad}b") == "a\ufffdb"


def test_markup_is_escaped_in_text_and_attributes() -> None:
    assert xml('<b a="1">\'&') == "&lt;b a=&quot;1&quot;&gt;&#x27;&amp;"
