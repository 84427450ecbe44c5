"""What is asked of an appliance: setting, fault, plug and supply voltage, as one value."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from lessonlib.appliance.fault import Fault, find_fault
from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.settings import Setting, complete
from lessonlib.errors import SupplyError, shown
from lessonlib.quantities import number


@dataclass(frozen=True)
class Situation:
    """An appliance with every movable part's position, at most one fault, the plug one way round or
    the other, and an r.m.s. supply voltage. `situation` makes one, and checks it."""

    appliance: Appliance
    setting: Mapping[str, str]
    fault: Fault | None
    reversed_plug: bool
    supply_voltage_V: float

    @property
    def hot(self) -> int:
        """Number of the terminal that the supply's line is on: 0 for L, 1 for N."""
        return int(self.reversed_plug)

    @property
    def peak_V(self) -> float:
        """Highest instantaneous supply voltage."""
        return math.sqrt(2) * self.supply_voltage_V

    @property
    def notes(self) -> tuple[str, ...]:
        """Supply voltage, plug and fault in words, as a caption has them."""
        plug = ("plug reversed",) if self.reversed_plug else ()
        fault = (f"fault: {self.fault}",) if self.fault is not None else ()
        return (f"{self.supply_voltage_V:g} V", *plug, *fault)


def situation(
    appliance: Appliance,
    setting: Setting | None = None,
    fault: Fault | str | None = None,
    reversed_plug: bool = False,
    supply_voltage_V: float | None = None,
) -> Situation:
    """The situation that these describe; defaults are those of `solve`.

    Raises `SettingError`, `FaultError`, `SupplyError` (all `ValueError`) for what does not fit.
    """
    found = find_fault(appliance, fault)
    chosen = complete(appliance, setting)
    volts = _checked_supply(appliance, supply_voltage_V)
    if not isinstance(reversed_plug, bool | np.bool_):
        raise SupplyError(
            f"found reversed_plug = {shown(reversed_plug)}; accepted: True or False, without "
            "quotation marks. Use True for the plug the other way round."
        )
    return Situation(appliance, chosen, found, bool(reversed_plug), volts)


def _checked_supply(appliance: Appliance, voltage_V: float | None) -> float:
    if voltage_V is None:
        return appliance.supply.voltage_V
    volts = number(voltage_V)
    if not 0.001 <= volts <= 1000:
        raise SupplyError(
            f"found supply_voltage_V = {shown(voltage_V)}; accepted: a number from 0.001 to 1000 V "
            f"r.m.s. Leave it out to use the appliance's own {appliance.supply.voltage_V:g} V."
        )
    return volts
