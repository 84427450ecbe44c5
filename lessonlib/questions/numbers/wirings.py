"""Numbers of the questions about several wirings of one appliance.

What has changed is worked out as `family` does it. `wirings` are those drawn, with their labels.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import permutations
from typing import Any

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import TERMINALS, Appliance, Part, Switch, TwoTerminal
from lessonlib.appliance.variant import variant
from lessonlib.circuit.solution import solve_all
from lessonlib.families.changes import wiring_changes
from lessonlib.families.members import family_files, read_members
from lessonlib.families.off import Off, off_change
from lessonlib.families.place import opens_both
from lessonlib.families.settings import Member, Powers, powers_words
from lessonlib.questions.content_circuit import rewired
from lessonlib.questions.draw import Draw
from lessonlib.words import listed

Names = dict[str, Any]

STEAMERS = "floor-steamer"


def _steamers(low_W: float, high_W: float) -> list[Member]:
    """The hall's floor steamers with other powers; a single element has as much as both."""
    found = []
    for member in read_members(family_files()[STEAMERS])[1]:
        names = [part.name for part in member.appliance.elements]
        watts = (low_W, high_W) if len(names) == 2 else (low_W + high_W,)
        changes = {name: {"power_W": power} for name, power in zip(names, watts, strict=True)}
        found.append(Member(member.label, variant(member.appliance, changes)))
    return found


def what_only_one_can_do(draw: Draw, low_W: float, high_W: float) -> Names:
    """Two of the steamers, and something that only A can do; with what both, B and neither can."""
    members = _steamers(low_W, high_W)
    does = [
        {_does(sum(powers)) for powers in member.powers if powers is not None} for member in members
    ]
    every = set().union(*does)
    pairs = list(permutations(range(len(members)), 2))
    one, other = draw.one_of([(a, b) for a, b in pairs if len(does[a] - does[b]) == 1])
    (only,) = does[one] - does[other]
    kinds = {
        "both_of_them_can": does[one] & does[other],
        "the_other_one_can": does[other] - does[one],
        "neither_of_them_can": every - does[one] - does[other],
    }
    slips = {name: draw.one_of(sorted(found)) for name, found in kinds.items() if found}
    return {
        **slips,
        "only": only,
        "a_does": listed(sorted(does[one])),
        "b_does": listed(sorted(does[other])),
        "wirings": _labelled([members[one].appliance, members[other].appliance]),
    }


def _does(power_W: float) -> str:
    return f"{power_W:.0f} W" if power_W > 1 else "no heat at all"


def which_came_first(draw: Draw, low_W: float, high_W: float) -> Names:
    """Three of the steamers in any order, each with more that protects than the one before."""
    stages: dict[tuple[str, ...], list[Member]] = {}
    for member in _steamers(low_W, high_W):
        stages.setdefault(_protects(member), []).append(member)
    ways = sorted(stages, key=len)
    three = [ways[place] for place in sorted(draw.some_of(range(len(ways)), 3))]
    oldest_first = [draw.one_of(stages[way]) for way in three]
    labels = draw.one_of(list(permutations("ABC")))
    drawn = sorted(zip(labels, oldest_first, strict=True), key=lambda pair: pair[0])
    return {
        **dict(zip(("early", "middle", "late"), labels, strict=True)),
        "second_has": _more(three[0], three[1]),
        "third_has": _more(three[1], three[2]),
        "told": "\n".join(
            f"{label}: {_more((), way)}." for label, way in zip(labels, three, strict=True)
        ),
        "wirings": tuple((label, member.appliance) for label, member in drawn),
    }


def _protects(member: Member) -> tuple[str, ...]:
    """What there is of it that protects, in words."""
    found = [] if Off(member).number is None else ["a position for off"]
    found += [f"a {part.words}" for part in member.appliance.self_acting]
    if any(opens_both(member.appliance, part) for part in member.appliance.switches):
        found.append("an off that opens both conductors")
    return tuple(found)


def _more(few: Sequence[str], many: Sequence[str]) -> str:
    return listed([each for each in many if each not in few] or ["none of these"])


_WORSE = ("line", "neutral", "before")
"""What makes off worse: S1 opens the line alone, the neutral alone, or E1 is joined before it."""


def _warmer(circuit: Appliance, low_W: float, worse: str, fuse: bool, lamp: bool) -> Appliance:
    """The dish warmer with more or fewer of its parts; `worse` says how its off is wired."""
    line = "L" if worse == "neutral" else "main"
    out = "N" if worse == "line" else "out"
    end = "return" if fuse else out
    contacts = [f"L-{line}", f"{out}-N"]
    wires = {
        "S1": f"({', '.join(each for each in contacts if each not in ('L-L', 'N-N'))})",
        "S2": f"({line}-boost)",
        "E1": f"{'L' if worse == 'before' else line}-{end}",
        "E2": f"boost-{end}",
        "F1": f"return-{out}",
        "H1": f"{line}-{out}",
    }
    without = [name for name, there in (("F1", fuse), ("H1", lamp)) if not there]
    wires = {name: ends for name, ends in wires.items() if name not in without}
    return variant(rewired(circuit, wires, without), {"E1": {"power_W": low_W}})


def change_that_made_off_worse(draw: Draw, circuit: Appliance, low_W: float) -> Names:
    """Four wirings, each from the one before by one change; one of the changes made off worse."""
    worse = draw.one_of(_WORSE)
    now: dict[str, Any] = {"low_W": low_W, "worse": "", "fuse": False, "lamp": False}
    steps: dict[str, dict[str, Any]] = {
        "off_is_worse": {"worse": worse},
        "the_fuse_is_blamed": {"fuse": True},
        "the_lamp_is_blamed": {"lamp": True},
        "the_power_is_blamed": {"low_W": low_W + 100},
    }
    left_out = draw.one_of([name for name in steps if name != "off_is_worse"])
    names = draw.shuffled([name for name in steps if name != left_out])
    made = [_warmer(circuit, **now)]
    for name in names:
        now |= steps[name]
        made.append(_warmer(circuit, **now))
    steps_of = dict(zip(names, ("A to B", "B to C", "C to D"), strict=True))
    place = names.index("off_is_worse")
    offs = [Off(Member("", appliance)) for appliance in made[place : place + 2]]
    return {
        **steps_of,
        "found": steps_of["off_is_worse"],
        "change": _told(*made[place : place + 2]),
        "why": off_change(*offs),
        "more_W": low_W + 100,
        "wirings": _labelled(made),
    }


def _told(one: Appliance, other: Appliance) -> str:
    return " ".join(map(str, wiring_changes(one, other)))


def what_a_stuck_contact_leaves(circuit: Appliance, low_W: float, way: str, at: str) -> Names:
    """The most heat at S1 off with one of its contacts stuck closed."""
    warmer = _warmer(circuit, low_W, way, fuse=True, lamp=False)
    contacts = len(warmer.part("S1").rungs)
    faults = [Fault("S1", "welded", number) for number in range(1, contacts + 1)]
    found = solve_all(warmer, [{"S1": "off", "S2": at}], faults=faults)
    left_W = max(one.power_W or 0.0 for one in found)
    both = left_W > low_W + 1
    heats = f"a closed way leads through {'E1 and E2' if both else 'E1'}"
    return {
        "circuit": warmer,
        "left_W": round(left_W),
        "reason": heats if left_W else "one contact lies open, so no current flows",
        "contacts": "one contact" if contacts == 1 else "two contacts",
    }


_NEW_NAMES = {"E": "R", "F": "T", "H": "G", "S": "K"}


def drawn_anew(draw: Draw, circuit: Appliance, low_W: float) -> Names:
    """A wiring, and three others under other names and in another order: one of them is the same,
    and in each of two there is one change."""
    ways = [("", True), ("", False), ("line", True), ("neutral", True), ("before", True)]
    first, one, other = draw.some_of(ways, 3)
    made = {"": first, "one_more_is_changed": one, "other_is_changed": other}
    drawn = {
        name: _disguised(_warmer(circuit, low_W, worse, fuse, lamp=False), number)
        for number, (name, (worse, fuse)) in enumerate(made.items())
    }
    start = _warmer(circuit, low_W, first[0], first[1], lamp=False)
    names = draw.shuffled(list(drawn))
    labels = dict(zip(names, "BCD", strict=True))
    return {
        **{name: label for name, label in labels.items() if name},
        "same": labels[""],
        "one_told": _told(start, drawn["one_more_is_changed"]),
        "other_told": _told(start, drawn["other_is_changed"]),
        "one": labels["one_more_is_changed"],
        "other": labels["other_is_changed"],
        "wirings": (("A", start), *((labels[name], drawn[name]) for name in names)),
    }


def _disguised(appliance: Appliance, turn: int) -> Appliance:
    """The same wiring as somebody else would write it down: other names, another order."""

    def ends(between: tuple[str, str]) -> tuple[str, str]:
        one, other = (end if end in TERMINALS else end.upper()[::-1] for end in between)
        return one, other

    def renamed(part: Part) -> Part:
        part = replace(part, name=f"{_NEW_NAMES[part.name[0]]}{7 - int(part.name[1:])}")
        if isinstance(part, Switch):
            contacts = [replace(each, between=ends(each.between)) for each in part.contacts]
            return replace(part, contacts=tuple(contacts[::-1]))
        assert isinstance(part, TwoTerminal)
        return replace(part, between=ends(part.between))

    parts = [renamed(part) for part in appliance.parts]
    turn = 1 + turn % (len(parts) - 1)
    return replace(appliance, parts=tuple(parts[turn:][::-1] + parts[:turn]))


def setting_that_does_the_same(draw: Draw, low_W: float, high_W: float) -> Names:
    """A setting of one of the older steamers, and the setting of a later one that does the same."""
    members = _steamers(low_W, high_W)
    asked = [
        (one, other, mine, yours)
        for one in members[:3]
        for other in members[3:]
        for mine, watts in enumerate(map(_total_W, one.powers))
        for yours, found_W in enumerate(map(_total_W, other.powers))
        if watts and abs(watts - found_W) < 1
    ]
    one, other, mine, yours = draw.one_of(asked)
    same = other.solutions[yours].setting
    ways = {
        "same": same,
        "other_heat": {**same, "S2": _TURNED[same["S2"]]},
        "left_switched_off": {**same, "S1": _TURNED[same["S1"]]},
    }
    pairs = zip(other.solutions, other.powers, strict=True)
    heats = {
        now.setting["S2"]: powers_words(powers)
        for now, powers in pairs
        if now.setting["S1"] == "on"
    }
    return {
        **{name: f"S1 {way['S1']}, S2 {way['S2']}" for name, way in ways.items()},
        "at": f"S1 {one.solutions[mine].setting['S1']}",
        "does": powers_words(one.powers[mine]),
        "later": heats[same["S2"]],
        "other_does": heats[_TURNED[same["S2"]]],
        "circuit": other.appliance,
        "wirings": _labelled([one.appliance, other.appliance]),
    }


_TURNED = {"off": "on", "on": "off", "low": "high", "high": "low"}


def _total_W(powers: Powers) -> float:
    return sum(powers or ())


def _labelled(appliances: Sequence[Appliance]) -> tuple[tuple[str, Appliance], ...]:
    return tuple(zip("ABCD", appliances, strict=False))
