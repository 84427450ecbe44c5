"""Names of points, parts and positions: those that look alike are refused.

A point named "N " or, in Greek, "Ν" would be a point of its own, and read like the neutral.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from functools import lru_cache

from lessonlib.appliance.parts import TERMINALS

MAX_NAME = 40

# Greek and Cyrillic letters that look like Latin ones: a small part of the confusables of Unicode
# UTS 39, from memory.
_LATIN = {
    "ABEKMHOPCTXYI": "АВЕКМНОРСТХҮІ",
    "aeopcyxi": "аеорсухі",
    "ABEZHIKMNOPTYX": "ΑΒΕΖΗΙΚΜΝΟΡΤΥΧ",
    "opv": "ορν",
}
_ALIKE = str.maketrans("".join(_LATIN.values()), "".join(_LATIN))

# Invisible, though Python counts them as printable: fillers, joiners, variation selectors.
_UNSEEN = {
    0x034F, 0x115F, 0x1160, 0x17B4, 0x17B5, 0x2800, 0x3164, 0xFFA0,
    *range(0x180B, 0x1810), *range(0xFE00, 0xFE10), *range(0xE0100, 0xE01F0),
}  # fmt: skip


def oddity(name: object) -> str:
    """What is wrong with the spelling of `name`, to follow it in a sentence; empty if nothing."""
    if not isinstance(name, str):
        return ", not a text in quotes"
    if not name.strip():
        return ", which is empty"
    if len(name) > MAX_NAME:
        return f", {len(name):,} characters long"
    if name != name.strip():
        return ", with a blank before or after it"
    if name.isascii() and name.isprintable():
        return ""
    for character in name:
        if not character.isprintable() or ord(character) in _UNSEEN:
            return f", with a character in it that cannot be seen (U+{ord(character):04X})"
    return ""


def letters(name: str) -> str:
    """The Unicode name of the first letter that is not ASCII, in brackets; empty without one."""
    for character in name:
        if not character.isascii():
            return f" ({unicodedata.name(character, f'U+{ord(character):04X}').capitalize()})"
    return ""


@lru_cache(maxsize=1024)  # a file has the same few names again and again
def _looks(name: str) -> tuple[str, str]:
    """`name` without capitals, blanks and special forms (full width, raised, ringed), and the same
    with look-alike letters made Latin. Names that look alike have one of the two in common."""
    plain = name if name.isascii() else unicodedata.normalize("NFKC", name)
    latin = plain if name.isascii() else plain.translate(_ALIKE)
    return "".join(plain.casefold().split()), "".join(latin.casefold().split())


_SUPPLY = {_looks(terminal)[1]: terminal for terminal in TERMINALS}


def supply_look(node: str) -> str:
    """The supply terminal that `node` looks like but is not; empty if none."""
    terminal = "" if len(node) > MAX_NAME else _SUPPLY.get(_looks(node)[1], "")
    return "" if node == terminal else terminal


def alike(names: Iterable[str]) -> dict[str, str]:
    """Names that look like an earlier, different one: each with that one."""
    seen: dict[str, str] = {}
    found: dict[str, str] = {}
    for name in dict.fromkeys(names):
        for look in _looks(name):
            other = seen.setdefault(look, name)
            if other != name:
                found[name] = other
    return found
