"""A wiring that was found, as an appliance with its switch, and what speaks against it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import chain, combinations, pairwise

from lessonlib.appliance.parts import Appliance, Contact, Switch
from lessonlib.circuit.solution import Solution, solve_all
from lessonlib.quantities import format_quantity
from lessonlib.ratings.finding import Findings
from lessonlib.ratings.findings import findings
from lessonlib.ratings.hazard import Hazards
from lessonlib.ratings.hazards import hazards
from lessonlib.rewiring.given import Wanted, wired, without
from lessonlib.rewiring.network import LINE, NEUTRAL, Drawn, first_name
from lessonlib.rewiring.search import Found


@dataclass(frozen=True, eq=False)
class Proposal:
    """One wiring. `unused` are parts of the stock that it does without; `shorting` are pairs of
    positions whose contacts, closed together, short the mains."""

    appliance: Appliance
    wanted: tuple[Wanted, ...]
    unused: tuple[str, ...]
    shorting: tuple[tuple[str, str], ...]

    @cached_property
    def solutions(self) -> tuple[Solution, ...]:
        """What the library's solver says of each position, in the order wanted."""
        return tuple(
            solve_all(self.appliance, [{self.switch.name: each.name} for each in self.wanted])
        )

    @cached_property
    def findings(self) -> Findings:
        """The wiring against published limits."""
        return findings(self.appliance)

    @cached_property
    def hazards(self) -> Hazards:
        """What can hurt with this wiring."""
        return hazards(self.appliance)

    @property
    def switch(self) -> Switch:
        """The switch to buy or to make up."""
        return self.appliance.switches[0]

    @cached_property
    def objection(self) -> tuple[str, str] | None:
        """The part or position for which it must not be proposed, and why; None where nothing
        speaks against it. A finding without a limit is no failing rating: it is told instead."""
        return next(self._objections(), None)

    def _objections(self) -> Iterator[tuple[str, str]]:
        for each, now in zip(self.wanted, self.solutions, strict=True):
            if now.short is not None:
                yield each.name, f"{each.name}: {now.short} is a short circuit"
                return
            power = sum(now.part[part.name].power_W or 0.0 for part in self.appliance.elements)
            least, most = each.range_W
            if not least <= power <= most:
                watts = format_quantity(power, "W")
                yield each.name, f"{each.name}: it gives {watts}, as the diode takes some volts"
        for row in self.findings.of("fail"):
            if row.limit is not None:
                yield row.part, f"{row.part}, {row.what}: {row.told}"
        for danger in self.hazards.dangers:  # last, as it takes longest
            if danger.about == "off" and any(each.is_off for each in self.wanted):
                yield "off", f"At off, {danger.what}."


def proposal(
    found: Found, of: Appliance, wanted: Sequence[Wanted], unused: Sequence[str]
) -> Proposal:
    """The appliance that a wiring of these parts, all but those `unused`, makes.

    What is in the line stands behind the switch's contact there, if there is only one, and so is
    dead at off; otherwise before the switch.
    """
    parts = wired(without(of, unused))
    names = {LINE: "L", NEUTRAL: "N"}
    for node in chain.from_iterable(found.graph):
        names.setdefault(node, chr(ord("a") + len(names) - 2))
    ends = [(names[a], names[b]) for a, b in found.graph]
    joined = [(names[a], names[b]) for a, b in found.contacts]
    in_line = of.self_acting
    first, last = "L", "line"
    if in_line and switches_line(found):
        place = next(at for at, pair in enumerate(joined) if "L" in pair)
        first, last = "line", joined[place][1]
        joined[place] = ("L", "line")
    elif in_line:
        ends, joined = ([(last if a == "L" else a, b) for a, b in p] for p in (ends, joined))
    joints = [first, *(f"line {n}" for n in range(2, len(in_line) + 1)), last]
    heats = [each.name for each in wanted if not each.is_off]
    contacts = tuple(
        Contact(pair, tuple(heats[n] for n, shut in enumerate(found.closed) if at in shut))
        for at, pair in enumerate(joined)
    )
    positions = tuple(each.name for each in wanted)
    start = next((each.name for each in wanted if each.is_off), positions[0])
    taken = {part.name for part in of.parts} - {part.name for part in of.switches}
    name = next(f"S{n}" for n in range(1, len(taken) + 2) if f"S{n}" not in taken)
    made = (
        Switch(name, positions, contacts, start),
        *(
            replace(part, between=pair)
            for part, pair in zip(in_line, pairwise(joints), strict=False)
        ),
        *(replace(part, between=pair) for part, pair in zip(parts, ends, strict=True)),
    )
    purpose = f"A wiring on paper, for {'; '.join(each.words for each in wanted)}."
    supply = replace(of.supply, power_W=None)  # what is marked on it is no limit for another wiring
    title = f"{of.title}, rewired on paper"
    shorts = tuple((heats[one], heats[other]) for one, other in shorting(found))
    appliance = Appliance(title, purpose, supply, made, of.vessel)
    return Proposal(appliance, tuple(wanted), tuple(unused), shorts)


def switches_line(found: Found) -> bool:
    """Whether all current from the line goes through one contact."""
    joined = sum(LINE in pair for pair in (*found.graph, *found.contacts))
    return joined == 1 and any(LINE in pair for pair in found.contacts)


def shorting(found: Found) -> list[tuple[int, int]]:
    """Pairs of positions, by number, whose contacts together short the mains: as when a switch
    makes before it breaks, or a contact sticks."""
    pairs = combinations(range(len(found.closed)), 2)
    return [
        (one, other)
        for one, other in pairs
        if len(set(_merged(found, (*found.closed[one], *found.closed[other]))[:2])) == 1
    ]


def rank(found: Found, of: Appliance, unused: Sequence[str]) -> tuple[object, ...]:
    """Sorts wirings with as many contacts: those first that use every element, can least short the
    mains between two positions, switch what stands in the line too, do without a diode, cut both
    conductors, and have the fewest terminals and the fewest contacts closed."""
    idle = sum(part.name in unused for part in of.elements)
    ends = {node for pair in found.contacts for node in pair}
    mains = {node for pair in found.graph for node in pair} & {LINE, NEUTRAL}
    closings = sum(map(len, found.closed))
    before = bool(of.self_acting) and not switches_line(found)
    last = (len(ends), closings, found.graph, found.contacts)
    return idle, len(shorting(found)), before, -len(unused), len(mains), *last


def in_use(found: Found, drawn: Drawn) -> bool:
    """Whether every part carries current in some position: less would be drawn without it, or
    another power with a diode taken out."""

    def changes(part: int, labels: Sequence[int]) -> bool:
        whole = [(labels[a], labels[b]) for a, b in found.graph]
        less = list(whole)
        less[part] = (whole[part][0], whole[part][0])  # both its ends at one point
        one, other = (drawn.power_W(tuple(graph)) or 0.0 for graph in (whole, less))
        return abs(one - other) > 1e-6 * max(one, other)

    merged = [_merged(found, closed) for closed in found.closed]
    parts = range(len(found.graph))
    return all(any(changes(part, labels) for labels in merged) for part in parts)


def alike(found: Found, groups: Sequence[Sequence[int]], turned: bool) -> tuple[object, ...]:
    """The same for two wirings that join the same ends in every position: whichever contacts do it,
    however the parts are turned, and whichever of equal parts is meant; `turned` also where the
    two conductors can change places."""
    mains = [(LINE, NEUTRAL), (NEUTRAL, LINE)][: 1 + turned]
    merges = [_merged(found, closed) for closed in ((), *found.closed)]
    return first_name(found.graph, merges, groups, mains)


def _merged(found: Found, closed: Sequence[int]) -> list[int]:
    """By node, a number shared by those that are joined with these contacts closed."""
    size = max(max(pair) for pair in (*found.graph, *found.contacts)) + 1
    labels = list(range(size))
    for at in closed:
        one, other = (labels[node] for node in found.contacts[at])
        labels = [one if label == other else label for label in labels]
    return labels
