"""How wide text is, and how long names are cut.

A drawing does not know the font of the reader's machine, so widths are those of a wide one: what
fits here fits in the usual sans-serif fonts as well.
"""

from __future__ import annotations

import unicodedata
from functools import lru_cache
from html import escape

SMALL_PX = 12.0
NAME_PX = 13.0
ASCENT, DESCENT = 0.93, 0.24
"""Of a line of text, in font sizes above and below the baseline: DejaVu Sans, rounded."""

# Advance widths in thousandths of the font size, of DejaVu Sans Bold, which is wider than the plain
# face and than the usual sans-serif fonts. A test compares them with the font itself.
_WIDTHS = {
    **dict.fromkeys("il'|", 388),
    **dict.fromkeys("jfI.,:;! ", 435),
    **dict.fromkeys("t()[]{}/\\-·", 478),
    **dict.fromkeys("rs\"°", 596),
    **dict.fromkeys("ceJzxvk", 679),
    **dict.fromkeys("mMwW@%", 1104),
    **dict.fromkeys("OQGHNUDæœÆŒ", 850),
    "…": 1000,
}
_OTHER, _WIDE = 775, 1100
_ELLIPSIS = "…"


@lru_cache(maxsize=4096)
def width_px(text: str, size_px: float = SMALL_PX) -> float:
    """A safe (rather too large) width of one line of `text`, in pixels."""
    total = 0
    for character in text:
        found = _WIDTHS.get(character)
        if found is None:
            if unicodedata.east_asian_width(character) in "WF":
                found = _WIDE
            elif unicodedata.combining(character):
                found = 0
            else:
                found = _OTHER if character.isascii() else 1000
        total += found
    return total * size_px / 1000


def shortened(text: str, most_px: float, size_px: float = SMALL_PX) -> str:
    """`text`, cut with an ellipsis where it would be wider than `most_px`."""
    if width_px(text, size_px) <= most_px:
        return text
    kept = text
    while kept and width_px(kept + _ELLIPSIS, size_px) > most_px:
        kept = kept[:-1]
    return kept.rstrip() + _ELLIPSIS


def xml(text: str) -> str:
    """`text` as XML character data or attribute value; what XML cannot hold becomes U+FFFD."""
    if text.isascii() and text.isprintable():
        return escape(text)
    return escape("".join(c if _allowed(ord(c)) else "\ufffd" for c in text))


def _allowed(code: int) -> bool:
    # the Char production of XML 1.0, less the control characters
    return 0x20 <= code < 0x7F or 0xA0 <= code <= 0xD7FF or 0xE000 <= code <= 0xFFFD or (
        0x10000 <= code <= 0x10FFFF
    )
