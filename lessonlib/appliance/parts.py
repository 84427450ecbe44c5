"""The part kinds of an appliance and the appliance itself, as frozen values in SI units.

A field that is read from a file has its key beside it: what the file may hold there.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import Annotated, ClassVar, TypeVar

from lessonlib.appliance.keys import ALLOYS, COUPLERS, MAX_PATHS, MAX_POSITIONS, Key, nodes, number
from lessonlib.errors import SettingError, shown

TERMINALS = ("L", "N", "PE")
"""Reserved node names: line, neutral and protective earth, as marked on a plug."""

# Annealed copper at 20 C, ohm mm2/m: IEC 60028 (1925), 1/58.
COPPER_OHM_MM2_PER_M = 1 / 58

_AMPS = number(0.001, 1000, "A", "10")
_OHMS = number(1e-6, 1e9, "ohm", "132.25")
_CELSIUS = number(-40, 1000, "degrees Celsius", "192", required=True)
_BAR = number(0.001, 100, "bar gauge", "0.6", required=True)
_NO = Key("flag", "false")
_POSITIONS = Key("names", '["off", "on"]', required=True, low=2, high=MAX_POSITIONS)
_CLOSED_IN = Key("names", '["on"]', required=True, low=1, high=MAX_POSITIONS)
_ONE_CONTACT = '[{ between = ["L", "a"], closed_in = ["on"] }]'
_CONTACTS = Key("contacts", _ONE_CONTACT, required=True, low=1, high=MAX_PATHS)


@dataclass(frozen=True)
class Contact:
    """One contact: it joins its two nodes in the positions listed, and is a gap in all others."""

    between: Annotated[tuple[str, str], nodes('["L", "a"]')]
    closed_in: Annotated[tuple[str, ...], _CLOSED_IN]


@dataclass(frozen=True)
class Part:
    """What every part has. `kind` is its table name in the file, `words` what people call it,
    `letter` what its name usually begins with; a class with a letter is a kind of part."""

    name: str
    kind: ClassVar[str] = ""
    words: ClassVar[str] = ""
    letter: ClassVar[str] = ""

    def __init_subclass__(cls, letter: str = "", words: str = "", kind: str = "") -> None:
        if letter:
            cls.letter, cls.words, cls.kind = letter, words, kind or words.replace(" ", "_")

    @property
    def rungs(self) -> tuple[tuple[str, str], ...]:
        """Node pairs this part connects: one for most parts, one a contact for a switch."""
        raise NotImplementedError

    @property
    def positions(self) -> tuple[str, ...]:
        """Positions it can be put in; empty for a part that has none."""
        return ()

    @property
    def start(self) -> str:
        """Position it is in when a setting does not name it; empty for a part that has none."""
        return ""

    @property
    def contacts(self) -> tuple[Contact, ...]:
        """Its contacts, in file order; empty for a part that has none."""
        return ()

    def path_name(self, number: int) -> str:
        """What its path of that number, from 1, is called: "E1", or "S1.2" where it has several."""
        return f"{self.name}.{number}" if len(self.rungs) > 1 else self.name


@dataclass(frozen=True)
class TwoTerminal(Part):
    between: Annotated[tuple[str, str], nodes()]

    @property
    def rungs(self) -> tuple[tuple[str, str], ...]:
        return (self.between,)


@dataclass(frozen=True)
class Resistive(TwoTerminal):
    """A part that obeys Ohm's law. Marked power and voltage, or the resistance alone."""

    marking: ClassVar[tuple[str, str]] = ("power_W", "voltage_V")
    power_W: Annotated[float | None, number(0.001, 100_000, "W", "1200")] = None
    voltage_V: Annotated[float | None, number(0.1, 1000, "V", "230")] = None
    resistance_ohm: Annotated[float, _OHMS] = 0.0

    @staticmethod
    def marked_ohm(power_W: float, voltage_V: float, /) -> float:
        """The resistance, ohm, that follows from the two values of `marking`."""
        return voltage_V * voltage_V / power_W


@dataclass(frozen=True)
class Element(Resistive, letter="E", words="heating element", kind="element"):
    """Heating element. `resistance_ohm` is the hot one; `alloy` names the wire, where known."""

    alloy: Annotated[str | None, Key("choice", '"NiCr 80/20"', choices=ALLOYS)] = None


@dataclass(frozen=True)
class Lamp(Resistive, letter="H", words="lamp"):
    """Indicator lamp, taken as a resistor of its marked power at its marked voltage."""


@dataclass(frozen=True)
class Link(Resistive, letter="W", words="conductor", kind="link"):
    """A conductor whose resistance matters: a cord core, a joint."""

    marking: ClassVar[tuple[str, str]] = ("length_m", "area_mm2")
    power_W: None = None
    voltage_V: None = None
    length_m: Annotated[float | None, number(0.001, 1000, "m", "1.5")] = None
    area_mm2: Annotated[float | None, number(0.01, 1000, "mm2", "0.75")] = None
    resistance_ohm: Annotated[float, _OHMS] = 0.0

    @staticmethod
    def marked_ohm(length_m: float, area_mm2: float, /) -> float:
        """The resistance of that much copper, ohm."""
        return COPPER_OHM_MM2_PER_M * length_m / area_mm2


@dataclass(frozen=True)
class Diode(TwoTerminal, letter="D", words="diode"):
    """Diode from anode to cathode: no current backwards, `forward_drop_V` when it conducts.

    Its junction is `rise_K_per_W` warmer than the air for each watt of its own heat, mounted as it
    is, and stands `most_C`: its maker states both.
    """

    forward_drop_V: Annotated[float, number(0, 10, "V", "0.9")] = 0.0
    rated_A: Annotated[float | None, _AMPS] = None
    rated_V: Annotated[float | None, number(1, 10_000, "V", "1000")] = None
    rise_K_per_W: Annotated[float | None, number(0.01, 10_000, "K/W", "25")] = None
    most_C: Annotated[float | None, number(0, 400, "degrees Celsius", "150")] = None


@dataclass(frozen=True)
class Switch(Part, letter="S", words="switch"):
    """Hand-operated switch with any number of positions and contacts."""

    positions: Annotated[tuple[str, ...], _POSITIONS] = ()
    contacts: Annotated[tuple[Contact, ...], _CONTACTS] = ()
    start: Annotated[str, Key("name", '"off"')] = ""
    rated_A: Annotated[float | None, _AMPS] = None

    @property
    def rungs(self) -> tuple[tuple[str, str], ...]:
        return tuple(contact.between for contact in self.contacts)


@dataclass(frozen=True)
class SelfActing(TwoTerminal):
    """A contact that heat or pressure opens; `closed` at the start."""

    @property
    def positions(self) -> tuple[str, ...]:
        return ("closed", "open")

    @property
    def start(self) -> str:
        return "closed"

    @property
    def contacts(self) -> tuple[Contact, ...]:
        return (Contact(self.between, ("closed",)),)

    @property
    def thresholds(self) -> tuple[str, ...]:
        """When it opens, and when it closes again by itself, in words: "opens at 110 °C"."""
        signs = {"C": "°C", "bar": "bar"}
        limits = ((verb, unit) for verb in ("opens", "closes") for unit in signs)
        found = ((verb, unit, getattr(self, f"{verb}_at_{unit}", None)) for verb, unit in limits)
        return tuple(
            f"{verb} at {at:g} {signs[unit]}" for verb, unit, at in found if at is not None
        )


@dataclass(frozen=True)
class ThermalFuse(SelfActing, letter="F", words="thermal fuse"):
    """Opens at `opens_at_C` (degrees Celsius) and stays open, for good unless `resettable`.

    It sits on the vessel's wall, or on the element named `placed_on`, where it is `rise_K_per_W`
    warmer than the vessel for each watt that this element gives. `holds_C` is the holding
    temperature: the highest at which it stays closed for long.
    """

    opens_at_C: Annotated[float, _CELSIUS] = 0.0
    resettable: Annotated[bool, _NO] = False
    placed_on: Annotated[str | None, Key("name", '"E1"')] = None
    rise_K_per_W: Annotated[float, number(0, 100, "K/W", "0.03")] = 0.0
    holds_C: Annotated[float | None, number(-40, 1000, "degrees Celsius", "160")] = None
    rated_A: Annotated[float | None, _AMPS] = None


@dataclass(frozen=True)
class PressureSwitch(SelfActing, letter="P", words="pressure switch"):
    """Opens on rising pressure at `opens_at_bar`, closes on falling at `closes_at_bar` (gauge)."""

    opens_at_bar: Annotated[float, _BAR] = 0.0
    closes_at_bar: Annotated[float, _BAR] = 0.0
    rated_A: Annotated[float | None, _AMPS] = None


@dataclass(frozen=True)
class Thermostat(SelfActing, letter="T", words="thermostat"):
    """Opens on rising temperature at `opens_at_C`, closes on falling at `closes_at_C`."""

    opens_at_C: Annotated[float, _CELSIUS] = 0.0
    closes_at_C: Annotated[float, _CELSIUS] = 0.0
    rated_A: Annotated[float | None, _AMPS] = None


PART_TYPES: dict[str, type[Part]] = {
    each.kind: each
    for each in (Element, Lamp, Switch, Diode, ThermalFuse, PressureSwitch, Thermostat, Link)
}
"""Every kind of part, by its table name in the file."""

SELF_ACTING = tuple(each for each in PART_TYPES.values() if issubclass(each, SelfActing))
"""The kinds whose contacts heat or pressure opens."""

_P = TypeVar("_P", bound=Part)


@dataclass(frozen=True)
class Supply:
    """The mains: a sine of `voltage_V` r.m.s.; `reversible_plug` when it can go in either way.

    The other values are those of rating plate, cord and plug. They are judged against published
    limits and change nothing in the circuit: a cord whose resistance matters is made of links.
    `power_W` is the marked power of the whole appliance, `coupler` the connector at its end of a
    cord that comes off.
    """

    voltage_V: Annotated[float, number(1, 1000, "V r.m.s.", "230", required=True)]
    frequency_Hz: Annotated[float, number(1, 1000, "Hz", "50")] = 50.0
    reversible_plug: Annotated[bool, _NO] = False
    power_W: Annotated[float | None, number(0.001, 100_000, "W", "1600")] = None
    protection_class: Annotated[str | None, Key("choice", '"I"', choices=("I", "II"))] = None
    cord_cores: Annotated[str | None, Key("choice", '"three"', choices=("two", "three"))] = None
    cord_length_m: Annotated[float | None, number(0.01, 1000, "m", "1.5")] = None
    cord_area_mm2: Annotated[float | None, number(0.01, 1000, "mm2", "1.0")] = None
    plug_fuse_A: Annotated[float | None, number(0.01, 100, "A", "13")] = None
    coupler: Annotated[str | None, Key("choice", '"C13"', choices=COUPLERS)] = None


@dataclass(frozen=True)
class Vessel:
    """What the elements heat: water mass, dry heat capacity, losses, and the pressure limits."""

    water_kg: Annotated[float, number(0, 10_000, "kg", "1.2")] = 0.0
    heat_capacity_J_per_K: Annotated[float, number(0, 1e8, "J/K", "900")] = 0.0
    loss_W_per_K: Annotated[float, number(0, 1e5, "W/K", "1.5")] = 0.0
    sealed: Annotated[bool, Key("flag", "true")] = False
    start_C: Annotated[float, number(-40, 200, "degrees Celsius", "20")] = 20.0
    ambient_C: Annotated[float, number(-40, 60, "degrees Celsius", "20")] = 20.0
    relief_bar: Annotated[float | None, number(0.001, 100, "bar gauge", "2.5")] = None
    altitude_m: Annotated[float, number(-430, 9000, "m", "0")] = 0.0


@dataclass(frozen=True, repr=False)
class Appliance:
    """One appliance, read once and never changed."""

    title: Annotated[str, Key("text", '"Six-litre tea urn"', required=True)]
    purpose: Annotated[str, Key("text", '"Keep-warm element always on."')]
    supply: Supply
    parts: tuple[Part, ...]
    vessel: Vessel | None = None
    source: str = field(default="", compare=False)

    @cached_property
    def nodes(self) -> tuple[str, ...]:
        """Node names: the supply terminals first, then in order of first use."""
        seen = [node for part in self.parts for rung in part.rungs for node in rung]
        earth = ["PE"] if "PE" in seen else []
        return tuple(dict.fromkeys(["L", "N", *earth, *seen]))

    def part(self, name: str) -> Part:
        """The part of that name. Raises `SettingError` for a name the appliance does not have."""
        for part in self.parts:
            if part.name == name:
                return part
        names = ", ".join(part.name for part in self.parts)
        raise SettingError(
            f"{self.title} has no part {shown(name)}. Its parts are: {names}. "
            "Use one of these names, spelled the same."
        )

    def of_type(self, kind: type[_P]) -> tuple[_P, ...]:
        """All parts of that type, in file order."""
        return tuple(part for part in self.parts if isinstance(part, kind))

    @cached_property
    def elements(self) -> tuple[Element, ...]:
        return self.of_type(Element)

    @cached_property
    def lamps(self) -> tuple[Lamp, ...]:
        return self.of_type(Lamp)

    @cached_property
    def diodes(self) -> tuple[Diode, ...]:
        return self.of_type(Diode)

    @cached_property
    def switches(self) -> tuple[Switch, ...]:
        return self.of_type(Switch)

    @cached_property
    def self_acting(self) -> tuple[SelfActing, ...]:
        """The parts whose contacts heat or pressure opens, in file order."""
        return self.of_type(SelfActing)

    @cached_property
    def movable(self) -> tuple[Part, ...]:
        """Parts that have positions, in file order."""
        return tuple(part for part in self.parts if part.positions)

    def __str__(self) -> str:
        return f"{self.title}: {self.purpose}" if self.purpose else self.title

    __repr__ = __str__
