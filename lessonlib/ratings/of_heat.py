"""Findings about thermal fuses: whether they hold in normal use, and open in time."""

from __future__ import annotations

from collections.abc import Iterator

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import Appliance, ThermalFuse, Thermostat
from lessonlib.appliance.settings import settings, switch_words
from lessonlib.errors import HeatError
from lessonlib.heat.cases import Case, usual_cases
from lessonlib.heat.protection import brief, tolerance_K
from lessonlib.heat.run import heat_up
from lessonlib.limits import components
from lessonlib.ratings.duty import Worst
from lessonlib.ratings.finding import Finding, judged, untold

MINUTES = 240.0
"""As long as somebody may leave it on: our own choice."""

OPENS, HOLDS = "place, against where it may open", "place, against what it holds"
DRY = "no water, or a control that fails"
_HARM = ("fire", "bursts", "melts", "beyond")
FUSE = "Fit a thermal fuse that cuts off every element before that."
VALVE = "It needs a relief valve: no fuse stands in for one."


def of_heat(appliance: Appliance, volts: float) -> Iterator[Finding]:
    """Each thermal fuse where it sits, and dry heat, at the highest mains."""
    for fuse in appliance.of_type(ThermalFuse):
        place = hottest_place(appliance, fuse, volts)
        if place is None:
            yield from _without_vessel(appliance, fuse)
            continue
        yield from fuse_place(fuse, place)
    if not appliance.elements:
        return
    dry, vessel = _dry(appliance, volts), appliance.vessel
    yield dry
    if vessel and vessel.sealed and vessel.relief_bar is None and VALVE not in dry.do:
        do = "Without a relief valve it can burst, whatever its fuse: do not use it. Look for one"
        source = components.RELIEF.cited
        yield untold("vessel", "relief valve", do, source, write="relief_bar under [vessel]")


def fuse_place(fuse: ThermalFuse, place: Worst) -> Iterator[Finding]:
    """Whether a thermal fuse stays closed at the hottest its place gets in normal use."""
    coldest_C = fuse.opens_at_C - tolerance_K(fuse)
    yield judged(fuse.name, OPENS, place.value, coldest_C, "°C",
                 components.TOLERANCE.cited, where=place.where,
                 do=f"It opens in normal use. Fit one that opens above {place.value + 10:.0f} °C, "
                 "as the maker fitted.")  # fmt: skip
    source = components.HOLDING.cited
    if fuse.holds_C is None:
        yield untold(fuse.name, HOLDS, "Look up its holding temperature.", source,
                     write=f"holds_C for {fuse.name}", found=place.value, unit="°C",
                     where=place.where)  # fmt: skip
        return
    yield judged(fuse.name, HOLDS, place.value, fuse.holds_C, "°C",
                 source, where=place.where,
                 do="It wears out in normal use and opens for nothing. Fit one that holds more."
                 )  # fmt: skip


def hottest_place(appliance: Appliance, fuse: ThermalFuse, volts: float) -> Worst | None:
    """The hottest that the fuse's place gets in normal use, while there is water where water
    belongs; None where the file has no vessel to compute it from. The fuse is taken as closed."""
    found: list[Worst] = []
    for setting in settings(appliance):
        try:
            run = heat_up(appliance, setting, minutes=MINUTES, supply_voltage_V=volts,
                          fault=Fault(fuse.name, "welded"))  # fmt: skip
        except HeatError:
            return None
        where = ", ".join(filter(None, [switch_words(appliance, setting), f"{volts:g} V"]))
        found.append(Worst(run.hottest_place_C(fuse.name, run.first_s("dry")), where))
    return max(found, key=lambda one: one.value)


def _dry(appliance: Appliance, volts: float) -> Finding:
    """Dry, and with each self-acting contact welded: something opens before harm is done."""
    source, what = components.ABNORMAL.cited, DRY
    if appliance.vessel is None:
        opens = any(isinstance(part, ThermalFuse | Thermostat) for part in appliance.parts)
        lacking = "" if opens else " The file has nothing that opens on heat."
        do = f"Describe what it heats under [vessel], or ask the maker what stops it.{lacking}"
        return untold("appliance", what, do, source)
    cases = [case for case in usual_cases(appliance) if case.fault or case.no_water]
    harms: dict[str, str] = {}
    for case in [case for case in cases if not case.no_valve] or [Case()]:
        for setting in settings(appliance):
            try:
                run = heat_up(case.applied_to(appliance), setting, minutes=MINUTES,
                              supply_voltage_V=volts, fault=case.fault)  # fmt: skip
            except HeatError as error:
                return untold("appliance", what, str(error), source)
            harm = next((event for event in run.events if event.kind in _HARM), None)
            if harm is not None:
                words = switch_words(appliance, setting)
                told = f"{case}{', ' + words if words else ''}: {brief(harm)}"
                harms[told] = VALVE if harm.kind == "bursts" else FUSE
    if harms:
        more = f", and {len(harms) - 2} more" if len(harms) > 2 else ""
        do = " ".join(dict.fromkeys(harms.values()))
        told = f"{'; '.join(list(harms)[:2])}{more}. {do}"
        return Finding("appliance", what, "fail", None, None, "", "", source, told)
    told = f"By the model no fire, melting or bursting in {MINUTES / 60:g} hours."
    return Finding("appliance", what, "pass", None, None, "", "", source, told)


def _without_vessel(appliance: Appliance, fuse: ThermalFuse) -> Iterator[Finding]:
    """Thermostats alone say how hot it gets at least."""
    coldest_C = fuse.opens_at_C - tolerance_K(fuse)
    marks = [(part.opens_at_C, part.name) for part in appliance.of_type(Thermostat)]
    what, source = OPENS, components.TOLERANCE.cited
    if marks and max(marks)[0] >= coldest_C:
        yield judged(fuse.name, what, max(marks)[0], coldest_C, "°C", source,
                     where=f"{max(marks)[1]} opens there",
                     do="The thermostat lets it get as hot as that: check both marks.")  # fmt: skip
        return
    do = (
        f"Measure how hot its place gets in normal use: it must stay below {coldest_C:g} °C"
        + (f", and below the {fuse.holds_C:g} °C that it holds" if fuse.holds_C else "")
        + "."
    )
    yield untold(fuse.name, what, do, source)
