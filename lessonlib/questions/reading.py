"""Typed text to a number and a unit. Nothing typed is ever evaluated.

Numbers: decimal point or comma, digits grouped by spaces, apostrophes, points or commas, digits of
any script; 1.2e3 and 1.2 × 10³; ½ and 2½; a letter in place of the decimal mark, as in 4k7
(R, K, M, G: IEC 60062, as encyclopedias quote it under "RKM code"; a small k and r are read too).
Times also as 12 min 30 s. Before the number may stand a name with an equals sign or a colon, and a
word for "about". Units: with prefixes, in signs or in English, with "r.m.s.", "AC" or "each" after
them.

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
from lessonlib.questions.units import unqualified, with_prefix

MAX_CHARACTERS = 60
"""Longest answer looked at. An answer is a number and a unit, not an essay."""


@dataclass(frozen=True)
class TypedQuantity:
    """A number with its unit, as typed. `unit` is None when none was typed. `values` are in that
    unit; there are two only where a comma can be read in two ways."""

    values: tuple[float, ...]
    unit: Unit | None


_ABOUT = re.compile(
    r"(?:(?:about|around|approximately|approx|roughly|circa|ca|c)\b\.?|~) ?", re.IGNORECASE
)
# a name with = or a colon; between two digits a colon makes a time of the day, or a ratio
_NAMED = re.compile(r"(?:[^\W\d][\w .()']*)?(?:[=~]|(?<!\d):|:(?!\d))[=~]? ?")
_TIME = re.compile(
    "([0-9]{1,6}) ?(h|hours?|min|mins|minutes?)[ ,]*(?:and )?"
    "([0-9]{1,2}(?:[.,][0-9]{1,6})?) ?(min|mins|minutes?|s|secs?|seconds?)?",
    re.IGNORECASE,
)
_SPAN = re.compile(r"[-~]|\.\.|\+/-|\b(?:to|or|until)\b")
_SUM = re.compile(r"[-+*/^×·=%]|x ?(?=[0-9(])")
_NOTHING = re.compile(
    "nothing|none|nil|zero|off|no(?: power| current| voltage| heat)?", re.IGNORECASE
)
_CAN_BE_NOTHING = ("power", "current", "voltage", "apparent power")
_OHM = Unit("Ω", "resistance")


def read_quantity(text: str, asked: Unit | None = None) -> TypedQuantity | Unread:
    """The number and unit in `text`, or why there is none. Never raises for any text.

    `asked`, the unit that the question asks for, decides where a letter can be read in two ways:
    47K is 47 kΩ if ohms are asked and 47 kelvin otherwise; the k of 1.2k belongs to that unit, or
    to ohms; degrees are °C unless K is asked. "None" and "off" are zero where watts, volts,
    amperes or a bare number are asked for.
    """
    found = _read(text, asked)
    if isinstance(found, Unread) and EXAMPLE in found.reason:
        example = written(1.2, asked.symbol if asked else "")
        return Unread(found.reason.replace(EXAMPLE, f"such as {example}"))
    return found


def _read(text: str, asked: Unit | None) -> TypedQuantity | Unread:
    if len(text) > MAX_CHARACTERS:
        return Unread(f"That is {len(text)} characters long. {ONE_NUMBER}")
    typed = plain(text)
    if not typed:
        return Unread(f"Nothing is typed yet. {ONE_NUMBER}")
    for lead_in in (_NAMED, _ABOUT):
        found = lead_in.match(typed)
        typed = typed[found.end() :] if found else typed
    if "=" in typed:
        return Unread(f"That is an equation. Write only its result, {EXAMPLE}.")
    if quantity := _nothing(typed, asked) or _time(typed):
        return quantity
    number = numeral(typed)
    if isinstance(number, Unread):
        return number
    if number.letter:
        unit = _unit_of_code(number, asked)
    else:
        unit = _unit(number.rest, asked) or _unit(unqualified(number.rest), asked)
        if unqualified(number.rest) == "":  # "450 each"
            return TypedQuantity(number.values, None)
    return TypedQuantity(number.values, unit) if unit else _no_unit(number, asked)


def _nothing(typed: str, asked: Unit | None) -> TypedQuantity | Unread | None:
    """A word for nothing as zero, or how to write zero ohms; None for any other text."""
    if not _NOTHING.fullmatch(typed):
        return None
    if asked is None or asked.kind in _CAN_BE_NOTHING:
        return TypedQuantity((0.0,), asked)
    if asked.kind == _OHM.kind:
        return Unread("Write 0 Ω if it is as good as a wire, OL if there is no way through.")
    return None


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


def _unit_of_code(number: Numeral, asked: Unit | None) -> Unit | None:
    """The unit of a number with R, k, M or G in place of its decimal mark: of what follows it, of
    what was asked, or ohms; None where a unit follows that does not go with the letter."""
    only_ohms = number.letter in "Rr"
    prefix = "" if only_ohms else number.letter.replace("K", "k")
    if number.rest:
        named = find_unit(number.rest)
        fits = named and not named.prefix and (named.kind == _OHM.kind or not only_ohms)
        return with_prefix(prefix, named) if named and fits else None
    completed = with_prefix(prefix, asked) if asked and not only_ohms else None
    return completed or with_prefix(prefix, _OHM)


def _time(typed: str) -> TypedQuantity | None:
    """A time as 1 h 05 min, 12 min 30 s or 1h05, in the smaller unit; None for anything else."""
    found = _TIME.fullmatch(typed)
    if found is None:
        return None
    whole, large, parts, small = found.groups()
    below = find_unit("min" if large[0] in "hH" else "s")
    if small and find_unit(small) != below:
        return None
    return TypedQuantity((int(whole) * 60 + float(parts.replace(",", ".")),), below)


def _no_unit(number: Numeral, asked: Unit | None) -> Unread:
    """Why what follows the number is no unit."""
    rest = number.rest.lower()
    between = re.split("[0-9]", rest, maxsplit=1)[0]
    more = between != rest
    if more and _SPAN.search(between):
        return Unread(RANGE)
    if _SUM.match(rest) or (more and _SUM.search(f"{between}0")):
        return Unread(
            f"That is a calculation. Work it out first, then write one number, {EXAMPLE}."
        )
    if more:
        return Unread(f"I see more than one number. {ONE_NUMBER}")
    seen = " or ".join(written(value) for value in number.values)
    wanted = f"Write it as {asked.symbol}." if asked else "Write the number alone."
    return Unread(f"I read {seen}, but not the unit {quoted(number.rest)}. {wanted}")
