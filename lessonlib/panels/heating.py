"""The front door `heating_panel`: a heating run that plays in the browser while you flip switches.

A run is determined by the setting it starts with, its fault, and what was moved by hand and when.
So this is its state: the synced traits `moves`, `fault` and `time_s`. The browser plays it with an
engine of its own (`heating_engine.js`), without a kernel, and reports how far it is; `run_to` and
`flip` compute the same with `heat_up`, and the browser follows.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from os import PathLike
from pathlib import Path
from typing import Any

import anywidget
import traitlets

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.settings import Setting, complete
from lessonlib.errors import HeatError, shown
from lessonlib.heat.result import ENDS, Event, HeatRun, clock
from lessonlib.heat.run import MOST_MINUTES, heat_up
from lessonlib.page.join import script, style
from lessonlib.panels.data import Choices, choices, offered_fault
from lessonlib.panels.export import PANEL, save_page
from lessonlib.panels.heating_data import SPEEDS, heating_data
from lessonlib.quantities import number
from lessonlib.safety import ONE_LINE
from lessonlib.schematics.schematic import live_svg


def _words(fault: Fault | None, widget: object) -> str | None:
    return None if fault is None else str(fault)


class HeatingPanel(anywidget.AnyWidget):
    """A live heating run. Observe its traits; `run_to`, `flip` and `fault` move it from Python."""

    _esm = script("panels/heating.js")
    _css = style("panels/heating.css", PANEL, own_paper=True)

    table = traitlets.Dict().tag(sync=True)
    moves: traitlets.List[Any] = traitlets.List(
        help="[seconds, part, position] for each move by hand, read only."
    ).tag(sync=True)
    time_s = traitlets.Float(0.0, help="Seconds from the start, read only.").tag(sync=True)
    temperature_C = traitlets.Float(help="Of the vessel, read only.").tag(sync=True)
    positions = traitlets.Dict(help="Part name to position, read only.").tag(sync=True)
    running = traitlets.Bool(False, help="Whether it plays; False pauses it.").tag(sync=True)
    speed = traitlets.Int(help="How many times as fast as real time it plays.").tag(sync=True)
    fault = traitlets.Any(None, help="A `Fault` or None; words are accepted.").tag(
        sync=True, to_json=_words
    )

    def __init__(self, offer: Choices, setting: Setting | None, minutes: float, speed: int) -> None:
        self._offer = offer
        self._start = complete(offer.appliance, setting)
        self._minutes = minutes
        svg = live_svg(offer.appliance)
        table = heating_data(offer, svg, ONE_LINE, offer.positions(setting), minutes)
        super().__init__(
            table=table,
            temperature_C=table["vessel"]["start_C"],
            positions=dict(self._start),
            speed=speed,
        )
        self.observe(lambda change: self.start_over(), "fault")

    @property
    def appliance(self) -> Appliance:
        return self._offer.appliance

    @property
    def run(self) -> HeatRun:
        """The run so far, as `heat_up` gives it: its events, curves and energy.

        Raises `HeatError` (a `ValueError`) before any time has passed.
        """
        return self._heat_up(self.time_s / 60, self.moves)

    @property
    def events(self) -> tuple[Event, ...]:
        """What has happened so far."""
        return _until(self._heat_up(self._minutes, self.moves), self.time_s)

    def run_to(self, minutes: float) -> None:
        """Run on, in Python, to so many minutes from the start, or to where the model ends.

        Raises `HeatError` (a `ValueError`) for a time before the present or beyond the panel's end.
        """
        time_s = number(minutes) * 60
        if not self.time_s <= time_s <= self._minutes * 60:
            raise HeatError(
                f"found minutes = {shown(minutes)}; accepted: {self.time_s / 60:g}, where the run "
                f"is, to {self._minutes:g}. Make the panel with more minutes=, or start_over()."
            )
        self._show(time_s, self.moves)

    def flip(self, part: str, position: str) -> None:
        """Move a hand-operated switch, or reset a thermal fuse, at the present time.

        Raises `HeatError` or `SettingError` (both `ValueError`) for a part that cannot be moved by
        hand, and after the end of the run.
        """
        if any(event.kind in ENDS for event in self.events):
            raise HeatError(
                f"found a flip of {shown(part)} after the end: {self.events[-1].what}. Accepted: "
                "one before it. Call start_over() and flip it earlier."
            )
        moves = [move for move in self.moves if self.time_s > 0 or move[1] != part]
        if self.time_s > 0 or position != self._start.get(part):
            moves.append([self.time_s, part, position])
        self._show(self.time_s, moves)

    def start_over(self) -> None:
        """Start over with everything cold; the switches stay as they are."""
        switches = [part.name for part in self.appliance.switches]
        stand = {name: self.positions[name] for name in switches}
        moved = [[0.0, name, at] for name, at in stand.items() if at != self._start[name]]
        self._show(0.0, moved)

    def save(self, path: str | PathLike[str]) -> Path:
        """Write the panel, as it is now, as one HTML file that plays offline. Returns its path.

        Raises `DrawingError` (a `ValueError`) when `path` does not end in .html.
        """
        names = ("table", "moves", "time_s", "temperature_C", "positions", "speed", "fault")
        return save_page(self, names, path, running=False)

    def _show(self, time_s: float, moves: Sequence[Any]) -> None:
        run = self._heat_up(self._minutes, moves)
        time_s = min(time_s, run.end_s)
        moved = {event.part: event.position for event in _until(run, time_s) if event.part}
        contacts = self.table["contacts"][self._offer.faults.index(self.fault)]
        held = {contact["name"]: contact["stuck"] for contact in contacts if contact["stuck"]}
        with self.hold_sync(), self.hold_trait_notifications():
            self.running = False
            self.moves = list(moves)
            self.time_s = time_s
            self.temperature_C = run.temperature_C(time_s)
            self.positions = {**self._start, **moved, **held}

    def _heat_up(self, minutes: float, moves: Sequence[Any]) -> HeatRun:
        return heat_up(
            self.appliance,
            self._start,
            minutes=minutes,
            # seconds / 60 may be rounded to just past the end
            schedule=[(min(s / 60, minutes), {part: position}) for s, part, position in moves],
            fault=self.fault,
        )

    @traitlets.validate("fault")
    def _check_fault(self, proposal: Any) -> Fault | None:
        return offered_fault(self._offer, proposal.value)

    @traitlets.validate("speed")
    def _check_speed(self, proposal: Any) -> int:
        if proposal.value not in SPEEDS:
            raise HeatError(
                f"found speed = {shown(proposal.value)}; accepted: "
                f"{', '.join(map(str, SPEEDS))} (times as fast as real time). Use one of these."
            )
        return int(proposal.value)

    def __repr__(self) -> str:
        where = ", ".join(f"{name} {position}" for name, position in self.positions.items())
        fault = "" if self.fault is None else f", fault: {self.fault}"
        return (
            f"Heating panel of {self.appliance.title} at {clock(self.time_s)}: "
            f"{self.temperature_C:.1f} °C ({where}{fault})"
        )


def _until(run: HeatRun, time_s: float) -> tuple[Event, ...]:
    # times of moves were turned into minutes and back, and rounded
    last_s = time_s * (1 + 1e-12)
    return tuple(event for event in run.events if event.time_s <= last_s)


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
    as ["P1 welded"], or True for every single one. Observe `.time_s`, `.temperature_C`,
    `.positions` and `.running`; `.flip("S1", "on")` and `.run_to(minutes=12)` drive it from Python,
    and `.run` is the run so far, as `heat_up` has it. `.save("x.html")` writes a page that plays.
    Raises `HeatError`, `SettingError`, `FaultError` (all `ValueError`) for what does not fit.
    """
    if not 0 < number(minutes) <= MOST_MINUTES:
        raise HeatError(
            f"found minutes = {shown(minutes)}; accepted: a number above 0, up to "
            f"{MOST_MINUTES:,} (a year). Give how long the run may last, in minutes."
        )
    nominal = [appliance.supply.voltage_V]
    offer = replace(choices(appliance, nominal, faults), plugs=(False,))
    return HeatingPanel(offer, setting, number(minutes), speed)
