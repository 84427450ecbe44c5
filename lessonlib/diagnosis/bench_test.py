"""One test at the bench, unplugged: where the leads go, how the switches stand, and its trouble."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from lessonlib.appliance.parts import TERMINALS, Appliance
from lessonlib.appliance.settings import switch_words
from lessonlib.appliance.terminals import metalwork, plug_fuse
from lessonlib.meter.readings import outward
from lessonlib.quantities import format_quantity

Place = Literal["at the plug", "in the plug", "case open", "wire off"]

# Trouble of each place, of moving the leads there, and of a switch that has to be turned: common
# sense, our own choice. Before the case is open, and after: what is open stays open.
_TROUBLE: dict[Place, tuple[float, float]] = {
    "at the plug": (1.0, 1.0),
    "in the plug": (3.0, 3.0),
    "case open": (10.0, 2.0),
    "wire off": (15.0, 7.0),
}
_IN_PLUG_TOO = 2.0
TURN = 0.2


@dataclass(frozen=True)
class BenchTest:
    """Ohms from `red` to `black`, or the diode range, with the switches as in `setting`.

    With `unhooked`, a part or one of its contacts, the wires of that are off for this test.
    """

    red: str
    black: str
    setting: Mapping[str, str]
    place: Place
    diode_range: bool = False
    unhooked: str = ""
    switches: str = ""

    @property
    def unit(self) -> str:
        """What the meter shows: Ω, or V on the diode range."""
        return "V" if self.diode_range else "Ω"

    @property
    def words(self) -> str:
        """The test as one says it: "L to N, S1 on"."""
        said = [f"{self.red} to {self.black}"]
        if self.diode_range:
            said.insert(0, "diode range, red lead first")
        if self.unhooked:
            said.append(f"with {self.unhooked} unhooked")
        if self.switches:
            said.append(self.switches)
        return ", ".join(said)


def place_of(appliance: Appliance, points: Sequence[str], unhooked: str = "") -> Place:
    """Where one has to get at for a test between these points."""
    if unhooked:
        return "wire off"
    outside = {*TERMINALS, metalwork(appliance)}
    if outside.issuperset(points):
        return "at the plug"
    in_plug = outside | {plug_fuse(appliance)}
    return "in the plug" if in_plug.issuperset(points) else "case open"


def trouble(appliance: Appliance, points: Sequence[str], unhooked: str = "") -> tuple[float, float]:
    """How much trouble a test is, before the case is open and after; switches apart."""
    place = place_of(appliance, points, unhooked)
    # one lead in the plug and the other inside: both have to be open
    more = _IN_PLUG_TOO if place == "case open" and plug_fuse(appliance) in points else 0.0
    before, after = _TROUBLE[place]
    return before + more, after + more


def bench_test(
    appliance: Appliance,
    red: str,
    black: str,
    setting: Mapping[str, str],
    *,
    diode_range: bool = False,
    unhooked: str = "",
) -> BenchTest:
    """A test with its place and its words."""
    place = place_of(appliance, (red, black), unhooked)
    switches = switch_words(appliance, setting)
    return BenchTest(red, black, setting, place, diode_range, unhooked, switches)


def value_words(value: float, unit: str) -> str:
    """A value in words. Infinite is "open", or "a short circuit" at the plug."""
    if math.isinf(value):
        return "open" if unit in ("Ω", "V") else "a short circuit"
    return format_quantity(value, unit)


def reading_words(low: float, high: float, unit: str, figures: int = 2) -> str:
    """Readings from `low` to `high` in words, rounded outwards: "29 to 37 Ω", "at most 1.3 Ω"."""
    if math.isinf(low):
        return value_words(low, unit)
    if high <= 0:
        return f"0 {unit}"
    least, most = (
        format_quantity(outward(end, up, figures), unit) for up, end in enumerate((low, high))
    )
    if math.isinf(high):
        return "anything, or open" if low <= 0 else f"{least} or more, or open"
    return f"at most {most}" if low <= 0 else _from_to(least, most)


def span_words(low: float, high: float, unit: str) -> str:
    """From `low` to `high`, both finite: "2 to 50 Ω"."""
    return _from_to(format_quantity(low, unit), format_quantity(high, unit))


def _from_to(least: str, most: str) -> str:
    figures, _, unit = least.partition(" ")
    return f"{figures if most.endswith(f' {unit}') else least} to {most}"
