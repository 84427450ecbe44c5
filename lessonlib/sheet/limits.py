"""The table of limits and ratings: what the file says, what is allowed, the most that occurs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from lessonlib.appliance.parts import (
    Appliance,
    Element,
    Link,
    Part,
    PressureSwitch,
    Resistive,
    SelfActing,
    Switch,
    ThermalFuse,
)
from lessonlib.circuit.solution import Solution
from lessonlib.heat.protection import TOLERANCE_K
from lessonlib.heat.water import steam_temperature_C
from lessonlib.limits import half_wave, input_power
from lessonlib.limits.mains import mains_range
from lessonlib.quantities import format_quantity
from lessonlib.ratings.duty import controlled_W
from lessonlib.ratings.finding import Finding, sized
from lessonlib.ratings.findings import findings
from lessonlib.ratings.of_parts import HALF_WAVES

_FUSE_SOURCE = "IEC 60691, as quoted by two makers' glossaries"
_STEAM_SOURCE = "Temperature of saturated steam: IAPWS R7-97(2012), at gauge pressure"

LimitRow = tuple[str, str, str, str]
"""What it is, what the file says, the limit or the highest value, and room for what was found."""


@dataclass
class Sources:
    """Sources in the order in which they are first cited."""

    cited: list[str] = field(default_factory=list)

    def mark(self, source: str) -> str:
        """The mark that stands behind a value: " [2]"."""
        if source not in self.cited:
            self.cited.append(source)
        return f" [{self.cited.index(source) + 1}]"

    @property
    def listed(self) -> tuple[str, ...]:
        return tuple(f"[{number}] {source}." for number, source in enumerate(self.cited, 1))


def limit_rows(
    appliance: Appliance, solutions: Sequence[Solution], sources: Sources
) -> Iterator[LimitRow]:
    """A row for the supply, the power, each part but the switches, every finding that fails by its
    number, and the relief valve."""
    found = findings(appliance)
    sound = [solution for solution in solutions if solution.short is None]
    yield _supply_row(appliance, sources)
    highest_W = max((solution.power_W or 0.0 for solution in sound), default=0.0)
    if 0 < highest_W <= input_power.MOST_W:
        limits = input_power.input_power_limits(highest_W)
        low, high = (format_quantity(watts, "W") for watts in (limits.low_W, limits.high_W))
        allowed = f"{low} to {high}, hot{sources.mark(limits.source)}"
        marked = f"{format_quantity(highest_W, 'W')} in the highest setting"
        yield ("power at the plug", marked, allowed, "")
    for part in appliance.parts:
        if not isinstance(part, Switch):
            where = f"{part.name}, {part.words}"
            told = [*_limits(appliance, part, sources), *_carried(found.about(part.name))]
            yield (where, _marks(part), "; ".join(told) or "–", "")
    for row in found.of("fail"):
        if row.limit is not None and row.what != HALF_WAVES:
            number = f"{sized(row.found or 0.0, row.unit)} ({row.where})"
            words = f"{number}, {row.limit_words}{sources.mark(row.source)}: fails"
            yield (f"{row.part}, {row.what}", "–", words, "")
    vessel = appliance.vessel
    if vessel is not None and vessel.relief_bar is not None:
        steam = f"steam at {_steam_C(appliance, vessel.relief_bar):.0f} °C"
        lifts = f"lifts at {vessel.relief_bar:g} bar, {steam}{sources.mark(_STEAM_SOURCE)}"
        yield ("relief valve", lifts, "–", "")


def _supply_row(appliance: Appliance, sources: Sources) -> LimitRow:
    supply = appliance.supply
    found = mains_range(supply.voltage_V)
    allowed = "–"
    if found is not None:
        allowed = f"{found.low_V:g} V to {found.high_V:g} V{sources.mark(found.source)}"
    return ("supply", f"{supply.voltage_V:g} V, {supply.frequency_Hz:g} Hz", allowed, "")


def _marks(part: Part) -> str:
    """What the file says of the part."""
    words = []
    match part:
        case Resistive():
            if part.power_W is not None and part.voltage_V is not None:
                marked = (format_quantity(part.power_W, "W"), format_quantity(part.voltage_V, "V"))
                words.append(" at ".join(marked))
            words.append(format_quantity(part.resistance_ohm, "Ω"))
            if isinstance(part, Element) and part.alloy is not None:
                words.append(part.alloy)
            if isinstance(part, Link) and part.length_m is not None and part.area_mm2 is not None:
                words.append(f"{part.length_m:g} m of {part.area_mm2:g} mm²")
        case ThermalFuse():
            words += [*part.thresholds, "resettable" if part.resettable else "one-shot"]
            if part.holds_C is not None:
                words.append(f"holds {part.holds_C:g} °C")
        case SelfActing():
            words += part.thresholds
    for key, unit in (("rated_A", "A"), ("rated_V", "V")):
        rating = getattr(part, key, None)
        if rating is not None:
            words.append(f"rated {format_quantity(rating, unit)}")
    return ", ".join(words) or "–"


def _limits(appliance: Appliance, part: Part, sources: Sources) -> Iterator[str]:
    """Published limits of the part itself."""
    match part:
        case ThermalFuse() if not part.resettable:
            low, high = part.opens_at_C - TOLERANCE_K, part.opens_at_C
            yield f"+0/−{TOLERANCE_K:g} K: {low:g} to {high:g} °C{sources.mark(_FUSE_SOURCE)}"
        case ThermalFuse():
            yield "tolerance: see the maker's data"
        case PressureSwitch():
            bars = (part.opens_at_bar, part.closes_at_bar)
            opens, closes = (f"{_steam_C(appliance, bar):.0f} °C" for bar in bars)
            yield f"steam at {opens} and {closes}{sources.mark(_STEAM_SOURCE)}"


_CARRIED = {"current": "carries", "mean current": "carries", "reverse peak": "blocks"}


def _carried(rows: Sequence[Finding]) -> Iterator[str]:
    """What a part carries and blocks at the mains that is worst for it."""
    for row in rows:
        if row.what in _CARRIED and row.found is not None:
            kind = {"mean current": " mean", "reverse peak": " peak"}.get(row.what, "")
            volts = row.where.rpartition(", ")[2]
            yield f"{_CARRIED[row.what]} {sized(row.found, row.unit)}{kind} at {volts}"


def _steam_C(appliance: Appliance, bar: float) -> float:
    altitude_m = appliance.vessel.altitude_m if appliance.vessel is not None else 0.0
    return steam_temperature_C(bar, altitude_m)


def half_wave_notes(appliance: Appliance, sources: Sources) -> Iterator[str]:
    """For each diode, the power behind it and when a new design may control it by half waves."""
    for part in appliance.diodes:
        controlled = format_quantity(controlled_W(appliance, part.name), "W")
        conditions = "; or ".join(half_wave.CONDITIONS)
        yield (
            f"Half wave: {part.name} controls {controlled}. On a mains of "
            f"{half_wave.LOW_V:g} to {half_wave.HIGH_V:g} V a new design may do so only if "
            f"{conditions}{sources.mark(half_wave.SOURCE)}."
        )
