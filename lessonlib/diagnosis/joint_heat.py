"""The heat that a bad joint or contact makes in use, which can start a fire."""

from __future__ import annotations

from collections.abc import Sequence

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import Appliance
from lessonlib.circuit.solution import solve_all
from lessonlib.errors import SettingError
from lessonlib.quantities import format_quantity
from lessonlib.safety import UNTIL_MENDED

_FIRE_W = 5.0
"""Heat in one joint that chars the material around it: common practice, no source."""


def joint_heat(appliance: Appliance, sizes: Sequence[tuple[Fault, ...]]) -> str:
    """A warning of the most heat that one of these makes in any setting, each a fault by itself;
    empty where that is little."""
    bad = [one[0] for one in sizes if len(one) == 1 and one[0].kind in ("bad joint", "resistive")]
    if not bad:
        return ""
    try:
        solved = solve_all(appliance, faults=list(dict.fromkeys(bad)))
    except SettingError:  # too many switches to try them all
        return ""
    most_W = 0.0
    for one in solved:
        if one.power_W is not None:
            most_W = max(most_W, one.power_W - sum(part.power_W or 0 for part in one.part.values()))
    if most_W < _FIRE_W:
        return ""
    heat = format_quantity(float(f"{most_W:.2g}"), "W")
    return (
        f"In use such a bad joint or contact would make up to {heat} of heat, enough to start a "
        f"fire. {UNTIL_MENDED}"
    )
