"""`heat_up`: an appliance over minutes, from event to event.

What the model leaves out: vessel, water and elements have one temperature, so nothing overshoots
after a contact opens; every element heats the vessel, and lamps and cords do not; losses are in
proportion to the temperature above ambient; water has its mean heat of 20 to 100 °C at all
temperatures; an open vessel loses no water below its boiling point; no steam is drawn for use, and
no water refilled. Element power is that of the hot element.

Steam weighs nothing, and neither takes nor gives heat, also where it condenses. A relief valve
holds exactly its pressure. What steam is left in a sealed vessel that has boiled dry follows the
law of ideal gases at constant volume until it condenses: its absolute pressure is then up to 2.1 %
too high behind a valve of 2.5 bar, up to 4.4 % behind one of 10 bar. Air that a vessel draws in as
it cools is not counted when it is heated again.

A thermal fuse on an element is warmer than the vessel by the same rise for each watt, wet or dry,
and at once: on a dry element the real rise is higher, and fuse and element take time to warm
through. The current through a fuse warms it too, at its rated current by several kelvin; here it
does not.

Other liquids are not known: a vessel holds water. Fire is told at one temperature for whatever may
be in or near the vessel, and the run ends where aluminium melts or a sealed vessel without a valve
bursts (`vessel.py` has these limits): real ones burn, burst and melt at others, and often sooner.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.settings import Setting
from lessonlib.circuit.situation import Situation, situation
from lessonlib.errors import HeatError, shown
from lessonlib.heat.balance import energy_of
from lessonlib.heat.circuit import Circuit, Circuits
from lessonlib.heat.contacts import contacts_of
from lessonlib.heat.result import Event, EventKind, HeatRun
from lessonlib.heat.schedule import Schedule, in_seconds
from lessonlib.heat.segment import HELD, VALVE_OPEN, Course, Mode, Segment, seconds_to
from lessonlib.heat.vessel import (
    BURSTS,
    FIRE,
    FIRE_C,
    FREEZES,
    FREEZES_C,
    MELTS,
    WEIGHTLESS,
    body_of,
)
from lessonlib.quantities import number

MOST_MINUTES = 527_040
"""A leap year."""

MOST_EVENTS = 20_000
"""A day of one event each 4.3 s; a contact that moves more often than that chatters."""


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
    pairs of a minute and a setting, as in [(20, {"S1": "off"})]; {"F1": "closed"} resets a
    resettable thermal fuse, which opens again at once where it is still too hot. The other
    options are those of `solve`. An open vessel boils at the local boiling point and may boil dry;
    a sealed one holds saturated steam up to its relief pressure, and the rest of it when dry. After
    a short circuit nothing is on any more: the circuit's own protection opens. The run ends sooner
    where the vessel melts or bursts, with an event that says so. See this module's docstring for
    what is left out.

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
    asked = situation(appliance, setting, fault, reversed_plug, supply_voltage_V)
    return _Run(asked).until(length * 60, in_seconds(appliance, schedule, length))


class State(NamedTuple):
    """Between two steps: positions of the movable parts in file order, and the vessel; `steam_C` is
    that of `Body.pressure_bar`, `burns` whether it has been as hot as `FIRE_C`."""

    positions: tuple[str, ...]
    temperature_C: float
    kg: float
    mode: Mode
    tripped: bool
    steam_C: float | None
    burns: bool


@dataclass
class Step:
    """From one state to the next event by itself: the segment, what happens at its end, and the
    state after it; and the step that follows, once that has been looked up."""

    segment: Segment
    events: tuple[Event, ...]
    after: State
    following: Step | None = None


class _Run:
    """The state of a run, moved on from event to event."""

    def __init__(self, asked: Situation) -> None:
        self.situation = asked
        self.appliance = asked.appliance
        self.body = body_of(asked.appliance)
        self.contacts = contacts_of(asked.appliance, self.body, asked.fault)
        held = {contact.name: contact.stuck for contact in self.contacts if contact.stuck}
        self.circuits = Circuits(asked, held)
        self.any_placed = any(contact.placed_on is not None for contact in self.contacts)
        self.positions = dict(asked.setting)
        self.time_s = 0.0
        self.temperature_C = self.body.vessel.start_C
        self.kg = self.body.vessel.water_kg
        self.mode: Mode = "warming"
        self.tripped = False
        self.steam_C: float | None = None
        self.burns = False
        self.reset_s: dict[str, float] = {}  # when a hand last reset a contact
        self.events: list[Event] = []
        self.segments: list[Segment] = []
        self.now = self.circuit()
        self.net_W = 0.0  # set before each stretch
        self.steps: dict[State, Step] = {}
        self.begun: tuple[State, int] | None = None  # a step that is to be known at its end

    def until(self, end_s: float, schedule: list[tuple[float, Setting]]) -> HeatRun:
        ahead = schedule[::-1]
        while True:
            while ahead and ahead[-1][0] <= self.time_s:
                self.turn(ahead.pop()[1])
                self.begun = None
            while self.move_contacts():
                pass
            self.trip_on_short()
            self.set_net_W()
            self.set_mode()
            self.catch_fire()
            if self.is_beyond() or self.time_s >= end_s:
                break
            stop_s = min(ahead[-1][0], end_s) if ahead else end_s
            self.repeat(stop_s)
            self.advance(stop_s)
            self.check_events()
        return self.result()

    def repeat(self, stop_s: float) -> None:
        """Steps that are known, for as long as they end before `stop_s`: nothing in them depends
        on the time itself, so from the same state the same happens again."""
        state = self.state
        if self.begun is not None:
            before, first_event = self.begun
            self.steps[before] = Step(self.segments[-1], tuple(self.events[first_event:]), state)
        step = self.steps.get(state)
        while step is not None and self.time_s + step.segment.duration_s < stop_s:
            self.segments.append(step.segment.beginning_at(self.time_s))
            self.time_s = self.segments[-1].end_s
            self.events += [event.at(self.time_s) for event in step.events]
            self.check_events()
            if step.following is None:
                step.following = self.steps.get(step.after)
            state, step = step.after, step.following
        self.positions = dict(zip(self.positions, state.positions, strict=True))
        self.temperature_C, self.kg, self.mode = state.temperature_C, state.kg, state.mode
        self.tripped, self.steam_C, self.burns = state.tripped, state.steam_C, state.burns
        self.now = self.circuit()
        self.set_net_W()

    @property
    def state(self) -> State:
        """All that what happens next depends on."""
        positions = tuple(self.positions.values())
        return State(
            positions,
            self.temperature_C,
            self.kg,
            self.mode,
            self.tripped,
            self.steam_C,
            self.burns,
        )

    def check_events(self) -> None:
        if len(self.events) > MOST_EVENTS:
            raise HeatError(
                f"found more than {MOST_EVENTS:,} events in {self.time_s / 60:.3g} minutes, "
                f"the last: {self.events[-1].what}; accepted: at most {MOST_EVENTS:,}. Run "
                "for fewer minutes, or set closing and opening further apart."
            )

    def happens(self, kind: EventKind, what: str, part: str = "", position: str = "") -> None:
        self.events.append(Event(self.time_s, kind, what, part, position, self.temperature_C))

    def turn(self, setting: Setting) -> None:
        for name, position in setting.items():
            what = f"{name} turned to {position}"
            if any(contact.name == name for contact in self.contacts):
                self.reset_s[name] = self.time_s
                what = f"{name} reset by hand"
                if self.positions[name] == position:
                    what += ", which changes nothing: it is closed"
            self.positions[name] = position
            self.happens("turned", what, name, position)
        self.now = self.circuit()

    def move_contacts(self) -> bool:
        """Every self-acting contact to where the temperature now has it; whether to look again: a
        new power makes the place of a fuse on an element warmer at once."""
        element_W = self.now.element_W
        due = [
            contact
            for contact in self.contacts
            if contact.moves(
                self.positions[contact.name],
                self.temperature_C,
                contact.extra_K(element_W),
                self.steam_C,
            )
        ]
        for contact in due:
            position = "open" if self.positions[contact.name] == "closed" else "closed"
            self.positions[contact.name] = position
            moved: EventKind = "opens" if position == "open" else "closes"
            kind: EventKind = moved if contact.stuck is None else "stuck"
            told = contact if self.steam_C is None else contact.over_dry_steam
            what = told.words[position]
            if kind == "opens" and self.reset_s.get(contact.name) == self.time_s:
                place_C = self.temperature_C + contact.extra_K(element_W)
                what = (
                    f"{contact.name} opens again at once: its place is at {place_C:.1f} °C, and it "
                    f"opens at {contact.opens_at}"
                )
            self.happens(kind, what, contact.name, contact.stuck or position)
        if due:
            self.now = self.circuit()
        return bool(due) and self.any_placed

    def circuit(self) -> Circuit:
        """The circuit as it now is; without power once a short circuit has tripped the supply."""
        found = self.circuits.at(self.positions)
        return found.without_power if self.tripped else found

    def trip_on_short(self) -> None:
        """The end of it all in a short circuit, in which elements already count as without heat."""
        short = self.now.short
        if short is not None and not self.tripped:
            self.tripped = True
            self.now = self.circuit()
            self.happens(
                "short",
                f"short circuit {short}: the circuit's own protection opens, nothing is on",
            )

    def set_net_W(self) -> None:
        above_K = self.temperature_C - self.body.ambient_C
        self.net_W = self.now.heat_W - self.body.loss_W_per_K * above_K

    def set_mode(self) -> None:
        """Whether heat now goes into warming or into steam, and whether steam leaves."""
        body, before = self.body, self.mode
        self.mode = "warming"
        if self.net_W > 0 and self.kg > 0 and self.temperature_C == body.held_C:
            self.mode = body.held_as
        elif self.net_W > 0 and self.steam_C is not None and self.temperature_C >= self.steam_C:
            self.mode = "blowing"
        if self.mode == before:
            return
        if self.mode == "boiling":
            self.happens("boils", f"the water boils at {self.temperature_C:.1f} °C")
        elif before == "boiling" and self.kg > 0:
            self.happens("stops", "the water stops boiling")
        elif self.mode in VALVE_OPEN and before not in VALVE_OPEN:
            self.happens("vents", f"the relief valve lifts at {body.vessel.relief_bar:g} bar gauge")
        elif self.mode not in VALVE_OPEN and before in VALVE_OPEN:
            self.happens("stops", "the relief valve closes")

    def catch_fire(self) -> None:
        """The first time that it is hot enough for a fire."""
        if not self.burns and self.temperature_C >= FIRE_C:
            self.burns = True
            self.happens("fire", FIRE)

    def is_beyond(self) -> bool:
        """Whether the model has no more to say, with the event that says so."""
        net_W, kg = self.net_W, self.kg
        too_hot = net_W > 0 and self.temperature_C >= self.body.highest_C(kg)
        if kg > 0 and net_W < 0 and self.temperature_C <= FREEZES_C:
            self.happens("beyond", FREEZES)
        elif too_hot and kg > 0:
            self.happens("bursts", BURSTS)
        elif too_hot:
            self.happens("melts", MELTS)
        elif self.body.capacity_J_per_K(kg) == 0:
            self.happens("beyond", WEIGHTLESS)
        else:
            return False
        return True

    def advance(self, stop_s: float) -> None:
        """To the next event, or to `stop_s` if that is sooner."""
        net_W = self.net_W
        body, capacity = self.body, self.body.capacity_J_per_K(self.kg)
        target_C: float | None = None
        if self.mode not in HELD:
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
        self.begun = None
        if segment.duration_s > 0:
            self.segments.append(segment)
            self.begun = (self.state, len(self.events)) if reached else None
        self.time_s = segment.end_s
        if not reached:
            self.kg = segment.water_kg(stop_s)
            self.temperature_C = self.clipped(segment.temperature_C(stop_s), target_C, net_W > 0)
        elif target_C is not None:
            self.temperature_C = target_C  # exactly, so that what is due there is seen to be due
        else:
            self.kg = 0.0
            self.steam_C = self.temperature_C if body.vessel.sealed else None
            self.happens("dry", "boiled dry: the last water is gone")
        if self.steam_C is not None:  # warmer than ever: steam has left, and less of it is there
            self.steam_C = max(self.steam_C, self.temperature_C)

    def next_temperature_C(self, rising: bool) -> float | None:
        """The nearest temperature ahead at which something happens."""
        marks: list[float | None] = [
            contact.next_C(
                self.positions[contact.name],
                rising,
                contact.extra_K(self.now.element_W),
                self.steam_C,
            )
            for contact in self.contacts
        ]
        if rising:
            marks += [self.body.highest_C(self.kg), self.body.held_C if self.kg > 0 else None]
            marks += [self.steam_C, None if self.burns else FIRE_C]
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
        course = Course(
            mode=self.mode,
            start_C=self.temperature_C,
            start_kg=self.kg,
            heat_W=self.now.heat_W,
            drawn_W=self.now.drawn_W,
            capacity_J_per_K=capacity,
            loss_W_per_K=self.body.loss_W_per_K,
            ambient_C=self.body.ambient_C,
            latent_J_per_kg=self.body.latent_J_per_kg,
            element_W=self.now.element_W,
            setting=self.now.setting,
            steam_C=self.steam_C,
        )
        return Segment(self.time_s, end_s, course)

    def result(self) -> HeatRun:
        if not self.segments:  # the model ends before it began
            raise HeatError(
                f"{self.appliance.title}: {self.events[-1].what}, before any time has passed; "
                "accepted: a start within the model. Correct start_C in the [vessel] table."
            )
        return HeatRun(
            situation=self.situation,
            end_s=self.time_s,
            events=tuple(self.events),
            segments=tuple(self.segments),
            energy=energy_of(self.segments, self.body, self.temperature_C, self.kg),
            _body=self.body,
        )
