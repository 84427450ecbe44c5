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

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.settings import Setting
from lessonlib.circuit.situation import situation
from lessonlib.errors import HeatError, shown
from lessonlib.heat.result import HeatRun
from lessonlib.heat.schedule import Schedule, in_seconds
from lessonlib.heat.stepping import Stepping
from lessonlib.quantities import number

MOST_MINUTES = 527_040
"""A leap year."""


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
    return Stepping(asked).until(length * 60, in_seconds(appliance, schedule, length))
