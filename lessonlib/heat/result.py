"""`HeatRun`: what a run found, read at any time, as energy, as a cycle, and as a table."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Literal, NamedTuple

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import Appliance, ThermalFuse
from lessonlib.circuit.situation import Situation
from lessonlib.errors import HeatError, SolverError, shown
from lessonlib.heat.segment import Segment
from lessonlib.heat.vessel import MELTS_C, Body
from lessonlib.heat.water import HEAT_OF_WATER_J_PER_KGK
from lessonlib.quantities import format_quantity
from lessonlib.tables import Table

EventKind = Literal[
    "turned",
    "opens",
    "closes",
    "stuck",
    "boils",
    "vents",
    "stops",
    "dry",
    "fire",
    "short",
    "bursts",
    "melts",
    "beyond",
]
ENDS = ("bursts", "melts", "beyond")
"""The run ends there: the model has no more to say."""

BALANCE = 1e-9
"""Heat given, stored, lost and carried off agree to this share of the largest of them."""
ULP_K = math.ulp(MELTS_C)
"""Rounding of the temperature at which a segment ends, K. In a large vessel that takes up next to
no heat, it counts."""


class Event(NamedTuple):
    """Something that happened at a moment.

    `kind`: "turned" (a hand on a switch, or on a reset), "opens" and "closes" (a self-acting
    contact), "stuck" (one that should have moved), "boils", "vents" (the relief valve lifts),
    "stops" (the valve closes, or the boiling ends with water left), "dry", "fire" (the vessel is
    as hot as `vessel.FIRE_C` for the first time), "short"; and those that end a run: "bursts" (a
    vessel without a relief valve), "melts", "beyond" (other limits of the model). `part` and
    `position` are empty where it is about the vessel or the supply. `temperature_C` is the
    vessel's.
    """

    time_s: float
    kind: EventKind
    what: str
    part: str
    position: str
    temperature_C: float


@dataclass(frozen=True)
class Energy:
    """Where the heat went, J: `heat_J` = `stored_J` + `lost_J` + `steam_J`.

    `heat_J` came from the elements, `drawn_J` from the supply (lamps and cord included). Stored
    heat counts from the starting temperature; steam carries off the heat that warmed its water too.
    """

    heat_J: float
    stored_J: float
    lost_J: float
    steam_J: float
    drawn_J: float


def energy_of(segments: Sequence[Segment], body: Body, end_C: float, end_kg: float) -> Energy:
    """The energy of a run that ends at `end_C` with `end_kg` of water; each term is summed on its
    own. Raises `SolverError` where the heat does not balance."""
    vessel = body.vessel
    warmed = HEAT_OF_WATER_J_PER_KGK * ((body.held_C or 0.0) - vessel.start_C)
    courses = [(each.course, each.duration_s) for each in segments]
    energy = Energy(
        heat_J=math.fsum(course.circuit.heat_W * s for course, s in courses),
        stored_J=body.capacity_J_per_K(end_kg) * (end_C - vessel.start_C),
        lost_J=math.fsum(course.lost_J(s) for course, s in courses),
        steam_J=(vessel.water_kg - end_kg) * (body.latent_J_per_kg + warmed),
        drawn_J=math.fsum(course.circuit.drawn_W * s for course, s in courses),
    )
    largest = max(energy.heat_J, abs(energy.stored_J), abs(energy.lost_J), energy.steam_J)
    gap = energy.heat_J - energy.stored_J - energy.lost_J - energy.steam_J
    rounding_J = len(segments) * body.capacity_J_per_K(vessel.water_kg) * ULP_K
    if not abs(gap) <= BALANCE * largest + rounding_J:
        raise SolverError(
            f"{gap:g} J of heat are unaccounted for, of {largest:g} J; accepted: one part in 1e9. "
            "Do not use this run; report the appliance file."
        )
    return energy


@dataclass(frozen=True, repr=False)
class Cycle:
    """The last full cycle: from one opening of `part` to the next.

    `mean_power_W` is what the appliance draws on average, `mean_heat_W` what its elements give;
    `on_s` is how long the contact is closed, `duty` its share of the period.
    """

    part: str
    period_s: float
    on_s: float
    mean_power_W: float
    mean_heat_W: float
    lowest_C: float
    highest_C: float

    @property
    def duty(self) -> float:
        return self.on_s / self.period_s

    def __str__(self) -> str:
        """The cycle in one line: "P1 closed for 12.5 s of 113.3 s (11.0%), 110.6 to ..."."""
        return (
            f"{self.part} closed for {self.on_s:.1f} s of {self.period_s:.1f} s ({self.duty:.1%}), "
            f"{self.lowest_C:.1f} to {self.highest_C:.1f} °C, "
            f"on average {format_quantity(self.mean_power_W, 'W')}"
        )

    __repr__ = __str__


@dataclass(frozen=True, repr=False, eq=False)
class HeatRun(Table):
    """What `heat_up` found. Times are seconds from the start, and values are exact at any time.

    At the moment of an event, values are those just after it. Where the model stops before the time
    asked for, `end_s` is that moment and the last event says why.
    """

    situation: Situation  # its setting is where the run starts
    end_s: float
    events: tuple[Event, ...]
    segments: tuple[Segment, ...]
    energy: Energy
    body: Body

    @property
    def appliance(self) -> Appliance:
        """The appliance that was run."""
        return self.situation.appliance

    @property
    def fault(self) -> Fault | None:
        """What had gone wrong, or None."""
        return self.situation.fault

    @cached_property
    def _starts(self) -> list[float]:
        return [segment.start_s for segment in self.segments]

    def _at(self, time_s: float) -> Segment:
        if not (isinstance(time_s, int | float) and 0 <= time_s <= self.end_s):
            raise HeatError(
                f"found time_s = {shown(time_s)}; accepted: seconds from 0 to {self.end_s:g}, "
                "where the run ends. Ask for a time within it, or run it for more minutes."
            )
        return self.segments[bisect_right(self._starts, time_s) - 1]

    def temperature_C(self, time_s: float) -> float:
        """Temperature of vessel and water, °C. Raises `HeatError` for a time outside the run."""
        return self._at(time_s).temperature_C(time_s)

    def hottest_place_C(self, fuse: str, until_s: float | None = None) -> float:
        """The hottest that the place of the thermal fuse of that name gets over the run, or until
        an event, °C: as hot as the vessel on its wall, hotter on an element that gives heat."""
        part = self.appliance.part(fuse)
        assert isinstance(part, ThermalFuse)
        return max(
            place_C(part, segment, time_s)
            for segment in self.segments
            if until_s is None or segment.start_s < until_s
            for time_s in (segment.start_s, segment.end_s)
        )

    def pressure_bar(self, time_s: float) -> float:
        """Gauge pressure, bar. Raises `HeatError` for a time outside the run."""
        return self.pressure_in(self._at(time_s), time_s)

    def pressure_in(self, segment: Segment, time_s: float) -> float:
        """The same within one of its segments, both ends included."""
        return self.body.pressure_bar(segment.temperature_C(time_s), segment.course.steam_C)

    def water_kg(self, time_s: float) -> float:
        """Water left, kg. Raises `HeatError` for a time outside the run."""
        return self._at(time_s).water_kg(time_s)

    def heat_W(self, time_s: float) -> float:
        """Heat that the elements give, W. Raises `HeatError` for a time outside the run."""
        return self._at(time_s).course.circuit.heat_W

    def power_W(self, time_s: float) -> float:
        """Power that the appliance draws, W. Raises `HeatError` for a time outside the run."""
        return self._at(time_s).course.circuit.drawn_W

    def setting(self, time_s: float) -> Mapping[str, str]:
        """Position of every movable part; a welded contact of a self-acting part counts as closed.

        Raises `HeatError` for a time outside the run.
        """
        return self._at(time_s).course.circuit.setting

    def first_s(self, kind: EventKind, part: str = "") -> float | None:
        """When this first happens to a part, or to the vessel, s; None if it never does."""
        times_s = (e.time_s for e in self.events if (e.kind, e.part) == (kind, part))
        return next(times_s, None)

    @property
    def time_to_ready_s(self) -> float | None:
        """Seconds until a thermostat or pressure switch first opens or the open vessel boils; None
        where neither happens."""
        fuses = {part.name for part in self.appliance.of_type(ThermalFuse)}
        for event in self.events:
            if event.kind == "boils" or (event.kind == "opens" and event.part not in fuses):
                return event.time_s
        return None

    @cached_property
    def cycle(self) -> Cycle | None:
        """The last full cycle: two openings of one contact with no hand on a switch between them;
        or None."""
        later: dict[str, float] = {}
        for event in reversed(self.events):
            if event.kind in ("turned", "dry"):
                later.clear()
            elif event.kind == "opens":
                if event.part in later and later[event.part] > event.time_s:
                    return self._cycle(event.part, event.time_s, later[event.part])
                later[event.part] = event.time_s
        return None

    def _cycle(self, part: str, start_s: float, end_s: float) -> Cycle:
        within = [s for s in self.segments if start_s <= s.start_s and s.end_s <= end_s]
        period_s = end_s - start_s
        ends = [s.temperature_C(t) for s in within for t in (s.start_s, s.end_s)]
        return Cycle(
            part=part,
            period_s=period_s,
            on_s=sum(s.duration_s for s in within if s.course.circuit.setting[part] == "closed"),
            mean_power_W=sum(s.course.circuit.drawn_W * s.duration_s for s in within) / period_s,
            mean_heat_W=sum(s.course.circuit.heat_W * s.duration_s for s in within) / period_s,
            lowest_C=min(ends),
            highest_C=max(ends),
        )

    @property
    def caption(self) -> str:
        first = self.segments[0].course.circuit.setting
        notes = [f"{part.name} {first[part.name]}" for part in self.appliance.switches]
        notes += self.situation.notes
        return f"{self.appliance.title} over {clock(self.end_s)}: {', '.join(notes)}"

    @property
    def header(self) -> tuple[str, ...]:
        if self.body.vessel.sealed:
            return ("time", "temperature", "gauge pressure", "what happens")
        return ("time", "temperature", "what happens")

    @property
    def shown_rows(self) -> list[tuple[str, ...]]:
        rows = [self._row(0.0, self.segments[0].course.start_C, "the run starts")]
        rows += [self._row(e.time_s, e.temperature_C, e.what) for e in self.events]
        if not self.events or self.events[-1].kind not in ENDS:
            rows.append(self._row(self.end_s, self.temperature_C(self.end_s), "the run ends"))
        if len(rows) > 24:  # a day of cycling has hundreds, all alike
            skipped = len(rows) - 20
            gap = ("…",) * (len(self.header) - 1)
            rows = [*rows[:14], (*gap, f"{skipped} further events"), *rows[-6:]]
        return rows

    def _row(self, time_s: float, temperature_C: float, what: str) -> tuple[str, ...]:
        row = [clock(time_s), f"{temperature_C:.1f} °C"]
        if self.body.vessel.sealed:
            row.append(format_quantity(self.pressure_bar(time_s), "bar"))
        return (*row, what)


def place_C(fuse: ThermalFuse, segment: Segment, time_s: float) -> float:
    """Temperature at the place of a fuse within a segment, °C, both ends included."""
    above_K = 0.0
    if fuse.placed_on is not None:
        above_K = fuse.rise_K_per_W * segment.course.circuit.element_W[fuse.placed_on]
    return segment.temperature_C(time_s) + above_K


def clock(time_s: float) -> str:
    """A time in words: "45 s", "3 min 20 s", "2 h 05 min"."""
    seconds = round(time_s)
    if seconds < 60:
        return f"{seconds} s"
    if seconds < 3 * 3600:
        return f"{seconds // 60} min {seconds % 60:02d} s"
    minutes = round(time_s / 60)
    return f"{minutes // 60} h {minutes % 60:02d} min"
