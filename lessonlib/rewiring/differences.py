"""What is safer in one of two wirings than in the other: dangers, failing ratings, live points."""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Iterable, Iterator, Mapping

from lessonlib.appliance.parts import Appliance, Switch
from lessonlib.circuit.solution import Solution
from lessonlib.ratings.findings import findings
from lessonlib.ratings.hazard import Hazard, Hazards
from lessonlib.ratings.hazards import hazards
from lessonlib.words import listed

Told = tuple[str, tuple[str, ...]]
"""A sentence, and the parts of the later wiring that it is about."""


def safety_changes(
    first: Appliance,
    second: Appliance,
    became: Mapping[str, str],
    alike: Iterable[tuple[str, Solution, Solution]],
) -> list[Told]:
    """What is more or less safe in the second wiring than in the first.

    `became` says which part of the second each part of the first has become. `alike` are settings
    that do the same in both, with what they do in words.
    """
    return [
        *_dangers(first, second, became),
        *_fails(first, second, became),
        *_live(second, became, alike),
    ]


def _dangers(first: Appliance, second: Appliance, became: Mapping[str, str]) -> Iterator[Told]:
    old, new = (dangers_of_wiring(hazards(appliance)) for appliance in (first, second))
    before = {_concerns(each, became): each for each in old}
    now = {_concerns(each, {}): each for each in new}
    gone = [each for key, each in before.items() if key not in now]
    for key, each in now.items():
        if key in before:
            continue
        parts = tuple(dict.fromkeys(end.part for end in each.live))
        other = next((one for one in gone if one.about == each.about), None)
        if other is None:
            yield f"A new danger, {each.when}: {each.what}. {each.do}", parts
        else:
            gone.remove(other)
            yield f"Still a danger, {each.when}: {each.what}. Before: {other.what}.", parts
    for each in gone:
        yield f"This danger is gone, {each.when}: {each.what}.", ()


def dangers_of_wiring(of: Hazards) -> list[Hazard]:
    """Dangers of the circuit; what the file does not say about its earth is no such one."""
    return [each for each in of.dangers if each.when != "always"]


def _fails(first: Appliance, second: Appliance, became: Mapping[str, str]) -> Iterator[Told]:
    before = {(became.get(row.part, row.part), row.what) for row in findings(first).of("fail")}
    own = {part.name for part in second.parts}
    now = findings(second).rows
    for row in now:
        failed = (row.part, row.what) in before
        parts = tuple({row.part} & own)
        if row.verdict == "fail" and not failed:
            yield f"{row.part}, {row.what}, fails now: {row.told}", parts
        elif row.verdict == "pass" and failed:  # what a file does not tell is no change
            yield f"{row.part}, {row.what}, passes now; before, it failed.", parts
    for part, what in sorted(before - {(row.part, row.what) for row in now}):
        yield f"{part}, {what}, does not arise any more; before, it failed.", ()


def _live(
    second: Appliance,
    became: Mapping[str, str],
    alike: Iterable[tuple[str, Solution, Solution]],
) -> Iterator[Told]:
    """Parts with a live end in one wiring only, where both give the same heat."""
    there = {name for name in became.values() if not isinstance(second.part(name), Switch)}
    found: dict[tuple[bool, tuple[str, ...]], list[str]] = {}
    for words, one, other in alike:
        before = {became.get(end.part, "") for end in one.live}
        now = {end.part for end in other.live}
        for is_live, some in ((True, now - before), (False, before - now)):
            names = tuple(part.name for part in second.parts if part.name in some & there)
            if names:
                found.setdefault((is_live, names), []).append(words)
    for (is_live, names), at in found.items():
        end = f"end of {listed(names)} is live"
        says = (
            f"an {end}; before, none was" if is_live else f"no {end} in the model; before, one was"
        )
        yield f"With {listed(at, 'or')}, plug as marked, {says}.", names


def _concerns(danger: Hazard, became: Mapping[str, str]) -> Hashable:
    """What a danger is, whatever names its file gives to parts and points: what it is about, with
    which fault, and which parts it concerns, with how many live ends."""
    names = [end.part for end in danger.live] or danger.marked
    parts = Counter(became.get(name, name) for name in names)
    fault = danger.seen.fault if danger.seen is not None else None
    return danger.about, fault and fault.kind, frozenset(parts.items())
