"""When a hand moves a switch, or resets a thermal fuse, during a run."""

from __future__ import annotations

from collections.abc import Sequence

from lessonlib.appliance.parts import Appliance, ThermalFuse
from lessonlib.appliance.settings import Setting, complete
from lessonlib.errors import HeatError, shown
from lessonlib.quantities import number

Schedule = Sequence[tuple[float, Setting]]
"""Pairs of a minute and the new positions of what a hand moves."""


def in_seconds(
    appliance: Appliance, schedule: Schedule, minutes: float
) -> list[tuple[float, Setting]]:
    """The schedule in seconds and in order of time.

    Raises `HeatError` for anything but pairs of a minute and a setting, a time outside the run, and
    a part that nobody moves by hand; `SettingError` for unknown parts and positions.
    """
    switches = [part.name for part in appliance.switches]
    try:
        pairs = [(minute, dict(setting)) for minute, setting in schedule]
    except (TypeError, ValueError):
        example = f'[({minutes / 2:g}, {{"{switches[0]}": ...}})]' if switches else "()"
        raise HeatError(
            f"found schedule = {shown(schedule)}; accepted: pairs of a minute and a setting. "
            f"Write it as in {example}."
        ) from None
    for minute, setting in pairs:
        if not 0 <= number(minute) <= minutes:
            raise HeatError(
                f"found minute {shown(minute)} in the schedule; accepted: 0 to {minutes:g}, the "
                "length of the run. Move it, or run for more minutes."
            )
        complete(appliance, setting)  # unknown parts and positions have messages of their own
        for name, position in setting.items():
            part = appliance.part(name)
            if isinstance(part, ThermalFuse):
                _check_reset(part, position)
            elif name not in switches:
                raise HeatError(
                    f"found {shown(name)} in the schedule; accepted: hand-operated switches "
                    f"({', '.join(switches) or 'there are none'}). {name} moves by itself: "
                    "set where it starts with `setting`, or use a fault to hold it."
                )
    timed = [(number(minute) * 60, setting) for minute, setting in pairs]
    return sorted(timed, key=lambda pair: pair[0])


def _check_reset(fuse: ThermalFuse, position: str) -> None:
    """A hand can close a thermal fuse if it is resettable, and never opens one."""
    if not fuse.resettable:
        raise HeatError(
            f"found {fuse.name} in the schedule; accepted: switches, and resettable thermal fuses. "
            f"{fuse.name} is one-shot and cannot be reset. Once open it must be replaced, and what "
            "made it open found and removed first; a new run starts with the new one."
        )
    if position != "closed":
        raise HeatError(
            f"found {fuse.name} {shown(position)} in the schedule; accepted: closed, which resets "
            "it. Nobody opens it by hand: to start with it open, name it in `setting`."
        )
