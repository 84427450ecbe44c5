"""Typed text to a number and a unit. Nothing typed is ever evaluated.

Numbers: decimal point or comma, digits grouped by spaces, apostrophes, points or commas, digits of
any script; 1.2e3 and 1.2 × 10³; ½ and 2½; a letter in place of the decimal mark, as in 4k7
(R, K, M, G, and L for thousandths: IEC 60062, as encyclopedias quote it under "RKM code"; a small k
and r are read too); English words (`spoken`). Times also as 12 min 30 s or 12:30 min. Before the
number may stand a name with an equals sign or a colon, and a word for "about". Units: with
prefixes, in signs or in English, with "r.m.s.", "AC" or "each" after them; °F comes out in °C.

A fraction below one of whole numbers up to 100, such as 1/9, is a number. Every other division is
a calculation, like a sum, and is refused: it is the learner's to work out.

A single comma before three digits ("1,200") can be a decimal comma or a grouping: both values are
given, and the question decides which one was meant. A single point is a decimal point.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from lessonlib.questions.numerals import EXAMPLE, ONE_NUMBER, RANGE, Numeral, numeral, plain, quoted
from lessonlib.questions.numerals import Unread as Unread
from lessonlib.questions.units import Unit as Unit
from lessonlib.questions.units import find_unit as find_unit
from lessonlib.questions.units import is_fahrenheit, unqualified, with_prefix

MAX_CHARACTERS = 60
"""Longest answer looked at. An answer is a number and a unit, not an essay."""


@dataclass(frozen=True)
class TypedQuantity:
    """A number with its unit, as typed. `unit` is None when none was typed. `values` are in that
    unit; there are two only where a comma can be read in two ways. `fahrenheit` is whether they
    were typed in °F."""

    values: tuple[float, ...]
    unit: Unit | None
    fahrenheit: bool = False


_ABOUT = re.compile(
    r"(?:(?:about|around|approximately|approx|roughly|circa|ca|c)\b\.?|~) ?", re.IGNORECASE
)
# a name with = or a colon; between two digits a colon makes a time of the day, or a ratio
_NAMED = re.compile(r"(?:[^\W\d][\w .()']*)?(?:[=~]|(?<!\d):|:(?!\d))[=~]? ?")
_TIME_PART = re.compile("([0-9]{1,6}(?:[.,][0-9]{1,6})?) ?([a-z]*)[ ,]*(?:and )?", re.IGNORECASE)
_CLOCK = re.compile("([0-9]{1,4}):([0-9]{1,2})(?![0-9:]) ?(.*)")
_SPAN = re.compile(r"[-~]|\.\.|\+/-|\b(?:to|or|until)\b")
_SUM = re.compile(r"[-+*/^×·:=%]|x ?(?=[0-9(])")
_NOTHING = re.compile("nothing|none|nil|off|no(?: power| current| voltage| heat)?", re.IGNORECASE)
_CAN_BE_NOTHING = ("power", "current", "voltage", "apparent power")
_OHM = Unit("Ω", "resistance")


def read_quantity(text: str, asked: Unit | None = None) -> TypedQuantity | Unread:
    """The number and unit in `text`, or why there is none. Never raises for any text.

    `asked`, the unit that the question asks for, decides where a letter can be read in two ways:
    47K is 47 kΩ if ohms are asked and 47 kelvin otherwise; the k of 1.2k belongs to that unit, or
    to ohms; degrees are °C unless K is asked. "None" and "off" are zero where watts, volts or
    amperes are asked for, and "none" is where a bare number is.
    """
    found = _read(text, asked)
    if isinstance(found, Unread) and EXAMPLE in found.reason:
        return Unread(found.reason.replace(EXAMPLE, f"such as {written(1.2, _symbol(asked))}"))
    return found


def _symbol(asked: Unit | None) -> str:
    return asked.symbol if asked else ""


def _read(text: str, asked: Unit | None) -> TypedQuantity | Unread:
    if len(text) > MAX_CHARACTERS:
        return Unread(f"That is {len(text)} characters long. {ONE_NUMBER}")
    typed = plain(text)
    if not typed:
        return Unread(f"Nothing is typed yet. {ONE_NUMBER}")
    for lead_in in (_NAMED, _ABOUT):
        found = lead_in.match(typed)
        typed = typed[found.end() :] if found else typed
    if "=" in typed and not typed.startswith((">", "<")):
        return Unread(f"That is an equation. Write only its result, {EXAMPLE}.")
    time = _clock(typed) or _time_in_parts(typed)
    if time is not None:
        return time
    number = numeral(typed)
    if isinstance(number, Unread):
        return _nothing(typed, asked) or number
    if number.letter:
        return _coded(number, typed, asked)
    rest = number.rest
    unit = _unit(rest, asked) if rest else None
    if rest and unit is None:
        if is_fahrenheit(rest, asked):
            celsius = tuple((value - 32) / 1.8 for value in number.values)
            return TypedQuantity(celsius, find_unit("°C"), fahrenheit=True)
        rest = unqualified(rest)
        unit = _unit(rest, asked) if rest else None
        if rest and unit is None:
            return _no_unit(number, asked)
    if number.share and unit is None and asked is not None and asked.kind != "ratio":
        return Unread(f"{quoted(typed)} of what? Work it out. {ONE_NUMBER}")
    return TypedQuantity(number.values, unit)


def _nothing(typed: str, asked: Unit | None) -> TypedQuantity | Unread | None:
    """A word for nothing as zero, or how to write zero; None for any other text."""
    if not _NOTHING.fullmatch(typed):
        return None
    if asked is not None and asked.kind in _CAN_BE_NOTHING:
        return TypedQuantity((0.0,), asked)
    if asked is None and typed.lower() in ("nothing", "none", "nil"):
        return TypedQuantity((0.0,), None)
    if asked is not None and asked.kind == _OHM.kind:
        return Unread("Write 0 Ω if it is as good as a wire, OL if there is no way through.")
    return Unread(f"If you mean zero, write {written(0.0, _symbol(asked))}.")


def written(value: float, unit: str = "", figures: int = 5) -> str:
    """`value` to so many significant figures with its unit, in full digits: "1200 W", "0.45 A"."""
    if value == 0 or not math.isfinite(value):
        digits = "0" if value == 0 else str(value)
    else:
        places = max(0, figures - 1 - math.floor(math.log10(abs(value))))
        digits = f"{value:.{places}f}"
        digits = digits.rstrip("0").rstrip(".") if "." in digits else digits
    return f"{digits} {unit}".strip()


def _unit(rest: str, asked: Unit | None) -> Unit | None:
    """The unit that `rest` spells; a prefix alone is completed by what was asked."""
    if rest in ("k", "M", "G") or (rest == "K" and asked is not None and asked.kind == _OHM.kind):
        return with_prefix(rest.replace("K", "k"), asked or _OHM)
    unit = find_unit(rest)
    bare_degrees = unit is not None and unit.symbol == "°C" and "c" not in rest.lower()
    if bare_degrees and asked is not None and asked.kind == "temperature difference":
        return asked
    return unit


def _coded(number: Numeral, typed: str, asked: Unit | None) -> TypedQuantity | Unread:
    """A number with a letter in place of its decimal mark: R, k, M, G, or L for thousandths."""
    prefix = {"R": "", "r": "", "L": "m", "K": "k"}.get(number.letter, number.letter)
    resistance = with_prefix(prefix, _OHM) or _OHM
    unit: Unit | None = resistance
    only_ohms = number.letter in "RrL"
    if number.rest:
        named = find_unit(number.rest)
        if named is None or named.prefix or (only_ohms and named.kind != _OHM.kind):
            unit = None
        else:
            unit = with_prefix(prefix, named)
    elif asked is not None and not only_ohms:
        unit = with_prefix(prefix, asked) or resistance
    if unit is not None:
        return TypedQuantity(number.values, unit)
    seen = written(number.values[0], resistance.symbol)
    code = typed.removesuffix(number.rest).strip()
    return Unread(
        f"I read {quoted(code)} as {seen}, and {quoted(number.rest)} does not fit after it. "
        f"Write the number with a decimal mark and one unit, such as {seen}."
    )


def _clock(typed: str) -> TypedQuantity | Unread | None:
    """A time as 12:30 min or 1:05 h, in the smaller unit; None for anything else."""
    found = _CLOCK.fullmatch(typed)
    if found is None:
        return None
    whole, minor, named = found.groups()
    unit = find_unit(named)
    if unit is None or unit.symbol not in ("min", "h") or len(minor) == 1 or int(minor) >= 60:
        return Unread(
            f"{whole}:{minor} can be minutes and seconds, hours and minutes, or a ratio. "
            "Write it as 12 min 30 s, 1 h 5 min, or 1/4."
        )
    return TypedQuantity((float(int(whole) * 60 + int(minor)),), _below(unit))


def _time_in_parts(typed: str) -> TypedQuantity | None:
    """A time as 1 h 05 min, 2m30s or 1h05, in the smallest unit named; None for anything else."""
    parts: list[tuple[float, Unit]] = []
    end, shortened = 0, ""
    while found := _TIME_PART.match(typed, end):
        unit = find_unit("min" if found[2] == "m" else found[2])
        if not found[2] and parts and shortened != "m":  # 1h05 is a time, 4m7 is none
            unit = _below(parts[-1][1])
        shortened = found[2]
        if unit is None or unit.kind != "time":
            return None
        if parts and (unit.size >= parts[-1][1].size or not parts[-1][0].is_integer()):
            return None
        parts.append((float(found[1].replace(",", ".")), unit))
        end = found.end()
    if end < len(typed) or len(parts) < 2:
        return None
    smallest = parts[-1][1]
    return TypedQuantity(
        (sum(value * (unit.size / smallest.size) for value, unit in parts),), smallest
    )


def _below(unit: Unit) -> Unit | None:
    """The next smaller unit of time, as on a clock."""
    return find_unit({"h": "min", "min": "s"}.get(unit.symbol, ""))


def _no_unit(number: Numeral, asked: Unit | None) -> Unread:
    """Why what follows the number is no unit."""
    between = re.split("[0-9]", number.rest, maxsplit=1)[0].lower()
    if between != number.rest.lower():
        if _SPAN.search(between):
            return Unread(RANGE)
        if not _SUM.search(f"{between}0"):
            return Unread(f"I see more than one number. {ONE_NUMBER}")
    if _SUM.match(number.rest) or between != number.rest.lower():
        fraction = " Only a fraction below one, such as 1/3, counts as a number."
        return Unread(
            f"That is a calculation. Work it out first, then write one number, {EXAMPLE}."
            f"{fraction if '/' in number.rest else ''}"
        )
    seen = " or ".join(written(value) for value in number.values)
    wanted = f"Write it as {asked.symbol}." if asked else "Write the number alone."
    return Unread(f"I read {seen}, but not the unit {quoted(number.rest)}. {wanted}")
