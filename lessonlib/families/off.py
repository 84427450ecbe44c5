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

NO_OFF = 100
"""Rank of a member that cannot be switched off."""


_CLOSES_AGAIN = ("thermostat", "pressure_switch")
"""Kinds of parts that let the heating start again by themselves."""


@dataclass(frozen=True, eq=False)
class Off:
    """The off setting of a member with the fewest live elements, each way that the plug goes in."""

    member: Member

    @cached_property
    def _safest(self) -> tuple[int, ...]:
        """The settings with the fewest live elements, where several are alike."""
        by_live: dict[tuple[int, ...], list[int]] = {}
        for number in self.member.off:
            live = [len(_live(way[number])) for way in self.member.ways]
            by_live.setdefault((sum(live), *live), []).append(number)
        return tuple(by_live[min(by_live)]) if by_live else ()

    @property
    def number(self) -> int | None:
        """Which setting it is; None where something heats in every setting."""
        return self._safest[0] if self._safest else None

    @cached_property
    def live(self) -> tuple[tuple[str, ...], ...]:
        """The elements with a live end, for each way of the plug."""
        if self.number is None:
            return ()
        return tuple(_live(way[self.number]) for way in self.member.ways)

    def rank(self, ways: int) -> int:
        """The lower the safer: for each of the first `ways` of the plug 1 where some elements are
        live, 2 where all are."""
        if self.number is None:
            return NO_OFF
        every = len(self.member.appliance.elements)
        return sum((len(live) > 0) + (len(live) == every) for live in self.live[:ways])

    def words(self, past: bool = False) -> str:
        """What is live: "E1 and E2 are live with the plug reversed"."""
        if self.number is None:
            return "something heated in every setting"
        both = ", either way of the plug" if self.live[1:] else ""
        if not any(self.live):
            return f"no element {'was' if past else 'is'} live{both}"
        if len(set(self.live)) == 1:
            return f"{_are(self.live[0], past)} live{both}"
        told = [
            f"{_are(live, past)} live with the plug {way}"
            for way, live in zip(("as marked", "reversed"), self.live, strict=True)
            if live
        ]
        return " and ".join(told)

    @cached_property
    def stuck_W(self) -> float:
        """The most heat at off with one contact of a switch stuck closed, W, however the other
        switches stand."""
        appliance = self.member.appliance
        faults = [
            Fault(part.name, "welded", number)
            for part in appliance.switches
            for number in range(1, len(part.contacts) + 1)
        ]
        off = [self.member.solutions[number].setting for number in self._safest]
        found = [heating(one) for one in solve_all(appliance, off, faults=faults)]
        return max((sum(powers) for powers in found if powers), default=0.0)

    @cached_property
    def ending(self) -> tuple[str, ...]:
        """The self-acting parts that end all heating by themselves, in every setting."""
        appliance = self.member.appliance
        return tuple(part.name for part in appliance.self_acting if self._ends(part))

    def _ends(self, part: SelfActing) -> bool:
        base = settings(self.member.appliance)
        opened = [{**setting, part.name: "open"} for setting in base]
        return not any(heating(one) for one in solve_all(self.member.appliance, opened))


def off_change(before: Off, now: Off) -> str:
    """A sentence where off has become safer or less safe; empty where it is as it was."""
    ways = min(len(before.member.ways), len(now.member.ways))
    was, is_ = before.rank(ways), now.rank(ways)
    if was == is_:
        if [bool(live) for live in before.live[:ways]] == [bool(live) for live in now.live[:ways]]:
            return ""
        return f"At off, {now.words()}. Before, {before.words(past=True)}."
    if is_ == NO_OFF:
        return "It can no longer be switched off: something heats in every setting."
    if was == NO_OFF:
        return f"It can be switched off now, and then {now.words()}."
    word = "safer" if is_ < was else "less safe"
    return f"Off is {word} now: {now.words()}. Before, {before.words(past=True)}."


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
    kinds = [
        sorted(each.member.appliance.part(n).kind for n in each.ending) for each in (before, now)
    ]
    if kinds[0] != kinds[1]:
        parts = [now.member.appliance.part(name) for name in now.ending]
        if parts:
            who = listed([f"the {part.words} {part.name}" for part in parts], "or")
            again = all(part.kind in _CLOSES_AGAIN for part in parts)
            does = "interrupt the heating, but not end it" if again else "end the heating"
            told.append(f"If a switch contact sticks closed, {who} can still {does}.")
        else:
            told.append("If a switch contact sticks closed, no part ends the heating by itself.")
        if len(parts) > 1 and len(before.ending) < 2:
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
    return f"{listed(names)} {one if len(names) == 1 else many}"
