"""What a key of an appliance file may hold. The keys themselves stand beside the fields of `parts`.

Limits keep the arithmetic sound and catch slips of the decimal point; they are wide on
purpose (our own choice, no source) and say nothing about what is safe.
"""

from __future__ import annotations

from dataclasses import dataclass
from inspect import get_annotations
from typing import Literal

FieldType = Literal["text", "name", "number", "flag", "nodes", "names", "contacts", "choice"]

ALLOYS = (
    "NiCr 80/20",
    "NiCr 60/15",
    "NiCr 70/30",
    "NiCr 35/20",
    "FeCrAl 25/5",
    "FeCrAl 21/6",
    "FeCrAl 13/4",
)
"""Heating alloys whose resistance at temperature is tabulated by an alloy producer."""

COUPLERS = ("C7", "C13", "C15", "C15A", "C17", "C19", "C21")
"""Connectors by their names in IEC 60320, which fit the inlets of the next number."""

MAX_PATHS = 200
"""Most parts and switch contacts together: our own choice, far above any small appliance."""
MAX_DIODES = 12
"""Most diodes, so that the solver can always try every set of their states."""
MAX_POSITIONS = 50
"""Most positions of a switch: our own choice, far above any knob."""


_ACCEPTED: dict[FieldType, str] = {
    "number": "a number from {low} to {high} {unit}",
    "flag": "true or false",
    "nodes": 'two names of points, as in ["L", "N"]',
    "names": "a list of {low} to {high} different names, as in {example}",
    "contacts": "a list of {low} to {high} contacts, as in {example}",
    "choice": "one of {choices}",
    "name": "a name of 1 to 40 characters in quotes, without a blank before or after it",
    "text": "a line of text of at most 400 characters",
}


@dataclass(frozen=True)
class Key:
    """One key of a table: its type, an example to show, and limits where it is a number; for names
    and contacts how many there may be."""

    type: FieldType
    example: str
    required: bool = False
    low: float = 0.0
    high: float = 0.0
    unit: str = ""
    choices: tuple[str, ...] = ()

    @property
    def accepted(self) -> str:
        """What a reader may write here, in words."""
        choices = ", ".join(f'"{choice}"' for choice in self.choices)
        limits = {"low": _plain(self.low), "high": _plain(self.high), "unit": self.unit}
        words = _ACCEPTED[self.type].format(**limits, example=self.example, choices=choices)
        return words.rstrip()


def _plain(number: float) -> str:
    """A limit as people write numbers: 0.000001 and 1,000,000,000."""
    return f"{number:,.6f}".rstrip("0").rstrip(".")


def number(low: float, high: float, unit: str, example: str, required: bool = False) -> Key:
    return Key("number", example, required, low, high, unit)


def nodes(example: str = '["L", "N"]') -> Key:
    return Key("nodes", example, required=True, low=2, high=2)


def keys_of(block: type) -> dict[str, Key]:
    """The keys of a class by the names of its fields, those of its bases first. A field that is
    declared again stands where that is, and has a key only if it is given one there."""
    found: dict[str, Key] = {}
    for each in reversed(block.__mro__):
        for field, hint in get_annotations(each, eval_str=True).items():
            found.pop(field, None)
            for key in getattr(hint, "__metadata__", ()):
                found[field] = key
    return found
