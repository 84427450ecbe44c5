"""Arithmetic of a question file: read and worked out here, never run as Python.

There are numbers, words in quotes, names, `+ - * / ** %`, comparisons, `and or not`,
`a if b else c`, pairs in round brackets, and the functions in `FUNCTIONS`. A dot reads a value of
what the solver or an appliance file says: `now.part.E1.power_W`, `circuit.E1.resistance_ohm`.
Nothing else can be reached, so a file from anybody is safe to read.
"""

from __future__ import annotations

import ast
import math
import operator
import re
from collections.abc import Callable, Mapping
from dataclasses import is_dataclass
from keyword import kwlist
from typing import Any

from lessonlib.appliance.parts import Appliance
from lessonlib.errors import AnswerError, shown
from lessonlib.heat.water import (
    PA_PER_BAR,
    atmospheric_pressure_Pa,
    saturation_temperature_C,
    steam_temperature_C,
)

MOST_CHARACTERS = 400
_KEYWORD = re.compile(rf"\.({'|'.join(kwlist)})\b")
"""A point or part named like a word of Python, as in now.node.return."""
MOST_POWER = 12
"""Highest exponent: squares and cubes are what circuits need."""
MOST = 1e15
"""Largest number: far beyond anything in a circuit."""

FUNCTIONS: Mapping[str, Callable[..., Any]] = {
    "abs": abs,
    "air_bar": lambda altitude_m: atmospheric_pressure_Pa(altitude_m) / PA_PER_BAR,
    "ceil": math.ceil,
    "floor": math.floor,
    "log": math.log,
    "max": max,
    "min": min,
    "round": lambda value, digits=0: value if value == math.inf else round(value, digits),
    "saturated_C": lambda absolute_bar: saturation_temperature_C(absolute_bar * PA_PER_BAR),
    "sqrt": math.sqrt,
    "steam_C": steam_temperature_C,
}

_OPERATORS: Mapping[type[ast.AST], Callable[..., Any]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Mod: operator.mod,
    ast.USub: operator.neg,
    ast.UAdd: operator.pos,
    ast.Not: operator.not_,
    ast.Eq: operator.eq,
    ast.NotEq: operator.ne,
    ast.Lt: operator.lt,
    ast.LtE: operator.le,
    ast.Gt: operator.gt,
    ast.GtE: operator.ge,
    ast.In: lambda one, others: one in others,
    ast.NotIn: lambda one, others: one not in others,
}


def work_out(text: str, names: Mapping[str, object]) -> Any:
    """The value of `text`, with `names` for the names in it.

    Raises `AnswerError` for anything that is not arithmetic, for an unknown name, and for a value
    that does not exist, such as a division by zero.
    """
    if len(text) > MOST_CHARACTERS:
        raise AnswerError(
            f"found {len(text)} characters of arithmetic. Accepted: at most {MOST_CHARACTERS}. "
            "Give a part of it a name of its own."
        )
    try:
        return _value(ast.parse(_KEYWORD.sub(r".\1_", text.strip()), mode="eval").body, names)
    except AnswerError as error:
        raise AnswerError(f"{shown(text)}: {error}") from None
    except (
        SyntaxError,
        ValueError,
        RecursionError,
        MemoryError,
        ArithmeticError,
        TypeError,
    ) as error:
        raise AnswerError(
            f"found {shown(text)}, which has no value here: {error}. Accepted: arithmetic such as "
            "(keep_W + boost_W) / supply_V. Look for a missing bracket or sign, write * for ×, and "
            "look at the values of the names in it."
        ) from None


def _value(node: ast.expr, names: Mapping[str, object]) -> Any:
    match node:
        case ast.Constant(value=bool() | int() | float() | str()):
            return node.value
        case ast.Name(id=name):
            if name not in names:
                known = ", ".join(names)
                raise AnswerError(
                    f"there is no {shown(name)} here. Accepted: {known or 'no name yet'}. "
                    "Spell it the same, or give it a line of its own above."
                )
            return names[name]
        case ast.Attribute(value=owner, attr=attribute):
            return read(_value(owner, names), attribute.removesuffix("_"))
        case ast.BinOp(left=left, op=ast.Pow(), right=right):
            base, exponent = _value(left, names), _value(right, names)
            if abs(exponent) > MOST_POWER:
                raise AnswerError(f"the power {exponent} is beyond {MOST_POWER}.")
            return _bounded(float(base) ** exponent)
        case ast.BinOp(left=left, op=op, right=right) if type(op) in _OPERATORS:
            one, other = _value(left, names), _value(right, names)
            if isinstance(op, ast.Mult | ast.Mod) and str in (type(one), type(other)):
                raise AnswerError("words cannot be multiplied or divided.")
            return _bounded(_OPERATORS[type(op)](one, other))
        case ast.UnaryOp(op=op, operand=operand) if type(op) in _OPERATORS:
            return _OPERATORS[type(op)](_value(operand, names))
        case ast.BoolOp(op=op, values=values):
            found = None
            for value in values:
                found = _value(value, names)
                if bool(found) is isinstance(op, ast.Or):
                    break
            return found
        case ast.Compare(left=left, ops=signs, comparators=rights) if all(
            type(sign) in _OPERATORS for sign in signs
        ):
            one = _value(left, names)
            for sign, right in zip(signs, rights, strict=True):
                other = _value(right, names)
                if not _OPERATORS[type(sign)](one, other):
                    return False
                one = other
            return True
        case ast.IfExp(test=test, body=body, orelse=orelse):
            return _value(body if _value(test, names) else orelse, names)
        case ast.Tuple(elts=items):
            return tuple(_value(item, names) for item in items)
        case ast.Call(func=ast.Name(id=name), args=args, keywords=[]) if name in FUNCTIONS:
            return FUNCTIONS[name](*(_value(arg, names) for arg in args))
    raise AnswerError(
        f"{shown(ast.unparse(node))} is not arithmetic. Accepted: numbers, names, + - * / **, "
        f"comparisons and {', '.join(FUNCTIONS)}. Write it with these."
    )


def _bounded(found: Any) -> Any:
    """`found`, as long as it is of a size that a circuit can need: a file could make it grow."""
    if isinstance(found, str) and len(found) > MOST_CHARACTERS:
        raise AnswerError(f"words of more than {MOST_CHARACTERS} characters.")
    if isinstance(found, int | float) and not abs(found) < MOST:
        raise AnswerError(f"a number beyond {MOST:g}.")
    return found


def read(owner: object, name: str) -> Any:
    """What `owner.name` is: a part of an appliance, a value by name, or a field of a solution.

    Only the library's own frozen values can be read, and nothing of theirs that could be called.
    """
    if isinstance(owner, Appliance) and any(part.name == name for part in owner.parts):
        return owner.part(name)
    if isinstance(owner, Mapping):
        found = owner.get(name, _NOTHING)
    elif name.startswith("_") or not (is_dataclass(owner) and _is_ours(owner)):
        found = _NOTHING
    else:
        found = getattr(owner, name, _NOTHING)
    if found is _NOTHING or callable(found):
        raise AnswerError(
            f"there is nothing called {shown(name)} in {type(owner).__name__}. Accepted: its "
            "values, such as power_W or current_A. Spell it as the library does."
        )
    return found


_NOTHING = object()


def _is_ours(owner: object) -> bool:
    return type(owner).__module__.startswith("lessonlib.")
