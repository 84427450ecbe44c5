"""The units that a typed answer may carry, in the spellings people use."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass


@dataclass(frozen=True)
class Unit:
    """A unit: its `symbol`, the `kind` of quantity, its size in the kind's SI unit, and the
    `prefix` that its symbol begins with, if any."""

    symbol: str
    kind: str
    size: float = 1.0
    prefix: str = ""


_PREFIXES = {"": 1.0, "µ": 1e-6, "m": 1e-3, "k": 1e3, "M": 1e6, "G": 1e9}
_PREFIX_WORDS = {"": "", "µ": "micro", "m": "milli", "k": "kilo", "M": "mega", "G": "giga"}

_PSI = 0.45359237 * 9.80665 / 0.0254**2
"""Pascals in a pound-force on a square inch: definitions of pound, standard gravity and inch."""

_ADDED = re.compile(
    r"[ ,.(]*(?:a\.?c|r\.?m\.?s|~|each|apiece|per element|(?:in )?total|altogether|in all)[ .)]*$",
    re.IGNORECASE,
)

_DEGREES = (
    *("c", "degc", "degreec", "degreesc", "celsius", "degreecelsius", "degreescelsius"),
    *("°", "deg", "degree", "degrees"),
)

# symbol: (kind, size in SI units, prefixes it is used with, other spellings in lower case)
_UNITS: dict[str, tuple[str, float, str, tuple[str, ...]]] = {
    "W": ("power", 1, "mkM", ("watt", "watts")),
    "V": ("voltage", 1, "mk", ("volt", "volts")),
    "A": ("current", 1, "µmk", ("amp", "amps", "ampere", "amperes")),
    "Ω": ("resistance", 1, "mkMG", ("ohm", "ohms", "r")),
    "J": ("energy", 1, "kM", ("joule", "joules")),
    "Wh": ("energy", 3600, "k", ("watthour", "watthours")),
    "VA": ("apparent power", 1, "k", ()),
    "Hz": ("frequency", 1, "k", ("hertz",)),
    "s": ("time", 1, "m", ("sec", "secs", "second", "seconds")),
    "min": ("time", 60, "", ("mins", "minute", "minutes")),
    "h": ("time", 3600, "", ("hr", "hrs", "hour", "hours")),
    "°C": ("temperature", 1, "", _DEGREES),
    "K": ("temperature difference", 1, "", ("kelvin", "kelvins")),
    "bar": ("pressure", 1e5, "m", ()),
    "psi": ("pressure", _PSI, "", ()),
    "psi(g)": ("gauge pressure", _PSI, "", ("psig", "psigauge", "psi(gauge)")),
    "psi(a)": ("absolute pressure", _PSI, "", ("psia", "psiabs", "psiabsolute", "psi(abs)")),
    "bar(g)": ("gauge pressure", 1e5, "m", ("barg", "bargauge", "bar(gauge)")),
    "bar(a)": ("absolute pressure", 1e5, "m", ("bara", "barabs", "barabsolute", "bar(abs)")),
    "Pa": ("pressure", 1, "k", ("pascal", "pascals")),
    "g": ("mass", 1e-3, "k", ("gram", "grams", "gramme", "grammes")),
    "%": ("ratio", 0.01, "", ("percent", "percentage")),
    "times": ("ratio", 1, "", ("x", "fold")),
}


def _spellings() -> tuple[dict[str, Unit], dict[str, Unit]]:
    """Units by symbol, and by spelling in lower case but for the first letter, which tells mW from
    MW."""
    symbols: dict[str, Unit] = {}
    headed: dict[str, Unit] = {}
    for symbol, (kind, size, prefixes, words) in _UNITS.items():
        for prefix in ("", *prefixes):
            unit = Unit(prefix + symbol, kind, size * _PREFIXES[prefix], prefix)
            symbols[unit.symbol] = unit
            spelled = [prefix + name for name in (symbol, *words)]
            spelled += [_PREFIX_WORDS[prefix] + word for word in words]
            # kilohm and megohm drop a vowel
            spelled += [_PREFIX_WORDS[prefix][:-1] + word for word in words if word[0] == "o"]
            for name in spelled:
                headed.setdefault(name[:1] + name[1:].lower(), unit)
    return symbols, headed


_SYMBOLS, _HEADED = _spellings()
_FOLDED = {name.lower(): unit for name, unit in reversed(_HEADED.items())}  # the first one counts


def find_unit(symbol: str) -> Unit | None:
    """The unit that `symbol` spells, such as "kW", "ohms" or "°C"; None for no unit known here."""
    text = symbol.replace("º", "°").replace("˚", "°")
    text = "".join(unicodedata.normalize("NFKC", text).split())
    text = text.replace("μ", "µ").replace("-", "").replace("·", "").rstrip(".")
    if text[:1] == "u":
        text = "µ" + text[1:]
    headed = _HEADED.get(text[:1] + text[1:].lower())
    if headed is not None:
        return headed
    folded = _FOLDED.get(text.lower())
    if text == "k":  # kilo, and no kelvin
        return None
    if text[:1] == "M" and folded is not None and folded == _HEADED.get("m" + text[1:].lower()):
        # a capital M is mega, never milli: only words and minutes may begin with it
        return folded if text.lower().startswith(("milli", "min")) else None
    return folded


def unqualified(spelled: str) -> str:
    """The unit without what people add to it: "230 VAC", "5 A r.m.s.", "450 W each"."""
    while (bare := _ADDED.sub("", spelled)) != spelled:
        spelled = bare
    return spelled


def with_prefix(prefix: str, unit: Unit) -> Unit | None:
    """`unit`, stripped of its own prefix, with `prefix` ("" for none); None where there is no such
    unit here."""
    return _SYMBOLS.get(prefix + unit.symbol.removeprefix(unit.prefix))


def units_of(kind: str) -> tuple[Unit, ...]:
    """Every unit of a kind of quantity."""
    return tuple(unit for unit in _SYMBOLS.values() if unit.kind == kind)
