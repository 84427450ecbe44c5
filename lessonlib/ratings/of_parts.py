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
from lessonlib.ratings.duty import Duty, Worst, controlled_W
from lessonlib.ratings.finding import Finding, judged, untold
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
                yield contact_current(part, highest)
            case Diode():
                yield from of_diode(part, highest)
                yield from half_wave_permission(appliance, part.name)
            case Element() | Lamp():
                yield from _element(part, rated)
            case Link() if part.area_mm2 is not None and part.length_m is not None:
                of = (appliance.supply.voltage_V, part.area_mm2, part.length_m, 1)
                yield from cord_findings(part.name, *of, rated.current(part.name))


def contact_current(part: Rated, highest: Duty) -> Finding:
    """The most that any contact of the part carries, against its rating."""
    contacts = range(1, len(part.rungs) + 1)
    most = max((highest.current(part.name, one) for one in contacts), key=lambda one: one.value)
    source = components.RATED_CURRENT[part.kind].cited
    if part.rated_A is None:
        return untold(part.name, "current", "Read the rating on the part.", source,
                      write=f"rated_A for {part.name}", found=most.value, unit="A",
                      where=most.where)  # fmt: skip
    return judged(part.name, "current", most.value, part.rated_A, "A", source, where=most.where,
                  do=f"Fit a {part.words} for at least {format_quantity(most.value, 'A')}."
                  )  # fmt: skip


def of_diode(part: Diode, highest: Duty) -> Iterator[Finding]:
    """Mean current, reverse voltage and own heat of a diode."""
    mean, peak = highest.mean_current(part.name), highest.peak(part.name)
    yield _rating(part.name, "mean current", mean, part.rated_A, "A", "rated_A",
                  components.DIODE_MEAN.cited)  # fmt: skip
    source = components.DIODE_V[0].cited
    if peak is None:
        do = "Nothing fixes the voltage across it in any setting: check the wiring."
        yield untold(part.name, PEAK, do, source)
    else:
        tight = (part.rated_V or 0) < components.SURGES.value * peak.value
        yield _rating(part.name, PEAK, peak, part.rated_V, "V", "rated_V", source,
                      "Surges come on top: the trade fits one for twice that." if tight else ""
                      )  # fmt: skip
    drop_V = part.forward_drop_V or components.FORWARD_V.value
    heat_W = drop_V * mean.value
    air_C = components.AIR_C.value
    if part.rise_K_per_W is None or part.most_C is None:
        missing = "rise_K_per_W" if part.rise_K_per_W is None else "most_C"
        do = "Take it from the maker's sheet, for the way it is mounted."
        yield untold(part.name, "own heat", do, components.FORWARD_V.cited, write=missing,
                     found=heat_W, unit="W", where=mean.where)  # fmt: skip
        return
    yield judged(part.name, "junction", air_C + heat_W * part.rise_K_per_W, part.most_C, "°C",
                 f"the maker's rating; air of {air_C:g} °C: {components.AIR_C.cited}",
                 where=f"{format_quantity(heat_W, 'W')} of its own heat, {mean.where}",
                 do="Mount it on metal, or fit a larger one.")  # fmt: skip


def _rating(
    name: str, what: str, most: Worst, rating: float | None, unit: str, key: str, source: str,
    more: str = "",
) -> Finding:  # fmt: skip
    if rating is None:
        do = "Read the type on the part, look up its rating."
        return untold(name, what, do, source, write=f"{key} for {name}", found=most.value,
                      unit=unit, where=most.where)  # fmt: skip
    least = format_quantity(most.value, unit)
    return judged(name, what, most.value, rating, unit, source, where=most.where,
                  do=f"Fit one for at least {least}. {more}".strip(), passing=more)  # fmt: skip


def half_wave_permission(appliance: Appliance, diode: str) -> Iterator[Finding]:
    """Whether a new design may control the power behind this diode by half waves."""
    supply, watts, what = appliance.supply, controlled_W(appliance, diode), HALF_WAVES
    source = half_wave.CONTROLLED.cited
    if not watts > 0:
        return
    three = supply.cord_cores == "three" or supply.protection_class == "I"
    try:
        cores = 3 if three else 2
        rule = half_wave.half_wave_allowed(
            watts, cores=cores, portable=True, few_minutes=True,
            supply_voltage_V=supply.voltage_V,
        )  # fmt: skip
    except RatingError:
        do = f"{source} does not cover this supply: look up the rule of its country."
        yield untold(diode, what, do, source, found=watts, unit="W")
        return
    small = watts <= half_wave.CONTROLLED.value
    if small or not rule.allowed:
        yield judged(diode, what, watts, half_wave.CONTROLLED.value, "W", source,
                     do="Not allowed in a new design with an earthed cord; an old appliance may "
                     "be kept as it was made.")  # fmt: skip
        return
    do = (
        "A new design may do this only if it is portable, has a two-core cord and runs for a few "
        "minutes only: the file does not say."
    )
    yield untold(diode, what, do, source, found=watts, unit="W")


def _element(part: Element | Lamp, rated: Duty) -> Iterator[Finding]:
    """An element or lamp that gets more than its marked voltage: the file's own values disagree."""
    if part.voltage_V is None:
        return
    most = rated.voltage(part.name)
    if most.value > part.voltage_V * 1.1:
        do = "It is made for another mains, or wired wrongly: find out before it is plugged in."
        yield judged(part.name, "voltage", most.value, part.voltage_V, "V", "its own marking",
                     where=most.where, do=do)  # fmt: skip
