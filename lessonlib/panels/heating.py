"""The front door `heating_panel`: a heating run that plays in the browser while you flip switches.

A run is determined by the setting it starts with, its fault, and what was moved by hand and when.
So this is its state: the synced traits `moves`, `fault` and `time_s`. The browser plays it with an
engine of its own (`heating_engine.js`), without a kernel, and reports how far it is.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import traitlets

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.settings import Setting, complete
from lessonlib.errors import HeatError, shown
from lessonlib.heat.result import clock
from lessonlib.heat.run import MOST_MINUTES
from lessonlib.page.join import script, style
from lessonlib.panels.data import Choices, choices
from lessonlib.panels.export import PANEL
from lessonlib.panels.heating_data import SPEEDS, heating_data
from lessonlib.panels.widget import Live
from lessonlib.quantities import number
from lessonlib.safety import ONE_LINE
from lessonlib.schematics.schematic import live_svg


class HeatingPanel(Live):
    """A live heating run. The browser moves it; its traits say how far it is."""

    _esm = script("panels/heating.js")
    _css = style("panels/heating.css", PANEL, own_paper=True)

    moves: traitlets.List[Any] = traitlets.List(
        help="[seconds, part, position] for each move by hand."
    ).tag(sync=True)
    time_s = traitlets.Float(0.0, help="Seconds from the start.").tag(sync=True)
    temperature_C = traitlets.Float(help="Of the vessel.").tag(sync=True)
    positions = traitlets.Dict(help="Part name to position.").tag(sync=True)
    speed = traitlets.Int(help="How many times as fast as real time it plays.").tag(sync=True)
    fault = traitlets.Unicode(None, allow_none=True, help="In words.").tag(sync=True)

    def __init__(self, offer: Choices, setting: Setting | None, minutes: float, speed: int) -> None:
        appliance, start = offer.appliance, offer.positions(setting)
        table = heating_data(offer, live_svg(appliance), ONE_LINE, start, minutes)
        super().__init__(
            appliance,
            table=table,
            temperature_C=table["vessel"]["start_C"],
            positions=complete(appliance, setting),
            speed=speed,
        )

    def __repr__(self) -> str:
        where = ", ".join(f"{name} {position}" for name, position in self.positions.items())
        fault = "" if self.fault is None else f", fault: {self.fault}"
        return (
            f"Heating panel of {self.appliance.title} at {clock(self.time_s)}: "
            f"{self.temperature_C:.1f} °C ({where}{fault})"
        )


def heating_panel(
    appliance: Appliance,
    setting: Setting | None = None,
    *,
    minutes: float = 60,
    faults: bool | Sequence[Fault | str] = False,
    speed: int = 60,
) -> HeatingPanel:
    """A live heating run of `appliance`: press Start, and flip switches in the drawing meanwhile.

    It begins cold, with `setting`, and lasts for `minutes` of the appliance's time, played `speed`
    (1, 10, 60 or 300) times as fast. `faults` are those to choose from, as in `panel`: a list such
    as ["P1 welded"], or True for every single one. `.moves`, `.time_s`, `.temperature_C` and
    `.positions` are how far it is. `.save("x.html")` writes a page that plays.
    Raises `HeatError`, `SettingError`, `FaultError` (all `ValueError`) for what does not fit.
    """
    if not 0 < number(minutes) <= MOST_MINUTES:
        raise HeatError(
            f"found minutes = {shown(minutes)}; accepted: a number above 0, up to "
            f"{MOST_MINUTES:,} (a year). Give how long the run may last, in minutes."
        )
    if speed not in SPEEDS:
        raise HeatError(
            f"found speed = {shown(speed)}; accepted: {', '.join(map(str, SPEEDS))} (times as fast "
            "as real time). Use one of these."
        )
    nominal = [appliance.supply.voltage_V]
    offer = replace(choices(appliance, nominal, faults), plugs=(False,))
    return HeatingPanel(offer, setting, number(minutes), speed)
