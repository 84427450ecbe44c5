"""What is live when a member is off, and what a contact that sticks closed does."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import SelfActing
from lessonlib.appliance.settings import settings
from lessonlib.circuit.solution import Solution, solve_all
from lessonlib.families.settings import Member, heating
from lessonlib.quantities import format_quantity
from lessonlib.words import listed

_CLOSES_AGAIN = ("thermostat", "pressure_switch")
"""Kinds of parts that let the heating start again by themselves."""


@dataclass(frozen=True, eq=False)
class Off:
    """The off setting of a member with the fewest live elements, each way that the plug goes in."""

    member: Member

    @cached_property
    def _safest(self) -> tuple[int, ...]:
        """The settings with the fewest live elements, where several are alike."""
        live = {n: [len(_live(way[n])) for way in self.member.ways] for n in self.member.off}
        least = min(((sum(counts), counts) for counts in live.values()), default=None)
        return tuple(n for n, counts in live.items() if (sum(counts), counts) == least)

    @property
    def number(self) -> int | None:
        """Which setting it is; None where something heats in every setting."""
        return self._safest[0] if self._safest else None

    @cached_property
    def live(self) -> tuple[tuple[str, ...], ...]:
        """The elements with a live end, for each way of the plug."""
        return tuple(_live(way[n]) for n in self._safest[:1] for way in self.member.ways)

    def words(self, past: bool = False) -> str:
        """What is live: "E1 and E2 are live with the plug reversed"."""
        if self.number is None:
            return "something heated in every setting"
        if len(set(self.live)) == 1:
            both = ", either way of the plug" if self.live[1:] else ""
            return f"{_are(self.live[0], past)} live{both}"
        ways = zip(("as marked", "reversed"), self.live, strict=True)
        told = [f"{_are(live, past)} live with the plug {way}" for way, live in ways if live]
        return " and ".join(told)

    @cached_property
    def stuck_W(self) -> float:
        """The most heat at off with one contact of a switch stuck closed, W, however the other
        switches stand."""
        faults = [
            Fault(part.name, "welded", number)
            for part in self.member.appliance.switches
            for number in range(1, len(part.contacts) + 1)
        ]
        off = [self.member.solutions[number].setting for number in self._safest]
        found = map(heating, solve_all(self.member.appliance, off, faults=faults))
        return max((sum(powers) for powers in found if powers), default=0.0)

    @cached_property
    def ending(self) -> list[SelfActing]:
        """The self-acting parts that end all heating by themselves, in every setting."""
        appliance = self.member.appliance
        every = settings(appliance)
        return [
            part
            for part in appliance.self_acting
            if not any(
                map(heating, solve_all(appliance, [{**one, part.name: "open"} for one in every]))
            )
        ]


def off_change(before: Off, now: Off) -> str:
    """A sentence where off has become safer or less safe; empty where it is as it was."""
    if before.number is None and now.number is None:
        return ""
    if now.number is None:
        return "It can no longer be switched off: something heats in every setting."
    if before.number is None:
        return f"It can be switched off now, and then {now.words()}."
    ways = list(zip(before.live, now.live, strict=False))
    # the lower the safer: for each way of the plug 1 where some elements are live, 2 where all are
    was, is_ = (
        sum((len(live) > 0) + (len(live) == len(off.member.appliance.elements)) for live in lives)
        for off, lives in zip((before, now), zip(*ways, strict=True), strict=True)
    )
    if was == is_ and all(bool(old) == bool(new) for old, new in ways):
        return ""
    start = "At off, " if was == is_ else f"Off is {'safer' if is_ < was else 'less safe'} now: "
    return f"{start}{now.words()}. Before, {before.words(past=True)}."


def stuck_changes(before: Off, now: Off) -> list[str]:
    """Sentences on what a contact that sticks closed does now, where that has changed."""
    told = []
    old, new = (format_quantity(each.stuck_W, "W") for each in (before, now))
    if now.number is not None and (before.number is None or old != new):
        was = "" if before.number is None else f"; before, {old if before.stuck_W else 'none'}"
        if now.stuck_W:
            told.append(f"One switch contact stuck closed leaves up to {new} on at off{was}.")
        elif before.stuck_W:
            told.append(f"One switch contact stuck closed no longer heats at off; before, {old}.")
    kinds = [sorted(part.kind for part in each.ending) for each in (before, now)]
    if kinds[0] != kinds[1]:
        does = "no part ends the heating by itself"
        if now.ending:
            who = listed([f"the {part.words} {part.name}" for part in now.ending], "or")
            again = all(kind in _CLOSES_AGAIN for kind in kinds[1])
            ends = "interrupt the heating, but not end it" if again else "end the heating"
            does = f"{who} can still {ends}"
        told.append(f"If a switch contact sticks closed, {does}.")
        if len(now.ending) > 1 and len(before.ending) < 2:
            told.append("If one of these sticks, the other is still there.")
    return told


def _live(solution: Solution) -> tuple[str, ...]:
    return tuple(
        part.name
        for part in solution.appliance.elements
        if any(solution.node[node].can_shock for node in part.rungs[0])
    )


def _are(names: tuple[str, ...], past: bool) -> str:
    one, many = ("was", "were") if past else ("is", "are")
    return f"{listed(names or ['no element'])} {many if names[1:] else one}"
