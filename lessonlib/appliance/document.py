"""Text to TOML; refuses beforehand the keys that would overload the parser.

What a key costs grows with the square of the number of its parts: a hundred thousand of them fill
the memory.
"""

from __future__ import annotations

import re
import tomllib
from typing import Any

from lessonlib.appliance.misread import misread
from lessonlib.errors import MisreadError

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
