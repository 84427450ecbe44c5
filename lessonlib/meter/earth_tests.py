"""Earth continuity, and the insulation tester to the metalwork, on the unplugged appliance."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from lessonlib.appliance.fault import Fault, find_fault
from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.settings import Setting, complete
from lessonlib.appliance.terminals import metalwork
from lessonlib.circuit.opened import cases_with, opened, with_resistor
from lessonlib.errors import ReadingError
from lessonlib.limits.earth import INSULATION_TEST_V, SHORT_CORD_OHM, least_insulation_ohm
from lessonlib.meter.pairs import two_point
from lessonlib.quantities import format_quantity
from lessonlib.safety import TESTS

CAUTION = TESTS

TESTER_TOP_OHM = 200e6
"""Where an insulation tester's range ends, ohm: typical, no source."""


@dataclass(frozen=True)
class EarthTest:
    """`ohm` by the model, infinite for open; `limit_ohm` is the most for earth continuity, and the
    least for insulation."""

    name: str
    ohm: float
    limit_ohm: float
    passes: bool

    @property
    def text(self) -> str:
        """What the tester shows, and whether that is within the limit."""
        top = TESTER_TOP_OHM if "insulation" in self.name else math.inf
        if self.ohm >= top:
            said = "open" if math.isinf(top) else f"over {format_quantity(top, 'Ω')}"
        else:
            said = format_quantity(self.ohm, "Ω")
        limit = format_quantity(self.limit_ohm, "Ω")
        side = "at least" if "insulation" in self.name else "at most"
        return f"{self.name}: {said}; {side} {limit}, so it {'passes' if self.passes else 'fails'}"

    def __repr__(self) -> str:
        return f"{CAUTION}\n{self.text}"


def earth_continuity(appliance: Appliance, *, fault: Fault | str | None = None) -> EarthTest:
    """From the plug's earth pin to the metalwork, with a cord of up to 5 m. In the model a sound
    earth wire has no resistance. Raises `ReadingError` for class II, which has none to test."""
    if appliance.supply.protection_class == "II":
        raise ReadingError(
            f"{appliance.title} is of class II; accepted: an appliance that is to have an earth. "
            "Test its insulation instead."
        )
    ohm = _measured(appliance, None, fault, "PE", metalwork(appliance))
    return EarthTest("earth continuity", ohm, SHORT_CORD_OHM, ohm <= SHORT_CORD_OHM)


def insulation(
    appliance: Appliance, setting: Setting | None = None, *, fault: Fault | str | None = None
) -> EarthTest:
    """From L and N together to the metalwork, at 500 V. What a switch leaves out is not tested:
    switch everything on. In the model sound insulation is endless."""
    ohm = _measured(appliance, setting, fault, "L", metalwork(appliance), joined=True)
    limit = least_insulation_ohm(appliance.supply.protection_class, bool(appliance.elements))
    return EarthTest(f"insulation at {INSULATION_TEST_V} V", ohm, limit, ohm >= limit)


def _measured(
    appliance: Appliance,
    setting: Setting | None,
    fault: Fault | str | None,
    red: str,
    black: str,
    joined: bool = False,
) -> float:
    """Ohms between two points, with L and N `joined` at the plug; any diode conducts at 500 V."""
    network = opened(appliance)
    if joined:
        network = with_resistor(network, "L", "N", 0.0)
    cases = cases_with(network, [complete(appliance, setting)], [find_fault(appliance, fault)])
    cases = replace(cases, join=cases.join | cases.diode)
    at = np.array([network.nodes.index(point) for point in (red, black)], dtype=np.intp)
    return float(two_point(network, cases, at)[0][0, 0, 1])
