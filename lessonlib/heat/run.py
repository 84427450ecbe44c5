"""`heat_up`: an appliance over minutes, from event to event.

What the model leaves out: vessel, water and elements have one temperature, so nothing overshoots
after a contact opens; every element heats the vessel, and lamps and cords do not; losses are in
proportion to the temperature above ambient; water has its mean heat of 20 to 100 °C at all
temperatures; an open vessel loses no water below its boiling point; steam above the water weighs
nothing and takes no heat; no steam is drawn for use, and no water refilled. Element power
is that of the hot element. Other liquids are not known: a vessel holds water.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from lessonlib.appliance.fault import Fault, find_fault
from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.settings import Setting, complete
from lessonlib.electric.islands import Short
from lessonlib.electric.solution import solve
from lessonlib.errors import HeatError, SolverError, shown
from lessonlib.heat.contacts import contacts_of
from lessonlib.heat.result import Energy, Event, EventKind, HeatRun
from lessonlib.heat.schedule import Schedule, in_seconds, number
from lessonlib.heat.segment import Mode, Segment, seconds_to
from lessonlib.heat.vessel import FREEZES_C, body_of
from lessonlib.heat.water import HEAT_OF_WATER_J_PER_KGK

MOST_MINUTES = 527_040
"""A leap year."""

MOST_EVENTS = 20_000
"""A day of one event each 4.3 s; a contact that moves more often than that chatters."""

BALANCE = 1e-9
"""Heat given, stored, lost and carried off agree to this share of the largest of them."""


def heat_up(
    appliance: Appliance,
    setting: Setting | None = None,
    *,
    minutes: float,
    schedule: Schedule = (),
    fault: Fault | str | None = None,
    reversed_plug: bool = False,
    supply_voltage_V: float | None = None,
) -> HeatRun:
    """What the appliance does over some minutes, from its vessel's starting temperature.

    `setting` is where its parts are at the start. `schedule` moves hand-operated switches later:
    pairs of a minute and a setting, as in [(20, {"S1": "off"})]. The other options are those of
    `solve`. An open vessel boils at the local boiling point and may boil dry; a sealed one holds
    saturated steam up to its relief pressure. After a short circuit nothing is on any more: the
    circuit's own protection opens. See this module's docstring for what is left out.

    Time is not stepped through: between events the solution is exact, and the next event is found
    from it, so that the cost grows with the number of events.

    Raises `HeatError` for a vessel, time or schedule that cannot be used, and for more than
    `MOST_EVENTS` events; `SettingError`, `FaultError`, `SupplyError` as `solve` does (all of these
    `ValueError`); `SolverError` if the heat does not balance.
    """
    length = number(minutes)
    if not 0 < length <= MOST_MINUTES:
        raise HeatError(
            f"found minutes = {shown(minutes)}; accepted: a number above 0, up to "
            f"{MOST_MINUTES:,} (a year). Give the length of the run in minutes."
        )
    known = find_fault(appliance, fault)
    run = _Run(appliance, complete(appliance, setting), known, reversed_plug, supply_voltage_V)
    return run.until(length * 60, in_seconds(appliance, schedule, length))


@dataclass(frozen=True)
class _Circuit:
    """What the solver says of one combination of positions."""

    heat_W: float
    drawn_W: float
    short: Short | None
    supply_voltage_V: float
    setting: Mapping[str, str]


class _Run:
    """The state of a run, moved on from event to event."""

    def __init__(
        self,
        appliance: Appliance,
        setting: dict[str, str],
        fault: Fault | None,
        reversed_plug: bool,
        supply_voltage_V: float | None,
    ) -> None:
        self.appliance = appliance
        self.fault = fault
        self.reversed_plug = reversed_plug
        self.supply_voltage_V = supply_voltage_V
        self.body = body_of(appliance)
        self.contacts = contacts_of(appliance, self.body, fault)
        self.positions = setting
        self.time_s = 0.0
        self.temperature_C = self.body.vessel.start_C
        self.kg = self.body.vessel.water_kg
        self.mode: Mode = "warming"
        self.tripped = False
        self.events: list[Event] = []
        self.segments: list[Segment] = []
        self.solved: dict[tuple[str, ...], _Circuit] = {}
        self.now = self.circuit()
        self.heat_W = self.drawn_W = self.net_W = 0.0  # set before each stretch

    def until(self, end_s: float, schedule: list[tuple[float, Setting]]) -> HeatRun:
        ahead = schedule[::-1]
        while True:
            while ahead and ahead[-1][0] <= self.time_s:
                self.turn(ahead.pop()[1])
            self.move_contacts()
            self.switch_over()
            self.set_net_W()
            self.set_mode()
            if self.is_beyond() or self.time_s >= end_s:
                break
            self.advance(min(ahead[-1][0], end_s) if ahead else end_s)
            if len(self.events) > MOST_EVENTS:
                raise HeatError(
                    f"found more than {MOST_EVENTS:,} events in {self.time_s / 60:.3g} minutes, "
                    f"the last: {self.events[-1].what}; accepted: at most {MOST_EVENTS:,}. Run "
                    "for fewer minutes, or set closing and opening further apart."
                )
        return self.result()

    def happens(self, kind: EventKind, what: str, part: str = "", position: str = "") -> None:
        self.events.append(Event(self.time_s, kind, what, part, position, self.temperature_C))

    def turn(self, setting: Setting) -> None:
        for name, position in setting.items():
            self.positions[name] = position
            self.happens("turned", f"{name} turned to {position}", name, position)

    def move_contacts(self) -> None:
        """Every self-acting contact to where the temperature now has it."""
        for contact in self.contacts:
            if not contact.moves(self.positions[contact.name], self.temperature_C):
                continue
            position = "open" if self.positions[contact.name] == "closed" else "closed"
            self.positions[contact.name] = position
            moved: EventKind = "opens" if position == "open" else "closes"
            kind: EventKind = moved if contact.stuck is None else "stuck"
            self.happens(kind, contact.words[position], contact.name, contact.stuck or position)

    def circuit(self) -> _Circuit:
        """The circuit as it now is; each combination of positions is solved once."""
        key = tuple(self.positions.values())
        known = self.solved.get(key)
        if known is None:
            now = solve(
                self.appliance,
                self.positions,
                fault=self.fault,
                reversed_plug=self.reversed_plug,
                supply_voltage_V=self.supply_voltage_V,
            )
            elements = self.appliance.of_kind("element")
            held = {contact.name: contact.stuck for contact in self.contacts if contact.stuck}
            known = self.solved[key] = _Circuit(
                heat_W=sum(now.part[element.name].power_W or 0.0 for element in elements),
                drawn_W=now.power_W or 0.0,
                short=now.short,
                supply_voltage_V=now.supply_voltage_V,
                setting={**self.positions, **held},
            )
        return known

    def switch_over(self) -> None:
        """What the elements now give, and the end of it all in a short circuit."""
        self.now = self.circuit()
        short = self.now.short
        if short is not None and not self.tripped:
            self.tripped = True
            self.happens(
                "short",
                f"short circuit {short}: the circuit's own protection opens, nothing is on",
            )

    def set_net_W(self) -> None:
        self.heat_W, self.drawn_W = (
            (0.0, 0.0) if self.tripped else (self.now.heat_W, self.now.drawn_W)
        )
        away = self.temperature_C - self.body.ambient_C
        self.net_W = self.heat_W - self.body.loss_W_per_K * away

    def set_mode(self) -> None:
        """Whether heat now goes into warming or into steam."""
        body = self.body
        held = self.kg > 0 and self.temperature_C == body.held_C and self.net_W > 0
        before, self.mode = self.mode, body.held_as if held else "warming"
        if self.mode == before:
            return
        if self.mode == "boiling":
            self.happens("boils", f"the water boils at {self.temperature_C:.1f} °C")
        elif self.mode == "venting":
            self.happens("vents", f"the relief valve lifts at {body.vessel.relief_bar:g} bar gauge")
        elif self.kg > 0:
            ends = "the water stops boiling" if before == "boiling" else "the relief valve closes"
            self.happens("stops", ends)

    def is_beyond(self) -> bool:
        """Whether the model has no more to say, with the event that says so."""
        net_W, kg, high = self.net_W, self.kg, self.body.highest_C(self.kg)
        if kg > 0 and net_W < 0 and self.temperature_C <= FREEZES_C:
            self.happens("beyond", "the run ends: freezing is beyond this model")
        elif net_W > 0 and self.temperature_C >= high:
            self.happens("beyond", f"the run ends: above {high:g} °C is beyond this model")
        elif self.body.capacity_J_per_K(kg) == 0:
            self.happens("beyond", "the run ends: a dry vessel without heat capacity")
        else:
            return False
        return True

    def advance(self, stop_s: float) -> None:
        """To the next event, or to `stop_s` if that is sooner."""
        net_W = self.net_W
        body, capacity = self.body, self.body.capacity_J_per_K(self.kg)
        target_C: float | None = None
        if self.mode == "warming":
            target_C = self.next_temperature_C(rising=net_W > 0)
            rise = math.inf if target_C is None else target_C - self.temperature_C
            wait_s = (
                math.inf
                if target_C is None
                else seconds_to(rise, net_W, body.loss_W_per_K, capacity)
            )
        else:
            wait_s = self.kg * body.latent_J_per_kg / net_W
        reached = self.time_s + wait_s <= stop_s
        segment = self.segment(self.time_s + wait_s if reached else stop_s, capacity)
        if segment.duration_s > 0:
            self.segments.append(segment)
        self.time_s = segment.end_s
        if not reached:
            self.kg = segment.water_kg(stop_s)
            self.temperature_C = self.clipped(segment.temperature_C(stop_s), target_C, net_W > 0)
        elif target_C is not None:
            self.temperature_C = target_C  # exactly, so that what is due there is seen to be due
        else:
            self.kg = 0.0
            self.happens("dry", "boiled dry: the last water is gone")

    def next_temperature_C(self, rising: bool) -> float | None:
        """The nearest temperature ahead at which something happens."""
        marks: list[float | None] = [
            contact.next_C(self.positions[contact.name], rising) for contact in self.contacts
        ]
        if rising:
            marks += [self.body.highest_C(self.kg), self.body.held_C if self.kg > 0 else None]
        elif self.kg > 0:
            marks.append(FREEZES_C)
        ahead = [
            mark
            for mark in marks
            if mark is not None
            and (mark > self.temperature_C) == rising
            and mark != self.temperature_C
        ]
        if not ahead:
            return None
        return min(ahead) if rising else max(ahead)

    @staticmethod
    def clipped(temperature_C: float, target_C: float | None, rising: bool) -> float:
        """Not past the mark ahead, which rounding could do when it is only just not reached."""
        if target_C is None:
            return temperature_C
        return min(temperature_C, target_C) if rising else max(temperature_C, target_C)

    def segment(self, end_s: float, capacity: float) -> Segment:
        return Segment(
            start_s=self.time_s,
            end_s=end_s,
            mode=self.mode,
            start_C=self.temperature_C,
            start_kg=self.kg,
            heat_W=self.heat_W,
            drawn_W=self.drawn_W,
            capacity_J_per_K=capacity,
            loss_W_per_K=self.body.loss_W_per_K,
            ambient_C=self.body.ambient_C,
            latent_J_per_kg=self.body.latent_J_per_kg,
            setting=self.now.setting,
        )

    def result(self) -> HeatRun:
        if not self.segments:  # the model ends before it began
            raise HeatError(
                f"{self.appliance.title}: {self.events[-1].what}, before any time has passed; "
                "accepted: a start within the model. Correct start_C in the [vessel] table."
            )
        return HeatRun(
            appliance=self.appliance,
            fault=self.fault,
            reversed_plug=self.reversed_plug,
            supply_voltage_V=self.now.supply_voltage_V,
            end_s=self.time_s,
            events=tuple(self.events),
            segments=tuple(self.segments),
            energy=self.energy(),
            _body=self.body,
        )

    def energy(self) -> Energy:
        """The heat's balance, which must close. Each term is summed on its own."""
        vessel = self.body.vessel
        warmed = HEAT_OF_WATER_J_PER_KGK * ((self.body.held_C or 0.0) - vessel.start_C)
        energy = Energy(
            heat_J=math.fsum(s.heat_W * s.duration_s for s in self.segments),
            stored_J=self.body.capacity_J_per_K(self.kg) * (self.temperature_C - vessel.start_C),
            lost_J=math.fsum(s.lost_J() for s in self.segments),
            steam_J=(vessel.water_kg - self.kg) * (self.body.latent_J_per_kg + warmed),
            drawn_J=math.fsum(s.drawn_W * s.duration_s for s in self.segments),
        )
        largest = max(energy.heat_J, abs(energy.stored_J), abs(energy.lost_J), energy.steam_J, 1e-6)
        gap = energy.heat_J - energy.stored_J - energy.lost_J - energy.steam_J
        if not abs(gap) <= BALANCE * largest:
            raise SolverError(
                f"{self.appliance.title}: {gap:g} J of heat are unaccounted for, of {largest:g} J; "
                "accepted: one part in 1e9. Do not use this run; report the appliance file."
            )
        return energy
