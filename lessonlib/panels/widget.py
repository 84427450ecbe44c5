"""The front door `panel`: the live picture, and its state as traits.

The browser flips switches and looks up rows on its own. The state is in the picture's synced
indexes: `position_0`, `position_1` ... (one for each movable part), `voltage`, `plug` and `fault`.
"""

from __future__ import annotations

from collections.abc import Sequence
from os import PathLike
from pathlib import Path
from typing import Any

import anywidget
import ipywidgets
import traitlets

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.settings import Setting, complete
from lessonlib.circuit.solution import Solution
from lessonlib.errors import SupplyError, shown
from lessonlib.page.join import script, style
from lessonlib.panels.data import (
    Choices,
    Indexes,
    choices,
    offered_fault,
    panel_data,
    read_key,
    row_of,
)
from lessonlib.panels.export import PANEL, save_page
from lessonlib.quantities import format_quantity
from lessonlib.safety import ONE_LINE
from lessonlib.schematics.schematic import live_svg


class LivePicture(anywidget.AnyWidget):
    """What the browser shows: `panel.js` draws it from `table` and the indexes."""

    _esm = script("panels/panel.js")
    _css = style("panels/panel.css", PANEL, own_paper=True)

    table = traitlets.Dict().tag(sync=True)
    voltage = traitlets.Int(0).tag(sync=True)
    plug = traitlets.Int(0).tag(sync=True)
    fault = traitlets.Int(0).tag(sync=True)

    def __init__(self, offer: Choices, start: Indexes, earth: bool) -> None:
        moved = len(offer.appliance.movable)
        self.position_names = tuple(f"position_{number}" for number in range(moved))
        self.add_traits(**{name: traitlets.Int(0).tag(sync=True) for name in self.position_names})
        self.index_names = ("voltage", "plug", "fault", *self.position_names)
        super().__init__(
            table=panel_data(offer, live_svg(offer.appliance, earth), ONE_LINE, start),
            voltage=offer.nominal,
            **dict(zip(self.position_names, start, strict=True)),
        )
        self._offer = offer
        self.on_msg(self._answer)

    @property
    def chosen(self) -> Indexes:
        """The indexes of the present choice: voltage, plug, fault, positions."""
        return tuple(getattr(self, name) for name in self.index_names)

    def _answer(self, widget: object, content: Any, buffers: object) -> None:
        """Send a row that the browser asks for, which was not computed beforehand."""
        key = content.get("ask") if isinstance(content, dict) else None
        chosen = read_key(self._offer, key)
        if chosen is not None:
            self.send({"key": key, "row": row_of(self._offer.solve(chosen))})


class Panel(ipywidgets.VBox):  # type: ignore[misc]
    """A live picture. The traits can be set and observed from Python."""

    positions = traitlets.Dict(help="The complete setting: part name to position.")
    fault = traitlets.Any(None, help="The fault, a `Fault` or None; words are accepted.")
    reversed_plug = traitlets.Bool(False, help="Whether the plug is reversed.")
    supply_voltage_V = traitlets.Float(help="Supply voltage, r.m.s., one of those offered.")

    def __init__(self, offer: Choices, setting: Setting | None, earth: bool = False) -> None:
        start = offer.positions(setting)
        self._offer = offer
        self.picture = LivePicture(offer, start, earth)
        super().__init__(
            [self.picture],
            _dom_classes=["hcp-box"],
            positions=offer.setting(start),
            supply_voltage_V=offer.voltages_V[offer.nominal],
        )
        self.picture.observe(self._take, list(self.picture.index_names))
        self.observe(self._give, ["positions", "fault", "reversed_plug", "supply_voltage_V"])

    @property
    def appliance(self) -> Appliance:
        return self._offer.appliance

    @property
    def solution(self) -> Solution:
        """The solution of what the panel shows now."""
        return self._offer.solve(self.picture.chosen)

    def save(self, path: str | PathLike[str]) -> Path:
        """Write the panel, as it is now, as one HTML file that opens offline. Returns its path.

        Raises `DrawingError` (a `ValueError`) when `path` does not end in .html.
        """
        return save_page(self.picture, ("table", *self.picture.index_names), path)

    @traitlets.validate("positions")
    def _check_positions(self, proposal: Any) -> dict[str, str]:
        return complete(self.appliance, proposal.value)

    @traitlets.validate("fault")
    def _check_fault(self, proposal: Any) -> Fault | None:
        return offered_fault(self._offer, proposal.value)

    @traitlets.validate("reversed_plug")
    def _check_plug(self, proposal: Any) -> bool:
        if proposal.value not in self._offer.plugs:
            raise SupplyError(
                f"the plug of {self.appliance.title} cannot be reversed: found "
                f"{shown(proposal.value)}, accepted False. "
                "Set reversible_plug = true under [supply] if the plug fits both ways."
            )
        return bool(proposal.value)

    @traitlets.validate("supply_voltage_V")
    def _check_voltage(self, proposal: Any) -> float:
        if proposal.value not in self._offer.voltages_V:
            offered = ", ".join(f"{voltage_V:g}" for voltage_V in self._offer.voltages_V)
            raise SupplyError(
                f"this panel does not offer {shown(proposal.value)} V. Accepted: {offered}. "
                "Name it in voltages=[...] when you make the panel."
            )
        return float(proposal.value)

    def _take(self, change: object) -> None:
        """The picture's indexes have changed: the traits follow."""
        voltage, plug, fault, *positions = self.picture.chosen
        with self.hold_trait_notifications():
            self.positions = self._offer.setting(positions)
            self.fault = self._offer.faults[fault]
            self.reversed_plug = self._offer.plugs[plug]
            self.supply_voltage_V = self._offer.voltages_V[voltage]

    def _give(self, change: object) -> None:
        """A trait was set: the picture follows. When the browser set it there is nothing to do,
        and nothing may be sent back: it would arrive after the next click and undo it."""
        offer, positions = self._offer, self._offer.positions(self.positions)
        chosen = (
            offer.voltages_V.index(self.supply_voltage_V),
            offer.plugs.index(self.reversed_plug),
            offer.faults.index(self.fault),
            *positions,
        )
        if chosen == self.picture.chosen:
            return
        with self.picture.hold_sync(), self.picture.hold_trait_notifications():
            for name, index in zip(self.picture.index_names, chosen, strict=True):
                setattr(self.picture, name, index)

    def __repr__(self) -> str:
        now = self.solution
        where = ", ".join(f"{name} {position}" for name, position in now.setting.items())
        if now.short is not None:
            what = f"short circuit {now.short}"
        else:
            what = f"{format_quantity(now.power_W, 'W')}, {format_quantity(now.current_A, 'A')}"
        return f"Live picture of {self.appliance.title} ({where}): {what}"


def panel(
    appliance: Appliance,
    setting: Setting | None = None,
    *,
    voltages: Sequence[float] | None = None,
    faults: bool | Sequence[Fault | str] = True,
    earth: bool = False,
) -> Panel:
    """A live picture of `appliance`: flip the switches in the drawing, read every value.

    It opens with `setting`. `voltages` are the r.m.s. supply voltages to choose from (nominal and
    10 % either way when left out); `faults` is True for every single fault, False for none, or a
    list such as ["E1 open"]; `earth` draws PE and the metal parts. Set or observe `.positions`,
    `.fault`, `.reversed_plug` and `.supply_voltage_V`; `.solution` gives all values;
    `.save("x.html")` writes a page.
    Raises `SettingError`, `FaultError`, `SupplyError` (all `ValueError`) for what does not fit.
    """
    return Panel(choices(appliance, voltages, faults), setting, bool(earth))
