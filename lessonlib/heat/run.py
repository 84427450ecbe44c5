"""`heat_up`: an appliance over minutes, from event to event.

What the model leaves out: vessel, water and elements have one temperature, so nothing overshoots
after a contact opens. Every element heats the vessel; lamps and cords do not. Element power is that
of the hot element. Losses are in proportion to the temperature above ambient. Water has its mean
heat of 20 to 100 °C at all temperatures, and an open vessel loses none below its boiling point. No
steam is drawn for use, no water is refilled, and other liquids are not known.

Steam weighs nothing, and neither takes nor gives heat, even where it condenses. A relief valve
holds exactly its pressure. What steam is left in a sealed vessel that has boiled dry follows the
law of ideal gases at constant volume until it condenses: its absolute pressure is then up to 2.1 %
too high behind a valve of 2.5 bar, up to 4.4 % behind one of 10 bar. Air that a vessel draws in as
it cools is not counted when it is heated again.

A thermal fuse on an element is warmer than the vessel by the same rise for each watt, wet or dry,
and at once: on a dry element the real rise is higher, and fuse and element take time to warm
through. The current through a fuse warms it too, at its rated current by several kelvin; here it
does not.

A part with the fault "drifted" acts late by a set amount (`contacts.py`), and a real one by any.

The run speaks of fire from one temperature on, whatever is in or near the vessel, and ends where
aluminium melts or a sealed vessel without a valve bursts (`vessel.py` has these limits): real ones
burn, burst and melt at other temperatures and pressures, and often sooner.
"""

from __future__ import annotations

from collections.abc import Sequence

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import Appliance, ThermalFuse
from lessonlib.appliance.settings import Setting, complete
from lessonlib.circuit.situation import situation
from lessonlib.errors import HeatError, shown
from lessonlib.heat.result import HeatRun
from lessonlib.heat.stepping import Stepping
from lessonlib.quantities import number

MOST_MINUTES = 527_040
"""A leap year."""

Schedule = Sequence[tuple[float, Setting]]
"""Pairs of a minute and the new positions of what a hand moves."""


def heat_up(
    appliance: Appliance,
    setting: Setting | None = None,
    *,
    minutes: float,
    schedule: Schedule = (),
    fault: Fault | str | None = None,
    reversed_plug: bool = False,
    supply_voltage_V: float | None = None,
) -> HeatRun:
    """What the appliance does over some minutes, from its vessel's starting temperature.

    `setting` is where its parts are at the start. `schedule` moves hand-operated switches later:
    pairs of a minute and a setting, as in [(20, {"S1": "off"})]; {"F1": "closed"} resets a
    resettable thermal fuse, which opens again at once where it is still too hot. The other
    options are those of `solve`. An open vessel boils at the local boiling point and may boil dry;
    a sealed one holds saturated steam up to its relief pressure, and what is left of it when dry.
    After a short circuit nothing is on any more: the circuit's own protection opens. The run ends
    sooner where the vessel melts or bursts, with an event that says so. This module's docstring
    says what is left out.

    Between events the solution is exact, and the next event is found from it: the cost grows with
    the number of events, not with time.

    Raises `HeatError` for a vessel, time or schedule that cannot be used, and for too many events
    (`stepping.MOST_EVENTS`); `SettingError`, `FaultError`, `SupplyError` as `solve` does (all of
    these `ValueError`); `SolverError` if the heat does not balance.
    """
    length = number(minutes)
    if not 0 < length <= MOST_MINUTES:
        raise HeatError(
            f"found minutes = {shown(minutes)}; accepted: a number above 0, up to "
            f"{MOST_MINUTES:,} (a year). Give the length of the run in minutes."
        )
    asked = situation(appliance, setting, fault, reversed_plug, supply_voltage_V)
    return Stepping(asked).until(length * 60, _in_seconds(appliance, schedule, length))


def _in_seconds(
    appliance: Appliance, schedule: Schedule, minutes: float
) -> list[tuple[float, Setting]]:
    """The schedule in seconds and in order of time, checked."""
    switches = [part.name for part in appliance.switches]
    try:
        pairs = [(minute, dict(setting)) for minute, setting in schedule]
    except (TypeError, ValueError):
        example = f'[({minutes / 2:g}, {{"{switches[0]}": ...}})]' if switches else "()"
        raise HeatError(
            f"found schedule = {shown(schedule)}; accepted: pairs of a minute and a setting. "
            f"Write it as in {example}."
        ) from None
    for minute, setting in pairs:
        if not 0 <= number(minute) <= minutes:
            raise HeatError(
                f"found minute {shown(minute)} in the schedule; accepted: 0 to {minutes:g}, the "
                "length of the run. Move it, or run for more minutes."
            )
        complete(appliance, setting)  # unknown parts and positions have messages of their own
        for name, position in setting.items():
            part = appliance.part(name)
            if isinstance(part, ThermalFuse):
                _check_reset(part, position)
            elif name not in switches:
                raise HeatError(
                    f"found {shown(name)} in the schedule; accepted: hand-operated switches "
                    f"({', '.join(switches) or 'there are none'}). {name} moves by itself: "
                    "set where it starts with `setting`, or use a fault to hold it."
                )
    timed = [(number(minute) * 60, setting) for minute, setting in pairs]
    return sorted(timed, key=lambda pair: pair[0])


def _check_reset(fuse: ThermalFuse, position: str) -> None:
    """A hand can close a thermal fuse if it is resettable, and never opens one."""
    if not fuse.resettable:
        raise HeatError(
            f"found {fuse.name} in the schedule; accepted: switches, and resettable thermal fuses. "
            f"{fuse.name} is one-shot and cannot be reset. Once open it must be replaced, and what "
            "made it open found and removed first; a new run starts with the new one."
        )
    if position != "closed":
        raise HeatError(
            f"found {fuse.name} {shown(position)} in the schedule; accepted: closed, which resets "
            "it. Nobody opens it by hand: to start with it open, name it in `setting`."
        )
