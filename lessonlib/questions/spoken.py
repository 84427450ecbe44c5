"""A number in English words: "twelve hundred watts", "one point two kW", "two and a half kW",
"half a kilowatt", "three quarters". Below a million."""

from __future__ import annotations

import re

_ONES = ["one", "two", "three", "four", "five", "six", "seven", "eight", "nine"]
_TEENS = ["ten", "eleven", "twelve"]
_TEENS += [f"{stem}teen" for stem in ("thir", "four", "fif", "six", "seven", "eigh", "nine")]
_TENS = [f"{stem}ty" for stem in ("twen", "thir", "for", "fif", "six", "seven", "eigh", "nine")]
_PARTS = ["half", "third", "quarter", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth"]

_VALUE: dict[str, int] = {"a": 1, "an": 1, "zero": 0}
_VALUE |= {word: value for value, word in enumerate(_ONES + _TEENS, 1)}
_VALUE |= {word: value for value, word in zip(range(20, 100, 10), _TENS, strict=True)}
_BELOW = {word: below for below, word in enumerate(_PARTS, 2)} | {"halve": 2}


def _any(words: list[str]) -> str:
    return "(?:" + "|".join(sorted(words, key=len, reverse=True)) + ")"


_HUNDREDTH = rf"(?:{_any(_TENS)}(?: {_any(_ONES)}\b)?|{_any(_TEENS)}|{_any(_ONES)})\b"
_GROUP = rf"(?:(?:{_HUNDREDTH}|a) hundred\b(?:(?: and)? {_HUNDREDTH})?|{_HUNDREDTH})"
_WHOLE = rf"(?:(?:{_GROUP}|a) thousand\b(?:(?: and)? {_GROUP})?|{_GROUP}|zero\b)"
_PART = rf"(?:(an?|{_any(_ONES + _TEENS)}) )?({_any(list(_BELOW))})s?\b"

_SHARE = re.compile(rf"(minus )?{_PART}(?: of)?(?: an?\b)?", re.IGNORECASE | re.ASCII)
_NUMBER = re.compile(
    rf"(minus )?({_WHOLE})(?: point((?: {_any(['zero', *_ONES])}\b)+)| and {_PART})?",
    re.IGNORECASE | re.ASCII,
)


def spoken(text: str) -> tuple[float, str, bool] | None:
    """The number in words that `text` starts with, what follows it, and whether it is no more than
    a share, such as a quarter; None where it starts with no number."""
    spaced = text.replace("-", " ")
    share = _SHARE.match(spaced)
    if share:
        sign, above, below = share.groups()
        if above or below.lower() in ("half", "quarter"):
            return _signed(sign, _part(above or "a", below)), text[share.end() :].strip(), True
    number = _NUMBER.match(spaced)
    if not number:
        return None
    sign, whole, digits, above, below = number.groups()
    value = _whole(whole)
    if digits:
        behind = "".join(str(_VALUE[word]) for word in digits.lower().split())
        value = float(f"{value:.0f}.{behind}")
    elif below:
        value += _part(above or "a", below)
    return _signed(sign, value), text[number.end() :].strip(), False


def _whole(words: str) -> float:
    total = group = 0.0
    for word in re.findall("[a-z]+", words.lower()):
        if word == "hundred":
            group *= 100
        elif word == "thousand":
            total, group = group * 1000, 0
        elif word != "and":
            group += _VALUE[word]
    return total + group


def _part(above: str, below: str) -> float:
    return _VALUE[above.lower()] / _BELOW[below.lower()]


def _signed(sign: str | None, value: float) -> float:
    return -value if sign else value
