"""Looks for what is dangerous or odd in an appliance: a text that can be read need not be sound.

Every setting of the switches is solved, and the remarks say what stands out, warnings first. None
of them says that an appliance is safe.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import prod

from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.settings import switch_words
from lessonlib.circuit.solution import Solution, solve_all
from lessonlib.quantities import format_quantity
from lessonlib.words import listed

MOST_CASES = 2000
"""Most parts times settings that are checked, so that typing does not wait for it."""

_MOST_NAMED = 4

# An element that draws less than this share of the most that all draw does not count as heating:
# a lamp in series with it lets so little through.
_HEATS = 0.01

# What flows to earth in a class I portable appliance at most, A: IEC 60335-1 cl. 13.2, as quoted.
_LEAKAGE_A = 0.75e-3


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
    count = prod(len(part.positions) for part in appliance.switches)
    if count * len(appliance.parts) > MOST_CASES:
        words = f"It has {count:,} settings, too many to check while you type."
        return (Remark(False, words),)
    solved = solve_all(appliance)
    sound = [each for each in solved if each.short is None]
    found = [
        *_shorts(solved),
        *_to_earth(sound),
        *_over_the_plug(sound),
        *_never_heating(sound),
        *_live_when_off(sound),
        *_most(sound),
    ]
    return tuple(sorted(found, key=lambda each: not each.warning))


def _where(solution: Solution) -> str:
    """The setting in words: " at S1 on"."""
    words = switch_words(solution.appliance, solution.setting)
    return f" at {words}" if words else ""


def _shorts(solved: Sequence[Solution]) -> Iterator[Remark]:
    short = [each for each in solved if each.short is not None]
    if short:
        more = len(short) - 1
        also = f", and in {more} more settings" if more > 1 else ", and in one more" if more else ""
        said = f"Short circuit{_where(short[0])}{also}: {short[0].short}."
        yield Remark(True, f"{said} Never plug in a circuit like this.")


def _to_earth(sound: Sequence[Solution]) -> Iterator[Remark]:
    found = [
        (reading.current_A, part.name, solution)
        for solution in sound
        for part in solution.part.values()
        for reading in part.contacts
        if "PE" in reading.between and (reading.current_A or 0.0) > _LEAKAGE_A
    ]
    if found:
        amps, name, solution = max(found, key=lambda each: each[0] or 0.0)
        said = f"{name} sends {format_quantity(amps, 'A')} to earth{_where(solution)}"
        yield Remark(True, f"{said}: that is a fault, and makes the case dangerous.")


def _over_the_plug(sound: Sequence[Solution]) -> Iterator[Remark]:
    """What is too much for a plug. IEC 60320-1 goes up to 16 A, BS 1362 up to 13 A (as quoted), an
    ordinary plug for 120 V up to 15 A (from memory)."""
    worst = max(sound, key=lambda each: each.current_A or 0.0, default=None)
    if worst is None or worst.current_A is None:
        return
    amps, volts = worst.current_A, worst.supply_voltage_V
    drawn = f"It draws {format_quantity(amps, 'A')}{_where(worst)}, more than"
    if 100 <= volts <= 130 and amps > 15:
        yield Remark(True, f"{drawn} the 15 A of an ordinary plug.")
    elif 200 <= volts <= 260 and amps > 16:
        yield Remark(True, f"{drawn} the 16 A of any household plug.")
    elif 200 <= volts <= 260 and amps > 13.1:  # 3 kW at 230 V, which British plugs do carry
        yield Remark(True, f"{drawn} the 13 A fuse of a British plug.")


def _heat_W(solution: Solution) -> float:
    elements = solution.appliance.elements
    return sum(solution.part[part.name].power_W or 0.0 for part in elements)


def _never_heating(sound: Sequence[Solution]) -> Iterator[Remark]:
    if not sound:
        return
    most_W = {
        part.name: max(each.part[part.name].power_W or 0.0 for each in sound)
        for part in sound[0].appliance.elements
    }
    highest_W = max(most_W.values(), default=0.0)
    never = [name for name, watts in most_W.items() if watts < _HEATS * highest_W]
    if highest_W == 0:
        yield Remark(True, "Nothing heats in any setting.")
    elif never:
        heat = "heats" if len(never) == 1 else "heat"
        yield Remark(True, f"{_first_few(never)} never {heat}.")


def _first_few(names: Sequence[str]) -> str:
    """The first few names: "E1, E2 and 3 more"."""
    if len(names) > _MOST_NAMED:
        return f"{', '.join(names[:_MOST_NAMED])} and {len(names) - _MOST_NAMED} more"
    return listed(names)


def _live_when_off(sound: Sequence[Solution]) -> Iterator[Remark]:
    """What is live while nothing heats, also with the plug reversed; or that it is never off."""
    most_W = max(map(_heat_W, sound), default=0.0)
    if most_W == 0:
        return
    off = next((each for each in sound if _heat_W(each) < _HEATS * most_W), None)
    if off is None:
        least = min(sound, key=_heat_W)
        drawn = f"{format_quantity(least.power_W, 'W')}{_where(least)}"
        yield Remark(False, f"No setting switches it off: the lowest is {drawn}.")
    elif live := _live_elements(off):
        yield Remark(True, f"Nothing heats{_where(off)}, but {live} live.")
    elif off.appliance.supply.reversible_plug:
        [turned] = solve_all(off.appliance, [off.setting], reversed_plug=True)
        if live := _live_elements(turned):
            yield Remark(False, f"With the plug reversed, {live} live{_where(turned)}.")


def _live_elements(solution: Solution) -> str:
    """The elements that have an end that is live, and "is" or "are"; empty where none has."""
    live = {terminal.part for terminal in solution.live}
    names = [part.name for part in solution.appliance.elements if part.name in live]
    return f"{_first_few(names)} {'is' if len(names) == 1 else 'are'}" if names else ""


def _most(sound: Sequence[Solution]) -> Iterator[Remark]:
    worst = max(sound, key=lambda each: each.power_W or 0.0, default=None)
    if worst is not None:
        drawn = f"{format_quantity(worst.power_W, 'W')} ({format_quantity(worst.current_A, 'A')})"
        yield Remark(False, f"It draws at most {drawn}{_where(worst)}.")
