"""Settings: part name to position. Parts not named are at their start."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import product
from math import prod

from lessonlib.appliance.parts import Appliance, Part, Switch
from lessonlib.errors import SettingError, shown

# Most settings listed at once, times parts and contacts: some seconds of work, some megabytes of a
# notebook. Our own choice; the largest bundled appliance comes to 64 times 18.
_MOST_AT_ONCE = 100_000
# Beyond so many diodes each further one counts double, as the solver may try every set of states.
_FEW_DIODES = 10

Setting = Mapping[str, str]


def complete(appliance: Appliance, setting: Setting | None = None) -> dict[str, str]:
    """`setting` with every movable part named, in file order.

    Raises `SettingError` for an unknown part, a part without positions, an unknown position, and
    anything that is not a setting.
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
                f"{shown(name)} has no positions. Parts of {appliance.title} with positions: "
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


def setting_count(parts: Iterable[Part]) -> int:
    """How many settings these parts have together."""
    return prod(len(part.positions) for part in parts)


def settings(appliance: Appliance, parts: tuple[Part, ...] | None = None) -> list[dict[str, str]]:
    """Every setting of `parts` (the hand-operated switches when left out), others at start.

    Raises `SettingError`, before listing any, where there are too many to read.
    """
    moved = appliance.switches if parts is None else parts
    count = setting_count(moved)
    paths = sum(len(part.rungs) for part in appliance.parts)
    doubled = max(0, len(appliance.diodes) - _FEW_DIODES)
    most = _MOST_AT_ONCE // (max(1, paths) << doubled)
    if count > most:
        raise SettingError(
            f"{appliance.title} has {count:,} settings of {len(moved)} parts; accepted for its "
            f"{paths} parts and contacts: at most {most:,} at a time. Look at one of them with "
            "solve(appliance, {...}), or describe it with fewer switches."
        )
    base = complete(appliance)
    return [
        {**base, **{part.name: position for part, position in zip(moved, row, strict=True)}}
        for row in product(*(part.positions for part in moved))
    ]


def switch_words(appliance: Appliance, setting: Setting) -> str:
    """The switches' positions: "S1 on, S2 full"; nothing where there are none."""
    return ", ".join(f"{part.name} {setting[part.name]}" for part in appliance.switches)


def setting_words(appliance: Appliance, setting: Setting) -> str:
    """The switches' positions, and those of other parts that are not at their start."""
    told = [
        f"{part.name} {setting[part.name]}"
        for part in appliance.movable
        if isinstance(part, Switch) or setting[part.name] != part.start
    ]
    return ", ".join(told)
