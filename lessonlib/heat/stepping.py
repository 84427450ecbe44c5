"""A run from event to event.

Between two events everything follows in closed form (`segment`), so the next event is found and not
looked for. What happens from one state happens again from the same state: in cycling, a step that
is known is repeated.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import NamedTuple

from lessonlib.appliance.settings import Setting
from lessonlib.circuit.situation import Situation
from lessonlib.circuit.solution import solution_of
from lessonlib.errors import HeatError
from lessonlib.heat.contacts import contacts_of
from lessonlib.heat.result import Event, EventKind, HeatRun, energy_of
from lessonlib.heat.segment import VALVE_OPEN, Circuit, Course, Mode, Segment
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

MOST_EVENTS = 20_000
"""A day with one event every 4.3 s; a contact that moves more often than that chatters."""


class State(NamedTuple):
    """All that decides what happens next: positions of the movable parts in file order, and the
    vessel. `steam_C` is that of `Body.pressure_bar`; `burns`: it has been as hot as `FIRE_C`."""

    positions: tuple[str, ...]
    temperature_C: float
    kg: float
    mode: Mode
    tripped: bool
    steam_C: float | None
    burns: bool


class Step(NamedTuple):
    """From one state to the next event: the segment, what happens at its end, the state after."""

    segment: Segment
    events: tuple[Event, ...]
    after: State


class Stepping:
    """The state of a run, moved on from event to event."""

    def __init__(self, asked: Situation) -> None:
        self.situation = asked
        self.body = body_of(asked.appliance)
        self.contacts = contacts_of(asked.appliance, self.body, asked.fault)
        self.circuits: dict[tuple[object, ...], Circuit] = {}
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
        self.steps: dict[State, Step] = {}
        self.begun: tuple[State, int] | None = None  # where a step began, to keep it at its end

    def until(self, end_s: float, schedule: list[tuple[float, Setting]]) -> HeatRun:
        ahead = schedule[::-1]
        while True:
            while ahead and ahead[-1][0] <= self.time_s:
                self.turn(ahead.pop()[1])
                self.begun = None
            while self.move_contacts():
                self.check_events()
            self.trip_on_short()
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
        """Repeats known steps for as long as they end before `stop_s`: nothing in them depends on
        the time itself, so from the same state the same happens again."""
        state = self.state
        if self.begun is not None:
            before, first_event = self.begun
            self.steps[before] = Step(self.segments[-1], tuple(self.events[first_event:]), state)
        step = self.steps.get(state)
        while step is not None and self.time_s + step.segment.duration_s < stop_s:
            start_s = self.time_s
            self.time_s += step.segment.duration_s
            self.segments.append(Segment(start_s, self.time_s, step.segment.course))
            self.events += [Event(self.time_s, *event[1:]) for event in step.events]
            self.check_events()
            state = step.after
            step = self.steps.get(state)
        self.positions = dict(zip(self.positions, state.positions, strict=True))
        _, self.temperature_C, self.kg, self.mode, self.tripped, self.steam_C, self.burns = state

    @property
    def state(self) -> State:
        at = tuple(self.positions.values())
        return State(
            at, self.temperature_C, self.kg, self.mode, self.tripped, self.steam_C, self.burns
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

    def move_contacts(self) -> bool:
        """Moves each self-acting contact that is due; whether any was. Look again then: a new
        power makes the place of a fuse on an element warmer at once."""
        at_C, element_W = self.temperature_C, self.now.element_W
        due = [
            contact
            for contact in self.contacts
            if contact.moves(self.positions[contact.name], at_C, element_W, self.steam_C)
        ]
        for contact in due:
            position = "open" if self.positions[contact.name] == "closed" else "closed"
            self.positions[contact.name] = position
            moved: EventKind = "opens" if position == "open" else "closes"
            kind: EventKind = moved if contact.stuck is None else "stuck"
            told = contact if self.steam_C is None else contact.over_dry_steam
            what = told.words[position]
            if kind == "opens" and self.reset_s.get(contact.name) == self.time_s:
                place_C = at_C + contact.extra_K(element_W)
                what = (
                    f"{contact.name} opens again at once: its place is at {place_C:.1f} °C, and it "
                    f"opens at {contact.opens_at}"
                )
            self.happens(kind, what, contact.name, contact.stuck or position)
        return bool(due)

    @property
    def now(self) -> Circuit:
        """The circuit as it now is: each combination of positions met is solved once."""
        key = (*self.positions.values(), self.tripped)
        if key not in self.circuits:
            self.circuits[key] = self.solved()
        return self.circuits[key]

    def solved(self) -> Circuit:
        """The circuit; without power once a short circuit has tripped the supply."""
        at = solution_of(replace(self.situation, setting=dict(self.positions)))
        names = [element.name for element in self.situation.appliance.elements]
        element_W = {n: 0.0 if self.tripped else at.part[n].power_W or 0.0 for n in names}
        drawn_W = 0.0 if self.tripped else at.power_W or 0.0
        held = {contact.name: contact.stuck for contact in self.contacts if contact.stuck}
        setting = {**self.positions, **held}
        return Circuit(sum(element_W.values()), element_W, drawn_W, at.short, setting)

    def trip_on_short(self) -> None:
        """In a short circuit the supply goes off, for the rest of the run."""
        short = self.now.short
        if short is not None and not self.tripped:
            self.tripped = True
            fate = "the circuit's own protection opens, nothing is on"
            self.happens("short", f"short circuit {short}: {fate}")

    @property
    def net_W(self) -> float:
        """Heat given less heat lost."""
        return self.now.heat_W - self.body.lost_W(self.temperature_C)

    def set_mode(self) -> None:
        """Whether heat now goes into warming or into steam, and whether steam leaves."""
        body, before, heats = self.body, self.mode, self.net_W > 0
        self.mode = "warming"
        if heats and self.kg > 0 and self.temperature_C == body.held_C:
            self.mode = body.held_as
        elif heats and self.steam_C is not None and self.temperature_C >= self.steam_C:
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
        """Tells of fire, the first time that it is hot enough."""
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
        course = Course(self.mode, self.temperature_C, self.kg, self.steam_C, self.now, self.body)
        rising, wait_s, target_C = course.net_W > 0, math.inf, None
        if course.is_held:
            wait_s = course.seconds_to_dry
        else:
            target_C = self.next_temperature_C(rising)
            if target_C is not None:
                wait_s = course.seconds_to(target_C)
        reached = self.time_s + wait_s <= stop_s
        segment = Segment(self.time_s, self.time_s + wait_s if reached else stop_s, course)
        self.begun = None
        if segment.duration_s > 0:
            self.segments.append(segment)
            self.begun = (self.state, len(self.events)) if reached else None
        self.time_s = segment.end_s
        if not reached:
            self.kg = segment.water_kg(stop_s)
            self.temperature_C = segment.temperature_C(stop_s)
            if target_C is not None:  # not past the mark by rounding, when it is only just missed
                nearer = min if rising else max
                self.temperature_C = nearer(self.temperature_C, target_C)
        elif target_C is not None:
            self.temperature_C = target_C  # exactly, so that what is due there is seen to be due
        else:
            self.kg = 0.0
            self.steam_C = self.temperature_C if self.body.vessel.sealed else None
            self.happens("dry", "boiled dry: the last water is gone")
        if self.steam_C is not None:  # warmer than ever: steam has left, and less of it is there
            self.steam_C = max(self.steam_C, self.temperature_C)

    def next_temperature_C(self, rising: bool) -> float | None:
        """The nearest temperature ahead at which something happens."""
        marks = [
            contact.turn_C(self.positions[contact.name], self.now.element_W, self.steam_C)
            for contact in self.contacts
            if (self.positions[contact.name] == "closed") == rising
        ]
        if rising:
            marks += [self.body.highest_C(self.kg), self.body.held_C if self.kg > 0 else None]
            marks += [self.steam_C, None if self.burns else FIRE_C]
            warmer = [mark for mark in marks if mark is not None and mark > self.temperature_C]
            return min(warmer, default=None)
        if self.kg > 0:
            marks.append(FREEZES_C)
        colder = [mark for mark in marks if mark is not None and mark < self.temperature_C]
        return max(colder, default=None)

    def result(self) -> HeatRun:
        if not self.segments:  # the model ends before it began
            raise HeatError(
                f"{self.situation.appliance.title}: {self.events[-1].what}, before any time has "
                "passed; accepted: a start within the model. Correct start_C in the [vessel] table."
            )
        return HeatRun(
            situation=self.situation,
            end_s=self.time_s,
            events=tuple(self.events),
            segments=tuple(self.segments),
            energy=energy_of(self.segments, self.body, self.temperature_C, self.kg),
            body=self.body,
        )
