"""The number at the start of a typed text, in the forms people write; what follows is left over.

Digits are checked by patterns, then handed to `int` and `float`; nothing typed is ever evaluated.
No pattern here has a repeat within a repeat over the same characters, so that time grows with the
length of the text and no faster.
"""

from __future__ import annotations

import math
import re
import unicodedata
from dataclasses import dataclass

from lessonlib.questions.spoken import spoken

LARGEST = 1e15
"""No quantity of a small appliance, in any unit read here, comes near it, nor near 1 / LARGEST."""


@dataclass(frozen=True)
class Unread:
    """Text that is no number with a unit; `reason` says why, and what to write instead."""

    reason: str


@dataclass(frozen=True)
class Numeral:
    """A number at the start of a text, and the `rest`. `letter` is the one that stood in place of
    the decimal mark; `share` is whether it was no more than a share in words, such as a quarter.
    There are two `values` only where a comma can be read in two ways."""

    values: tuple[float, ...]
    rest: str
    letter: str = ""
    share: bool = False


EXAMPLE = "such as 1.2 kW"
"""Stands in the reasons below for an example in the unit asked for."""
ONE_NUMBER = f"Write one number, {EXAMPLE}."
RANGE = f"That is a range, a difference or a limit. {ONE_NUMBER}"

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

_SIGN = "([+-]?) ?"
_LETTER_CODE = re.compile(_SIGN + "([0-9]{0,9})([RKMGLrk])([0-9]{1,9})(?![0-9.,])")
_CAPACITANCE_CODE = re.compile("[0-9]{1,9}([pnµuμmF])[0-9]")
_MIXED = re.compile(_SIGN + "([0-9]{1,9}) ([0-9]{1,2}) ?/ ?([1-9][0-9]?)(?![0-9.,/])")
_FRACTION = re.compile(_SIGN + "([0-9]{1,2}) ?/ ?([1-9][0-9]?|100)(?![0-9.,/])")
_DECIMAL = re.compile(
    _SIGN + r"((?:[0-9]|[.,][0-9])[0-9 .,']*)(?:(?<=[0-9.,])[eE]([+-]?[0-9]+)(?![0-9.,]))?"
)
_TIMES_TEN_TO = re.compile(r" ?[xX×·*] ?10 ?(?:\^|\*\*) ?([+-]?[0-9]+)")
_TO_THE = re.compile(r" ?(?:\^|\*\*) ?([+-]?[0-9]+)")
_LIMIT = re.compile("[<>≤≥]=? ?[+-]?[.,]?[0-9]")
_SPACED = re.compile("[1-9][0-9]{0,2}([ '])[0-9]{3}(?:\\1[0-9]{3})*(?:[.,][0-9]*)?")
_COMMA_OR_GROUP = re.compile("[1-9][0-9]{0,2},[0-9]{3}")
_BY_THREES = "[1-9][0-9]{0,2}(?:%s[0-9]{3})+"
_GROUPED = {
    ".": re.compile(_BY_THREES % "[.]"),
    ",": re.compile(_BY_THREES % "," + "|[1-9][0-9]?(?:,[0-9]{2})+,[0-9]{3}"),  # and as in India
}


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
    code = _LETTER_CODE.match(text)
    if code:
        sign, whole, letter, parts = code.groups()
        value = _signed(sign, float(f"{whole or 0}.{parts}"))
        return Numeral((value,), text[code.end() :].strip(), letter)
    capacitance = _CAPACITANCE_CODE.match(text)
    if capacitance:
        return Unread(
            f"With {quoted(capacitance[1])} in place of the decimal mark, {quoted(text)} is a "
            "capacitance. In a resistance the letter is R, K, M or G, or L for thousandths."
        )
    for pattern in (_MIXED, _FRACTION):
        fraction = pattern.match(text)
        if fraction:
            sign, *whole, above, below = fraction.groups()
            if int(above) >= int(below):  # a division that has not been worked out
                break
            share = int(whole[0] if whole else 0) + int(above) / int(below)
            return Numeral((_signed(sign, share),), text[fraction.end() :].strip())
    decimal = _DECIMAL.match(text)
    if decimal:
        return _decimal(decimal, text)
    if _LIMIT.match(text):
        return Unread(RANGE)
    in_words = spoken(text)
    if in_words:
        value, rest, share = in_words
        return Numeral((value,), rest, share=share)
    return Unread(f"I see no number at the start. Write it in digits, {EXAMPLE}.")


def _decimal(found: re.Match[str], text: str) -> Numeral | Unread:
    """The number in digits that was found, with its power of ten."""
    sign, digits, exponent = found.groups()
    digits, rest = digits.strip(), text[found.end() :]
    if exponent is None:
        power = _TIMES_TEN_TO.match(rest)
        if power is None and digits == "10":
            power = _TO_THE.match(rest)
            digits = "1" if power else digits
        if power:
            exponent, rest = power[1], rest[power.end() :]
    if ".." in digits:
        return Unread(RANGE)
    values = tuple(
        _signed(sign, float(f"{meaning}e{exponent or 0}")) for meaning in _meanings(digits)
    )
    if not values:
        return Unread(f"I cannot read {quoted(digits)} as one number. Write it as 1200 or 1.2.")
    if max(map(abs, values)) > LARGEST:
        return Unread("That number is too large for any appliance. Check its exponent.")
    if min(map(abs, values)) < 1 / LARGEST and any(digit in "123456789" for digit in digits):
        return Unread("That number is too small for any appliance. Check its exponent.")
    return Numeral(values, rest.strip())


def _signed(sign: str, value: float) -> float:
    return math.copysign(value, -1 if sign == "-" else 1)


def _meanings(digits: str) -> tuple[str, ...]:
    """What a run of digits, marks and spaces can mean, in Python's form; none if no one number."""
    if _COMMA_OR_GROUP.fullmatch(digits):
        return digits.replace(",", "."), digits.replace(",", "")
    meaning = _one_number(digits)
    return (meaning,) if meaning else ()


def _one_number(digits: str) -> str:
    """The digits in Python's form, or "" when groups or marks do not add up to one number."""
    if " " in digits or "'" in digits:
        if not _SPACED.fullmatch(digits):
            return ""
        digits = digits.replace(" ", "").replace("'", "")
    points, commas = digits.count("."), digits.count(",")
    if points and commas:
        # the mark that comes last is the decimal one; the other groups thousands
        decimal, group = (".", ",") if digits.rfind(".") > digits.rfind(",") else (",", ".")
        whole, _, parts = digits.rpartition(decimal)
        if not _GROUPED[group].fullmatch(whole):
            return ""
        return f"{whole.replace(group, '')}.{parts or 0}"
    if points > 1 or commas > 1:
        mark = "." if points else ","
        return digits.replace(mark, "") if _GROUPED[mark].fullmatch(digits) else ""
    return digits.replace(",", ".")
