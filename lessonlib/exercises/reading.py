"""Typed text to a number and a unit. Nothing typed is ever evaluated.

Read are: decimal point or comma, digits grouped by spaces or apostrophes, an exponent as in 1.2e3,
a fraction of two whole numbers as in 1/9, a unit with or without a space before it, with prefixes
micro to mega, in signs or in English words.
A single comma before three digits ("1,200") can be a decimal comma or a grouping: both values are
given, and the question decides which one was meant.
"""

from __future__ import annotations

import math
import re
import unicodedata
from dataclasses import dataclass

MAX_CHARACTERS = 60
"""Longest answer looked at. An answer is a number and a unit, not an essay."""

_TOO_LARGE = 1e15
"""No quantity of a small appliance in any unit read here comes near it."""


@dataclass(frozen=True)
class Unit:
    """A unit: its `symbol`, the `kind` of quantity, and its size in the kind's SI unit."""

    symbol: str
    kind: str
    size: float = 1.0


@dataclass(frozen=True)
class Reading:
    """A number that was read. `unit` is None when none was typed. `values` are in that unit; there
    are two only where a comma can be read in two ways."""

    values: tuple[float, ...]
    unit: Unit | None


@dataclass(frozen=True)
class Unread:
    """Text that is no number with a unit; `reason` says why, and what to write instead."""

    reason: str


_PREFIXES = {"µ": 1e-6, "m": 1e-3, "k": 1e3, "M": 1e6}
_PREFIX_WORDS = {"micro": "µ", "milli": "m", "kilo": "k", "mega": "M"}

# symbol: (kind, size in SI units, prefixes it is used with, other spellings in lower case)
_UNITS: dict[str, tuple[str, float, str, tuple[str, ...]]] = {
    "W": ("power", 1, "mkM", ("watt", "watts")),
    "V": ("voltage", 1, "mk", ("volt", "volts")),
    "A": ("current", 1, "µmk", ("amp", "amps", "ampere", "amperes")),
    "Ω": ("resistance", 1, "mkM", ("ohm", "ohms", "r")),
    "J": ("energy", 1, "kM", ("joule", "joules")),
    "Wh": ("energy", 3600, "k", ("watthour", "watthours")),
    "VA": ("apparent power", 1, "k", ()),
    "Hz": ("frequency", 1, "k", ("hertz",)),
    "s": ("time", 1, "m", ("sec", "second", "seconds")),
    "min": ("time", 60, "", ("minute", "minutes")),
    "h": ("time", 3600, "", ("hour", "hours")),
    "°C": ("temperature", 1, "", ("c", "degc", "celsius", "degreescelsius")),
    "K": ("temperature difference", 1, "", ("kelvin",)),
    "bar": ("pressure", 1e5, "m", ()),
    "Pa": ("pressure", 1, "k", ()),
    "kg": ("mass", 1, "", ()),
    "%": ("ratio", 0.01, "", ("percent", "percentage")),
    "times": ("ratio", 1, "", ("x", "fold")),
}


def _spellings() -> tuple[dict[str, Unit], dict[str, Unit]]:
    """Every unit with every prefix, by exact spelling and by lower case. Where two differ in case
    only (mW, MW) the lower-case spelling is the smaller one's own."""
    exact: dict[str, Unit] = {}
    folded: dict[str, Unit] = {}
    for symbol, (kind, size, prefixes, words) in _UNITS.items():
        plain = Unit(symbol, kind, size)
        exact[symbol] = plain
        for word in (symbol, *words):
            folded.setdefault(word.lower(), plain)
        for prefix in prefixes:
            unit = Unit(prefix + symbol, kind, size * _PREFIXES[prefix])
            exact[unit.symbol] = unit
            folded.setdefault(unit.symbol.lower(), unit)
            for name, short in _PREFIX_WORDS.items():
                if short == prefix:
                    for word in words:
                        folded.setdefault(name + word, unit)
            for word in words:
                exact.setdefault(prefix + word, unit)
                folded.setdefault((prefix + word).lower(), unit)
    # Mw, MOhm: the prefix letter is what tells mega from milli, whatever the case of the rest.
    for unit in list(exact.values()):
        if unit.symbol.startswith("M"):
            for spelling, found in list(exact.items()):
                if found is unit:
                    exact.setdefault("M" + spelling[1:].lower(), unit)
    return exact, folded


_EXACT, _FOLDED = _spellings()

_NUMBER = re.compile(r"([+-]?) ?((?:[0-9]|[.,][0-9])[0-9 .,']*)(?:[eE]([+-]?[0-9]{1,3}))?")
_FRACTION = re.compile(r"([+-]?[0-9]{1,9}) ?/ ?([1-9][0-9]{0,8})(?![0-9.,/])")
_GROUPED = re.compile(r"[0-9]{1,3}(?:[ ']?[0-9]{3})+(?:[.,][0-9]*)?")
_LEAD_IN = re.compile(r"(?:about|approx\.?|approximately|roughly|ca\.?|circa|[~≈])")


def find_unit(symbol: str) -> Unit | None:
    """The unit that `symbol` spells, such as "kW", "ohms" or "°C"; None for no unit known here."""
    text = "".join(unicodedata.normalize("NFKC", symbol[:MAX_CHARACTERS]).split())
    text = text.replace("μ", "µ").replace("º", "°").rstrip(".")
    if text in _EXACT:
        return _EXACT[text]
    if text[:1] in ("u", "μ", "µ") and "µ" + text[1:] in _EXACT:
        return _EXACT["µ" + text[1:]]
    return _FOLDED.get(text.lower())


def read_quantity(text: str) -> Reading | Unread:
    """The number and unit in `text`, or why there is none. Never raises for any text."""
    if len(text) > MAX_CHARACTERS:
        return Unread(
            f"That is {len(text)} characters long. Write one number and its unit, such as 1.2 kW."
        )
    typed = " ".join(unicodedata.normalize("NFKC", text).split())
    if "=" in typed:  # "P = 1.2 kW": what counts stands after the last equals sign
        typed = typed.rpartition("=")[2].strip()
    typed = typed.replace("−", "-").replace("–", "-").replace("’", "'")
    lead_in = _LEAD_IN.match(typed.lower())
    if lead_in:
        typed = typed[lead_in.end() :].strip()
    if not typed:
        return Unread("Nothing is typed yet. Write a number and its unit, such as 1.2 kW.")
    fraction = _FRACTION.match(typed)
    if fraction:
        share = int(fraction[1]) / int(fraction[2])
        return _with_unit((share,), typed[fraction.end() :].strip())
    found = _NUMBER.match(typed)
    if not found:
        return Unread("I see no number at the start. Write it in digits, such as 1.2 kW.")
    sign, digits, exponent = found.groups()
    values = tuple(
        math.copysign(value, -1 if sign == "-" else 1)
        for value in _numbers(digits.strip(), int(exponent or 0))
    )
    if not values:
        return Unread(f'I cannot read "{digits.strip()}" as one number. Write it as 1200 or 1.2.')
    if any(not math.isfinite(value) or abs(value) > _TOO_LARGE for value in values):
        return Unread("That number is too large for any appliance. Check its exponent.")
    return _with_unit(values, typed[found.end() :].strip())


def written(value: float, unit: str = "") -> str:
    """`value` to five significant figures with its unit, in full digits: "1200 W", "0.45 A"."""
    if value == 0 or not math.isfinite(value):
        digits = "0" if value == 0 else str(value)
    else:
        places = max(0, 4 - math.floor(math.log10(abs(value))))
        digits = f"{value:.{min(places, 12)}f}"
        digits = digits.rstrip("0").rstrip(".") if "." in digits else digits
    if unit in ("", "times"):
        return f"{digits} {unit}".strip()
    return f"{digits} {unit}"


def _with_unit(values: tuple[float, ...], rest: str) -> Reading | Unread:
    """The values with the unit that `rest` spells."""
    if not rest:
        return Reading(values, None)
    unit = find_unit(rest)
    if unit is None and rest[0] in "/⁄*^+-x×:":
        return Unread("That is a sum. Work it out first, then write one number and its unit.")
    if unit is None:
        return Unread(
            f'I read the number, but not the unit "{rest}". Write it as W, kW, V, A or Ω.'
        )
    return Reading(values, unit)


def _numbers(digits: str, exponent: int) -> tuple[float, ...]:
    """What a run of digits, points, commas and spaces can mean; empty when it is no number."""
    if re.fullmatch(r"[1-9][0-9]{0,2},[0-9]{3}", digits):
        meanings = [digits.replace(",", "."), digits.replace(",", "")]
    else:
        meanings = [_one_number(digits)]
    return tuple(float(f"{number}e{exponent}") for number in meanings if number)


def _one_number(digits: str) -> str:
    """The digits in Python's form, or "" when groups or marks do not add up to one number."""
    if " " in digits or "'" in digits:
        if not _GROUPED.fullmatch(digits):
            return ""
        digits = digits.replace(" ", "").replace("'", "")
    points, commas = digits.count("."), digits.count(",")
    if points and commas:
        # the mark that comes last is the decimal one; the other groups thousands
        decimal, group = (".", ",") if digits.rfind(".") > digits.rfind(",") else (",", ".")
        whole, _, fraction = digits.rpartition(decimal)
        if decimal in whole or not _in_groups(whole, group):
            return ""
        return f"{whole.replace(group, '')}.{fraction or 0}"
    if points > 1 or commas > 1:
        mark = "." if points else ","
        return digits.replace(mark, "") if _in_groups(digits, mark) else ""
    return digits.replace(",", ".")


def _in_groups(whole: str, mark: str) -> bool:
    """Whether `whole` is digits in groups of three, parted by `mark`."""
    first, *others = whole.split(mark)
    return 1 <= len(first) <= 3 and all(len(group) == 3 for group in others)
