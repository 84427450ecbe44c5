"""Text to TOML, and what to say where it is none.

The keys that would overload the parser are refused beforehand: what a key costs grows
with the square of the number of its parts, and a hundred thousand of them fill the memory.
"""

from __future__ import annotations

import re
import tomllib
from typing import Any

from lessonlib.errors import MisreadError, shown

DEEPEST = 20
"""Most parts of a key; an appliance needs two."""

_PART = r"""(?:[A-Za-z0-9_-]++|"(?:\\[^\n]|[^"\\\n])*+"?|'[^'\n]*+'?)"""
# Dots in comments and quoted texts do not count; other runs of parts and dots are keys. A text that
# is not closed ends where the parser gives up on it, so that nothing is read twice.
_TOKEN = re.compile(
    r'''\#[^\n]*+
    | """(?:\\[\s\S]|"(?!"")|[^"\\])*+"{0,5}
    | \'{3}(?:\'(?!\'\')|[^\'])*+\'{0,5}
    | (?P<deep>PART(?:[ \t]*+\.[ \t]*+PART){DEEPEST})
    | (?P<digits>-?[0-9][0-9_]{1000,})
    | PART'''.replace("PART", _PART).replace("DEEPEST", str(DEEPEST)),
    re.VERBOSE,
)

_LINE = re.compile(r"line (\d+)")
_KEY = r"^\s*([\w.-]+)\s*=\s*"

# The first of these that the line matches says what to do; \1 is the key, \2 and \3 the value.
_STEPS = (
    (r"^[^=]*==", "write one = only"),
    (_KEY + r"(\d+),(\d+)\s*(?:#.*)?$", r"write a decimal point: \1 = \2.\3"),
    (
        _KEY + r"(-?[\d.]+)\s*[^\W\d_]+\W*$",
        r"the key has the unit; write the number alone: \1 = \2",
    ),
    (_KEY + r"([^\W\d][\w -]*?)\s*$", r'put words in quotes: \1 = "\2"'),
    (_KEY + r"$", r"write a value after \1 ="),
    (r"^[^=\[\]#]*$", "write it as key = value, or put # before a note"),
)


def parsed(text: str) -> dict[str, Any]:
    """What `text` says. Raises `MisreadError` for invalid TOML, and for a key of more than
    `DEEPEST` parts."""
    # a key is on one line: a file without a line of so many dots need not be searched
    if max(line.count(".") for line in text.split("\n")) >= DEEPEST:
        deep = _first(text, "deep")
        if deep:
            raise MisreadError(
                f"line {deep[0]} has a key of more than {DEEPEST} parts",
                "keys of one or two parts, such as supply.voltage_V",
                "correct the key",
            )
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise MisreadError(
            "brackets nested too deeply",
            "tables and lists as in the bundled appliance files",
            "remove the nested brackets",
        ) from None
    except tomllib.TOMLDecodeError as error:
        found, next_step = misread(text, error)
        raise MisreadError(found, "TOML as in the bundled appliance files", next_step) from error
    except ValueError:  # a number so long that Python refuses to convert it
        line, digits = _first(text, "digits") or (1, "")
        raise MisreadError(
            f"line {line} has a number of {sum(map(str.isdigit, digits)):,} digits",
            "numbers as on a rating plate, such as 1200 or 52.9",
            "correct the number",
        ) from None


def _first(text: str, what: str) -> tuple[int, str] | None:
    """The first token of that kind, after the number of its line."""
    for token in _TOKEN.finditer(text):
        if token.lastgroup == what:
            return text.count("\n", 0, token.start()) + 1, token[0]
    return None


def misread(text: str, error: ValueError) -> tuple[str, str]:
    """What was found and in which line, and the next step, for a person who has never heard of
    TOML."""
    lines = text.splitlines() or [""]
    place = _LINE.search(str(error))
    if place is not None:
        number = min(int(place[1]), len(lines))
    else:  # the end of the text was reached: its last line that says something
        number = max((n for n, line in enumerate(lines, 1) if line.strip()), default=1)
    line = lines[number - 1][:200]
    reason = str(error).split(" (at ")[0]
    found = f"line {number} is not valid TOML: {shown(line.strip())} ({shown(reason, 80)[1:-1]})"
    for pattern, step in _STEPS:
        match = re.search(pattern, line)
        if match:
            return found, match.expand(step)
    if line.count('"') % 2:
        return found, "close the quotes: they come in pairs"
    if any(line.count(a) != line.count(b) for a, b in ("[]", "{}")):
        return found, "close the brackets: they come in pairs"
    return found, "compare the line with a bundled appliance file; it may be the one before it"
