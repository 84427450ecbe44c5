"""Text to TOML, and what to say where it is none."""

from __future__ import annotations

import re
import tomllib
from typing import Any

from lessonlib.errors import MisreadError, shown

MOST_DOTS = 200
"""Most dots in a line. What a key costs to parse grows with the square of the number of its parts:
a hundred thousand of them would fill the memory."""

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
    """What `text` says. Raises `MisreadError` for invalid TOML, and for a line of more than
    `MOST_DOTS` dots."""
    lines = list(enumerate(text.split("\n"), 1))
    for number, line in lines:
        if line.count(".") > MOST_DOTS:
            found = f"line {number} has {line.count('.'):,} dots"
            raise MisreadError(found, f"at most {MOST_DOTS} in a line", "shorten the line")
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
    except ValueError:  # Python refuses to convert it
        place = next((f"line {n} has " for n, line in lines if re.search(r"\d{1000}", line)), "")
        raise MisreadError(
            f"{place}a number of thousands of digits",
            "numbers as on a rating plate, such as 1200 or 52.9",
            "correct the number",
        ) from None


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
