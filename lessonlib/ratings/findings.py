"""`findings`: an appliance against published limits, in all settings, over the supply's tolerance.

Currents of contacts, fuses and diodes, and voltages of diodes, are those at the highest mains; the
appliance's power, cord, plug fuse and coupler are judged at its rated voltage, as their limits are
meant. What the file does not state cannot be told, and is never a pass.
"""

from __future__ import annotations

from lessonlib.appliance.parts import Appliance
from lessonlib.ratings.duty import duty_at, highest_V
from lessonlib.ratings.finding import VERDICTS, Findings
from lessonlib.ratings.of_heat import of_heat
from lessonlib.ratings.of_parts import of_parts
from lessonlib.ratings.of_supply import of_supply
from lessonlib.ratings.of_wiring import of_wiring


def findings(appliance: Appliance) -> Findings:
    """Every limit that is kept here and applies, held against what the appliance does.

    Rows that fail stand first, then what cannot be told, then what passes. Raises `SettingError`
    for an appliance with too many settings to solve at once.
    """
    top_V = highest_V(appliance)
    rated, highest = duty_at(appliance, appliance.supply.voltage_V), duty_at(appliance, top_V)
    rows = [
        *of_wiring(appliance, rated),
        *of_supply(appliance.supply, rated),
        *of_parts(appliance, rated, highest),
        *of_heat(appliance, top_V),
    ]
    return Findings(appliance, tuple(sorted(rows, key=lambda row: VERDICTS.index(row.verdict))))
