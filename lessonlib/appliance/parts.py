"""The part kinds of an appliance and the appliance itself, as frozen values in SI units."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import ClassVar, TypeVar

from lessonlib.errors import SettingError, shown

TERMINALS = ("L", "N", "PE")
"""Reserved node names: line, neutral and protective earth, as marked on a plug."""

# Annealed copper at 20 C, ohm mm2/m: IEC 60028 (1925), 1/58.
COPPER_OHM_MM2_PER_M = 1 / 58


@dataclass(frozen=True)
class Contact:
    """One contact: it joins its two nodes in the positions listed, and is a gap in all others."""

    between: tuple[str, str]
    closed_in: tuple[str, ...]


@dataclass(frozen=True)
class Part:
    """What every part has. `kind` is its table name in the file, `words` what people call it."""

    name: str
    kind: ClassVar[str] = ""
    words: ClassVar[str] = ""

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
    between: tuple[str, str]

    @property
    def rungs(self) -> tuple[tuple[str, str], ...]:
        return (self.between,)


@dataclass(frozen=True)
class Resistive(TwoTerminal):
    """A part that obeys Ohm's law. Marked power and voltage, or the resistance alone."""

    marking: ClassVar[tuple[str, str]] = ("power_W", "voltage_V")
    power_W: float | None = None
    voltage_V: float | None = None
    resistance_ohm: float = 0.0

    @staticmethod
    def marked_ohm(power_W: float, voltage_V: float, /) -> float:
        """The resistance, ohm, that follows from the two values of `marking`."""
        return voltage_V * voltage_V / power_W


@dataclass(frozen=True)
class Element(Resistive):
    """Heating element. `resistance_ohm` is the hot one; `alloy` names the wire, where known."""

    kind: ClassVar[str] = "element"
    words: ClassVar[str] = "heating element"
    alloy: str | None = None


@dataclass(frozen=True)
class Lamp(Resistive):
    """Indicator lamp, taken as a resistor of its marked power at its marked voltage."""

    kind: ClassVar[str] = "lamp"
    words: ClassVar[str] = "lamp"


@dataclass(frozen=True)
class Link(Resistive):
    """A conductor whose resistance matters: a cord core, a joint."""

    kind: ClassVar[str] = "link"
    words: ClassVar[str] = "conductor"
    marking: ClassVar[tuple[str, str]] = ("length_m", "area_mm2")
    length_m: float | None = None
    area_mm2: float | None = None

    @staticmethod
    def marked_ohm(length_m: float, area_mm2: float, /) -> float:
        """The resistance of that much copper, ohm."""
        return COPPER_OHM_MM2_PER_M * length_m / area_mm2


@dataclass(frozen=True)
class Diode(TwoTerminal):
    """Diode from anode to cathode: no current backwards, `forward_drop_V` when it conducts."""

    kind: ClassVar[str] = "diode"
    words: ClassVar[str] = "diode"
    forward_drop_V: float = 0.0
    rated_A: float | None = None
    rated_V: float | None = None


@dataclass(frozen=True)
class Switch(Part):
    """Hand-operated switch with any number of positions and contacts."""

    kind: ClassVar[str] = "switch"
    words: ClassVar[str] = "switch"
    positions: tuple[str, ...] = ()
    contacts: tuple[Contact, ...] = ()
    start: str = ""

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
        limits = ((verb, unit) for verb in ("opens", "closes") for unit in ("C", "bar"))
        found = ((verb, unit, getattr(self, f"{verb}_at_{unit}", None)) for verb, unit in limits)
        signs = {"C": "°C", "bar": "bar"}
        return tuple(
            f"{verb} at {value:g} {signs[unit]}" for verb, unit, value in found if value is not None
        )


@dataclass(frozen=True)
class ThermalFuse(SelfActing):
    """Opens at `opens_at_C` (degrees Celsius) and stays open, for good unless `resettable`.

    It sits on the vessel's wall, or on the element named `placed_on`, where it is `rise_K_per_W`
    warmer than the vessel for each watt that this element gives. `holds_C` is the holding
    temperature: the highest at which it stays closed for long.
    """

    kind: ClassVar[str] = "thermal_fuse"
    words: ClassVar[str] = "thermal fuse"
    opens_at_C: float = 0.0
    resettable: bool = False
    placed_on: str | None = None
    rise_K_per_W: float = 0.0
    holds_C: float | None = None
    rated_A: float | None = None


@dataclass(frozen=True)
class PressureSwitch(SelfActing):
    """Opens on rising pressure at `opens_at_bar`, closes on falling at `closes_at_bar` (gauge)."""

    kind: ClassVar[str] = "pressure_switch"
    words: ClassVar[str] = "pressure switch"
    opens_at_bar: float = 0.0
    closes_at_bar: float = 0.0
    rated_A: float | None = None


@dataclass(frozen=True)
class Thermostat(SelfActing):
    """Opens on rising temperature at `opens_at_C`, closes on falling at `closes_at_C`."""

    kind: ClassVar[str] = "thermostat"
    words: ClassVar[str] = "thermostat"
    opens_at_C: float = 0.0
    closes_at_C: float = 0.0
    rated_A: float | None = None


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
    """The mains: a sine of `voltage_V` r.m.s.; `reversible_plug` when it can go in either way."""

    voltage_V: float
    frequency_Hz: float = 50.0
    reversible_plug: bool = False


@dataclass(frozen=True)
class Vessel:
    """What the elements heat: water mass, dry heat capacity, losses, and the pressure limits."""

    water_kg: float = 0.0
    heat_capacity_J_per_K: float = 0.0
    loss_W_per_K: float = 0.0
    sealed: bool = False
    start_C: float = 20.0
    ambient_C: float = 20.0
    relief_bar: float | None = None
    altitude_m: float = 0.0


@dataclass(frozen=True)
class Appliance:
    """One appliance, read once and never changed."""

    title: str
    purpose: str
    supply: Supply
    parts: tuple[Part, ...]
    vessel: Vessel | None = None
    source: str = field(default="", compare=False)

    @cached_property
    def nodes(self) -> tuple[str, ...]:
        """Node names: the supply terminals first, then in order of first use."""
        used: dict[str, None] = dict.fromkeys(("L", "N"))
        seen = [node for part in self.parts for rung in part.rungs for node in rung]
        if "PE" in seen:
            used["PE"] = None
        used.update(dict.fromkeys(seen))
        return tuple(used)

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
        """The heating elements, in file order."""
        return self.of_type(Element)

    @cached_property
    def lamps(self) -> tuple[Lamp, ...]:
        """The indicator lamps, in file order."""
        return self.of_type(Lamp)

    @cached_property
    def diodes(self) -> tuple[Diode, ...]:
        """The diodes, in file order."""
        return self.of_type(Diode)

    @cached_property
    def switches(self) -> tuple[Switch, ...]:
        """The hand-operated switches, in file order."""
        return self.of_type(Switch)

    @cached_property
    def self_acting(self) -> tuple[SelfActing, ...]:
        """The parts whose contacts heat or pressure opens, in file order."""
        return self.of_type(SelfActing)

    @cached_property
    def movable(self) -> tuple[Part, ...]:
        """Parts that have positions, in file order."""
        return tuple(part for part in self.parts if part.positions)

    def _repr_pretty_(self, printer: object, cycle: bool) -> None:
        getattr(printer, "text")(str(self))  # noqa: B009 - IPython's printer has no stubs

    def __str__(self) -> str:
        return f"{self.title}: {self.purpose}" if self.purpose else self.title
