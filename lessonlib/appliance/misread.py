"""What to say about invalid TOML to a person who has never heard of TOML."""

from __future__ import annotations

import re

from lessonlib.errors import shown

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


def misread(text: str, error: ValueError) -> tuple[str, str]:
    """What was found and in which line, and the next step."""
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
