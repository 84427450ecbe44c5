"""What has gone wrong, to ask what protects: a part's fault, no water, no relief valve.

None of these is written into the appliance: each is applied from outside.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from lessonlib.appliance.fault import Fault, find_fault
from lessonlib.appliance.parts import Appliance, ThermalFuse
from lessonlib.errors import HeatError, shown

NO_WATER, NO_VALVE = "no water", "no relief valve"


@dataclass(frozen=True)
class Case:
    """What has gone wrong: a part's fault, no water from the start, no relief valve."""

    fault: Fault | None = None
    no_water: bool = False
    no_valve: bool = False

    def __str__(self) -> str:
        """In words, as `protections` and `protection_story` read them."""
        words = [str(self.fault)] if self.fault is not None else []
        words += [NO_WATER] if self.no_water else []
        words += [NO_VALVE] if self.no_valve else []
        return ", ".join(words) or "nothing wrong"

    def applied_to(self, appliance: Appliance) -> Appliance:
        """The appliance with the case's vessel; its fault is for `heat_up` to apply."""
        vessel = appliance.vessel
        if vessel is None:
            return appliance  # `heat_up` says what is missing
        water_kg = 0.0 if self.no_water else vessel.water_kg
        relief_bar = None if self.no_valve else vessel.relief_bar
        return replace(appliance, vessel=replace(vessel, water_kg=water_kg, relief_bar=relief_bar))


def read_case(appliance: Appliance, words: Fault | str | None) -> Case:
    """A fault, or words: "P1 welded", "no water", "no relief valve", or several with ", " between.

    Raises `FaultError` for other words, `HeatError` for two faults of parts and for "no relief
    valve" where there is none to miss (both `ValueError`).
    """
    if not isinstance(words, str):
        return Case(find_fault(appliance, words))
    pieces = words.split(", ")
    faults = [find_fault(appliance, p) for p in pieces if p not in (NO_WATER, NO_VALVE)]
    if len(faults) > 1:
        raise HeatError(
            f"found {len(faults)} faults of parts in {shown(words)}; accepted: one, with "
            f"{NO_WATER!r} or {NO_VALVE!r} besides. Ask for one at a time."
        )
    if NO_VALVE in pieces and not _has_valve(appliance):
        raise HeatError(
            f"found {NO_VALVE!r} for {appliance.title}, which has none; accepted: a sealed vessel "
            "with relief_bar in its [vessel] table. Leave it out."
        )
    return Case(faults[0] if faults else None, NO_WATER in pieces, NO_VALVE in pieces)


def usual_cases(appliance: Appliance) -> list[Case]:
    """Nothing wrong; each thermostat and pressure switch welded; no relief valve, alone and
    together with each of these; no water."""
    welded = [
        Fault(part.name, "welded")
        for part in appliance.self_acting
        if not isinstance(part, ThermalFuse)
    ]
    cases = [Case(), *(Case(fault) for fault in welded)]
    if _has_valve(appliance):
        cases += [Case(no_valve=True), *(Case(fault, no_valve=True) for fault in welded)]
    vessel = appliance.vessel
    if vessel is not None and vessel.water_kg > 0 and vessel.heat_capacity_J_per_K > 0:
        cases.append(Case(no_water=True))
    return cases


def _has_valve(appliance: Appliance) -> bool:
    vessel = appliance.vessel
    return vessel is not None and vessel.sealed and vessel.relief_bar is not None
