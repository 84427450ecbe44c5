"""`remarks`: what stands out in an appliance while it is still being described.

The wiring alone, without what the file does not say yet. None of it says that an appliance is safe.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.settings import setting_count
from lessonlib.quantities import format_quantity
from lessonlib.ratings.duty import Duty, duty_at
from lessonlib.ratings.hazard import Ways, beyond_switches, both_ways
from lessonlib.ratings.hazards import shorts
from lessonlib.ratings.of_supply import of_plug
from lessonlib.ratings.of_wiring import SHORT, of_wiring
from lessonlib.ratings.stays_live import when_off

MOST_CASES = 2000
"""Most parts times settings that are looked at, so that typing does not wait for it."""


@dataclass(frozen=True)
class Remark:
    """One sentence about what an appliance does, which may be a `warning`."""

    warning: bool
    words: str

    def __str__(self) -> str:
        return f"{'▲ ' if self.warning else ''}{self.words}"


def remarks(appliance: Appliance) -> tuple[Remark, ...]:
    """What is dangerous or odd in the appliance, warnings first. Raises `SolverError` if a solution
    does not pass its own check."""
    count = setting_count(appliance.movable)
    if count * len(appliance.parts) > MOST_CASES:
        words = f"It has {count:,} settings, too many to check while you type."
        return (Remark(False, words),)
    rated = duty_at(appliance, appliance.supply.voltage_V)
    found = [*_off(both_ways(appliance)), *_wiring(appliance, rated)]
    return tuple(sorted(found, key=lambda each: not each.warning))


def _begun(words: str) -> str:
    return words[0].upper() + words[1:]


def _off(ways: Ways) -> Iterator[Remark]:
    """Shorts, and what "off" leaves live: with the plug turned where that can be."""
    appliance = ways[0].appliance
    turned = appliance.supply.reversible_plug
    yield from (Remark(True, _begun(row.told)) for row in shorts(ways))
    for row in when_off(ways) if appliance.elements else ():
        danger, beyond = row.level == "danger", beyond_switches(appliance, row.live)
        if danger or not row.live or (turned and beyond):
            yield Remark(danger, _begun(row.told))


def _wiring(appliance: Appliance, rated: Duty) -> Iterator[Remark]:
    rows = [*of_wiring(appliance, rated), *of_plug(appliance.supply, rated.drawn_A())]
    for row in rows:
        if row.verdict == "fail" and row.what != SHORT:
            yield Remark(True, _begun(f"{row.part}, {row.what}: {row.told}"))
    power, current = rated.drawn_W(), rated.drawn_A()
    if rated.has_sound():
        drawn = f"{format_quantity(power.value, 'W')} ({format_quantity(current.value, 'A')})"
        yield Remark(False, f"It draws at most {drawn}: {power.where}.")
