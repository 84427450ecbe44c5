"""Settings: part name to position. Parts not named are at their start."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import product
from math import prod

from lessonlib.appliance.parts import Appliance, Part
from lessonlib.errors import SettingError, shown

MAX_SETTINGS = 10_000
"""Most settings listed at once; the largest bundled appliance has 64."""

Setting = Mapping[str, str]


def complete(appliance: Appliance, setting: Setting | None = None) -> dict[str, str]:
    """`setting` with every movable part named, in file order.

    Raises `SettingError` for an unknown part, a part without positions, an unknown position, and
    for what is no setting at all.
    """
    positions = {part.name: part.start for part in appliance.movable}
    if setting is None:
        return positions
    if not isinstance(setting, Mapping):
        example = ", ".join(f'"{part.name}": "{part.start}"' for part in appliance.movable[:1])
        raise SettingError(
            f"found the setting {shown(setting)}; accepted: part names with their positions in "
            f"braces, such as {{{example}}}, or nothing for every part at its start. "
            "Write it that way."
        )
    for name, position in setting.items():
        if name not in positions:
            appliance.part(name)  # an unknown name has its own message
            can_move = ", ".join(positions) or "none"
            raise SettingError(
                f"{shown(name)} has no positions. Parts of {appliance.title} that have: "
                f"{can_move}. Name one of these, or use a fault to open or short this part."
            )
        accepted = appliance.part(name).positions
        if position not in accepted:
            raise SettingError(
                f"{shown(name)} has no position {shown(position)}. "
                f"Its positions are: {', '.join(accepted)}. Use one of these."
            )
        positions[name] = position
    return positions


def settings(appliance: Appliance, parts: tuple[Part, ...] | None = None) -> list[dict[str, str]]:
    """Every setting of `parts` (the hand-operated switches when left out), others at start.

    Raises `SettingError` where there are more than `MAX_SETTINGS` of them.
    """
    moved = appliance.of_kind("switch") if parts is None else parts
    count = prod(len(part.positions) for part in moved)
    if count > MAX_SETTINGS:
        raise SettingError(
            f"{appliance.title} has {count:,} settings of {len(moved)} parts; accepted: at most "
            f"{MAX_SETTINGS:,} at a time. Name those you want: solve_all(appliance, [...])."
        )
    base = complete(appliance)
    return [
        {**base, **{part.name: position for part, position in zip(moved, row, strict=True)}}
        for row in product(*(part.positions for part in moved))
    ]
