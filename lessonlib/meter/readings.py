"""The readings a meter can give: what was measured, in which setting, and how good the meter is.

There are four kinds, and no others on purpose: resistance or the diode range on the unplugged
appliance, and power or current of the whole appliance on an energy meter at the plug. Nothing is
ever measured inside an appliance that is plugged in.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import ClassVar

from lessonlib.errors import ReadingError, shown
from lessonlib.quantities import format_quantity, number

# A tolerance of more than this share of the reading is written as a range.
_MUCH = 0.1


@dataclass(frozen=True, kw_only=True)
class MeterReading:
    """What every reading has. `setting` names the positions of parts that are not at their start.

    The meter is good to `accuracy_percent` of the reading plus `digits` steps of `resolution` (in
    the reading's unit), as its leaflet says. Raises `ReadingError` (a `ValueError`) for numbers
    that no meter shows.
    """

    setting: Mapping[str, str] = field(default_factory=dict)
    accuracy_percent: float
    digits: float
    resolution: float
    unit: ClassVar[str] = ""
    # the field with the number read, the most that it may be, and what to do with more
    _shows: ClassVar[tuple[str, float, str]]

    def __post_init__(self) -> None:
        name, most, next_step = self._shows
        if getattr(self, name) is not None or not isinstance(self, UnpluggedReading):
            _check(name, getattr(self, name), 0, most, self.unit, next_step)
        _check("accuracy_percent", self.accuracy_percent, 0, 20, "%", "Take it from the leaflet.")
        _check("digits", self.digits, 0, 100, "digits", "Take it from the meter's leaflet.")
        _check("resolution", self.resolution, 1e-6, 1e6, self.unit, "It is the last digit's step.")

    @property
    def value(self) -> float:
        """The number read, in `unit`; infinite where the meter shows an open path."""
        shown = getattr(self, self._shows[0])
        return math.inf if shown is None else float(shown)

    @property
    def tolerance(self) -> float:
        """How far the meter may be off either way, in `unit`."""
        if math.isinf(self.value):
            return 0.0
        return self.value * self.accuracy_percent / 100 + self.digits * self.resolution

    @property
    def where(self) -> str:
        """What was measured and how, in words."""
        raise NotImplementedError

    @property
    def text(self) -> str:
        """The number with its tolerance: "131 Ω ± 1.6 Ω", "800 kΩ, anywhere from 490 kΩ to 1.2 MΩ"
        where that is much, or "open"."""
        if math.isinf(self.value):
            return "open"
        said = format_quantity(self.value, self.unit)
        if self.tolerance <= _MUCH * self.value:
            return f"{said} ± {format_quantity(float(f'{self.tolerance:.2g}'), self.unit)}"
        low, high = (
            format_quantity(outward(end, up), self.unit)
            for up, end in enumerate((self.value - self.tolerance, self.value + self.tolerance))
        )
        if self.tolerance >= self.value:
            return f"{said}, at most {high}"
        return f"{said}, anywhere from {low} to {high}"


@dataclass(frozen=True, kw_only=True)
class UnpluggedReading(MeterReading):
    """Between two points of the unplugged appliance, red lead first; None where the meter shows an
    open path. `unhooked` is a part, or a contact such as "S1.2", whose wires are off for this
    reading. The tolerance left out is that of a usual hand meter: common practice, no source."""

    red: str
    black: str
    unhooked: str = ""
    accuracy_percent: float = 1.0
    digits: float = 3
    meter_range: ClassVar[str] = ""

    @property
    def where(self) -> str:
        off = f", {self.unhooked} unhooked" if self.unhooked else ""
        return f"{self.red}–{self.black}{self.meter_range}, unplugged{off}"


@dataclass(frozen=True, kw_only=True)
class ResistanceReading(UnpluggedReading):
    """`ohm` on the resistance range."""

    ohm: float | None
    resolution: float = 0.1
    unit: ClassVar[str] = "Ω"
    _shows = ("ohm", 1e9, "Give None where the meter shows an open path.")


@dataclass(frozen=True, kw_only=True)
class DiodeReading(UnpluggedReading):
    """`volts` on the meter's diode range."""

    volts: float | None
    resolution: float = 0.001
    unit: ClassVar[str] = "V"
    meter_range: ClassVar[str] = ", diode range"
    _shows = (
        "volts",
        10,
        "Give volts as the diode range shows them, or None where it shows an open path.",
    )


@dataclass(frozen=True, kw_only=True)
class PlugReading(MeterReading):
    """Of the whole appliance, on an energy meter at the plug. `supply_voltage_V` is the r.m.s.
    voltage that it showed; left out, the whole range of the mains is allowed for. Tolerances left
    out are those of a usual energy meter: common practice, no source."""

    supply_voltage_V: float | None = None
    accuracy_percent: float = 2.0
    digits: float = 2
    quantity: ClassVar[str] = ""

    def __post_init__(self) -> None:
        if self.supply_voltage_V is not None:
            step = "Leave it out if the energy meter shows no volts."
            _check("supply_voltage_V", self.supply_voltage_V, 1, 1000, "V", step)
        super().__post_init__()

    @property
    def where(self) -> str:
        volts = self.supply_voltage_V
        return f"{self.quantity} at the plug{'' if volts is None else f', {volts:g} V'}"


@dataclass(frozen=True, kw_only=True)
class PowerReading(PlugReading):
    """Power of the whole appliance, W."""

    power_W: float
    resolution: float = 1.0
    unit: ClassVar[str] = "W"
    quantity: ClassVar[str] = "power"
    _shows = ("power_W", 100_000, "Give the watts on the energy meter, 0 for none.")


@dataclass(frozen=True, kw_only=True)
class CurrentReading(PlugReading):
    """r.m.s. current of the whole appliance, A."""

    current_A: float
    resolution: float = 0.01
    unit: ClassVar[str] = "A"
    quantity: ClassVar[str] = "current"
    _shows = ("current_A", 1000, "Give the amperes on the energy meter, 0 for none.")


def _check(name: str, value: object, low: float, high: float, unit: str, next_step: str) -> None:
    if not low <= number(value) <= high:
        raise ReadingError(
            f"found {name} = {shown(value)}; accepted: a number from {low:g} to {high:g} {unit}. "
            f"{next_step}"
        )


def outward(value: float, up: int, figures: int = 2) -> float:
    """`value` at so many figures: the next above if `up`, else the next below."""
    if value <= 0 or math.isinf(value):
        return max(value, 0.0)
    step = 10.0 ** (math.floor(math.log10(value)) + 1 - figures)
    return (math.ceil if up else math.floor)(round(value / step, 6)) * step
