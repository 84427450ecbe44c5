"""What a search begins with: the parts one has, and the powers one wants."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from lessonlib.appliance.names import MAX_NAME, alike, oddity
from lessonlib.appliance.parts import Appliance, Diode, Element
from lessonlib.appliance.reader import read_appliance
from lessonlib.errors import RewiringError, shown
from lessonlib.quantities import format_quantity, number
from lessonlib.words import counted

MOST_PARTS = 4
"""Elements and diode together; of five parts there are a hundred times as many wirings."""
MOST_POSITIONS = 5
OFF = "off"
WORDS = (OFF, "low", "medium", "high", "both", "all")
"""Words for powers; which of them there are depends on the elements."""
_EXAMPLE = 'rewirings([500, 1000], ["off", "low", "high", "both"])'


@dataclass(frozen=True)
class Wanted:
    """One position of the switch: its name, and the power in W, 0 for off."""

    name: str
    power_W: float
    tolerance_percent: float

    @property
    def range_W(self) -> tuple[float, float]:
        """Least and most power that will do."""
        slack = self.tolerance_percent / 100
        return self.power_W * (1 - slack), self.power_W * (1 + slack)

    @property
    def words(self) -> str:
        """As a sentence names it: "low, 500 W"."""
        watts = "no heat" if self.is_off else format_quantity(self.power_W, "W")
        return self.name if self.name == watts else f"{self.name}, {watts}"

    @property
    def is_off(self) -> bool:
        return self.power_W == 0


def stock(
    given: Appliance | Sequence[float | Mapping[str, float]],
    *,
    diode: bool,
    thermal_fuse_C: float | None,
    supply_voltage_V: float,
    reversible_plug: bool,
) -> Appliance:
    """The parts, from an appliance or from a list of elements; see `rewirings`."""
    if not isinstance(given, Appliance):
        if isinstance(given, str | bytes | Mapping) or not isinstance(given, Sequence) or not given:
            raise RewiringError(
                f"found the elements {shown(given)}; accepted: an appliance, or a list of "
                f"elements, each in watts, as in {_EXAMPLE}. Write it that way."
            )
        given = read_appliance(_file(given[:50], diode, thermal_fuse_C, supply_voltage_V))
        given = replace(given, supply=replace(given.supply, reversible_plug=bool(reversible_plug)))
    elements, diodes = given.elements, given.diodes
    if not elements or len(diodes) > 1 or len(elements) + len(diodes) > MOST_PARTS:
        raise RewiringError(
            f"found {counted(len(elements), 'element')} and {counted(len(diodes), 'diode')}; "
            f"accepted: one element or more, at most one diode, and at most {MOST_PARTS} of these "
            "parts together, as a search of more would take hours. Leave one out, or count "
            "elements that always work together as one."
        )
    return given


def wired(of: Appliance) -> tuple[Element | Diode, ...]:
    """What can be wired in different ways: the elements, then the diode."""
    return (*of.elements, *of.diodes)


def left_out(of: Appliance) -> list[str]:
    """Parts that a search knows nothing of, as lamps."""
    used = (*wired(of), *of.self_acting, *of.switches)
    return [part.name for part in of.parts if part not in used]


def without(of: Appliance, unused: Sequence[str]) -> Appliance:
    """The parts without some of them."""
    return replace(of, parts=tuple(part for part in of.parts if part.name not in unused))


def _file(
    elements: Sequence[float | Mapping[str, float]],
    diode: bool,
    thermal_fuse_C: float | None,
    supply_voltage_V: float,
) -> str:
    """The parts as an appliance file, in no wiring to speak of: its reader checks every value."""
    across = 'between = ["L", "N"]'
    volts = number(supply_voltage_V)
    lines = ['title = "These parts"', "[supply]", f"voltage_V = {volts!r}"]
    for count, each in enumerate(elements, 1):
        keys = each if isinstance(each, Mapping) else {"power_W": each}
        if "power_W" in keys:
            keys = {"voltage_V": volts, **keys}
        values = [f"{key} = {number(value)!r}" for key, value in keys.items()]
        lines += ["[[element]]", f'name = "E{count}"', across, *values]
    if diode:
        lines += ["[[diode]]", 'name = "D1"', across]
    if thermal_fuse_C is not None:
        opens = f"opens_at_C = {number(thermal_fuse_C)!r}"
        lines += ["[[thermal_fuse]]", 'name = "F1"', across, opens]
    return "\n".join(lines)


def wanted_of(
    given: Sequence[str | float | tuple[str, float]], of: Appliance, tolerance_percent: float
) -> tuple[Wanted, ...]:
    """The positions wanted: words that stand for powers, figures in W, or (name, figure)."""
    tolerance = number(tolerance_percent)
    if not 0.1 <= tolerance <= 30:
        raise RewiringError(
            f"found a tolerance of {shown(tolerance_percent)}; accepted: 0.1 to 30 %. Give a "
            "number in that range."
        )
    if isinstance(given, str | bytes) or not isinstance(given, Sequence):
        given = ()
    if not 2 <= len(given) <= MOST_POSITIONS:
        raise RewiringError(
            f"found {counted(len(given), 'wanted power')}; accepted: a list of 2 to "
            f"{MOST_POSITIONS}, as in {_EXAMPLE}. A switch has no more positions here."
        )
    words = _words(of)
    found: list[Wanted] = []
    for each in given:
        name, watts = each if isinstance(each, tuple) and len(each) == 2 else (each, each)
        if isinstance(watts, str):
            watts = words.get(watts.strip().lower(), math.nan)
        power = number(watts)
        if not 0 <= power <= 400_000:
            raise RewiringError(
                f"found the wanted power {shown(each)}; accepted: watts, a name with watts, as in "
                f'("eco", 300), or one of {", ".join(words)}. Write it that way.'
            )
        if not isinstance(name, str) or not name.strip() or not power:
            name = format_quantity(power, "W") if power else OFF
        now = Wanted(name.strip(), power, tolerance)
        if odd := oddity(now.name):
            raise RewiringError(
                f"found the name {shown(now.name)}{odd}; accepted: 1 to {MAX_NAME} letters that "
                "can be read. Choose another name."
            )
        for other in found:
            same = other.name == now.name or alike([other.name, now.name])
            if same or math.isclose(other.power_W, power, rel_tol=0.001):
                raise RewiringError(
                    f"found two positions alike: {other.words}; and {now.words}. Accepted: each "
                    "power once. Elements that are equal make low and high the same: write the "
                    "watts that you want instead."
                )
        found.append(now)
    return tuple(found)


def _words(of: Appliance) -> dict[str, float]:
    """The words for powers, in W at the supply's voltage."""
    square = of.supply.voltage_V**2
    alone = sorted(square / part.resistance_ohm for part in of.elements)
    words = {OFF: 0.0, "low": alone[0], "high": alone[-1]}
    if len(alone) == 3:
        words["medium"] = alone[1]
    return words | {"both" if len(alone) == 2 else "all": sum(alone)}
