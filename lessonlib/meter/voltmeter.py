"""What voltmeters show in the energised model. A model, and never a test to do: at the bench
nothing is measured inside an appliance that is plugged in.

A meter is a resistor of its own between its two points. A usual one has 10 megohm, and so shows
nearly the whole mains at a point that hangs on the line by a lamp alone, or by nothing but the
wires beside it. A tester of low impedance pulls such a point down.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import ClassVar

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.settings import Setting, setting_words
from lessonlib.circuit.condition import Condition
from lessonlib.circuit.opened import opened, with_resistor
from lessonlib.circuit.situation import Situation, situation
from lessonlib.circuit.solution import Solution, solutions_of
from lessonlib.circuit.waveform import voltage_between
from lessonlib.meter.kinds import MeterKinds, meter_kinds
from lessonlib.meter.ohmmeter import check_points
from lessonlib.quantities import format_quantity
from lessonlib.safety import MODEL, UNPLUG, WAIT
from lessonlib.tables import Table

USUAL_OHM = 10e6
"""Input resistance of a usual hand meter, ohm: typical, no source."""

LOW_OHM = 3e3
"""Input resistance of a meter on a low-impedance range, ohm: typical, no source."""

STRAY_F = 100e-12
"""Capacitance of a loose point to the live core beside it, farad: a metre or two of cord. Typical,
no source."""

CAUTION = f"{MODEL} {UNPLUG} {WAIT}"


@dataclass(frozen=True, repr=False)
class Voltages(Table):
    """What each kind of meter shows from `red` to `black`, with a usual input and with a low one.

    `stray_V` is what a usual meter may show on top of that, and a low one, from the wires beside a
    point that floats: from 0 up to that many volts.
    """

    above: ClassVar[str] = CAUTION
    between: tuple[str, str]
    situation: Situation
    usual: MeterKinds
    low: MeterKinds
    conditions: tuple[Condition, Condition]
    stray_V: tuple[float, float]

    @property
    def floating(self) -> bool:
        """Whether one of the two points hangs in the air without the meter."""
        return "floating" in self.conditions

    @property
    def caption(self) -> str:
        setting = setting_words(self.situation.appliance, self.situation.setting)
        notes = ", ".join(filter(None, (setting, *self.situation.notes)))
        return f"{' to '.join(self.between)} in the model, {notes}: what meters would show"

    @property
    def header(self) -> tuple[str, ...]:
        return ("meter", "usual, 10 MΩ", "low impedance, 3 kΩ")

    @property
    def shown_rows(self) -> list[tuple[str, ...]]:
        sides = tuple(zip((self.usual, self.low), self.stray_V, strict=True))
        return [
            (kind, *(_shown(side.readings[kind], stray, kind) for side, stray in sides))
            for kind in self.usual.readings
        ]


def _shown(volts: float, stray_V: float, kind: str) -> str:
    if not stray_V or kind == "d.c. range":
        return format_quantity(volts, "V")
    return f"anything up to {format_quantity(max(abs(volts), stray_V), 'V')}"


def voltages(
    appliance: Appliance,
    setting: Setting | None = None,
    *,
    red: str,
    black: str,
    fault: Fault | str | None = None,
    reversed_plug: bool = False,
    supply_voltage_V: float | None = None,
) -> Voltages:
    """What meters would show between two points of the energised model.

    The points are those of `resistance`, the rest is as for `solve`. Raises `ReadingError` for
    points that do not exist, `WaveformError` in a short circuit, and what `solve` raises.
    """
    check_points(appliance, red, black)
    at = situation(appliance, setting, fault, reversed_plug, supply_voltage_V)
    network = opened(appliance)
    bare = solutions_of(at, [at.setting], [at.fault], network)[0]
    first, second = bare.node[red].condition, bare.node[black].condition
    usual, low = (_with_meter(bare, red, black, input_ohm) for input_ohm in (USUAL_OHM, LOW_OHM))
    stray = (0.0, 0.0)
    if "floating" in (first, second):
        stray = (_stray_V(at, USUAL_OHM), _stray_V(at, LOW_OHM))
    return Voltages((red, black), at, usual, low, (first, second), stray)


def _with_meter(bare: Solution, red: str, black: str, input_ohm: float) -> MeterKinds:
    at = bare.situation
    network = with_resistor(bare.batch.network, red, black, input_ohm)
    metered = solutions_of(at, [at.setting], [at.fault], network)[0]
    return meter_kinds(voltage_between(metered, red, black))


def _stray_V(at: Situation, input_ohm: float) -> float:
    """What the live core beside a loose point makes a meter show, V: the stray capacitance and the
    meter in series."""
    frequency_Hz = at.appliance.supply.frequency_Hz
    reactance_ohm = 1 / (2 * math.pi * frequency_Hz * STRAY_F)
    return at.supply_voltage_V * input_ohm / math.hypot(input_ohm, reactance_ohm)
