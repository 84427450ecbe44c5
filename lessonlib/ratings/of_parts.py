"""Findings about parts: contacts, thermal fuses' current, diodes, elements, conductors."""

from __future__ import annotations

from collections.abc import Iterator

from lessonlib.appliance.parts import (
    Appliance,
    Diode,
    Element,
    Lamp,
    Link,
    PressureSwitch,
    Switch,
    ThermalFuse,
    Thermostat,
)
from lessonlib.errors import RatingError
from lessonlib.limits import components, half_wave
from lessonlib.quantities import format_quantity
from lessonlib.ratings.duty import Duty, controlled_W
from lessonlib.ratings.finding import Finding, Worst, judged
from lessonlib.ratings.of_supply import cord_findings

HALF_WAVES = "half waves"
PEAK = "reverse peak"
Rated = Switch | ThermalFuse | Thermostat | PressureSwitch
"""The parts whose contacts have a rated current."""


def of_parts(appliance: Appliance, rated: Duty, highest: Duty) -> Iterator[Finding]:
    """`rated` is at the appliance's own voltage, `highest` at the highest mains."""
    for part in appliance.parts:
        match part:
            case Switch() | ThermalFuse() | Thermostat() | PressureSwitch():
                yield _contact_current(part, highest)
            case Diode():
                yield from _diode(part, highest)
                yield from _half_waves(appliance, part.name)
            case Element() | Lamp():
                yield from _load(part, rated)
            case Link() if part.area_mm2 is not None and part.length_m is not None:
                of = (appliance.supply.voltage_V, part.area_mm2, part.length_m, 1)
                yield from cord_findings(part.name, *of, rated.current(part.name))


def _contact_current(part: Rated, highest: Duty) -> Finding:
    """The most that any contact of the part carries, against its rating."""
    contacts = (highest.current(part.name, one) for one in range(1, len(part.rungs) + 1))
    most = max(contacts, key=lambda one: one.value)
    return judged(part.name, "current", most, part.rated_A, "A",
                  components.RATED_CURRENT[part.kind].cited,
                  do=f"Fit a {part.words} for at least {format_quantity(most.value, 'A')}.",
                  unknown="Read the rating on the part.",
                  write=f"rated_A for {part.name}")  # fmt: skip


def _diode(part: Diode, highest: Duty) -> Iterator[Finding]:
    """Mean current, reverse voltage and own heat of a diode."""
    mean, peak = highest.mean_current(part.name), highest.peak(part.name)
    source = components.DIODE_V[0].cited
    yield _rating(part, "mean current", mean, "A", components.DIODE_MEAN.cited)
    if peak is None:
        do = "Nothing fixes the voltage across it in any setting: check the wiring."
        yield Finding(part.name, PEAK, "cannot tell", do, source)
    else:
        tight = (part.rated_V or 0) < components.SURGES.value * peak.value
        surges = "Surges come on top: the trade fits one for twice that."
        yield _rating(part, PEAK, peak, "V", source, surges if tight else "")
    heat_W = (part.forward_drop_V or components.FORWARD_V.value) * mean.value
    if part.rise_K_per_W is None or part.most_C is None:
        yield judged(part.name, "own heat", Worst(heat_W, mean.where), None, "W",
                     components.FORWARD_V.cited, do="",
                     unknown="Take it from the maker's sheet, for the way it is mounted.",
                     write="rise_K_per_W" if part.rise_K_per_W is None else "most_C")  # fmt: skip
        return
    air = components.AIR_C
    where = f"{format_quantity(heat_W, 'W')} of its own heat, {mean.where}"
    junction = Worst(air.value + heat_W * part.rise_K_per_W, where)
    source = f"the maker's rating; air of {air.value:g} °C: {air.cited}"
    do = "Mount it on metal, or fit a larger one."
    yield judged(part.name, "junction", junction, part.most_C, "°C", source, do=do)


def _rating(part: Diode, what: str, most: Worst, unit: str, source: str, more: str = "") -> Finding:
    key = f"rated_{unit}"
    least = format_quantity(most.value, unit)
    return judged(part.name, what, most, getattr(part, key), unit, source, passing=more,
                  do=f"Fit one for at least {least}. {more}".strip(),
                  unknown="Read the type on the part, look up its rating.",
                  write=f"{key} for {part.name}")  # fmt: skip


def _half_waves(appliance: Appliance, diode: str) -> Iterator[Finding]:
    """Whether a new design may control the power behind this diode by half waves."""
    supply, limit = appliance.supply, half_wave.CONTROLLED
    behind = Worst(controlled_W(appliance, diode))
    if not behind.value > 0:
        return
    three = supply.cord_cores == "three" or supply.protection_class == "I"
    do = (
        "Not allowed in a new design with an earthed cord; an old appliance may be kept as it was "
        "made."
    )
    unknown = ""
    try:
        rule = half_wave.half_wave_allowed(
            behind.value, cores=3 if three else 2, portable=True, few_minutes=True,
            supply_voltage_V=supply.voltage_V,
        )  # fmt: skip
    except RatingError:
        unknown = f"{limit.cited} does not cover this supply: look up the rule of its country."
    else:
        if rule.allowed and behind.value > limit.value:
            unknown = (
                "A new design may do this only if it is portable, has a two-core cord and runs "
                "for a few minutes only: the file does not say."
            )
    yield judged(diode, HALF_WAVES, behind, None if unknown else limit.value, "W", limit.cited,
                 do=do, unknown=unknown)  # fmt: skip


def _load(part: Element | Lamp, rated: Duty) -> Iterator[Finding]:
    """An element or lamp that gets more than its marked voltage: the file's own values disagree."""
    most = rated.voltage(part.name)
    if part.voltage_V is not None and most.value > part.voltage_V * 1.1:
        do = "It is made for another mains, or wired wrongly: find out before it is plugged in."
        marking = "its own marking"
        yield judged(part.name, "voltage", most, part.voltage_V, "V", marking, do=do)
