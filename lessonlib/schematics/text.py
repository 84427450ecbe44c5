"""How wide text is, and how long names are cut.

The font of the reader's machine is not known, so widths are those of a wide one: what fits here
fits in the usual sans-serif fonts as well.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Callable
from functools import lru_cache
from html import escape

SMALL_PX = 12.0
NAME_PX = 13.0
ASCENT, DESCENT = 0.93, 0.24
"""Of a line of text, in font sizes above and below the baseline: DejaVu Sans, rounded."""

# Advance widths in thousandths of the font size, of DejaVu Sans Bold, which is wider than the usual
# sans-serif fonts. A test compares them with the font itself.
_WIDTHS = {
    **dict.fromkeys("il'|", 390),
    **dict.fromkeys("jfI.,:; ", 440),
    **dict.fromkeys("t()[]/\\-·!", 482),
    **dict.fromkeys('rs"°', 596),
    **dict.fromkeys("ceJzxvk", 684),
    **dict.fromkeys("{}abdghnopquySTEFLPYZ0123456789_*?$", 760),
    **dict.fromkeys("OQGHNUDR#&+<=>^~", 915),
    **dict.fromkeys("mMwW@%…", 1104),
}
_OTHER, _WIDE = 790, 1190
_PLAIN = 0.92
"""Widths of the plain face in those of the bold one."""
_ELLIPSIS = "…"


@lru_cache(maxsize=4096)
def width_px(text: str, size_px: float = SMALL_PX, bold: bool = False) -> float:
    """A safe (rather too large) width of one line of `text`, in pixels."""
    total = 0
    for character in text:
        found = _WIDTHS.get(character)
        if found is None:
            if unicodedata.combining(character):
                found = 0
            elif character.isascii():
                found = _OTHER
            else:  # a letter with an accent is as wide as the letter, or as the accent
                found = max(500, _WIDTHS.get(unicodedata.normalize("NFD", character)[0], _WIDE))
        total += found
    return total * size_px / 1000 * (1 if bold else _PLAIN)


def shortened(text: str, most_px: float, size_px: float = SMALL_PX, bold: bool = False) -> str:
    """`text`, cut with an ellipsis where it would be wider than `most_px`."""
    if width_px(text, size_px, bold) <= most_px:
        return text
    kept = text
    while kept and width_px(kept + _ELLIPSIS, size_px, bold) > most_px:
        kept = kept[:-1]
    return kept.rstrip() + _ELLIPSIS


def wrapped(text: str, most_px: float, size_px: float = SMALL_PX, bold: bool = False) -> list[str]:
    """`text` in lines no wider than `most_px`; a word that is wider is broken."""
    return in_lines(" ".join(text.split()), most_px, lambda line: width_px(line, size_px, bold))


def in_lines(text: str, most: float, width: Callable[[str], float]) -> list[str]:
    """`text` in lines whose `width` is at most `most`, parted at plain spaces; a word that is wider
    is broken."""
    lines = [""]
    for word in text.split(" "):
        longer = f"{lines[-1]} {word}" if lines[-1] else word
        if width(longer) <= most:
            lines[-1] = longer
            continue
        if lines[-1]:
            lines.append("")
        for character in word:
            if lines[-1] and width(lines[-1] + character) > most:
                lines.append("")
            lines[-1] += character
    return lines


@lru_cache(maxsize=4096)
def xml(text: str) -> str:
    """`text` as XML character data or attribute value; what XML cannot hold becomes U+FFFD."""
    if text.isascii() and text.isprintable():
        return escape(text)
    return escape("".join(c if _allowed(ord(c)) else "\ufffd" for c in text))


def _allowed(code: int) -> bool:
    # the Char production of XML 1.0, less the control characters
    return (
        0x20 <= code < 0x7F
        or 0xA0 <= code <= 0xD7FF
        or 0xE000 <= code <= 0xFFFD
        or (0x10000 <= code <= 0x10FFFF)
    )
