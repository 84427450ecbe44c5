"""The insulation tester to the metalwork, on the unplugged appliance."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from lessonlib.appliance.fault import Fault, find_fault
from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.settings import Setting, complete
from lessonlib.appliance.terminals import metalwork
from lessonlib.circuit.opened import cases_with, opened, with_resistor
from lessonlib.limits.earth import INSULATION_TEST_V, least_insulation_ohm
from lessonlib.meter.pairs import two_point
from lessonlib.quantities import format_quantity
from lessonlib.safety import TESTS

TESTER_TOP_OHM = 200e6
"""Where an insulation tester's range ends, ohm: typical, no source."""


@dataclass(frozen=True)
class InsulationTest:
    """`ohm` by the model, infinite for sound insulation; `limit_ohm` is the least."""

    ohm: float
    limit_ohm: float

    @property
    def passes(self) -> bool:
        """Whether it is within the limit."""
        return self.ohm >= self.limit_ohm

    @property
    def text(self) -> str:
        """What the tester shows, and whether that is within the limit."""
        said = format_quantity(min(self.ohm, TESTER_TOP_OHM), "Ω")
        over = "over " if self.ohm >= TESTER_TOP_OHM else ""
        return (
            f"insulation at {INSULATION_TEST_V} V: {over}{said}; at least "
            f"{format_quantity(self.limit_ohm, 'Ω')}, so it {'passes' if self.passes else 'fails'}"
        )

    def __repr__(self) -> str:
        return f"{TESTS}\n{self.text}"


def insulation(
    appliance: Appliance, setting: Setting | None = None, *, fault: Fault | str | None = None
) -> InsulationTest:
    """From L and N together to the metalwork, at 500 V. What a switch leaves out is not tested:
    switch everything on. In the model sound insulation is endless."""
    network = with_resistor(opened(appliance), "L", "N", 0.0)
    cases = cases_with(network, [complete(appliance, setting)], [find_fault(appliance, fault)])
    cases = replace(cases, join=cases.join | cases.diode)  # any diode conducts at 500 V
    at = np.array([network.nodes.index(point) for point in ("L", metalwork(appliance))])
    ohm = float(two_point(network, cases, at)[0][0, 0, 1])
    limit = least_insulation_ohm(appliance.supply.protection_class, bool(appliance.elements))
    return InsulationTest(ohm, limit)
