"""What an appliance does at its worst: a text that can be read is no sound appliance.

Every setting of the switches is solved; the sentences say what stands out, the worst first. Nothing
here says that an appliance is safe.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import prod

from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.settings import switch_words
from lessonlib.circuit.solution import Solution, solve_all
from lessonlib.quantities import format_quantity
from lessonlib.words import listed

MOST_CASES = 2000
"""Most parts times settings looked through, so that typing does not wait for it."""

_MOST_NAMED = 4

# An element that draws less than this share of the most that all draw is no heater then: a lamp in
# series with it lets so little through.
_HEATS = 0.01

# What flows to earth in a class I portable appliance at most, A: IEC 60335-1 cl. 13.2, as quoted.
_LEAKAGE_A = 0.75e-3


@dataclass(frozen=True)
class Finding:
    """One sentence about what an appliance does; a `warning`, or what is to be known."""

    warning: bool
    words: str

    def __str__(self) -> str:
        return f"{'▲ ' if self.warning else ''}{self.words}"


def findings(appliance: Appliance) -> tuple[Finding, ...]:
    """What the appliance does at its worst, warnings first. Raises `SolverError` if the solution
    does not pass its own check."""
    count = prod(len(part.positions) for part in appliance.switches)
    if count * len(appliance.parts) > MOST_CASES:
        words = f"It has {count:,} settings: too many to look through them all while you type."
        return (Finding(False, words),)
    solved = solve_all(appliance)
    sound = [each for each in solved if each.short is None]
    found = [*_shorts(solved), *_to_earth(sound), *_over_the_plug(sound), *_heating(sound)]
    warnings = [Finding(True, words) for words in found]
    return (*warnings, *_live_when_off(appliance, sound), *_most(sound))


def _where(solution: Solution) -> str:
    """The setting in words, to stand behind what happens: " at S1 on"."""
    words = switch_words(solution.appliance, solution.setting)
    return f" at {words}" if words else ""


def _and_more(count: int) -> str:
    return f", and in {count} more settings" if count > 1 else ", and in one more" if count else ""


def _shorts(solved: Sequence[Solution]) -> list[str]:
    short = [each for each in solved if each.short is not None]
    if not short:
        return []
    where = f"{_where(short[0])}{_and_more(len(short) - 1)}"
    return [f"Short circuit{where}: {short[0].short}. Never plug in a circuit like this."]


def _to_earth(sound: Sequence[Solution]) -> list[str]:
    found = [
        (reading.current_A, part.name, solution)
        for solution in sound
        for part in solution.part.values()
        for reading in part.contacts
        if "PE" in reading.between and (reading.current_A or 0.0) > _LEAKAGE_A
    ]
    if not found:
        return []
    amps, name, solution = max(found, key=lambda each: each[0] or 0.0)
    said = f"{name} sends {format_quantity(amps, 'A')} to earth{_where(solution)}"
    return [f"{said}: that is a fault, and makes the case dangerous."]


def _over_the_plug(sound: Sequence[Solution]) -> list[str]:
    """What is too much for a plug. IEC 60320-1 goes up to 16 A, BS 1362 up to 13 A (as quoted), an
    ordinary plug for 120 V up to 15 A (from memory)."""
    worst = max(sound, key=lambda each: each.current_A or 0.0, default=None)
    if worst is None or worst.current_A is None:
        return []
    amps, volts = worst.current_A, worst.supply_voltage_V
    drawn = f"It draws {format_quantity(amps, 'A')}{_where(worst)}, more than"
    if 100 <= volts <= 130 and amps > 15:
        return [f"{drawn} the 15 A of an ordinary plug."]
    if 200 <= volts <= 260 and amps > 16:
        return [f"{drawn} the 16 A of any household plug."]
    if 200 <= volts <= 260 and amps > 13.1:  # 3 kW at 230 V, which British plugs do carry
        return [f"{drawn} the 13 A fuse of a British plug."]
    return []


def _heat_W(solution: Solution) -> float:
    elements = solution.appliance.elements
    return sum(solution.part[part.name].power_W or 0.0 for part in elements)


def _heating(sound: Sequence[Solution]) -> list[str]:
    if not sound:
        return []
    most_W = {
        part.name: max(each.part[part.name].power_W or 0.0 for each in sound)
        for part in sound[0].appliance.elements
    }
    highest_W = max(most_W.values(), default=0.0)
    if highest_W == 0:
        return ["Nothing heats in any setting."]
    never = [name for name, watts in most_W.items() if watts < _HEATS * highest_W]
    if not never:
        return []
    return [f"{_listed(never)} {'heats' if len(never) == 1 else 'heat'} in no setting."]


def _listed(names: Sequence[str]) -> str:
    """The first few names: "E1, E2 and 3 more"."""
    if len(names) > _MOST_NAMED:
        return f"{', '.join(names[:_MOST_NAMED])} and {len(names) - _MOST_NAMED} more"
    return listed(names)


def _live_when_off(appliance: Appliance, sound: Sequence[Solution]) -> list[Finding]:
    """What is live though nothing heats, also with the plug turned; or that it is never off."""
    most_W = max(map(_heat_W, sound), default=0.0)
    if most_W == 0:
        return []
    off = [each for each in sound if _heat_W(each) < _HEATS * most_W]
    if not off:
        least = min(sound, key=_heat_W)
        drawn = f"{format_quantity(least.power_W, 'W')}{_where(least)}"
        return [Finding(False, f"No setting switches it off: the least is {drawn}.")]
    live = _live_heaters(off[0])
    if live:
        words = f"Nothing heats{_where(off[0])}, but {live} live."
        return [Finding(True, words)]
    if not appliance.supply.reversible_plug:
        return []
    [turned] = solve_all(appliance, [off[0].setting], reversed_plug=True)
    live = _live_heaters(turned)
    if not live:
        return []
    words = f"With the plug turned {live} live{_where(turned)}."
    return [Finding(False, words)]


def _live_heaters(solution: Solution) -> str:
    """The elements that have an end that is live, and "is" or "are"; empty where none has."""
    live = {terminal.part for terminal in solution.live}
    names = [part.name for part in solution.appliance.elements if part.name in live]
    return f"{_listed(names)} {'is' if len(names) == 1 else 'are'}" if names else ""


def _most(sound: Sequence[Solution]) -> list[Finding]:
    worst = max(sound, key=lambda each: each.power_W or 0.0, default=None)
    if worst is None:
        return []
    drawn = f"{format_quantity(worst.power_W, 'W')} ({format_quantity(worst.current_A, 'A')})"
    return [Finding(False, f"At most it draws {drawn}{_where(worst)}.")]
