"""Which tables and keys an appliance file may have: the format as data.

Limits keep the arithmetic sound and catch slips of the decimal point; they are wide on
purpose (our own choice, no source) and say nothing about what is safe.
"""

from __future__ import annotations

from dataclasses import dataclass
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

MAX_PATHS = 200
"""Most parts and switch contacts together: our own choice, far above any small appliance."""
MAX_DIODES = 12
"""Most diodes, so that the solver can always try every set of their states."""
MAX_POSITIONS = 50
"""Most positions of a switch: our own choice, far above any knob."""


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
        match self.type:
            case "number":
                return (
                    f"a number from {_plain(self.low)} to {_plain(self.high)} {self.unit}".rstrip()
                )
            case "flag":
                return "true or false"
            case "nodes":
                return 'two names of points, as in ["L", "N"]'
            case "names":
                return (
                    f"a list of {self.low:g} to {self.high:g} different names, as in {self.example}"
                )
            case "contacts":
                return f"a list of {self.low:g} to {self.high:g} contacts, as in {self.example}"
            case "choice":
                return "one of " + ", ".join(f'"{choice}"' for choice in self.choices)
            case "name":
                return "a name of 1 to 40 characters in quotes, without a blank before or after it"
            case _:
                return "a line of text of at most 400 characters"


def _plain(number: float) -> str:
    """A limit as people write numbers: 0.000001 and 1,000,000,000."""
    return f"{number:,.6f}".rstrip("0").rstrip(".")


def _number(low: float, high: float, unit: str, example: str, required: bool = False) -> Key:
    return Key("number", example, required, low, high, unit)


def _name(example: str) -> Key:
    return Key("name", f'"{example}"', required=True)


_BETWEEN = Key("nodes", '["L", "N"]', required=True, low=2, high=2)
_AMPS = _number(0.001, 1000, "A", "10")
_OHMS = _number(1e-6, 1e9, "ohm", "132.25")
_CELSIUS = _number(-40, 1000, "degrees Celsius", "192", required=True)
_BAR = _number(0.001, 100, "bar gauge", "0.6", required=True)
_POWER_AND_VOLTAGE = {
    "power_W": _number(0.001, 100_000, "W", "1200"),
    "voltage_V": _number(0.1, 1000, "V", "230"),
    "resistance_ohm": _OHMS,
}

PART_KEYS: dict[str, dict[str, Key]] = {
    "element": {
        "name": _name("E1"),
        "between": _BETWEEN,
        **_POWER_AND_VOLTAGE,
        "alloy": Key("choice", '"NiCr 80/20"', choices=ALLOYS),
    },
    "lamp": {"name": _name("H1"), "between": _BETWEEN, **_POWER_AND_VOLTAGE},
    "switch": {
        "name": _name("S1"),
        "positions": Key("names", '["off", "on"]', required=True, low=2, high=MAX_POSITIONS),
        "start": Key("name", '"off"'),
        "contacts": Key(
            "contacts",
            '[{ between = ["L", "a"], closed_in = ["on"] }]',
            required=True,
            low=1,
            high=MAX_PATHS,
        ),
    },
    "diode": {
        "name": _name("D1"),
        "between": _BETWEEN,
        "forward_drop_V": _number(0, 10, "V", "0.9"),
        "rated_A": _AMPS,
        "rated_V": _number(1, 10_000, "V", "1000"),
    },
    "thermal_fuse": {
        "name": _name("F1"),
        "between": _BETWEEN,
        "opens_at_C": _CELSIUS,
        "resettable": Key("flag", "false"),
        "placed_on": Key("name", '"E1"'),
        "rise_K_per_W": _number(0, 100, "K/W", "0.03"),
        "holds_C": _number(-40, 1000, "degrees Celsius", "160"),
        "rated_A": _AMPS,
    },
    "pressure_switch": {
        "name": _name("P1"),
        "between": _BETWEEN,
        "opens_at_bar": _BAR,
        "closes_at_bar": _BAR,
        "rated_A": _AMPS,
    },
    "thermostat": {
        "name": _name("T1"),
        "between": _BETWEEN,
        "opens_at_C": _CELSIUS,
        "closes_at_C": _CELSIUS,
        "rated_A": _AMPS,
    },
    "link": {
        "name": _name("W1"),
        "between": _BETWEEN,
        "length_m": _number(0.001, 1000, "m", "1.5"),
        "area_mm2": _number(0.01, 1000, "mm2", "0.75"),
        "resistance_ohm": _OHMS,
    },
}

SUPPLY_KEYS: dict[str, Key] = {
    "voltage_V": _number(1, 1000, "V r.m.s.", "230", required=True),
    "frequency_Hz": _number(1, 1000, "Hz", "50"),
    "reversible_plug": Key("flag", "false"),
}

VESSEL_KEYS: dict[str, Key] = {
    "water_kg": _number(0, 10_000, "kg", "1.2"),
    "heat_capacity_J_per_K": _number(0, 1e8, "J/K", "900"),
    "loss_W_per_K": _number(0, 1e5, "W/K", "1.5"),
    "sealed": Key("flag", "true"),
    "start_C": _number(-40, 200, "degrees Celsius", "20"),
    "ambient_C": _number(-40, 60, "degrees Celsius", "20"),
    "relief_bar": _number(0.001, 100, "bar gauge", "2.5"),
    "altitude_m": _number(-430, 9000, "m", "0"),
}

TEXT_KEYS: dict[str, Key] = {
    "title": Key("text", '"Six-litre tea urn"', required=True),
    "purpose": Key("text", '"Keep-warm element always on."'),
}

CONTACT_KEYS: dict[str, Key] = {
    "between": Key("nodes", '["L", "a"]', required=True, low=2, high=2),
    "closed_in": Key("names", '["on"]', required=True, low=1, high=MAX_POSITIONS),
}
