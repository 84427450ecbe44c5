"""`protection_story`: one case in numbered sentences, from the first protection to the last."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace
from html import escape

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import Appliance, PressureSwitch, ThermalFuse
from lessonlib.appliance.settings import Setting, complete
from lessonlib.heat.cases import Case, read_case
from lessonlib.heat.protection import (
    HOLDS_HOURS,
    TEST_K_PER_MIN,
    Protection,
    brief,
    check_heats,
    protections_in,
    switch_words,
    tolerance_K,
    with_fuse,
)
from lessonlib.heat.result import Event, HeatRun, clock
from lessonlib.heat.run import heat_up
from lessonlib.heat.vessel import BURSTS_BAR, FIRE_C, MELTS_C
from lessonlib.quantities import format_quantity
from lessonlib.safety import ONE_LINE

SOURCES = (
    "Tolerance and test of a thermal fuse: IEC 60691, as quoted by two makers' glossaries. "
    "Replacing and resetting: IEC 60335-1 cl. 3.7 and a handbook, as quoted."
)


HOT_C = 100.0
"""A dry vessel above it is hotter than boiling water keeps it."""

_GAP = re.compile(r"(?<=\d) (?=(?:°C|K|W|bar|h|min|s)\b)")
"""Between a number and its unit, where a narrow page must not break the line."""


@dataclass(frozen=True, repr=False)
class Story:
    """Shows as a numbered list in a notebook, and as numbered lines elsewhere."""

    title: str
    sentences: tuple[str, ...]

    def __str__(self) -> str:
        lines = (f"{number}. {text}" for number, text in enumerate(self.sentences, 1))
        return "\n".join([self.title, *lines, ONE_LINE, SOURCES])

    __repr__ = __str__

    def _repr_html_(self) -> str:
        together = (_GAP.sub("\u00a0", text) for text in self.sentences)
        items = "".join(f"<li>{escape(text)}</li>" for text in together)
        return (
            f"<div><p><strong>{escape(self.title)}</strong></p><ol>{items}</ol>"
            f"<p>{escape(ONE_LINE)}</p><p><small>{escape(SOURCES)}</small></p></div>"
        )


def protection_story(
    appliance: Appliance,
    setting: Setting | None = None,
    *,
    minutes: float,
    fault: Fault | str | None = None,
) -> Story:
    """What happens, protection by protection, with times; then what the fuse's marks and its kind
    mean for it, and what each of the last two protections prevents.

    `fault` is a `Fault` or the words of `read_case`: "P1 welded", "no water", "no relief valve".
    Raises as `protections` does.
    """
    check_heats(appliance, setting, minutes)
    teller = _Teller(appliance, complete(appliance, setting), minutes, read_case(appliance, fault))
    return Story(teller.title, tuple(teller.sentences()))


@dataclass(frozen=True)
class _Teller:
    appliance: Appliance
    setting: Setting
    minutes: float
    case: Case

    @property
    def title(self) -> str:
        return f"{self.appliance.title}{switch_words(self.appliance, self.setting)}: {self.case}"

    def sentences(self) -> list[str]:
        rows = protections_in(self.appliance, self.setting, self.minutes, self.case)
        told = self.no_steam() + [self.event(event) for event in rows[0].acts]
        told += self.cycling(rows[0])
        for row in rows:
            told += self.fuse(row)
        if all(row.latest_s is None for row in rows):
            told += self.unstopped(rows[0].run)
        return told + self.without_valve(rows[0])

    def no_steam(self) -> list[str]:
        switches = [part.name for part in self.appliance.of_type(PressureSwitch)]
        if not (self.case.no_water and switches):
            return []
        return [f"Without water there is no steam: {' and '.join(switches)} cannot open."]

    @staticmethod
    def event(event: Event) -> str:
        return f"{clock(event.time_s)}: {event.what}."

    def cycling(self, row: Protection) -> list[str]:
        cycle = row.run.cycle
        if cycle is None:
            return []
        times = sum(e.kind == "opens" and e.part == cycle.part for e in row.run.events)
        return [
            f"{cycle.part} goes on opening and closing: it opens {times} times in "
            f"{clock(row.run.end_s)}, between {cycle.lowest_C:.1f} and {cycle.highest_C:.1f} °C."
        ]

    def fuse(self, row: Protection) -> list[str]:
        """What the case means for a thermal fuse."""
        fuse, latest_s = row.fuse, row.latest_s
        if latest_s is None:
            return [_closed(row)]
        told = []
        if row.earliest_s is not None and row.earliest_s < latest_s:
            told.append(
                f"A one-shot fuse may open up to {tolerance_K(fuse):g} K below its mark: "
                f"{fuse.name} from {row.coldest_C:g} °C on, at {clock(row.earliest_s)}."
            )
        told += _rate(row, latest_s)
        if fuse.placed_on is not None and row.run.water_kg(latest_s) == 0:
            told.append(
                f"On a dry {fuse.placed_on} the real rise is larger than {fuse.rise_K_per_W:g} K "
                "for each watt: the place is hotter than this model says."
            )
        return [*told, *_goes_on(row, latest_s), _again(fuse), self.without(row)]

    def without(self, row: Protection) -> str:
        """What a thermal fuse prevents."""
        fuse = row.fuse
        never = with_fuse(self.case.applied_to(self.appliance), replace(fuse, opens_at_C=math.inf))
        run = heat_up(never, self.setting, minutes=self.minutes, fault=self.case.fault)
        at_s = {event.kind: event.time_s for event in run.events}
        prevents = f"What {fuse.name} prevents:"
        if "bursts" in at_s:
            return f"{prevents} without it the vessel bursts, {_bursts(at_s['bursts'])}."
        hottest_C = max(segment.temperature_C(segment.end_s) for segment in run.segments)
        gets = f"gets to {hottest_C:.0f} °C within {self.minutes:g} min"
        if "fire" not in at_s:
            return f"{prevents} without it the vessel {gets}.{self.hotter(hottest_C)}"
        fire = f"without it the vessel is at {FIRE_C:g} °C after {clock(at_s['fire'])}"
        for event in row.run.events:
            if event.kind == "fire":
                delays = f"{fuse.name} delays the fire and does not prevent it"
                return f"{delays}: {fire}, with it after {clock(event.time_s)}."
        if "melts" in at_s:
            gets = f"melts, if it is of aluminium, after {clock(at_s['melts'])} ({MELTS_C:g} °C)"
        return f"{prevents} fire; {fire}, and {gets}."

    def unstopped(self, run: HeatRun) -> list[str]:
        """What a vessel comes to that has run dry of its water, and that nothing stops."""
        vessel, last = self.appliance.vessel, run.segments[-1]
        end_C = run.temperature_C(run.end_s)
        still_heated = last.course.heat_W > 0 and run.cycle is None
        is_dry = run.water_kg(run.end_s) == 0 and vessel is not None and vessel.water_kg > 0
        if not (still_heated and is_dry) or end_C <= HOT_C:
            return []
        fire = " It ends in fire." if end_C >= FIRE_C else self.hotter(end_C)
        return [
            f"Nothing stops the heating: the dry vessel is at {end_C:.0f} °C after "
            f"{clock(run.end_s)}.{fire}"
        ]

    @staticmethod
    def hotter(vessel_C: float) -> str:
        """What a vessel too hot for water and not yet at `FIRE_C` means."""
        return " Its elements are hotter: fire can follow." if vessel_C > HOT_C else ""

    def without_valve(self, row: Protection) -> list[str]:
        """What a relief valve that lifts prevents."""
        if not any(event.kind == "vents" for event in row.run.events):
            return []
        case = replace(self.case, no_valve=True)
        other = protections_in(self.appliance, self.setting, self.minutes, case)[0]
        at_s = {event.kind: event.time_s for event in other.run.events}
        if "bursts" in at_s:
            bursts = f"without it the vessel bursts, {_bursts(at_s['bursts'])}"
            return [f"What the relief valve prevents: {bursts}."]
        acts = [f"{brief(e)} at {clock(e.time_s)}" for e in other.acts if e.kind != "stuck"]
        return [
            f"What the relief valve prevents: without it {', '.join(acts) or 'nothing acts'}, and "
            f"the pressure gets to {_highest_bar(other.run)} gauge."
        ]


def _closed(row: Protection) -> str:
    fuse = row.fuse
    if row.inert is not None:
        return f"{fuse.name} {row.inert}."
    gets = f"its place gets to {row.hottest_C:.1f} °C"
    if any(event.kind == "bursts" for event in row.run.events):
        return (
            f"{fuse.name} does not save the vessel: {gets} before that. A thermal fuse does not "
            "stand in for a relief valve."
        )
    if row.earliest_s is not None:
        return (
            f"{fuse.name} may open, from {clock(row.earliest_s)} on: {gets}, below its mark of "
            f"{fuse.opens_at_C:g} °C but within the {tolerance_K(fuse):g} K by which a one-shot "
            "fuse may open early."
        )
    told = (
        f"{fuse.name} stays closed: {gets}, {row.margin_K:.1f} K below the {row.coldest_C:g} °C at "
        "which it may open at the earliest."
    )
    if row.holds_margin_K is None:
        return told
    if row.holds_margin_K < 0:
        return (
            f"{told} But that is {-row.holds_margin_K:.1f} K above its holding temperature of "
            f"{fuse.holds_C:g} °C."
        )
    return (
        f"{told} Its holding temperature is {fuse.holds_C:g} °C: with its rated current it stays "
        f"closed there for at least {HOLDS_HOURS} h."
    )


def _rate(row: Protection, at_s: float) -> list[str]:
    """How fast it warms when the fuse opens, where that is faster than in the test of its mark."""
    before = [s for s in row.run.segments if s.end_s <= at_s]
    if not before or before[-1].course.is_held:
        return []
    last, end_C = before[-1].course, before[-1].temperature_C(before[-1].end_s)
    net_W = last.heat_W - last.loss_W_per_K * (end_C - last.ambient_C)
    per_min = net_W / last.capacity_J_per_K * 60
    if per_min <= TEST_K_PER_MIN:
        return []
    return [
        f"When {row.fuse.name} opens, the vessel is warming by {per_min:.3g} K a minute. A mark "
        f"is tested at about {TEST_K_PER_MIN:g} K a minute: a real {row.fuse.name} has to warm "
        "through and opens later."
    ]


def _goes_on(row: Protection, at_s: float) -> list[str]:
    """What still heats once the fuse is open."""
    after = [s for s in row.run.segments if s.start_s >= at_s]
    still = {n: w for n, w in after[0].course.element_W.items() if w > 0} if after else {}
    if not still:
        return []
    words = " and ".join(f"{name} with {format_quantity(w, 'W')}" for name, w in still.items())
    return [f"{row.fuse.name} does not switch off everything: {words} still heats."]


def _again(fuse: ThermalFuse) -> str:
    """What it takes to close the circuit again."""
    if fuse.resettable:
        return (
            f"{fuse.name} is resettable: a hand resets it, once what made it open has been found "
            "and removed."
        )
    return (
        f"{fuse.name} is one-shot: it has to be replaced, once what made it open has been found "
        "and removed."
    )


def _bursts(at_s: float) -> str:
    return f"after {clock(at_s)} ({BURSTS_BAR:g} bar gauge) or long before"


def _highest_bar(run: HeatRun) -> str:
    bar = max(run.pressure_bar(segment.end_s) for segment in run.segments)
    return format_quantity(bar, "bar")
