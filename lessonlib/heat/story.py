"""`protection_story`: one case in numbered sentences, from the first protection to the last."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from html import escape

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import Appliance, PressureSwitch
from lessonlib.appliance.settings import Setting, complete
from lessonlib.heat.protection import (
    Protection,
    brief,
    check_heats,
    in_setting,
    protections_in,
    read_case,
    tolerance_K,
    with_fuse,
)
from lessonlib.heat.result import HeatRun, clock
from lessonlib.heat.run import heat_up
from lessonlib.heat.vessel import BURSTS_BAR, FIRE_C, MELTS_C
from lessonlib.limits.components import HOLDING
from lessonlib.quantities import format_quantity
from lessonlib.safety import ONE_LINE

SOURCES = (
    "Tolerance and test of a thermal fuse: IEC 60691, as quoted by two makers' glossaries. "
    "Replacing and resetting: IEC 60335-1 cl. 3.7 and a handbook, as quoted."
)

NO_STAND_IN = "A thermal fuse does not stand in for a relief valve."

TEST_K_PER_MIN = 1.0
"""About the rate of rise at which the mark is tested: IEC 60691, as quoted by two makers'
glossaries."""

HOT_C = 100.0
"""Boiling water keeps a vessel no hotter than this."""

_GAP = re.compile(r"(?<=\d) (?=(?:°C|K|W|bar|h|min|s)\b)")
"""Between a number and its unit, where a narrow page must not break the line."""


@dataclass(frozen=True, repr=False)
class Story:
    """A case in sentences: a numbered list in a notebook, numbered lines elsewhere."""

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
    """What happens, protection by protection, with times; then what the mark and kind of each
    thermal fuse mean here, and what fuse and relief valve prevent.

    `fault` is a `Fault` or the words of `read_case`: "P1 welded", "no water", "no relief valve".
    Raises as `protections` does.
    """
    check_heats(appliance, setting, minutes)
    case = read_case(appliance, fault)
    title = in_setting(appliance.title, appliance, complete(appliance, setting))
    rows = protections_in(appliance, setting, minutes, case)
    told = list(_events(rows[0]))
    for row in rows:
        told += [_closed(row)] if row.latest_s is None else _opens(row, row.latest_s, minutes)
    if all(row.latest_s is None for row in rows):
        told += _unstopped(appliance, rows[0].run)
    told += _without_valve(rows[0], minutes)
    return Story(f"{title}: {case}", tuple(told))


def _events(row: Protection) -> Iterator[str]:
    """What happens in order of time, and the cycle."""
    run, cycle = row.run, row.run.cycle
    switches = [part.name for part in run.appliance.of_type(PressureSwitch)]
    if row.case.no_water and switches:
        yield f"Without water there is no steam: {' and '.join(switches)} cannot open."
    for event in row.acts:
        yield f"{clock(event.time_s)}: {event.what}."
    if cycle is not None:
        times = sum(e.kind == "opens" and e.part == cycle.part for e in run.events)
        yield (
            f"{cycle.part} goes on opening and closing: it opens {times} times in "
            f"{clock(run.end_s)}, between {cycle.lowest_C:.1f} and {cycle.highest_C:.1f} °C."
        )


def _opens(row: Protection, at_s: float, minutes: float) -> Iterator[str]:
    """What it means that a thermal fuse opens."""
    fuse, run = row.fuse, row.run
    if row.earliest_s is not None and row.earliest_s < at_s:
        yield (
            f"A one-shot fuse may open up to {tolerance_K(fuse):g} K below its mark: "
            f"{fuse.name} from {row.coldest_C:g} °C on, at {clock(row.earliest_s)}."
        )
    per_min = _rate_K_per_min(run, at_s)
    if per_min > TEST_K_PER_MIN:
        yield (
            f"When {fuse.name} opens, the vessel is warming by {per_min:.3g} K a minute. A mark "
            f"is tested at about {TEST_K_PER_MIN:g} K a minute: a real {fuse.name} has to warm "
            "through and opens later."
        )
    if fuse.placed_on is not None and run.water_kg(at_s) == 0:
        yield (
            f"On a dry {fuse.placed_on} the real rise is larger than {fuse.rise_K_per_W:g} K "
            "for each watt: the place is hotter than this model says."
        )
    after = next((s for s in run.segments if s.start_s >= at_s), None)
    given_W = {} if after is None else after.course.circuit.element_W
    still = [f"{name} with {format_quantity(w, 'W')}" for name, w in given_W.items() if w > 0]
    if still:
        words = " and ".join(still)
        yield f"{fuse.name} does not switch off everything: {words} still heats."
    kind = "one-shot: it has to be replaced"
    if fuse.resettable:
        kind = "resettable: a hand resets it"
    yield f"{fuse.name} is {kind}, once what made it open has been found and removed."
    yield _without(row, minutes)


def _rate_K_per_min(run: HeatRun, at_s: float) -> float:
    """How fast the vessel warms just before that time."""
    before = [segment for segment in run.segments if segment.end_s <= at_s]
    if not before or before[-1].course.is_held:
        return 0.0
    last = before[-1].course
    net_W = last.circuit.heat_W - last.body.lost_W(before[-1].temperature_C(before[-1].end_s))
    return net_W / last.capacity_J_per_K * 60


def _without(row: Protection, minutes: float) -> str:
    """What a thermal fuse prevents."""
    fuse, asked = row.fuse, row.run.situation
    never = with_fuse(asked.appliance, replace(fuse, opens_at_C=math.inf))
    run = heat_up(never, asked.setting, minutes=minutes, fault=asked.fault)
    prevents = f"What {fuse.name} prevents:"
    bursts, fire_s, melts_s = _bursts(run), run.first_s("fire"), run.first_s("melts")
    if bursts:
        return f"{prevents} {bursts}. {NO_STAND_IN}"
    hottest_C = max(segment.temperature_C(segment.end_s) for segment in run.segments)
    gets = f"gets to {hottest_C:.0f} °C within {minutes:g} min"
    if fire_s is None:
        return f"{prevents} without it the vessel {gets}.{_hotter(hottest_C)}"
    fire = f"without it the vessel is at {FIRE_C:g} °C after {clock(fire_s)}"
    with_it_s = row.run.first_s("fire")
    if with_it_s is not None:
        delays = f"{fuse.name} delays the fire and does not prevent it"
        return f"{delays}: {fire}, with it after {clock(with_it_s)}."
    if melts_s is not None:
        gets = f"melts, if it is of aluminium, after {clock(melts_s)} ({MELTS_C:g} °C)"
    return f"{prevents} fire; {fire}, and {gets}."


def _closed(row: Protection) -> str:
    """What it means that a thermal fuse does not open if exactly at its mark."""
    fuse = row.fuse
    if row.inert is not None:
        return f"{fuse.name} {row.inert}."
    gets = f"its place gets to {row.hottest_C:.1f} °C"
    if row.run.first_s("bursts") is not None:
        return f"{fuse.name} does not save the vessel: {gets} before that. {NO_STAND_IN}"
    if row.earliest_s is not None:
        return (
            f"{fuse.name} may open, from {clock(row.earliest_s)} on: {gets}, below its mark of "
            f"{fuse.opens_at_C:g} °C but within the {tolerance_K(fuse):g} K by which a one-shot "
            "fuse may open early."
        )
    told = (
        f"{fuse.name} stays closed: {gets}, {row.margin_K:.1f} K below {row.coldest_C:g} °C, the "
        "lowest at which it may open."
    )
    if row.holds_margin_K is None:
        return told
    if row.holds_margin_K < 0:
        over = f"{-row.holds_margin_K:.1f} K above its holding temperature of {fuse.holds_C:g} °C"
        return f"{told} But that is {over}."
    return (
        f"{told} Its holding temperature is {fuse.holds_C:g} °C: with its rated current it stays "
        f"closed there for at least {HOLDING.value} h."
    )


def _unstopped(appliance: Appliance, run: HeatRun) -> Iterator[str]:
    """How hot a vessel gets that is for water, has none left and goes on being heated."""
    vessel, end_C = appliance.vessel, run.temperature_C(run.end_s)
    still_heated = run.heat_W(run.end_s) > 0 and run.cycle is None
    is_dry = vessel is not None and vessel.water_kg > 0 and run.water_kg(run.end_s) == 0
    if still_heated and is_dry and end_C > HOT_C:
        fire = " It ends in fire." if end_C >= FIRE_C else _hotter(end_C)
        at = f"the dry vessel is at {end_C:.0f} °C after {clock(run.end_s)}"
        yield f"Nothing stops the heating: {at}.{fire}"


def _hotter(vessel_C: float) -> str:
    """What it means that a vessel is too hot for water and not yet at `FIRE_C`."""
    return " Its elements are hotter: fire can follow." if vessel_C > HOT_C else ""


def _without_valve(row: Protection, minutes: float) -> Iterator[str]:
    """What a relief valve that lifts prevents."""
    if row.run.first_s("vents") is None:
        return
    asked = row.run.situation
    case = replace(row.case, no_valve=True)
    other = protections_in(asked.appliance, asked.setting, minutes, case)[0]
    told = _bursts(other.run)
    if not told:
        acts = [f"{brief(e)} at {clock(e.time_s)}" for e in other.acts if e.kind != "stuck"]
        bar = max(other.run.pressure_bar(segment.end_s) for segment in other.run.segments)
        gets = f"the pressure gets to {format_quantity(bar, 'bar')} gauge"
        told = f"without it {', '.join(acts) or 'nothing acts'}, and {gets}"
    yield f"What the relief valve prevents: {told}."


def _bursts(run: HeatRun) -> str:
    """When the vessel bursts without what is left out of a run; nothing where it does not."""
    at_s = run.first_s("bursts")
    if at_s is None:
        return ""
    when = f"after {clock(at_s)} ({BURSTS_BAR:g} bar gauge) or long before"
    return f"without it the vessel bursts, {when}"
