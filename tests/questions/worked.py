"""Worked answers, read back: the figures in them, and whether their equations are true."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

_UNIT = r"(?:W/K|K/W|J/K|°C|MJ|kg|bar|min|mA|kΩ|[WVAΩJKs%])"
_FIGURE = re.compile(rf"(?<![\w.,])([0-9]+(?:\.[0-9]+)?)(?: ({_UNIT})(?!\w))?")
_SUM = rf"(?:(?<![\w.])[0-9]+(?:\.[0-9]+)?|(?:{_UNIT})(?!\w)|ln(?=\()|[×÷+−()²√ ])+"
_EXPRESSION = re.compile(f"{_SUM}$")
_IN_PYTHON = {"×": "*", "÷": "/", "−": "-", "²": "**2", "√(": "sqrt("}
_SIZE = {"MJ": "*1e6", "%": "*0.01"}  # volts divided by kΩ are mA: these two need no factor


def figures(text: str) -> set[tuple[float, str]]:
    """Every figure in a text, with its unit where it has one."""
    return {(float(found[1]), found[2] or "") for found in _FIGURE.finditer(text)}


def false_equations(lines: Sequence[str]) -> list[str]:
    """The equations such as "230 V ÷ 46 Ω = 5 A" that are off by more than rounding. One that
    begins with a sign goes on from the last figure in the unit of its result."""
    wrong, text = [], "\n".join(lines)
    for sign in re.finditer(" = ", text):
        expression = _EXPRESSION.search(text[: sign.start()])
        result = _FIGURE.match(text[sign.end() :])
        if not (expression and result and re.search("[×÷+−²]", expression[0])):
            continue
        steps = expression[0].strip()
        if steps[0] in "×÷+−":
            if not text[: expression.start()].endswith(":"):
                continue  # it goes on from something named in words
            earlier = _FIGURE.finditer(text[: expression.start()])
            steps = [found[1] for found in earlier if found[2] == result[2]][-1] + steps
        if not math.isclose(_value(steps), _value(result[0]), rel_tol=0.01):
            wrong.append(f"{steps} is {_value(steps):.5g}, not {result[0]}")
    return wrong


def unexplained(lines: Sequence[str], known: str) -> list[str]:
    """The figures with a unit that stand in no equation, nor in `known`, and are not nothing."""
    given, text = figures(known), "\n".join(lines)
    sums = [match.span() for match in re.finditer(rf"{_SUM} = [0-9.]+(?: {_UNIT})?", text)]
    used = figures(" ".join(text[begin:end] for begin, end in sums))
    return [
        found[0]
        for found in _FIGURE.finditer(text)
        if found[2]
        and float(found[1])
        and not any(
            unit in ("", found[2]) and math.isclose(float(found[1]), value, rel_tol=0.006)
            for value, unit in given | used
        )
    ]


def _value(text: str) -> float:
    text = re.sub(rf"({_UNIT})(?!\w)", lambda unit: _SIZE.get(unit[0], ""), text)
    for word, meant in _IN_PYTHON.items():
        text = text.replace(word, meant)
    text = re.sub(r"√([0-9.]+)", r"sqrt(\1)", text)
    return float(eval(text, {"ln": math.log, "sqrt": math.sqrt}))
