"""What a circuit does, whatever its names and spelling.

Two appliances behave the same when they have the same elements, by resistance, and the same things
happen in their settings: how much each element gives, what its ends are, which lamps glow, and what
changes when a self-acting contact opens. Equal elements may change places, and so may lamps,
self-acting contacts of a kind, and parts in series between the same points.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from itertools import permutations, product
from typing import Any, Literal, NamedTuple, get_args

from lessonlib.appliance.parts import (
    TERMINALS,
    Appliance,
    Diode,
    Element,
    Lamp,
    Part,
    Resistive,
    SelfActing,
    Switch,
)
from lessonlib.appliance.settings import settings
from lessonlib.circuit.solution import Solution, solve_all

Aspect = Literal["live points", "off is dead", "lamps", "protection", "marks", "positions"]
ASPECTS: tuple[Aspect, ...] = get_args(Aspect)

SAME_ELEMENT = 0.01
"""Resistances that differ by less are the same: 176 for 176.33 ohm is rounding."""
SAME_LAMP = 2.0
"""Lamps within this factor are the same: they heat nothing, and differ by when they glow."""
NO_HEAT = 0.01
"""Share of its full power below which an element counts as off: a lamp in series lets this through.
"""
GLOWS = 0.05
"""Share of its full power from which a lamp glows."""
MOST_ARRANGEMENTS = 1000
"""Most ways tried of letting equal parts change places; with more, they keep a fixed order."""

Ends = tuple[str, str]


class State(NamedTuple):
    """What heats, what glows, and what is live, by element or lamp in file order; `ends` has the
    conditions of both ends of each element for each way of the plug."""

    shares: tuple[int, ...]  # thousandths of the power on the full supply
    lit: tuple[bool, ...]
    ends: tuple[tuple[Ends, ...], ...]


@dataclass(frozen=True)
class BehaviourRow:
    """One setting of the hand-operated switches; `opened` is its state with one self-acting contact
    open, and the plug as marked. Both it and `contact_ends` are by contact, in file order."""

    setting: Mapping[str, str]
    short: str
    heat_W: float  # of all elements that heat together
    state: State
    live: tuple[bool, ...]  # whether any point inside is live, for each way of the plug
    contact_ends: tuple[tuple[Ends, ...], ...]
    opened: tuple[State, ...]

    @property
    def off(self) -> bool:
        return not self.short and not any(self.state.shares)


@dataclass(frozen=True)
class Behaviour:
    """What an appliance does; `rows` are worked out when first asked for."""

    appliance: Appliance
    both_ways: bool

    @cached_property
    def rows(self) -> tuple[BehaviourRow, ...]:
        appliance, contacts = self.appliance, self.appliance.self_acting
        base = settings(appliance)
        opened = [{**setting, part.name: "open"} for setting in base for part in contacts]
        solved = [solve_all(appliance, [*base, *opened])]
        if self.both_ways:
            solved.append(solve_all(appliance, base, reversed_plug=True))
        rows = []
        for index in range(len(base)):
            start = len(base) + index * len(contacts)
            ways = [solutions[index] for solutions in solved]
            rows.append(_row(ways, solved[0][start : start + len(contacts)]))
        return tuple(rows)


def resistance(element: Element) -> str:
    """What tells elements apart: the resistance in ohm, to five figures."""
    return f"{element.resistance_ohm:.5g}"


def positions(switch: Switch) -> str:
    """What tells switches apart: their positions, whatever the order and case."""
    return "|".join(sorted(position.casefold() for position in switch.positions))


def marks(contact: SelfActing) -> str:
    """When a self-acting contact opens and closes: "opens at 0.75 bar and closes at 0.55 bar"."""
    return " and ".join(contact.thresholds)


def named(row: BehaviourRow) -> list[str]:
    """The positions of a row, whatever the switches are called."""
    return sorted(position.casefold() for position in row.setting.values())


@lru_cache(maxsize=2048)
def behaviour(appliance: Appliance, like: Appliance) -> Behaviour:
    """What `appliance` does each way round that the plug of `like` goes in; values close to those
    of `like` count as the same."""
    return Behaviour(_like(appliance, like), like.supply.reversible_plug)


def _like(appliance: Appliance, like: Appliance) -> Appliance:
    """`appliance` with resistances snapped to those of `like`, and ideal diodes."""
    parts: list[Part] = []
    for part in appliance.parts:
        if isinstance(part, Element | Lamp):
            own = part.resistance_ohm
            reach = 1 + SAME_ELEMENT if isinstance(part, Element) else SAME_LAMP
            known = [
                model.resistance_ohm
                for model in like.parts
                if isinstance(model, Element | Lamp) and type(model) is type(part)
            ]
            near = [other for other in known if max(own / other, other / own) <= reach]
            ohms = min(near, key=lambda other: abs(other - own), default=own)
            part = replace(part, power_W=None, voltage_V=None, resistance_ohm=ohms)
        elif isinstance(part, Diode):
            part = replace(part, forward_drop_V=0.0)
        parts.append(part)
    return replace(appliance, parts=tuple(parts))


def _row(ways: Sequence[Solution], opened: Sequence[Solution]) -> BehaviourRow:
    first, appliance, state = ways[0], ways[0].appliance, _state(ways)
    inside = [node for node in appliance.nodes if node not in TERMINALS]
    heating = [part for part, share in zip(appliance.elements, state.shares, strict=True) if share]
    return BehaviourRow(
        setting={part.name: first.setting[part.name] for part in appliance.switches},
        short="" if first.short is None else str(first.short),
        heat_W=sum(first.part[part.name].power_W or 0.0 for part in heating),
        state=state,
        live=tuple(any(way.node[node].can_shock for node in inside) for way in ways),
        contact_ends=_ends(ways, appliance.self_acting),
        opened=tuple(_state([one]) for one in opened),
    )


def _state(ways: Sequence[Solution]) -> State:
    first, appliance = ways[0], ways[0].appliance
    shares = (_of_full_power(first, part) for part in appliance.elements)
    return State(
        # the small shift keeps halves of a thousandth, such as 0.0625, away from the edge
        tuple(0 if share < NO_HEAT else round(share * 1000 + 0.013) for share in shares),
        tuple(_of_full_power(first, part) > GLOWS for part in appliance.lamps),
        _ends(ways, appliance.elements),
    )


def _of_full_power(solution: Solution, part: Resistive) -> float:
    power_W = solution.part[part.name].power_W or 0.0
    return power_W * part.resistance_ohm / solution.supply_voltage_V**2


def _ends(ways: Sequence[Solution], parts: Sequence[Part]) -> tuple[tuple[Ends, ...], ...]:
    """Of each part the conditions of its first path's ends, for each way of the plug."""

    def ends(solution: Solution, part: Part) -> Ends:
        first, second = sorted(solution.node[node].condition for node in part.rungs[0])
        return first, second

    return tuple(tuple(ends(way, part) for way in ways) for part in parts)


def same(one: Behaviour, other: Behaviour, must: tuple[Aspect, ...]) -> bool:
    """Whether both behave the same in their powers and in all that `must` names."""
    # where the parts alone tell, neither circuit has to be solved
    return _parts(one, must) == _parts(other, must) and _does(one, must) == _does(other, must)


def _parts(known: Behaviour, must: tuple[Aspect, ...]) -> object:
    counts = {key: len(group) for key, group in _groups(known, must).items()}
    return f"{known.appliance.supply.voltage_V:.4g}", counts


def _does(known: Behaviour, must: tuple[Aspect, ...]) -> object:
    """The settings as a set, in the first of all orders of equal parts."""
    return min(
        tuple(sorted({_arranged(row, order, must) for row in known.rows}))
        for order in _arrangements(_groups(known, must))
    )


Groups = dict[tuple[str, str], list[Any]]


def _groups(known: Behaviour, must: tuple[Aspect, ...]) -> Groups:
    """What may change places: parts by kind and class, as numbers within the kind, and switches by
    name."""
    appliance = known.appliance
    found: list[tuple[str, str, Any]] = [
        ("element", resistance(part), number) for number, part in enumerate(appliance.elements)
    ]
    if "lamps" in must:
        found += [("lamp", "", number) for number in range(len(appliance.lamps))]
    if "protection" in must or "marks" in must:
        for number, part in enumerate(appliance.self_acting):
            found.append(
                ("contact", f"{part.kind} {marks(part) if 'marks' in must else ''}", number)
            )
    if "positions" in must:
        found += [("switch", positions(switch), switch.name) for switch in appliance.switches]
    groups: Groups = {}
    for kind, of_class, member in sorted(found, key=lambda each: each[:2]):
        groups.setdefault((kind, of_class), []).append(member)
    return groups


def _arrangements(groups: Groups) -> Iterator[dict[str, tuple[Any, ...]]]:
    """Every order of the parts, by kind, in which like stays with like."""
    count = math.prod(math.factorial(len(group)) for group in groups.values())
    orders = (
        product(*(permutations(group) for group in groups.values()))
        if count <= MOST_ARRANGEMENTS
        else [tuple(tuple(group) for group in groups.values())]
    )
    for order in orders:
        by_kind: dict[str, tuple[Any, ...]] = defaultdict(tuple)
        for (kind, _), members in zip(groups, order, strict=True):
            by_kind[kind] += members
        yield by_kind


def _arranged(
    row: BehaviourRow, order: Mapping[str, tuple[Any, ...]], must: tuple[Aspect, ...]
) -> tuple[Any, ...]:
    """What `must` compares of a row, with its parts in that order."""

    def told(state: State) -> Iterator[tuple[Any, ...]]:
        yield tuple(state.shares[number] for number in order["element"])
        yield tuple(state.lit[number] for number in order["lamp"])
        if "live points" in must:
            yield tuple(state.ends[number] for number in order["element"])

    said: list[Any] = [tuple(row.setting[name].casefold() for name in order["switch"])]
    said.append(bool(row.short))
    if row.short:
        return tuple(said)
    said += told(row.state)
    if "off is dead" in must:
        said.append(row.live if row.off else ())
    for number in order["contact"] if "protection" in must else ():
        said += told(row.opened[number])
        said += [row.contact_ends[number]] if "live points" in must else []
    return tuple(said)
