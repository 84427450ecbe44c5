"""Findings about thermal fuses: whether they hold in normal use, and open in time."""

from __future__ import annotations

from collections.abc import Iterator

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import Appliance, ThermalFuse, Thermostat
from lessonlib.appliance.settings import settings, switch_words
from lessonlib.errors import HeatError
from lessonlib.heat.protection import Case, brief, tolerance_K, usual_cases
from lessonlib.heat.run import heat_up
from lessonlib.limits import components
from lessonlib.ratings.finding import Finding, Worst, judged

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
        try:
            place = _hottest_place(appliance, fuse, volts)
        except HeatError:
            yield _without_vessel(appliance, fuse)
        else:
            yield from fuse_place(fuse, place)
    if not appliance.elements:
        return
    dry, vessel = _dry(appliance, volts), appliance.vessel
    yield dry
    if vessel and vessel.sealed and vessel.relief_bar is None and VALVE not in dry.do:
        do = "Without a relief valve it can burst, whatever its fuse: do not use it. Look for one"
        write = "relief_bar under [vessel]"
        source = components.RELIEF.cited
        yield Finding("vessel", "relief valve", "cannot tell", do, source, write=write)


def fuse_place(fuse: ThermalFuse, place: Worst) -> Iterator[Finding]:
    """Whether a thermal fuse stays closed at the hottest its place gets in normal use."""
    coldest_C = fuse.opens_at_C - tolerance_K(fuse)
    yield judged(fuse.name, OPENS, place, coldest_C, "°C", components.TOLERANCE.cited,
                 do=f"It opens in normal use. Fit one that opens above {place.value + 10:.0f} °C, "
                 "as the maker fitted.")  # fmt: skip
    yield judged(fuse.name, HOLDS, place, fuse.holds_C, "°C", components.HOLDING.cited,
                 do="It wears out in normal use and opens for nothing. Fit one that holds more.",
                 unknown="Look up its holding temperature.",
                 write=f"holds_C for {fuse.name}")  # fmt: skip


def _hottest_place(appliance: Appliance, fuse: ThermalFuse, volts: float) -> Worst:
    """The hottest that the fuse's place gets in normal use, while there is water where water
    belongs. The fuse is taken as closed. Raises `HeatError` where the file has no vessel to compute
    it from."""
    found = []
    for setting in settings(appliance):
        run = heat_up(appliance, setting, minutes=MINUTES, supply_voltage_V=volts,
                      fault=Fault(fuse.name, "welded"))  # fmt: skip
        where = ", ".join(filter(None, [switch_words(appliance, setting), f"{volts:g} V"]))
        found.append(Worst(run.hottest_place_C(fuse.name, run.first_s("dry")), where))
    return max(found, key=lambda one: one.value)


def _dry(appliance: Appliance, volts: float) -> Finding:
    """Dry, and with each self-acting contact welded: something opens before harm is done."""
    about = ("appliance", DRY)
    source = components.ABNORMAL.cited
    if appliance.vessel is None:
        opens = any(isinstance(part, ThermalFuse | Thermostat) for part in appliance.parts)
        lacking = "" if opens else " The file has nothing that opens on heat."
        do = f"Describe what it heats under [vessel], or ask the maker what stops it.{lacking}"
        return Finding(*about, "cannot tell", do, source)
    cases = [
        case
        for case in usual_cases(appliance)
        if (case.fault or case.no_water) and not case.no_valve
    ]
    harms: dict[str, str] = {}
    for case in cases or [Case()]:
        for setting in settings(appliance):
            try:
                run = heat_up(case.applied_to(appliance), setting, minutes=MINUTES,
                              supply_voltage_V=volts, fault=case.fault)  # fmt: skip
            except HeatError as error:
                return Finding(*about, "cannot tell", str(error), source)
            harm = next((event for event in run.events if event.kind in _HARM), None)
            if harm is not None:
                when = ", ".join(filter(None, [str(case), switch_words(appliance, setting)]))
                harms[f"{when}: {brief(harm)}"] = VALVE if harm.kind == "bursts" else FUSE
    if harms:
        more = f", and {len(harms) - 2} more" if len(harms) > 2 else ""
        do = " ".join(dict.fromkeys(harms.values()))
        return Finding(*about, "fail", f"{'; '.join(list(harms)[:2])}{more}. {do}", source)
    told = f"By the model no fire, melting or bursting in {MINUTES / 60:g} hours."
    return Finding(*about, "pass", told, source)


def _without_vessel(appliance: Appliance, fuse: ThermalFuse) -> Finding:
    """Thermostats alone say how hot it gets at least."""
    coldest_C, source = fuse.opens_at_C - tolerance_K(fuse), components.TOLERANCE.cited
    marks = [(part.opens_at_C, part.name) for part in appliance.of_type(Thermostat)]
    hottest_C, name = max(marks, default=(0.0, ""))
    if name and hottest_C >= coldest_C:
        do = "The thermostat lets it get as hot as that: check both marks."
        place = Worst(hottest_C, f"{name} opens there")
        return judged(fuse.name, OPENS, place, coldest_C, "°C", source, do=do)
    holds = f", and below the {fuse.holds_C:g} °C that it holds" if fuse.holds_C else ""
    below = f"{coldest_C:g} °C{holds}"
    do = f"Measure how hot its place gets in normal use: it must stay below {below}."
    return Finding(fuse.name, OPENS, "cannot tell", do, source)
