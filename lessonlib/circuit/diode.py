"""What a diode must carry and block in a circuit, and what a resistor in its place would waste."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from lessonlib.appliance.parts import Link
from lessonlib.circuit.solution import PathReading, Solution, solution_of
from lessonlib.circuit.waveform import waveform
from lessonlib.errors import WaveformError, shown
from lessonlib.quantities import format_quantity


@dataclass(frozen=True, repr=False)
class DiodeDuty:
    """What a diode carries and blocks; compare the mean current and the reverse peak with its
    rated values. `reverse_peak_V` is None where nothing fixes the voltage.

    `reading` has its heat, 0 where the file gives no forward drop. A real diode still gets hot: its
    heat is the drop, 0.7 to 1.1 V in silicon, times the mean current.
    """

    reading: PathReading
    current_mean_A: float
    reverse_peak_V: float | None

    def __str__(self) -> str:
        """Duty in one line: "D1: carries 1.57 A on average, blocks a peak of 325 V"."""
        mean = format_quantity(self.current_mean_A, "A")
        peak = format_quantity(self.reverse_peak_V, "V")
        return f"{self.reading.name}: carries {mean} on average, blocks a peak of {peak}"

    __repr__ = __str__


def diode_duty(solution: Solution, diode: str) -> DiodeDuty:
    """What `diode` carries and blocks in this setting. Raises `WaveformError` for another part."""
    _check_diode(solution, diode)
    wave = waveform(solution, diode)
    peak_V = None if wave.voltage is None else max(-wave.voltage.lowest, 0.0)
    return DiodeDuty(solution.part[diode], wave.defined("current").mean, peak_V)


@dataclass(frozen=True, repr=False)
class SeriesResistor:
    """The resistor that leaves an element the same power as a diode does, and its cost."""

    resistance_ohm: float
    wasted_W: float
    element_W: float
    drawn_W: float

    def __str__(self) -> str:
        """What it costs: "27.4 Ω, turns 166 W into heat itself; 566 W drawn for 400 W"."""
        ohm, waste = format_quantity(self.resistance_ohm, "Ω"), format_quantity(self.wasted_W, "W")
        drawn, used = format_quantity(self.drawn_W, "W"), format_quantity(self.element_W, "W")
        return f"{ohm}, turns {waste} into heat itself; {drawn} drawn for {used}"

    __repr__ = __str__


def against_resistor(solution: Solution, diode: str, element: str) -> SeriesResistor:
    """A resistor in the place of `diode` that leaves `element` the power it has in `solution`,
    found by bisection. Raises `WaveformError` where none does."""
    _check_diode(solution, diode)
    solution.appliance.part(element)  # an unknown name has its own message
    wanted_W = solution.part[element].power_W or 0.0

    def left_W(ohm: float) -> float:
        return _with_resistor(solution, diode, ohm).part[element].power_W or 0.0

    bridging, opening = 1e-9, 1e15
    if not left_W(opening) < wanted_W < left_W(bridging):
        raise WaveformError(
            f"found {wanted_W:.4g} W at {element}, which is not between {left_W(opening):.4g} W "
            f"with {diode} open and {left_W(bridging):.4g} W with it bridged. Accepted: a setting "
            f"in which {diode} lowers the power of {element}. Choose another setting."
        )
    while opening > bridging * (1 + 1e-12):
        ohm = math.sqrt(bridging * opening)
        bridging, opening = (ohm, opening) if left_W(ohm) > wanted_W else (bridging, ohm)
    now = _with_resistor(solution, diode, opening)
    wasted_W, element_W = (now.part[name].power_W or 0.0 for name in (diode, element))
    return SeriesResistor(opening, wasted_W, element_W, now.power_W or 0.0)


def _with_resistor(solution: Solution, diode: str, ohm: float) -> Solution:
    parts = tuple(
        Link(part.name, part.rungs[0], resistance_ohm=ohm) if part.name == diode else part
        for part in solution.appliance.parts
    )
    other = replace(solution.appliance, parts=parts)
    return solution_of(replace(solution.situation, appliance=other))


def _check_diode(solution: Solution, name: str) -> None:
    diodes = [part.name for part in solution.appliance.diodes]
    if name not in diodes:
        raise WaveformError(
            f"found {shown(name)}; accepted: a diode of {solution.appliance.title}, that is "
            f"{', '.join(diodes) or 'none, it has no diode'}. Use its name."
        )
