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
import traitlets

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.settings import Setting
from lessonlib.circuit.solution import Solution
from lessonlib.page.join import script, style
from lessonlib.panels.data import Choices, choices, key_of, panel_data, row_of
from lessonlib.panels.export import PANEL, html_or_pdf, page
from lessonlib.quantities import format_quantity
from lessonlib.safety import ONE_LINE
from lessonlib.schematics.schematic import live_svg


class Live(anywidget.AnyWidget):
    """A picture of `appliance` that works on its own: drawn from `table`, its state in traits."""

    table = traitlets.Dict().tag(sync=True)

    def __init__(self, appliance: Appliance, **state: object) -> None:
        self.appliance = appliance
        super().__init__(**state)

    def save(self, path: str | PathLike[str]) -> Path:
        """Write it, as it is now, as one HTML file that works offline. Returns its path.

        Raises `DrawingError` (a `ValueError`) when `path` does not end in .html.
        """
        file = html_or_pdf(path, (".html", ".htm"))
        of_every_widget = anywidget.AnyWidget.class_trait_names()
        own = [name for name in self.keys if name[0] != "_" and name not in of_every_widget]
        file.write_text(page(self.get_state(own), self._esm, self._css), encoding="utf-8")
        return file


class LivePicture(Live):
    """What the browser shows: `panel.js` draws it from `table` and the indexes."""

    _esm = script("panels/panel.js")
    _css = style("panels/panel.css", PANEL, own_paper=True)

    voltage = traitlets.Int(0).tag(sync=True)
    plug = traitlets.Int(0).tag(sync=True)
    fault = traitlets.Int(0).tag(sync=True)

    def __init__(self, offer: Choices, setting: Setting | None, earth: bool) -> None:
        start = offer.positions(setting)
        positions = {f"position_{number}": index for number, index in enumerate(start)}
        self.add_traits(**{name: traitlets.Int(0).tag(sync=True) for name in positions})
        table = panel_data(offer, live_svg(offer.appliance, earth), ONE_LINE, start)
        super().__init__(offer.appliance, table=table, voltage=offer.nominal, **positions)
        self._offer = offer
        self._index_names = ("voltage", "plug", "fault", *positions)
        self.on_msg(self._answer)

    @property
    def solution(self) -> Solution:
        """The solution of what is shown now."""
        return self._offer.solve(tuple(getattr(self, name) for name in self._index_names))

    def _answer(self, widget: object, content: dict[str, Any], buffers: object) -> None:
        """Send a row that the browser asks for, which was not computed beforehand."""
        chosen = tuple(content["ask"])
        self.send({"key": key_of(chosen), "row": row_of(self._offer.solve(chosen))})

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
) -> LivePicture:
    """A live picture of `appliance`: flip the switches in the drawing, read every value.

    It opens with `setting`. `voltages` are the r.m.s. supply voltages to choose from (nominal and
    10 % either way when left out); `faults` is True for every single fault, False for none, or a
    list such as ["E1 open"]; `earth` draws PE and the metal parts. `.solution` gives all values of
    what it shows now; `.save("x.html")` writes a page.
    Raises `SettingError`, `FaultError`, `SupplyError` (all `ValueError`) for what does not fit.
    """
    return LivePicture(choices(appliance, voltages, faults), setting, bool(earth))
