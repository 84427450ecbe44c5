"""The number at the start of a typed text, in the forms people write; what follows is left over.

Digits are checked by patterns, then handed to `int` and `float`; nothing typed is ever evaluated.
No pattern here has a repeat within a repeat over the same characters, so that time grows with the
length of the text and no faster.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass

LARGEST = 1e15
"""No quantity of a small appliance, in any unit read here, comes near it, nor near 1 / LARGEST."""


@dataclass(frozen=True)
class Unread:
    """Text that is no number with a unit; `reason` says why, and what to write instead."""

    reason: str


@dataclass(frozen=True)
class Numeral:
    """A number at the start of a text, and the `rest`. `letter` is the one that stood in place of
    the decimal mark. There are two `values` only where a comma can be read in two ways."""

    values: tuple[float, ...]
    rest: str
    letter: str = ""


EXAMPLE = "such as 1.2 kW"
"""Stands in the reasons below for an example in the unit asked for."""
ONE_NUMBER = f"Write one number, {EXAMPLE}."
RANGE = f"That is a range or a difference. {ONE_NUMBER}"

# what looks alike, or says the same in another script, to the one sign that is read
_ALIKE = str.maketrans(
    {
        **dict.fromkeys("\u2212\u2010\u2011\u2012\u2013\u2014\u2015\ufe58", "-"),
        **dict.fromkeys("‘’‛ʼ′´`\u066c", "'"),  # the last groups thousands in Arabic script
        **dict.fromkeys("“”„‟«»", '"'),
        **dict.fromkeys("≈≃≅∼≒≐", "~"),
        **dict.fromkeys("⋅∙•∗", "·"),
        **dict.fromkeys("⁄∕÷", "/"),
        **dict.fromkeys("º˚", "°"),
        **dict.fromkeys("\u066b。", "."),  # the decimal mark of Arabic script
        "\u060c": ",",
        "\u066a": "%",
        "±": "+/-",
    }
)
_VULGAR_FRACTION = re.compile("[¼-¾⅐-⅟↉]")
_SUPERSCRIPT = re.compile("[⁺⁻]?[⁰¹²³⁴-⁹]+")

_LETTER_CODE = re.compile("([+-]?) ?([0-9]{0,9})([RKMGrk])([0-9]{1,9})(?![0-9.,])")
_FRACTION = re.compile("([+-]?) ?(?:([0-9]{1,9}) )?([0-9]{1,2}) ?/ ?([1-9][0-9]?|100)(?![0-9.,/])")
_DECIMAL = re.compile(r"([+-]?) ?((?:[0-9]|[.,][0-9])[0-9 .,']*)")
_POWER = re.compile(r"(?:(?<=[0-9.,])[eE]| ?[xX×·*] ?10 ?(?:\^|\*\*) ?)([+-]?[0-9]+)(?![0-9.,])")
_DIGITS = re.compile(
    "(?P<whole>[1-9][0-9]{0,2}(?P<group>[ ',.])[0-9]{3}(?:(?P=group)[0-9]{3})*|[0-9]*)"
    "(?:(?P<mark>[.,])(?P<parts>[0-9]*))?"
)


def plain(text: str) -> str:
    """`text` with one kind of digit, space, minus and quote, fractions and powers spelled out,
    without invisible characters, quotes around it or a full stop after it."""
    text = _VULGAR_FRACTION.sub(lambda found: f" {found[0]} ", text)
    text = _SUPERSCRIPT.sub(lambda found: f"^{found[0]}", text)
    text = unicodedata.normalize("NFKC", text.translate(_ALIKE)).translate(_ALIKE)
    text = "".join(
        str(unicodedata.decimal(sign)) if sign.isdecimal() else sign
        for sign in text
        if unicodedata.category(sign) != "Cf"
    )
    return " ".join(text.split()).lstrip("\"' ").rstrip("\"' .,;!?")


def quoted(text: str) -> str:
    """`text` in quotes as a reply may hold it: short, and nothing in it that cannot be shown."""
    text = text if len(text) <= 24 else f"{text[:23]}…"
    return '"' + "".join(sign if sign.isprintable() else "\ufffd" for sign in text) + '"'


def numeral(text: str) -> Numeral | Unread:
    """The number that `plain` text starts with, and what follows it; or why there is none."""
    if code := _LETTER_CODE.match(text):
        sign, whole, letter, parts = code.groups()
        return Numeral((float(f"{sign}{whole}.{parts}"),), text[code.end() :].strip(), letter)
    fraction = _FRACTION.match(text)
    if fraction and int(fraction[3]) < int(fraction[4]):  # else a division, to be worked out
        sign, whole, above, below = fraction.groups()
        share = int(whole or 0) + int(above) / int(below)
        return Numeral((-share if sign == "-" else share,), text[fraction.end() :].strip())
    found = _DECIMAL.match(text)
    if not found:
        return Unread(f"I see no number at the start. Write it in digits, {EXAMPLE}.")
    sign, digits = found.groups()
    if ".." in digits:
        return Unread(RANGE)
    power = _POWER.match(text, found.end())
    exponent, rest = (power[1], text[power.end() :]) if power else ("0", text[found.end() :])
    values = tuple(float(f"{sign}{each}e{exponent}") for each in _meanings(digits.strip()))
    if not values:
        seen = quoted(digits.strip())
        return Unread(f"I cannot read {seen} as one number. Write it as 1200 or 1.2.")
    is_zero = not re.search("[1-9]", digits)
    if not is_zero and not all(1 / LARGEST <= abs(value) <= LARGEST for value in values):
        return Unread("That number is beyond any appliance. Check its exponent.")
    return Numeral(values, rest.strip())


def _meanings(digits: str) -> tuple[str, ...]:
    """What a run of digits, marks and spaces can mean, in Python's form; none if no one number."""
    found = _DIGITS.fullmatch(digits)
    if found is None or (found["mark"] and found["mark"] == found["group"]):
        return ()
    whole, group = found["whole"], found["group"] or " "
    grouped = f"{whole.replace(group, '')}.{found['parts'] or 0}"
    if found["mark"] or group not in ".," or whole.count(group) > 1:
        return (grouped,)
    decimal = whole.replace(",", ".")
    return (decimal,) if group == "." else (decimal, grouped)
